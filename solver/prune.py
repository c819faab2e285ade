"""Leave out options that another at the same site replaces in every mix at no more cost, questions or parts."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from functools import lru_cache

import numpy as np

from solver.case import DEMANDS
from solver.mechanics import Mechanics
from solver.mirror import likes
from solver.option import Option
from solver.problem import Problem
from solver.retention import Condition
from solver.rules import Even, LevelPull, Peel, Pulls, Spread


def undominated(
    problem: Problem, mechanics: Mechanics, options: Sequence[Option], wanted: Sequence[Collection[str]] = ()
) -> list[Option]:
    """Return the options of which none is replaced by another; of equals the first stays.

    A candidate named in a set of `wanted` keys is only replaced by one that the set names too.

    Replacing `worse` by `better` keeps every rule: movement can only gain and stays of its kind in every demand, hold
    stays where it must, cost does not rise, and what stands on the mirror site can follow. The optimum is therefore
    the same with and without the pruned ones.
    """
    stands_for = Replacement(problem, mechanics)
    kept: dict[tuple[str, object], list[Option]] = {}
    for option in sorted(options, key=_cheap_first):
        sets = [keys for keys in wanted if option.candidate.key in keys]
        alike = kept.setdefault((option.site, option.places), [])
        rivals = (b for b in alike if all(b.candidate.key in keys for keys in sets))
        if not any(stands_for(better, option) for better in rivals):
            alike.append(option)
    stays = {id(option) for alike in kept.values() for option in alike}
    return [option for option in options if id(option) in stays]


class Replacement:
    """Whether one option can stand for another at its site in every mix of a problem."""

    def __init__(self, problem: Problem, mechanics: Mechanics) -> None:
        self._problem, self._mechanics = problem, mechanics
        kinds = {type(rule) for rule in (*problem.rules, *problem.stopgap)}
        self._exact = bool(kinds & {Spread, Even})  # a firmer grip on one side may leave the other too little
        self._floor = bool(kinds & {Pulls, LevelPull})
        self._ceiling = Peel in kinds
        self._prefers = bool(problem.preferences)

    def __call__(self, better: Option, worse: Option) -> bool:
        """True where `better` can stand for `worse`."""
        return self._replaces(better, worse) and (not self._prefers or self._is_preferred(better, worse))

    def _replaces(self, better: Option, worse: Option) -> bool:
        one, other = better.candidate, worse.candidate
        return (
            one.cost.high <= other.cost.high
            and one.parts <= other.parts
            and self._holds_as_well(better, worse)
            and set(one.questions) <= set(other.questions)
            and set(one.charges) <= set(other.charges)
            and set(better.needs_waived) <= set(worse.needs_waived)
            and _moves_as_much(better, worse)
            and all(self._mechanics.kind_of(better, d) is self._mechanics.kind_of(worse, d) for d in DEMANDS)
        )

    def _holds_as_well(self, better: Option, worse: Option) -> bool:
        one, other = better.candidate, worse.candidate
        worn = [self._problem.retention_n(each, Condition.WORN) * each.count for each in (one, other)]
        if self._exact and one.low_n != other.low_n:
            return False
        as_firm = one.low_n >= other.low_n and worn[0] >= worn[1]
        return as_firm and (one.high_n <= other.high_n or not self._ceiling)

    def _is_preferred(self, better: Option, worse: Option) -> bool:
        """It is the same attachment, the bar is not cut for it, and what stands on the mirror site can follow."""
        if better.candidate.attachment.id != worse.candidate.attachment.id:
            return False
        if better.candidate.harms_bar and not worse.candidate.harms_bar:
            return False
        mirror = self._problem.mirrors.get(better.site)
        if mirror is None:
            return True
        there = self._problem.options_at(mirror)
        followers, followed = ([there[i] for i in likes(each, there)] for each in (better, worse))
        if not followed:
            return not followers
        return all(any(self._replaces(one, other) for one in followers) for other in followed)


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
