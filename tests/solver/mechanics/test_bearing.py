"""A bite shared by mucosa and parts: textbook springs, limiting cases, laws, and another solver as referee.

Tolerances are those of an interior-point method: about a ten-thousandth of the bite.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import minimize

from solver.case.layout import Vector
from solver.handbook.point import PointLoad
from solver.mechanics.bearing import Bearing, BearingModel, Bed, Part, Stiffness, bed_along
from solver.mechanics.movement import sinking_row
from solver.mechanics.placement import FREE, LENGTH_MM, Array
from tests.published.formulas.load_sharing import Support, share_vertical
from tests.solver.parts import BALL, BASE, OUT, mixes, placed

STIFF = Stiffness(1000.0, 50_000.0)
HOLD_ALL_N = 1e5
presses = st.sampled_from([BASE.left, BASE.right, BASE.front]).map(lambda at: PointLoad(at[0], at[1], 100.0))


def bed(*points: tuple[float, float], shares: tuple[float, ...] = ()) -> Bed:
    at = np.array([(*point, 0.0) for point in points])
    return Bed(at, np.array(shares or [1 / len(points)] * len(points)))


def part(at: tuple[float, float, float], half_mm: float = 0.0, **movement: Any) -> Part:
    return Part(placed("S", at, **movement), half_mm)


def bear(
    on: Bed, parts: list[Part], press: PointLoad, stiffness: Stiffness = STIFF, retention_n: float = 10.0
) -> Bearing:
    return BearingModel(on, parts, OUT).bear([press], stiffness, [retention_n] * len(parts))


def shape(mix: list[Any]) -> list[Part]:
    return [Part(placement, 2.5) for placement in mix]


# Springs of a textbook.


@pytest.mark.parametrize(
    ("force_n", "gap_mm", "mucosa_n"),
    [(20.0, 0.1, 20.0), (50.0, 0.1, 50.0), (100.0, 0.1, 62.5), (500.0, 0.1, 162.5), (100.0, 0.02, 32.5)],
    ids=["gap open", "gap just closed", "closed", "far beyond", "smaller gap"],
)
def test_a_spring_and_a_second_one_behind_a_gap(force_n: float, gap_mm: float, mucosa_n: float) -> None:
    """F = k x + K (x - g) once the gap is closed: k = 500 N/mm, K = 1500 N/mm (any textbook of mechanics)."""
    found = bear(
        bed((0, 10)), [part((0, 10, 0), **BALL, down_mm=gap_mm)], PointLoad(0, 10, force_n), Stiffness(500, 1500)
    )

    assert mucosa_n == pytest.approx(found.mucosa_n[0], abs=0.01)
    assert force_n - mucosa_n == pytest.approx(-found.part_wrenches[0, 5], abs=0.01)


@pytest.mark.parametrize("bed_n_per_mm", [10.0, 1000.0, 1e5])
def test_a_beam_on_a_spring_and_a_part_goes_by_the_lever_alone(bed_n_per_mm: float) -> None:
    found = bear(bed((0, 0)), [part((20, 0, 0), **BALL)], PointLoad(5, 0, 100), Stiffness(bed_n_per_mm, 1000))

    assert 75 == pytest.approx(found.mucosa_n[0], abs=0.01)


@pytest.mark.parametrize(
    ("on", "press", "forces_n"),
    [
        (bed((0, 0), (10, 0), (0, 10)), PointLoad(2, 3, 100), (50, 20, 30)),
        (bed((0, 0), (10, 0), (20, 0), (0, 5), shares=(1, 2, 1, 1)), PointLoad(5, 1, 100), (35, 40, 5, 20)),
        (bed((3, 2), (3, -2), (-3, -2), (-3, 2)), PointLoad(2, 1, 100), (58.333, 25, 0, 16.667)),
    ],
    ids=["tripod", "unequal springs", "four piers, one lifts"],
)
def test_springs_that_only_push(on: Bed, press: PointLoad, forces_n: tuple[float, ...]) -> None:
    """The first two as in tests/published/test_load.py. Piers that may not pull leave three: plain statics."""
    assert forces_n == pytest.approx(tuple(bear(on, [], press).mucosa_n), abs=0.01)


# Limits.


def test_on_very_soft_mucosa_the_supports_bear_all_as_by_statics() -> None:
    at = [(-12.0, 18.0, 0.0), (0.0, 25.0, 0.0), (12.0, 18.0, 0.0)]
    parts = [part(each, **BALL) for each in at]
    press = PointLoad(24.0, 0.0, 100.0)

    found = bear(bed_along(BASE), parts, press, Stiffness(1e-3, 1e3), HOLD_ALL_N)
    statics = share_vertical([Support(x, y) for x, y, _ in at], [press])

    assert 0 == pytest.approx(found.mucosa_n.sum(), abs=0.01)
    assert statics.shares_n == pytest.approx(tuple(-found.part_wrenches[:, 5]), abs=0.05)


@given(mix=mixes(), press=presses)
def test_on_mucosa_that_does_not_give_nothing_reaches_the_supports(mix: list[Any], press: PointLoad) -> None:
    found = bear(bed_along(BASE), shape(mix), press, Stiffness(1e8, 1e3))

    assert 100 == pytest.approx(found.mucosa_n.sum(), abs=0.1)
    assert 0 == pytest.approx(np.abs(found.part_wrenches[:, 3:]).max(), abs=0.1)


@pytest.mark.parametrize("gives_mm_per_n", [0.0, 1 / 1500, 1 / 300])
def test_a_bar_that_gives_stands_in_series_with_its_part(gives_mm_per_n: float) -> None:
    """1 / K = 1 / 1500 + c beside k = 500 N/mm, once the gap of 0.1 mm is closed (any textbook of mechanics)."""
    gives = np.diag([gives_mm_per_n, 0.0, 0.0])
    parts = [part((0, 10, 0), **BALL, down_mm=0.1)]
    model = BearingModel(bed((0, 10)), parts, OUT)

    found = model.bear([PointLoad(0, 10, 100)], Stiffness(500, 1500), [10.0], gives)

    both = 1 / (1 / 1500 + gives_mm_per_n)
    assert 500 * (100 + both * 0.1) / (500 + both) == pytest.approx(found.mucosa_n[0], abs=0.01)
    assert [found.mucosa_n[0] - 100, 0, 0] == pytest.approx(found.bar_loads.tolist(), abs=0.01)


def test_without_parts_the_mucosa_bears_all() -> None:
    assert 100 == pytest.approx(bear(bed_along(BASE), [], PointLoad(24, 0, 100)).mucosa_n.sum(), abs=1e-4)


def test_a_part_that_is_lifted_holds_no_more_than_its_retention() -> None:
    """A bite behind lifts the front: on soft mucosa the part gives way and the mucosa bears its pull besides."""
    parts = [part((0, 28, 0), **BALL)]
    found = bear(bed_along(BASE), parts, PointLoad(24, 0, 150), Stiffness(100.0, 1e4), retention_n=6.0)

    assert 6 == pytest.approx(found.part_wrenches[0, 5], abs=0.01)
    assert 156 == pytest.approx(found.mucosa_n.sum(), abs=0.01)


def test_a_clip_is_levered_off_at_half_its_length() -> None:
    """It may press at one end and be lifted; that and its retention are all the moment it gives."""
    clip = [part((0, 20, 0), 2.5, hinge_deg="free")]
    found = bear(bed_along(BASE), clip, PointLoad(24, 0, 100), Stiffness(100.0, 1e5), retention_n=8.0)
    about_clip = found.part_wrenches[0, :3] - np.cross([0.0, 20.0, 0.0], found.part_wrenches[0, 3:])

    pressed_n = max(0.0, -found.part_wrenches[0, 5]) + 8.0
    assert abs(about_clip[1]) <= 2.5 * (pressed_n + 8.0) + 0.01


# Laws.


@given(mix=mixes(), press=presses, soft=st.floats(100, 1e4))
def test_the_bite_is_balanced(mix: list[Any], press: PointLoad, soft: float) -> None:
    on = bed_along(BASE)
    found = bear(on, shape(mix), press, Stiffness(soft, 100 * soft))
    asked = press.force_n * wrench_row(np.array([press.x_mm, press.y_mm, 0.0]))
    borne = sum((n * wrench_row(at) for n, at in zip(found.mucosa_n, on.points, strict=True)), np.zeros(6))

    assert found.mucosa_n.min() >= -1e-4
    assert asked == pytest.approx(borne + found.part_wrenches.sum(axis=0), abs=0.01)


@given(mix=mixes(), press=presses, retention_n=st.floats(0, 30), soft=st.floats(100, 1e4))
def test_least_potential_energy_gives_the_same_mucosa_forces(
    mix: list[Any], press: PointLoad, retention_n: float, soft: float
) -> None:
    """Another principle, in the unknowns of motion, and another solver (scipy, BFGS)."""
    on, parts, stiffness = bed_along(BASE), shape(mix), Stiffness(soft, 100 * soft)
    found = bear(on, parts, press, stiffness, retention_n)
    other = by_motion(on, parts, press, stiffness, retention_n)

    assert other == pytest.approx(found.mucosa_n, abs=0.05)


@given(mix=mixes(), press=presses, times=st.floats(0.2, 5))
def test_bite_retention_and_gaps_scaled_scale_every_force(mix: list[Any], press: PointLoad, times: float) -> None:
    once = bear(bed_along(BASE), shape(mix), press, STIFF, 10.0)
    wider = [Part(_with_gaps(each.placement, times), each.half_mm) for each in shape(mix)]
    more = bear(bed_along(BASE), wider, press._replace(force_n=100.0 * times), STIFF, 10.0 * times)

    assert times * once.mucosa_n == pytest.approx(more.mucosa_n, abs=0.02)


@given(mix=mixes(), press=presses)
def test_mirroring_mirrors(mix: list[Any], press: PointLoad) -> None:
    once = bear(bed_along(BASE), shape(mix), press)
    other = bear(bed_along(BASE), [_mirrored(each) for each in shape(mix)], press._replace(x_mm=-press.x_mm))

    assert once.mucosa_n.reshape(3, -1)[:, ::-1] == pytest.approx(other.mucosa_n.reshape(3, -1), abs=0.02)


@given(mix=mixes(), press=presses, x=st.floats(-40, 40), y=st.floats(-40, 40))
def test_moving_the_origin_changes_nothing(mix: list[Any], press: PointLoad, x: float, y: float) -> None:
    by = np.array([x, y, 0.0])
    base = BASE.shifted(by)
    moved = [Part(_at(each.placement, each.placement.at + by), each.half_mm) for each in shape(mix)]
    once = bear(bed_along(BASE), shape(mix), press)
    other = bear(bed_along(base), moved, PointLoad(press.x_mm + x, press.y_mm + y, press.force_n))

    assert once.mucosa_n == pytest.approx(other.mucosa_n, abs=0.02)


@given(mix=mixes(), press=presses)
def test_loads_on_the_bar_are_the_wrenches_of_the_parts_each_at_its_place(mix: list[Any], press: PointLoad) -> None:
    found = bear(bed_along(BASE), shape(mix), press)

    for placement, wrench, load in zip(mix, found.part_wrenches, found.bar_loads.reshape(-1, 3), strict=True):
        moment = wrench[:3] - np.cross(placement.at, wrench[3:])
        assert [wrench[5], moment[0], moment[1]] == pytest.approx(load.tolist(), abs=1e-6)


def test_a_bed_runs_evenly_from_heel_to_heel_across_its_breadth() -> None:
    on = bed_along(BASE)
    outside, ridge, inside = on.points.reshape(3, -1, 3)
    steps = np.linalg.norm(np.diff(ridge, axis=0), axis=1)

    assert [*BASE.heel_right] == [*ridge[0]]
    assert [*BASE.heel_left] == [*ridge[-1]]
    assert [*BASE.ridge[4]] == pytest.approx([*ridge[16]])
    assert [*BASE.border[0]] == [*outside[0]]
    assert ridge == pytest.approx((outside + inside) / 2)
    assert steps == pytest.approx(np.full(32, steps.mean()), rel=0.05)  # corners are cut by less
    assert 1 == pytest.approx(on.shares.sum())
    assert 2 * on.shares[0] == pytest.approx(on.shares[1]) == pytest.approx(on.shares[34] / 4)


def wrench_row(at: Vector, out: Vector = OUT) -> Array:
    row: Array = sinking_row(at, out) * np.repeat([LENGTH_MM, 1.0], 3)
    return row


def by_motion(on: Bed, parts: list[Part], press: PointLoad, stiffness: Stiffness, retention_n: float) -> Array:
    """Mucosa forces from the motion that makes the potential energy least; stops written out one by one."""
    stops: list[tuple[Array, float, float, float]] = [
        (sinking_row(at, OUT), 0.0, share * stiffness.bed_n_per_mm, np.inf)
        for at, share in zip(on.points, on.shares, strict=True)
    ]
    for placement, half_mm in parts:
        levered_n = retention_n * half_mm / LENGTH_MM
        for index, row in enumerate(placement.rows):
            up = {2: retention_n, 4: levered_n}.get(index, np.inf)
            down = levered_n if index == 4 else np.inf
            ways = (row, placement.most[index], up), (-row, -placement.least[index], down)
            stops += [(way, gap, stiffness.part_n_per_mm, most) for way, gap, most in ways if gap < FREE]
        lean = half_mm / LENGTH_MM * placement.rows[4]
        end_mm = -placement.least[2] + half_mm / LENGTH_MM * placement.most[4]
        ends = [(-placement.rows[2] + s * lean, end_mm, stiffness.part_n_per_mm, np.inf) for s in (1, -1)]
        stops += ends if end_mm < FREE else []
    rows, gaps, springs, limits = (np.array([stop[i] for stop in stops]) for i in range(4))
    asked = press.force_n * sinking_row(np.array([press.x_mm, press.y_mm, 0.0]), OUT)

    def energy(z: Array, times: float) -> tuple[float, Array]:
        beyond = np.maximum(rows @ z - gaps, 0.0)
        force = np.minimum(springs * beyond, limits)
        stored = np.sum(force * beyond - force**2 / (2 * springs)) - asked @ z
        return times * float(stored), rows.T @ force - asked

    scale = 1.0 / stiffness.bed_n_per_mm  # so that the unknowns are forces of like size
    found = minimize(
        lambda u: energy(u * scale, 1 / scale),
        np.zeros(6),
        jac=True,
        method="BFGS",
        options={"gtol": 1e-5, "maxiter": 20_000},
    )
    forces: Array = np.minimum(springs * np.maximum(rows @ (found.x * scale) - gaps, 0.0), limits)
    return forces[: len(on.points)]


def _with_gaps(placement: Any, times: float) -> Any:
    free = np.abs(placement.most) >= FREE, np.abs(placement.least) >= FREE
    most, least = np.where(free[0], FREE, times * placement.most), np.where(free[1], -FREE, times * placement.least)
    return type(placement)(placement.site, placement.at, placement.axes, least, most)


def _at(placement: Any, at: Vector) -> Any:
    return type(placement)(placement.site, at, placement.axes, placement.least, placement.most)


def _mirrored(one: Part) -> Part:
    """The same part in the mirror: a and v mirrored, l = out x a turned round, which no box tells apart."""
    placement = one.placement
    flip = np.array([-1.0, 1.0, 1.0])
    axes = np.array([placement.axes[0] * flip, -placement.axes[1] * flip, placement.axes[2] * flip])
    mirrored = type(placement)(placement.site, placement.at * flip, axes, placement.least, placement.most)
    return Part(mirrored, one.half_mm)
