"""Whole millinewtons: no floor or ceiling is missed by rounding, and none is loosened by a tenth of one."""

from __future__ import annotations

import pytest

from solver.choose.millinewtons import at_least, at_most, force


@pytest.mark.parametrize(
    ("newtons", "nearest", "floor", "ceiling"),
    [
        (0.0, 0, 0, 0),
        (5.0, 5000, 5000, 5000),
        (5.0003, 5000, 5001, 5000),
        (4.9997, 5000, 5000, 4999),
        (0.1 + 0.2, 300, 300, 300),
        (0.7 + 0.1, 800, 800, 800),
    ],
    ids=["none", "whole", "a bit more", "a bit less", "a sum just above", "a sum just below"],
)
def test_newtons_as_they_are_counted(newtons: float, nearest: int, floor: int, ceiling: int) -> None:
    """A floor is rounded up and a ceiling down, so that what keeps them in millinewtons keeps them in newtons."""
    assert (nearest, floor, ceiling) == (force(newtons), at_least(newtons), at_most(newtons))
