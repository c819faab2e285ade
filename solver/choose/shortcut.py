"""The short way to the optimum: where the cheapest mix by hold alone also moves and keeps the rest, nothing is left.

Options that bind alone are left out as they turn up. Where the cheapest mix fails by several options together, or by
anything but movement, CP-SAT takes over with the options that are left.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rules import Moves
from solver.choose.cutter import Cutter
from solver.choose.hold_bound import CheapestMix
from solver.choose.ranking import best_first
from solver.choose.tie_break import Balance
from solver.mechanics.option import Option


@dataclass(frozen=True, slots=True)
class Straight:
    """How far the short way led.

    `settled`: it is proved that `mix` is best, or that there is none (None). Else only the `options` left count.
    """

    settled: bool
    mix: Assessment | None
    options: tuple[Option, ...]
    rounds: int
    cuts: int


def go_straight(
    problem: Problem, mechanics: Mechanics, options: Sequence[Option], least: Least, until: float
) -> Straight:
    """Leave out what binds alone until the cheapest mix stands, or fails by more than that, or time is up."""
    ranking, cutter = best_first(problem, options, least), Cutter(problem, options, mechanics)
    cheapest, out, rounds, cuts = CheapestMix(options, ranking), set[int](), 0, 0
    demands = [rule for rule in problem.rules if isinstance(rule, Moves)]
    while time.monotonic() < until:
        rounds += 1
        found = cheapest.of(out, problem.rules)
        if found is None:
            return Straight(True, None, (), rounds, cuts)
        mix = assess(problem, mechanics, (options[i] for i in found.picked))
        weight = ranking.of((i, options[i].candidate) for i in found.picked)
        if found.least < weight:
            break
        learnt = list(cutter.of_conflicts(mechanics.conflicts(mix.options, demands)))
        if not learnt and not mix.broken and not mix.unpreferred:
            even = Balance(problem, mechanics, options, ranking).of(found.picked, frozenset(), (), until)
            return Straight(True, assess(problem, mechanics, (options[i] for i in even)), (), rounds, cuts)
        if not (alone := frozenset[int]().union(*(cut.alone for cut in learnt))):
            break
        out |= alone
        cuts += len(learnt)
    return Straight(False, None, tuple(o for i, o in enumerate(options) if i not in out), rounds, cuts)
