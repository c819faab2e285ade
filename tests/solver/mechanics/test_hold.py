"""Laws of the hold: statics, the other solver, the dual as a bound, and what adding or moving parts can do."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.optimize import linprog

from solver.handbook.checks import OutOfDomain
from solver.handbook.point import Point
from solver.mechanics.hold import PLAIN_LIFT, LiftField, Pull, PullModel, largest_pull

# Tenths of a millimetre: two points are either the same or well apart.
position = st.integers(-400, 400).map(lambda tenths: tenths / 10.0)
points = st.builds(Point, position, position)
contacts = st.lists(points, max_size=6)
retention = st.just(0.0) | st.floats(0.01, 30.0)
held = st.lists(st.tuples(points, retention), max_size=6)
Held = list[tuple[Point, float]]

CONTACTS = [Point(25, 40), Point(-25, 40), Point(8, -10), Point(-8, -10)]
TWO = [Point(11, 0), Point(-11, 0)]


def _pull(attached: Held, pushing: list[Point], at: Point) -> Pull:
    return largest_pull([p for p, _ in attached], [r for _, r in attached], pushing, at)


@given(attached=held, pushing=contacts, at=points)
def test_agrees_with_scipy(attached: Held, pushing: list[Point], at: Point) -> None:
    """The same linear program written out anew, solved by HiGHS."""

    def column(point: Point, sign: float) -> tuple[float, float, float]:
        return sign, sign * point.x_mm, sign * point.y_mm

    columns = [column(at, 1.0), *(column(p, -1.0) for p, _ in attached), *(column(p, 1.0) for p in pushing)]
    other = linprog(
        c=[-1.0] + [0.0] * (len(columns) - 1),
        A_eq=np.array(columns).T,
        b_eq=np.zeros(3),
        bounds=[(0.0, None), *((0.0, r) for _, r in attached), *((0.0, None) for _ in pushing)],
    )

    assert other.status == 0
    assert -other.fun == pytest.approx(_pull(attached, pushing, at).hold_n, abs=1e-5)


@given(attached=held, pushing=contacts, at=points)
def test_forces_balance_the_pull_within_their_limits(attached: Held, pushing: list[Point], at: Point) -> None:
    pull = _pull(attached, pushing, at)
    forces = np.array([pull.hold_n, *(-f for f in pull.attachment_n), *pull.contact_n])
    place = np.array([at, *(p for p, _ in attached), *pushing])

    assert 0.0 == pytest.approx(forces.sum(), abs=1e-6)
    assert np.zeros(2) == pytest.approx(forces @ place, abs=1e-4)
    assert all(-1e-7 <= f <= r + 1e-7 for f, (_, r) in zip(pull.attachment_n, attached, strict=True))
    assert all(n >= -1e-7 for n in pull.contact_n)


@given(attached=held, pushing=contacts, at=points)
def test_lift_is_one_at_the_pull_leaves_every_contact_and_proves_the_hold(
    attached: Held, pushing: list[Point], at: Point
) -> None:
    """Dual equals primal: sum of R max(0, v) is the hold, for a field that is feasible by itself."""
    pull = _pull(attached, pushing, at)

    assert 1.0 == pytest.approx(pull.lift.at(at), abs=1e-6)
    assert all(pull.lift.at(contact) >= -1e-6 for contact in pushing)
    assert pull.hold_n == pytest.approx(
        pull.lift.bound_n([p for p, _ in attached], [r for _, r in attached]), rel=1e-6, abs=1e-4
    )


@given(attached=held, pushing=contacts, at=points, data=st.data())
def test_lift_bounds_the_hold_of_any_other_retentions(
    attached: Held, pushing: list[Point], at: Point, data: st.DataObject
) -> None:
    """Weak duality: the field found for one set of retentions is a cut for every other."""
    where = [p for p, _ in attached]
    others = data.draw(st.lists(retention, min_size=len(where), max_size=len(where)))
    lift = _pull(attached, pushing, at).lift

    assert largest_pull(where, others, pushing, at).hold_n <= lift.bound_n(where, others) + 1e-4


@given(attached=held, pushing=contacts, at=points, more=st.tuples(points, retention))
def test_another_attachment_never_lowers_the_hold(
    attached: Held, pushing: list[Point], at: Point, more: tuple[Point, float]
) -> None:
    assert _pull(attached, pushing, at).hold_n <= _pull([*attached, more], pushing, at).hold_n + 1e-6


@given(attached=held, pushing=contacts, at=points, more=points)
def test_another_contact_never_lowers_the_hold(attached: Held, pushing: list[Point], at: Point, more: Point) -> None:
    """A contact is a fulcrum further out: it can only help to hold."""
    assert _pull(attached, pushing, at).hold_n <= _pull(attached, [*pushing, more], at).hold_n + 1e-6


@given(attached=held, pushing=contacts, at=points, factor=st.floats(0.1, 10.0))
def test_scaling_retention_scales_the_hold(attached: Held, pushing: list[Point], at: Point, factor: float) -> None:
    scaled = [(p, r * factor) for p, r in attached]

    assert factor * _pull(attached, pushing, at).hold_n == pytest.approx(
        _pull(scaled, pushing, at).hold_n, rel=1e-6, abs=1e-5
    )


@given(attached=held, pushing=contacts, at=points, dx=position, dy=position)
def test_moving_the_origin_changes_nothing(
    attached: Held, pushing: list[Point], at: Point, dx: float, dy: float
) -> None:
    def moved(point: Point) -> Point:
        # Rounded back to tenths, so that points on one line stay on it.
        return Point(round(point.x_mm + dx, 1), round(point.y_mm + dy, 1))

    there = _pull([(moved(p), r) for p, r in attached], [moved(p) for p in pushing], moved(at))

    assert _pull(attached, pushing, at).hold_n == pytest.approx(there.hold_n, abs=1e-5)


@given(attached=held, pushing=contacts, at=points)
def test_mirroring_mirrors(attached: Held, pushing: list[Point], at: Point) -> None:
    def mirrored(point: Point) -> Point:
        return Point(-point.x_mm, point.y_mm)

    there = _pull([(mirrored(p), r) for p, r in attached], [mirrored(p) for p in pushing], mirrored(at))

    assert _pull(attached, pushing, at).hold_n == pytest.approx(there.hold_n, abs=1e-5)


@given(attached=held, pushing=contacts, at=points)
def test_hold_never_exceeds_all_retention(attached: Held, pushing: list[Point], at: Point) -> None:
    assert 0.0 <= _pull(attached, pushing, at).hold_n <= sum(r for _, r in attached) + 1e-6


@given(behind=st.floats(1.0, 60.0), front=st.floats(1.0, 60.0), each=st.floats(0.1, 40.0))
def test_hinge_formula(behind: float, front: float, each: float) -> None:
    """All attachments on y = 0, one contact edge at y = e in front, pull at y = -b: sum R e / (b + e)."""
    edge = [Point(-20, front), Point(20, front)]
    pull = largest_pull(TWO, [each] * 2, edge, Point(0, -behind))

    assert 2.0 * each * front / (behind + front) == pytest.approx(pull.hold_n, rel=1e-6)


def test_tipping_line_behind_two_attachments() -> None:
    """Pulled at y = 40 the denture tips about the front contacts at y = -10, lifting 0.2 at the attachments."""
    lift = largest_pull(TWO, [10.0, 10.0], CONTACTS, Point(0, 40)).lift
    line = lift.tipping_line()

    assert line is not None
    assert (0.0, -10.0) == pytest.approx(line.foot, abs=1e-6)
    assert 1.0 == pytest.approx(abs(line.direction.x_mm))
    assert 0.2 == pytest.approx(lift.at(Point(11, 0)))


@given(c0=st.floats(-3, 3), cx=st.floats(-1, 1), cy=st.floats(-1, 1), along=st.floats(-50, 50))
def test_no_lift_anywhere_on_the_tipping_line(c0: float, cx: float, cy: float, along: float) -> None:
    """And its foot is its point nearest to the origin."""
    assume(math.hypot(cx, cy) > 1e-3)
    lift = LiftField(c0, cx, cy)
    line = lift.tipping_line()

    assert line is not None
    foot, way = line
    assert 0.0 == pytest.approx(lift.at(Point(foot.x_mm + along * way.x_mm, foot.y_mm + along * way.y_mm)), abs=1e-6)
    assert 0.0 == pytest.approx(foot.x_mm * way.x_mm + foot.y_mm * way.y_mm, abs=1e-6)
    assert 1.0 == pytest.approx(math.hypot(*way))


def test_straight_pull_is_reported_as_a_plain_lift() -> None:
    """Between two attachments many ways give at 20 N; the one without tipping is named."""
    lift = largest_pull(TWO, [10.0, 10.0], CONTACTS, Point(0, 0)).lift

    assert lift == PLAIN_LIFT
    assert lift.tipping_line() is None


@pytest.mark.parametrize(
    ("attachments", "retentions", "pushing", "hold_n"),
    [
        ([], [], [], 0.0),
        ([], [], CONTACTS, 0.0),
        (TWO, [0.0, 0.0], CONTACTS, 0.0),
        (TWO, [10.0, 10.0], [], 0.0),
        ([Point(0, 5)], [7.0], [], 7.0),
        ([Point(-0.1, 5.1), Point(-0.1, 4.9)], [1.0, 1e-181], [], 0.0),
    ],
    ids=[
        "nothing at all",
        "contacts only",
        "worn out",
        "off the line, nothing to lever on",
        "right at it",
        "a trace",
    ],
)
def test_bare_cases(attachments: list[Point], retentions: list[float], pushing: list[Point], hold_n: float) -> None:
    """A denture that nothing holds comes off at zero; that is an answer, not a fault."""
    assert hold_n == pytest.approx(largest_pull(attachments, retentions, pushing, Point(0, 5)).hold_n)


def test_one_model_serves_many_pulls() -> None:
    """Kept between calls it answers what a new one answers, in any order."""
    model = PullModel(TWO, CONTACTS)
    asked = [([10.0, 10.0], Point(0, 40)), ([0.0, 5.0], Point(25, 40)), ([3.0, 9.0], Point(0, -10))] * 2

    kept = [model.largest_pull(retentions, at).hold_n for retentions, at in asked]
    anew = [largest_pull(TWO, retentions, CONTACTS, at).hold_n for retentions, at in asked]

    assert anew == pytest.approx(kept)


@pytest.mark.parametrize(
    ("retention", "at", "name"),
    [
        (-1.0, Point(0, 0), "retention_n"),
        (math.inf, Point(0, 0), "retention_n"),
        (1.0, Point(math.nan, 0), "x_mm"),
        (1.0, Point(0, math.inf), "y_mm"),
    ],
)
def test_numbers_without_meaning_are_refused_by_name(retention: float, at: Point, name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        PullModel([Point(0, 0)], []).largest_pull([retention], at)
    assert name == caught.value.name


def test_positions_without_meaning_are_refused() -> None:
    with pytest.raises(OutOfDomain, match="x_mm"):
        PullModel([], [Point(math.inf, 0)])
