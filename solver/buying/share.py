"""Divide money without a cent left over: the method of largest remainders (Hamilton's), on exact fractions."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from solver.case.money import Cost


def largest_remainder(amount: int, weights: Sequence[Fraction | int]) -> tuple[int, ...]:
    """Whole shares of an amount that is not negative; they sum to it, each less than one off its exact share.

    Equal remainders go to the earlier. All weights zero: equal shares. Raises `ValueError` where nobody shares, or
    for a negative amount or weight.
    """
    if not weights or amount < 0 or min(weights) < 0:
        raise ValueError(f"{amount} cannot be shared by {list(weights)}")
    total = sum(weights)
    exact = [Fraction(amount) * (w / Fraction(total) if total else Fraction(1, len(weights))) for w in weights]
    shares = [int(share) for share in exact]
    by_remainder = sorted(range(len(exact)), key=lambda i: (shares[i] - exact[i], i))
    for i in by_remainder[: amount - sum(shares)]:
        shares[i] += 1
    return tuple(shares)


def share_cost(cost: Cost, weights: Sequence[Fraction | int]) -> tuple[Cost, ...]:
    """A band shared so that low and high ends each sum to it, and no share has its ends crossed."""
    lows = largest_remainder(cost.low, weights)
    spans = largest_remainder(cost.high - cost.low, weights)
    return tuple(Cost(low, low + span) for low, span in zip(lows, spans, strict=True))
