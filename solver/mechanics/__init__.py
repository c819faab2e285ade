"""Rigid-body statics of parts in place: does it move, hold and seat, and what does a bite do to supports and bar.

Knows no search. `movement` and `verdicts` say how it moves, `hold` and `pulls` what it takes, `insertion` how it
seats, `bites`, `shared_bites` and `bar_bending` what bears the bite.
"""
