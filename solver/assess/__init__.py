"""One mix worked out, once: cost, hold, movement, loads, years, cautions, what it keeps and gives up, its status.

`problem.problem_of` prepares a case; `assessment.assess` gives an `Assessment`, each part of which is computed
when first read; `oracle.Mechanics` answers and remembers what is asked of a mix.
"""
