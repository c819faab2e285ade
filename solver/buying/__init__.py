"""What to buy for the plans of several cases: suppliers, stock, the least-cost order, and who pays what."""
