"""What if and what next: questions, other values, trade-offs, ways out, and figures on which a choice hangs.

`questions.ask`, `what_if.vary`, `tradeoff.front`, `strategies.strategies`, `sensitivity.sensitivity`.
"""
