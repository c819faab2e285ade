"""The yes/no oracle: can these constraints be kept together?"""

from __future__ import annotations

from collections.abc import Callable, Hashable
from enum import Enum
from typing import NoReturn, TypeVar

T = TypeVar("T", bound=Hashable)


class Verdict(Enum):
    """Answer of an oracle. UNDECIDED (out of time, say) is neither YES nor NO and is never read as one."""

    YES = "yes"
    NO = "no"
    UNDECIDED = "undecided"

    def __bool__(self) -> NoReturn:
        # Three answers do not fit into two: `if oracle(kept)` would take NO for true.
        raise TypeError("compare a Verdict with `is`; it has no truth value")


Oracle = Callable[[frozenset[T]], Verdict]
"""`is_satisfiable(kept)`: whether all members of `kept` hold together, on top of what always holds.

It must be monotone: what can be kept can be kept in part too (every subset of a YES is a YES), and so every
superset of a NO is a NO. UNDECIDED may come at any time.
"""


def remembering(is_satisfiable: Oracle[T]) -> Oracle[T]:
    """Ask `is_satisfiable` only what does not already follow from its earlier YES and NO.

    UNDECIDED is not remembered: the same question is asked again, or settled by a later answer.
    """
    satisfiable: list[frozenset[T]] = []
    clashing: list[frozenset[T]] = []

    def answer(kept: frozenset[T]) -> Verdict:
        if any(kept <= known for known in satisfiable):
            return Verdict.YES
        if any(known <= kept for known in clashing):
            return Verdict.NO
        verdict = is_satisfiable(kept)
        if verdict is Verdict.YES:
            satisfiable.append(kept)
        elif verdict is Verdict.NO:
            clashing.append(kept)
        return verdict

    return answer
