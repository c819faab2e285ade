"""What a caller, or the oracle of a caller, can do wrong. "No solution" is never an error here."""

from __future__ import annotations

from dataclasses import dataclass


class ConflictError(Exception):
    """Base of the errors of this package."""


@dataclass(eq=False)
class RepeatedMemberError(ConflictError):
    """The order names a member twice, so it is no order."""

    member: object

    def __str__(self) -> str:
        return f"{self.member!r} stands twice in the order"


@dataclass(eq=False)
class UnknownMemberError(ConflictError):
    """A set holds a member that the order does not name."""

    member: object

    def __str__(self) -> str:
        return f"{self.member!r} does not stand in the order"


@dataclass(eq=False)
class WeightNotPositiveError(ConflictError):
    """A member has no weight, or one of zero or less: the lightest sets would then not be minimal."""

    member: object
    weight: int | None

    def __str__(self) -> str:
        return f"weight of {self.member!r} must be a whole number above 0, got {self.weight}"


@dataclass(eq=False)
class BoundNegativeError(ConflictError):
    """A bound on the size of sets is below zero."""

    max_size: int

    def __str__(self) -> str:
        return f"max_size must be 0 or more, got {self.max_size}"


@dataclass(eq=False)
class OracleFaultError(ConflictError):
    """The optimiser broke its promise: its answer is blocked, or lighter than an earlier one."""

    answer: tuple[object, ...]
    fault: str

    def __str__(self) -> str:
        return f"the optimiser answered {list(self.answer)!r}, which {self.fault}"
