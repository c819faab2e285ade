"""Form closure against the convex hull, and laws of contacts."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st
from scipy.spatial import ConvexHull, QhullError

from solver.handbook.checks import OutOfDomain
from solver.mechanics.screws import Array, WrongShape, force_at, transform_wrench
from tests.published.formulas.form_closure import is_form_closed
from tests.solver.frames import frames

CONTACTS = st.lists(st.tuples(*[st.integers(-3, 3)] * 3), max_size=8)
UNIT = np.eye(6)


def origin_inside_hull(wrenches: list[tuple[int, int, int]]) -> bool:
    """Force closure as the origin strictly inside the convex hull, by another library."""
    try:
        hull = ConvexHull(np.array(wrenches, dtype=float).reshape(-1, 3))
    except (QhullError, ValueError):  # flat, or too few points for a hull
        return False
    return bool((hull.equations[:, -1] < -1e-9).all())


@given(CONTACTS)
def test_closed_where_the_origin_lies_inside_the_hull(wrenches: list[tuple[int, int, int]]) -> None:
    assert origin_inside_hull(wrenches) is is_form_closed(np.reshape(wrenches, (-1, 3)))


@given(CONTACTS, st.tuples(*[st.integers(-3, 3)] * 3))
def test_another_contact_never_opens(wrenches: list[tuple[int, int, int]], more: tuple[int, int, int]) -> None:
    assert is_form_closed(np.reshape(wrenches, (-1, 3))) <= is_form_closed([*wrenches, more])


SEVEN = [*UNIT, -np.ones(6)]


def test_seven_contacts_can_hold_in_space() -> None:
    assert is_form_closed(SEVEN) is True


@pytest.mark.parametrize("gone", range(7))
def test_six_contacts_never_hold_in_space(gone: int) -> None:
    """At least seven are needed (Somov 1900, as told in Modern Robotics, section 12.1.7)."""
    assert is_form_closed([row for index, row in enumerate(SEVEN) if index != gone]) is False


def box_contacts() -> list[Array]:
    """Two pushes on each of the six faces of a box, beside its middle: a moment either way about each axis."""
    edges = [(np.roll(UNIT[0, :3], k), np.roll(UNIT[1, :3], k)) for k in range(3)]
    return [force_at(4 * a + sign * 3 * b, -a) for a, b in edges for sign in (1, -1)] + [
        force_at(-4 * a + sign * 3 * b, a) for a, b in edges for sign in (1, -1)
    ]


ALMOST_AXIS_ALIGNED = (
    np.array(
        [
            [1.0, -7.45150528e-08, -4.35303191e-09],
            [-4.35303191e-09, -0.116438941, 0.993197852],
            [-7.45150528e-08, -0.993197852, -0.116438941],
        ]
    ),
    np.array([0.0, 0.0, 1.0]),
)


@example(ALMOST_AXIS_ALIGNED, False)
@example(ALMOST_AXIS_ALIGNED, True)
@given(frames(), st.booleans())
def test_closure_in_space_is_free_of_the_frame(frame: tuple[Array, Array], whole: bool) -> None:
    """A box held on all six faces stays held wherever it lies; without one face it comes free."""
    contacts = box_contacts()
    kept = contacts if whole else contacts[:-2]

    assert whole is is_form_closed([transform_wrench(wrench, *frame) for wrench in kept])


@pytest.mark.parametrize("shape", [(4, 4), (6,), (2, 2, 3)], ids=str)
def test_refuses_rows_of_another_length(shape: tuple[int, ...]) -> None:
    with pytest.raises(WrongShape) as caught:
        is_form_closed(np.ones(shape))

    assert shape == caught.value.shape


def test_refuses_a_wrench_that_is_not_finite() -> None:
    with pytest.raises(OutOfDomain) as caught:
        is_form_closed([[np.inf, 0, 0]])

    assert "wrenches" == caught.value.name
