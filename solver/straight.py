"""The short way to the optimum: where the cheapest mix by hold alone also moves and keeps the rest, nothing is left.

Options that bind alone are left out as they turn up. Where the cheapest mix fails by several options together, or by
anything but movement, CP-SAT takes over with the options that are left.
"""

from __future__ import annotations

import time
from collections.abc import Sequence
from dataclasses import dataclass

from solver.balance import Balance, keeps_limits
from solver.cheapest import CheapestMix
from solver.cuts import Cutter
from solver.mechanics import Mechanics
from solver.problem import Least, Option, Problem
from solver.ranking import best_first


@dataclass(frozen=True, slots=True)
class Straight:
    """How far the short way led.

    `settled`: it is proved that `mix` is best, or that there is none (None). Else only the `options` left count.
    """

    settled: bool
    mix: tuple[Option, ...] | None
    options: tuple[Option, ...]
    rounds: int
    cuts: int


def go_straight(
    problem: Problem, mechanics: Mechanics, options: Sequence[Option], least: Least, until: float
) -> Straight:
    """Leave out what binds alone until the cheapest mix stands, or fails by more than that, or time is up."""
    ranking, cutter = best_first(problem, options, least), Cutter(options, mechanics)
    cheapest, out, rounds, cuts = CheapestMix(options, ranking), set[int](), 0, 0
    while time.monotonic() < until:
        rounds += 1
        found = cheapest.of(out, problem.rules)
        if found is None:
            return Straight(True, None, (), rounds, cuts)
        mix = tuple(options[i] for i in found.picked)
        weight = ranking.of((i, options[i].candidate) for i in found.picked)
        if found.least < weight or not keeps_limits(problem, mix):
            break
        learnt = list(cutter.against(mechanics.conflicts(mix, frozenset())))
        if not learnt and not mechanics.weak_pulls(mix, frozenset()):
            even = Balance(problem, mechanics, options, ranking).of(found.picked, frozenset(), (), until)
            return Straight(True, tuple(options[i] for i in even), (), rounds, cuts)
        if not (alone := frozenset[int]().union(*(cut.alone for cut in learnt))):
            break
        out |= alone
        cuts += len(learnt)
    return Straight(False, None, tuple(o for i, o in enumerate(options) if i not in out), rounds, cuts)
