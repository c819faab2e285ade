"""One clash: the few constraints that by themselves rule out every answer.

Both functions take the constraints in order of preference, the first to be kept in the explanation if at all
possible, and a monotone oracle (see `verdict.Oracle`). With an oracle that decides every question both find
the same clash; they differ in the number of questions. Neither trusts that the constraints clash: they ask
first, and hand back the answer (YES or UNDECIDED) when there is no clash to show.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterable
from typing import TypeVar

from solver.explain.algorithms.ordering import checked_order
from solver.explain.algorithms.results import Clash
from solver.explain.algorithms.verdict import Oracle, Verdict

T = TypeVar("T", bound=Hashable)


def shrink(core: Iterable[T], is_satisfiable: Oracle[T]) -> Clash[T] | Verdict:
    """The clash left after trying to remove each member once, the last of `core` first.

    Asks one question for each member and one more: right for the small core that a solver hands back.
    UNDECIDED keeps the member, and the clash is then not proved minimal. Raises RepeatedMemberError.
    """
    members = checked_order(core)
    whole = is_satisfiable(frozenset(members))
    return shrink_known_clash(members, is_satisfiable) if whole is Verdict.NO else whole


def shrink_known_clash(members: tuple[T, ...], is_satisfiable: Oracle[T]) -> Clash[T]:
    """`shrink` for members of which NO is already known."""
    kept = members
    proved_minimal = True
    for member in reversed(members):
        rest = tuple(other for other in kept if other != member)
        verdict = is_satisfiable(frozenset(rest))
        if verdict is Verdict.NO:
            kept = rest
        elif verdict is Verdict.UNDECIDED:
            proved_minimal = False
    return Clash(kept, proved_minimal)


def preferred_clash(members: Iterable[T], is_satisfiable: Oracle[T]) -> Clash[T] | Verdict:
    """The clash of the most preferred members, by divide and conquer.

    QuickXplain (Junker, AAAI 2004, pp. 167-172). For a clash of k out of n members it asks in the order of
    k log(n/k) questions, so it is the better choice where few out of many clash. After UNDECIDED the search
    goes on as after YES, which can only leave members to spare: the clash is then not proved minimal.
    Raises RepeatedMemberError.
    """
    order = checked_order(members)
    whole = is_satisfiable(frozenset(order))
    if whole is not Verdict.NO:
        return whole
    all_decided = True

    def clashes(kept: tuple[T, ...]) -> bool:
        nonlocal all_decided
        verdict = is_satisfiable(frozenset(kept))
        all_decided = all_decided and verdict is not Verdict.UNDECIDED
        return verdict is Verdict.NO

    needed = _needed(order, (), clashes, base_grew=True)
    return Clash(needed, all_decided)


def _needed(
    members: tuple[T, ...], base: tuple[T, ...], clashes: Callable[[tuple[T, ...]], bool], *, base_grew: bool
) -> tuple[T, ...]:
    """The least of `members` that clashes together with `base`, given that all of them do."""
    if base_grew and clashes(base):
        return ()
    if len(members) <= 1:
        return members
    half = len(members) // 2
    preferred, others = members[:half], members[half:]
    needed_others = _needed(others, base + preferred, clashes, base_grew=True)
    needed_preferred = _needed(preferred, base + needed_others, clashes, base_grew=bool(needed_others))
    return needed_preferred + needed_others
