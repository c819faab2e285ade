"""Leave out options that another at the same site replaces in every mix at no more cost, questions or parts."""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

from solver.problem import Option


def undominated(
    options: Sequence[Option], wanted: Sequence[Collection[str]] = (), *, ceiling: bool = True
) -> list[Option]:
    """The options of which none is replaced by another; of equals the first stays.

    A candidate named in a set of `wanted` keys is only replaced by one that the set names too. Without a `ceiling`
    on the hold a stronger grip is never in the way.

    Replacing `worse` by `better` keeps every rule: movement can only gain, hold stays in the band, cost does not
    rise. The optimum is therefore the same with and without the pruned ones.
    """
    kept: dict[str, list[Option]] = {}
    for option in sorted(options, key=_cheap_first):
        sets = [keys for keys in wanted if option.candidate.key in keys]
        rivals = (b for b in kept.get(option.site, ()) if all(b.candidate.key in keys for keys in sets))
        if not any(replaces(better, option, ceiling=ceiling) for better in rivals):
            kept.setdefault(option.site, []).append(option)
    stays = {id(option) for site in kept.values() for option in site}
    return [option for option in options if id(option) in stays]


def replaces(better: Option, worse: Option, *, ceiling: bool = True) -> bool:
    """True where `better` can stand for `worse` in every mix; `ceiling` where a case limits the hold."""
    one, other = better.candidate, worse.candidate
    return (
        one.cost.high <= other.cost.high
        and one.parts <= other.parts
        and one.low_n >= other.low_n
        and (one.high_n <= other.high_n or not ceiling)
        and set(one.questions) <= set(other.questions)
        and set(one.charges) <= set(other.charges)
        and set(better.needs_waived) <= set(worse.needs_waived)
        and _moves_as_much(better, worse)
    )


def _moves_as_much(better: Option, worse: Option) -> bool:
    """The parts stand in the same places, and no part of `better` boxes more than the one in its place.

    The same places also mean that retention sits where it sat, so no pull is taken worse.
    """
    if better.places != worse.places:
        return False
    if better.manner == worse.manner:  # most of a catalogue moves in few ways
        return True
    theirs = {part.place: part for part in worse.placements}
    return all(
        bool(np.all(part.least <= theirs[part.place].least) and np.all(part.most >= theirs[part.place].most))
        for part in better.placements
    )


def _cheap_first(option: Option) -> tuple[int, int, int, str]:
    candidate = option.candidate
    return candidate.cost.high, len(candidate.questions), candidate.parts, candidate.key
