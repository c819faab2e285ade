"""Limit analysis against collapse loads in textbooks, and the hold of a denture against worked levers."""

from __future__ import annotations

import pytest

from solver.hold import largest_pull
from solver.limit import Bound, LimitModel
from solver.point import Point


@pytest.mark.parametrize(
    ("columns", "arm", "factor"),
    [
        pytest.param([(1.0,)], 0.25, 4.0, id="simply supported: 4 (textbooks, memory)"),
        pytest.param([(1.0,), (2.0,)], 0.5, 6.0, id="propped: 6 (read: GATE 2016 civil, 1-37)"),
        pytest.param([(1.0,), (2.0,), (1.0,)], 0.5, 8.0, id="clamped: 8 (textbooks, memory)"),
    ],
)
def test_collapse_load_of_a_beam(columns: list[tuple[float]], arm: float, factor: float) -> None:
    """Centre load in units of Mp / L.

    One equation of virtual work, hinges at the clamps and at the centre: P L / 4 = M for the simple span, else
    P L / 2 = M_left + 2 M_centre + M_right, each within the plastic moment either way.
    """
    state = LimitModel(columns, rows=1).solve([arm], [Bound(-1.0, 1.0)] * len(columns))

    assert factor == pytest.approx(state.factor, abs=1e-6)


CONTACTS = [Point(25, 40), Point(-25, 40), Point(8, -10), Point(-8, -10)]
TWO = [Point(11, 0), Point(-11, 0)]
FOUR = [Point(16, 0), Point(-16, 0), Point(20, 22), Point(-20, 22)]


@pytest.mark.parametrize(
    ("attachments", "at", "hold_n"),
    [
        pytest.param(TWO, (0, 0), 20.0, id="two, between them"),
        pytest.param(TWO, (0, 40), 4.0, id="two, behind: 20 x 10 / 50"),
        pytest.param(TWO, (0, -10), 16.0, id="two, in front: 20 x 40 / 50"),
        pytest.param(TWO, (0, 20), 6.6667, id="two, midway: 20 x 10 / 30"),
        pytest.param(TWO, (25, 40), 4.0, id="two, at a corner"),
        pytest.param(TWO, (11, 0), 10.1786, id="two, above one of them"),
        pytest.param(FOUR, (0, 11), 40.0, id="four, at their centre"),
        pytest.param(FOUR, (0, 0), 29.0, id="four, at the front pair"),
        pytest.param(FOUR, (0, 40), 16.8, id="four, behind"),
        pytest.param(FOUR, (0, -10), 23.2, id="four, in front"),
        pytest.param(FOUR, (25, 11), 16.5122, id="four, to one side"),
    ],
)
def test_hold_of_ten_newton_attachments(attachments: list[Point], at: tuple[float, float], hold_n: float) -> None:
    """Derived from statics and computed with another solver; the lever rows check by hand as named."""
    pull = largest_pull(attachments, [10.0] * len(attachments), CONTACTS, Point(*at))

    assert hold_n == pytest.approx(pull.hold_n, abs=1e-3)


def test_spreading_attachments_holds_better_behind() -> None:
    """A wider spread gives more retention (El-Amier et al., J Oral Maxillofac Res 2018;9:e3, read): 4 to 16.8 N."""
    narrow = largest_pull(TWO, [10.0] * 2, CONTACTS, Point(0, 40)).hold_n
    wide = largest_pull(FOUR, [10.0] * 4, CONTACTS, Point(0, 40)).hold_n

    assert (4.0, 16.8) == pytest.approx((narrow, wide))
