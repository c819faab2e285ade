"""The knee of a front is the point farthest beyond the chord between its ends."""

from __future__ import annotations

from unittest.mock import sentinel

import pytest

from solver.explore.tradeoff import FrontPoint, knee_of

TABLE = {
    "two ends only": ([(0, 0), (10, 10)], None),
    "all on the chord": ([(0, 0), (5, 5), (10, 10)], None),
    "all short of the chord": ([(0, 0), (8, 2), (10, 10)], None),
    "far beyond in the middle": ([(0, 0), (1, 8), (5, 9), (10, 10)], 1),
    # Shares (0.2, 0.5) and (0.6, 0.9): both 0.3 beyond; the cheaper of equals.
    "of equals the first": ([(0, 0), (20, 50), (60, 90), (100, 100)], 1),
    # The same shape where less of the second is better, as with cost over the years.
    "a second axis that falls": ([(0, 100), (1, 20), (5, 10), (10, 0)], 1),
    "units do not matter": ([(15583, 5.0), (24750, 13.64), (37333, 16.64), (38333, 17.64)], 1),
}


@pytest.mark.parametrize(("values", "knee"), TABLE.values(), ids=TABLE)
def test_knee(values: list[tuple[float, float]], knee: int | None) -> None:
    assert knee == knee_of([FrontPoint(sentinel.plan, first, second) for first, second in values])
