"""What options are worth in a cut: never less than the work that any motion in their boxes does."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.choose.cut_bounds import SiteWorth
from solver.mechanics.placement import Array, Placement
from tests.solver.parts import RIGID, placed

NUMBERS = st.floats(-1, 1)
WRENCHES = st.lists(st.tuples(*[NUMBERS] * 6).map(np.array), min_size=1, max_size=3)
PARTS = st.lists(
    st.tuples(st.tuples(st.floats(-20, 20), st.floats(5, 25), st.floats(0, 5)), st.sampled_from([0.1, 0.3, 0.5])),
    max_size=3,
).map(lambda drawn: [placed("S", at, 30, down_mm=down, up_mm=2 * down, hinge_deg=down * 20) for at, down in drawn])


def most_work(wrench: Array, part: Placement) -> float:
    """Of a wrench on the scaled twists that a part allows: each local component at the end that gives most."""
    along = np.linalg.solve(part.rows.T, wrench)
    return float(np.maximum(along * part.least, along * part.most).sum())


@given(st.lists(PARTS, max_size=4), WRENCHES)
def test_worth_is_the_least_of_the_splits_tried(options: list[list[Placement]], wrenches: list[Array]) -> None:
    """The whole wrench on one part; and, of as many parts as wrenches, each on its own. Of nothing: anything."""
    whole = np.sum(wrenches, axis=0)
    expected = []
    for parts in options:
        splits = [most_work(whole, part) for part in parts]
        if len(parts) == len(wrenches):
            splits.append(sum(most_work(wrench, part) for wrench, part in zip(wrenches, parts, strict=True)))
        expected.append(min(splits, default=np.inf))

    assert expected == pytest.approx(SiteWorth(options).under(wrenches).tolist())


def test_a_site_where_nothing_is_ever_fitted_is_worth_anything() -> None:
    assert [np.inf, np.inf] == SiteWorth([[], []]).under([np.ones(6)]).tolist()


def test_the_work_of_a_push_is_its_force_times_the_room() -> None:
    """A force of 2 straight up on a part that goes 0.4 mm up: 0.8; down, where it goes 0.3: 0.6."""
    part = placed("S", (3, 20, 4), 0, **RIGID, up_mm=0.4, down_mm=0.3)
    for expected, force in ((0.8, 2.0), (0.6, -2.0)):
        wrench = part.rows.T @ np.array([0, 0, force, 0, 0, 0])
        assert [pytest.approx(expected)] == SiteWorth([[part]]).under([wrench]).tolist()


def test_pushes_on_two_parts_are_worth_no_more_than_each_on_its_own() -> None:
    """Taken together on one part they would turn it as well."""
    parts = [placed("S", (x, 20, 4), 0, **RIGID, up_mm=0.4) for x in (-8, 8)]
    wrenches = [part.rows.T @ np.array([0, 0, 2.0, 0, 0, 0]) for part in parts]
    together = min(most_work(np.sum(wrenches, axis=0), part) for part in parts)

    assert 1.6 < together - 0.01
    assert [pytest.approx(1.6), pytest.approx(together)] == SiteWorth([parts, parts[:1]]).under(wrenches).tolist()
