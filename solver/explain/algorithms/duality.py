"""All clashes and all minimal waiver sets of constraints that cannot hold together, found by one loop.

Each kind is the minimal hitting sets of the other (see `hitting`). The loop keeps the minimal hitting sets
of the clashes known so far and asks of the lightest whether the rest can hold. If so, it is a waiver set; if
not, the rest holds a clash that the set misses, and the hitting sets grow by it. When every hitting set is a
waiver set, both lists are whole. This is the implicit hitting set scheme (Moreno-Centeno and Karp, Oper. Res.
2013;61:453-468) carried on past the first optimum.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Hashable, Iterable, Mapping
from typing import TypeVar

from solver.explain.algorithms.clash import shrink_known_clash
from solver.explain.algorithms.hitting import hit_also
from solver.explain.algorithms.ordering import checked_order, checked_weights, ranked, ranks, size_bound
from solver.explain.algorithms.results import Clash, Ending, Listing, WaiverSet
from solver.explain.algorithms.verdict import Oracle, Verdict, remembering

T = TypeVar("T", bound=Hashable)


def explanations(
    order: Iterable[T],
    is_satisfiable: Oracle[T],
    *,
    weights: Mapping[T, int] | None = None,
    max_size: int | None = None,
) -> Listing[Clash[T] | WaiverSet[T]]:
    """Clashes and minimal waiver sets, each at the moment it is proved.

    Waiver sets come by weight (1 for each member unless given), then size, then order; a clash comes before
    the waiver sets that need it. `max_size` bounds the waiver sets; with it some clashes may stay unseen.
    Meant for tens of members: the number of sets can be exponential, and reading may stop at any find.

    UNDECIDED leaves a set in doubt. It is not listed, nor is any larger set that contains it, unless a later
    clash settles that it is none; what grows out of it then comes late. The listing ends UNDECIDED if a doubt
    is left. Raises RepeatedMemberError, WeightNotPositiveError, BoundNegativeError.
    """
    order = checked_order(order)
    checked = checked_weights(weights, order)
    return Listing(_steps(order, remembering(is_satisfiable), checked, size_bound(max_size, order)))


def all_clashes(order: Iterable[T], is_satisfiable: Oracle[T]) -> Listing[Clash[T]]:
    """The clashes among `explanations`: all minimal ones if the listing ends COMPLETE.

    Clashes that the oracle left not proved minimal may stand among them even then.
    Raises RepeatedMemberError.
    """
    return Listing(_clashes_only(explanations(order, is_satisfiable)))


def _clashes_only(found: Listing[Clash[T] | WaiverSet[T]]) -> Generator[Clash[T], None, Ending]:
    for each in found:
        if isinstance(each, Clash):
            yield each
    return found.ending


def _steps(
    order: tuple[T, ...], ask: Oracle[T], weights: Mapping[T, int], max_size: int
) -> Generator[Clash[T] | WaiverSet[T], None, Ending]:
    def lightest_first(members: frozenset[T]) -> tuple[int, int, tuple[int, ...]]:
        return sum(weights[each] for each in members), len(members), ranks(members, order)

    hitting: list[frozenset[T]] = [frozenset()]
    waived: set[frozenset[T]] = set()
    doubtful: set[frozenset[T]] = set()
    bounded = False
    untried = deque(hitting)
    while untried:
        candidate = untried.popleft()
        rest = ranked(frozenset(order) - candidate, order)
        verdict = ask(frozenset(rest))
        if verdict is Verdict.YES:
            waived.add(candidate)
            yield WaiverSet(ranked(candidate, order), lightest_first(candidate)[0])
        elif verdict is Verdict.NO:
            clash = shrink_known_clash(rest, ask)
            yield clash
            grown = hit_also(hitting, clash.members)
            hitting = [each for each in grown if len(each) <= max_size]
            bounded = bounded or len(hitting) < len(grown)
            untried = deque(sorted(set(hitting) - waived - doubtful, key=lightest_first))
        else:
            # Kept among the hitting sets: a larger set that contains it could not be called minimal.
            doubtful.add(candidate)
    if not doubtful.isdisjoint(hitting):
        return Ending.UNDECIDED
    return Ending.BOUNDED if bounded else Ending.COMPLETE
