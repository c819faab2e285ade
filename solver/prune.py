"""Leave out options that another at the same site replaces in every mix at no more cost, questions or parts."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from solver.problem import Option


def undominated(options: Sequence[Option]) -> list[Option]:
    """The options of which none is replaced by another; of equals the first stays.

    Replacing `worse` by `better` keeps every rule: movement can only gain, hold stays in the band, cost does not
    rise. The optimum is therefore the same with and without the pruned ones.
    """
    kept: list[Option] = []
    for option in sorted(options, key=_cheap_first):
        if not any(replaces(better, option) for better in kept if better.site == option.site):
            kept.append(option)
    order = {id(option): index for index, option in enumerate(options)}
    return sorted(kept, key=lambda option: order[id(option)])


def replaces(better: Option, worse: Option) -> bool:
    """True where `better` can stand for `worse` in every mix."""
    one, other = better.candidate, worse.candidate
    return (
        one.cost.high <= other.cost.high
        and one.parts <= other.parts
        and one.low_n >= other.low_n
        and one.high_n <= other.high_n
        and set(one.questions) <= set(other.questions)
        and set(one.charges) <= set(other.charges)
        and set(better.needs_waived) <= set(worse.needs_waived)
        and _moves_as_much(better, worse)
    )


def _moves_as_much(better: Option, worse: Option) -> bool:
    """Every part of `better` stands where one of `worse` stands and boxes no more than it."""
    theirs = {part.place: part for part in worse.placements}
    return all(
        part.place in theirs
        and bool(np.all(part.least <= theirs[part.place].least) and np.all(part.most >= theirs[part.place].most))
        for part in better.placements
    )


def _cheap_first(option: Option) -> tuple[int, int, int, str]:
    candidate = option.candidate
    return candidate.cost.high, len(candidate.questions), candidate.parts, candidate.key
