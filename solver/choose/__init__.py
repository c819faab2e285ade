"""The least-cost mix, proved: CP-SAT master, cuts from mechanics, shortcut, tie-break.

`plan.plan` is the front door of the whole solver, `check.check` judges a mix of your own, `tiers.tiers` gives
stopgap, usual and firm. `search` is the loop between `master` and `cutter`.
"""
