"""All minimal waiver sets, lightest first: from a yes/no oracle or from an optimiser."""

from __future__ import annotations

from collections.abc import Callable, Generator, Hashable, Iterable, Mapping, Sequence
from typing import Literal, TypeVar

from solver.explain.algorithms.duality import explanations
from solver.explain.algorithms.errors import OracleFaultError
from solver.explain.algorithms.ordering import checked_order, checked_weights, ranked, size_bound
from solver.explain.algorithms.results import Clash, Ending, Listing, WaiverSet
from solver.explain.algorithms.verdict import Oracle, Verdict

T = TypeVar("T", bound=Hashable)

Optimiser = Callable[[Sequence[frozenset[T]], Mapping[T, int]], frozenset[T] | Literal[Verdict.UNDECIDED] | None]
"""`cheapest_correction(blocked, weights)`: a lightest set of members without which all others can hold.

It must not contain all of any set in `blocked` (one clause each: at least one member of it is kept). None: no
such set is left. UNDECIDED: not proved lightest, or none found in time. As for `verdict.Oracle`, what can be
kept can be kept in part too. Among equally light sets it should choose the same one every time.
"""


def waiver_sets(
    order: Iterable[T],
    is_satisfiable: Oracle[T],
    *,
    weights: Mapping[T, int] | None = None,
    max_size: int | None = None,
) -> Listing[WaiverSet[T]]:
    """The waiver sets among `duality.explanations`, in its order, with its bound, endings and errors."""
    return Listing(
        _waivers_only(explanations(order, is_satisfiable, weights=weights, max_size=max_size)),
    )


def _waivers_only(found: Listing[Clash[T] | WaiverSet[T]]) -> Generator[WaiverSet[T], None, Ending]:
    for each in found:
        if isinstance(each, WaiverSet):
            yield each
    return found.ending


def cheapest_waiver_sets(
    order: Iterable[T],
    cheapest_correction: Optimiser[T],
    *,
    weights: Mapping[T, int] | None = None,
    max_size: int | None = None,
) -> Listing[WaiverSet[T]]:
    """Minimal waiver sets by weight (1 for each member unless given), one optimisation for each.

    Every answer is blocked before the next question, so no set that contains it comes again; as weights are
    above 0, a lightest set is minimal. Equally light sets come as the optimiser finds them. Sets with more
    than `max_size` members are passed over; the search ends once the weight shows that only such can follow.
    After UNDECIDED there is no more. Raises RepeatedMemberError, WeightNotPositiveError, BoundNegativeError
    at once and, while reading, UnknownMemberError and OracleFaultError for answers that break the promise.
    """
    order = checked_order(order)
    return Listing(_steps(order, cheapest_correction, checked_weights(weights, order), size_bound(max_size, order)))


def _steps(
    order: tuple[T, ...], cheapest_correction: Optimiser[T], weights: Mapping[T, int], max_size: int
) -> Generator[WaiverSet[T], None, Ending]:
    heaviest_within_bound = sum(sorted(weights.values(), reverse=True)[:max_size])
    blocked: list[frozenset[T]] = []
    lightest = 0
    ending = Ending.COMPLETE
    while (answer := cheapest_correction(tuple(blocked), weights)) is not None:
        if answer is Verdict.UNDECIDED:
            return Ending.UNDECIDED
        members = ranked(answer, order)
        weight = sum(weights[member] for member in members)
        _check_promise(answer, members, blocked, is_lighter=weight < lightest)
        if len(members) <= max_size:
            yield WaiverSet(members, weight)
        else:
            ending = Ending.BOUNDED
        if weight > heaviest_within_bound:
            return Ending.BOUNDED
        blocked.append(answer)
        lightest = weight
    return ending


def _check_promise(
    answer: frozenset[T], members: tuple[T, ...], blocked: Sequence[frozenset[T]], *, is_lighter: bool
) -> None:
    if any(earlier <= answer for earlier in blocked):
        raise OracleFaultError(members, "contains a blocked set")
    if is_lighter:
        raise OracleFaultError(members, "is lighter than an earlier answer")
