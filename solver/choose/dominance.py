"""Leave out options that another at the same site replaces in every mix at no more cost, questions or parts."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from functools import lru_cache, partial

import numpy as np

from solver.assess.mirror import likes
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.rules import Alike, Even, LinedAlone, OneKind, Peel, Rule, Spread, WholeBar
from solver.case.schema import DEMANDS
from solver.mechanics.option import Option


def undominated(
    problem: Problem, mechanics: Mechanics, options: Sequence[Option], wanted: Sequence[Collection[str]] = ()
) -> list[Option]:
    """Return the options of which none is replaced by another; of equals the first stays.

    A candidate named in a set of `wanted` keys is only replaced by one that the set names too.

    Replacing `worse` by `better` keeps every rule: movement can only gain and stays of its kind in every demand, hold
    stays where it must, cost does not rise, and what stands on the mirror site can follow. The optimum is therefore
    the same with and without the pruned ones.
    """
    stands_for = Replacement(problem, mechanics, options, wanted)
    kept: dict[tuple[str, object], list[Option]] = {}
    for option in sorted(options, key=_cheap_first):
        alike = kept.setdefault((option.site, option.places), [])
        if not any(stands_for(better, option) for better in alike):
            alike.append(option)
    stays = {id(option) for alike in kept.values() for option in alike}
    return [option for option in options if id(option) in stays]


class Replacement:
    """Whether one option can stand for another at its site in every mix of some options of a problem.

    A candidate named in a set of `wanted` keys is only replaced by one that the set names too.
    """

    def __init__(
        self,
        problem: Problem,
        mechanics: Mechanics,
        options: Sequence[Option],
        wanted: Sequence[Collection[str]] = (),
    ) -> None:
        self._problem, self._mechanics, self._wanted = problem, mechanics, wanted
        kinds = {type(rule) for rule in (*problem.rules, *problem.stopgap)}
        self._exact = bool(kinds & {Spread, Even})  # a firmer grip on one side may leave the other too little
        self._ceiling = Peel in kinds
        self._lined = LinedAlone in kinds
        preferred = {type(rule) for rule in problem.preferences}
        self._whole, self._alike = WholeBar in preferred, Alike in preferred
        self._one_kind = OneKind in preferred
        self._at: dict[str, list[Option]] = {}
        for option in options:
            self._at.setdefault(option.site, []).append(option)
        self._likes: dict[tuple[str, tuple[Rule, ...]], frozenset[str]] = {}

    def __call__(self, better: Option, worse: Option) -> bool:
        """True where `better` can stand for `worse`."""
        return self._replaces(better, worse) and (not self._alike or self._is_followed(better, worse))

    def _replaces(self, better: Option, worse: Option) -> bool:
        """True but for what stands on the mirror site."""
        one, other = better.candidate, worse.candidate
        return (
            all(one.key in keys for keys in self._wanted if other.key in keys)
            and one.cost.high <= other.cost.high
            and one.parts <= other.parts
            and self._holds_as_well(better, worse)
            and set(one.questions) <= set(other.questions)
            and set(one.charges) <= set(other.charges)
            and set(better.needs_waived) <= set(worse.needs_waived)
            and all(percent <= worse.short_percent.get(rule, 0) for rule, percent in better.short_percent.items())
            and (not self._whole or not one.harms_bar or other.harms_bar)
            and (not self._lined or one.is_lining is other.is_lining)
            and (not self._one_kind or one.attachment.id == other.attachment.id)
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

    def _is_followed(self, better: Option, worse: Option) -> bool:
        """True where whatever is alike with `worse` on the mirror site can follow, itself or by what replaces it.

        What follows comes no later in order, so that replacing ever more comes to an end.
        """
        mirror = self._problem.mirrors.get(better.site)
        if mirror is None:
            return True
        return all(
            self._goes_with(better, opposite) or any(map(partial(self._goes_with, better), self._followers(opposite)))
            for opposite in (None, *self._problem.options_at(mirror))
            if self._goes_with(worse, opposite)
        )

    def _followers(self, opposite: Option | None) -> Iterator[Option]:
        """What may stand for an option of the mirror site."""
        if opposite is not None:
            earlier = (o for o in self._at.get(opposite.site, ()) if _cheap_first(o) < _cheap_first(opposite))
            yield from (option for option in earlier if self._replaces(option, opposite))

    def _goes_with(self, one: Option, other: Option | None) -> bool:
        """True where two options of mirror sites are alike: neither lacks its like on the other."""
        likes_of_one, likes_of_other = self._likes_of(one), self._likes_of(other)
        if likes_of_one and (other is None or other.candidate.key not in likes_of_one):
            return False
        return not likes_of_other or one.candidate.key in likes_of_other

    def _likes_of(self, option: Option | None) -> frozenset[str]:
        """The keys of what is like an option on its mirror site."""
        if option is None:
            return frozenset()
        key = option.candidate.key, option.needs_waived
        if key not in self._likes:
            there = self._problem.options_at(self._problem.mirrors[option.site])
            self._likes[key] = frozenset(there[i].candidate.key for i in likes(option, there))
        return self._likes[key]


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
