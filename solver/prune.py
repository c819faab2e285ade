"""Leave out options that another at the same site replaces in every mix at no more cost, questions or parts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache

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
    kept: dict[tuple[str, object], list[Option]] = {}
    for option in sorted(options, key=_cheap_first):
        sets = [keys for keys in wanted if option.candidate.key in keys]
        alike = kept.setdefault((option.site, option.places), [])
        rivals = (b for b in alike if all(b.candidate.key in keys for keys in sets))
        if not any(replaces(better, option, ceiling=ceiling) for better in rivals):
            alike.append(option)
    stays = {id(option) for alike in kept.values() for option in alike}
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
    return better.places == worse.places and _leaves_as_much(better.manner, worse.manner)


@lru_cache(maxsize=4096)  # most of a catalogue moves in few ways
def _leaves_as_much(better: bytes, worse: bytes) -> bool:
    ours, theirs = (np.frombuffer(manner).reshape(-1, 2, 6) for manner in (better, worse))
    return bool(np.all(ours[:, 0] <= theirs[:, 0]) and np.all(ours[:, 1] >= theirs[:, 1]))


def _cheap_first(option: Option) -> tuple[int, int, int, str]:
    candidate = option.candidate
    return candidate.cost.high, len(candidate.questions), candidate.parts, candidate.key
