"""The same results as JSON."""
