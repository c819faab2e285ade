"""How far the base may sink: facts of mechanics, a second solver, duality and symmetries."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf, radians

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import linprog

from solver.case.schema import DEMANDS, DemandName
from solver.choose.cut_bounds import SiteWorth
from solver.mechanics.movement import ASKED, MovementModel, Reach, sinking_row
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Placement
from solver.mechanics.screws import displacement_at
from tests.solver.parts import BALL, BASE, HINGE, OUT, RESILIENT, RIGID, SETTLING_MM, mixes, model, placed

NEAR = 1e-5
few = settings(max_examples=25)
demands = st.sampled_from(DEMANDS)


def reach(parts: Sequence[Placement], demand: DemandName) -> float:
    return model().reach(parts, demand).reach


def ways(parts: Sequence[Placement]) -> list[float]:
    """Reach of whole, front, left, right."""
    return [reach(parts, demand) for demand in DEMANDS]


def fields(parts: Sequence[Placement], direction: np.ndarray) -> float:
    """Largest value of a linear function of the scaled twist."""
    return model().range_of(parts, direction)[1]


ONE_AXIS = [placed("A", (-8, 20, 4), 0, **HINGE), placed("B", (8, 20, 4), 0, **HINGE)]
TWO_AXES = [placed("A", (-8, 20, 4), 20, **HINGE), placed("B", (8, 20, 4), -20, **HINGE)]


def both_saddles(parts: Sequence[Placement]) -> float:
    """How deep both saddle ends can sink together, mm, by a turn about the x axis."""
    rows = np.array([-np.cross(p, OUT) / 10 for p in (BASE.left, BASE.right)])
    return fields(parts, np.concatenate([rows.mean(axis=0), -OUT]))


def test_nothing_fitted_binds_nothing() -> None:
    assert [1, 1, 1, 1] == pytest.approx(ways([]))


def test_two_clips_on_one_axis_keep_the_hinge() -> None:
    assert pytest.approx(SETTLING_MM) == both_saddles(ONE_AXIS)


def test_two_clips_on_axes_that_differ_by_tens_of_degrees_lose_it() -> None:
    """40 degrees apart, only what the small play of 0.02 mm and 0.1 degrees makes at the saddles is left of it."""
    assert both_saddles(TWO_AXES) < SETTLING_MM / 2


def test_a_hinge_blocks_the_sinking_of_the_whole_base() -> None:
    """0.02 mm of play and the small turns leave a fraction; with 0.5 mm of vertical room nothing is lost."""
    assert reach([placed("A", (0, 20, 4), 0, **HINGE)], "whole") < 0.3
    assert pytest.approx(1.0) == reach([placed("A", (0, 20, 4), 0, **RESILIENT)], "whole")


def test_balls_at_two_ends_leave_the_turn_about_the_line_that_joins_them() -> None:
    balls = [placed("L", (16, 14, 5), 0, **BALL), placed("R", (-16, 14, 5), 0, **BALL)]
    saddles = both_saddles(balls)
    answer = model().reach([*balls], "front")

    assert pytest.approx(SETTLING_MM) == saddles
    assert pytest.approx(1.0) == answer.reach
    for ball in balls:
        assert np.abs(ball.axes @ displacement_at(answer.twist, ball.at)).max() <= 0.02 + NEAR


def test_a_rigid_part_is_named_with_the_direction_that_stops() -> None:
    answer = model().reach([placed("A", (0, 20, 4), 0, **RIGID)], "whole")

    assert answer.stops[0].gain == max(stop.gain for stop in answer.stops)
    assert ("A", "vertical", -1) == (answer.stops[0].site, answer.stops[0].component, answer.stops[0].sign)


def second_opinion(parts: Sequence[Placement], demand: DemandName, settling_mm: float = SETTLING_MM) -> float:
    """The same question to scipy's linprog, built from the definition: unknowns w (rad), t (mm), reach."""
    rows, limits = [], []
    for part in parts:
        for k, axis in enumerate(part.axes):
            rows += [[*np.cross(part.at, axis), *axis, 0], [*axis, 0, 0, 0, 0]]
            limits += [(part.least[k], part.most[k]), (part.least[k + 3] / 10, part.most[k + 3] / 10)]
    upper = [(row, high) for row, (_, high) in zip(rows, limits, strict=True)]
    lower = [(-np.array(row), -low) for row, (low, _) in zip(rows, limits, strict=True)]
    for name in ("front", "left", "right"):
        sinks = np.array([*(-np.cross(getattr(BASE, name), OUT)), *(-OUT), 0.0])
        upper.append((list(sinks), settling_mm))
        if name in ASKED[demand]:
            lower.append((-sinks + settling_mm * np.eye(7)[6], 0.0))
    held = [(row, high) for row, high in (*upper, *lower) if high < FREE / 10]
    bounds = [(None, None)] * 6 + [(0, 1)]
    found = linprog(-np.eye(7)[6], A_ub=[row for row, _ in held], b_ub=[high for _, high in held], bounds=bounds)
    return float(-found.fun)


@few
@given(mixes(), demands)
def test_agrees_with_linprog(parts: list[Placement], demand: DemandName) -> None:
    assert second_opinion(parts, demand) == pytest.approx(reach(parts, demand), abs=NEAR)


def bound(answer: Reach, parts: Sequence[Placement]) -> float:
    """What the dual of an answer says of any mix: constant and the worth of the parts at each site it touches."""
    total = answer.constant
    for site, wrenches in answer.wrenches.items():
        here = [part for part in parts if part.site == site]
        total += float(SiteWorth([here]).under(wrenches)[0]) if here else inf
    return total


@few
@given(mixes(), demands)
def test_strong_duality(parts: list[Placement], demand: DemandName) -> None:
    answer = model().reach(parts, demand)

    assert answer.reach == pytest.approx(bound(answer, parts), abs=NEAR)


@few
@given(mixes(1, 3), mixes(1, 3), demands)
def test_weak_duality(parts: list[Placement], others: list[Placement], demand: DemandName) -> None:
    """The dual of one mix bounds every other mix, wherever its parts stand."""
    answer = model().reach(parts, demand)

    assert reach(others, demand) <= bound(answer, others) + NEAR


@few
@given(mixes(2, 2), mixes(3, 3), demands)
def test_weak_duality_with_several_parts_at_a_site(
    parts: list[Placement], others: list[Placement], demand: DemandName
) -> None:
    """Two parts in a row along one bar, against three, and against two other ones."""

    def at_one_site(mix: list[Placement]) -> list[Placement]:
        at, axes = mix[0].at, parts[0].axes
        return [Placement("S", at + 6 * k * axes[0], axes, p.least, p.most) for k, p in enumerate(mix)]

    answer = model().reach(at_one_site(parts), demand)

    assert answer.reach == pytest.approx(bound(answer, at_one_site(parts)), abs=NEAR)
    for other in (at_one_site(others), at_one_site(others[:2])):
        assert reach(other, demand) <= bound(answer, other) + NEAR


@few
@given(mixes(1, 3), mixes(1, 1), demands)
def test_one_part_more_never_adds_reach(parts: list[Placement], more: list[Placement], demand: DemandName) -> None:
    extra = Placement("extra", more[0].at, more[0].axes, more[0].least, more[0].most)

    assert reach([*parts, extra], demand) <= reach(parts, demand) + NEAR


@few
@given(mixes())
def test_a_mirrored_case_has_mirrored_reaches(parts: list[Placement]) -> None:
    """A mirror at x = 0 keeps every box, since each is as wide to one side as to the other where it can tell."""
    flip = np.diag([-1.0, 1.0, 1.0])
    mirrored = [Placement(p.site, flip @ p.at, np.diag([-1, 1, 1]) @ p.axes @ flip, p.least, p.most) for p in parts]
    whole, front, left, right = ways(parts)

    assert [whole, front, right, left] == pytest.approx(ways(mirrored), abs=NEAR)


@few
@given(mixes(), demands, st.tuples(*[st.floats(-30, 30)] * 3))
def test_the_origin_may_lie_anywhere(
    parts: list[Placement], demand: DemandName, shift: tuple[float, float, float]
) -> None:
    by = np.array(shift)
    base = BASE.shifted(by)
    moved = [Placement(p.site, p.at + by, p.axes, p.least, p.most) for p in parts]

    assert reach(parts, demand) == pytest.approx(model(base=base).reach(moved, demand).reach, abs=NEAR)


@few
@given(mixes(), demands, st.floats(0.2, 1))
def test_a_harder_mucosa_asks_less(parts: list[Placement], demand: DemandName, share: float) -> None:
    """Motions scale: at a share of the settling the reach is no less, and its depth in mm no more."""
    soft, hard = reach(parts, demand), model(share * SETTLING_MM).reach(parts, demand).reach

    assert soft <= hard + NEAR
    assert share * hard <= soft + NEAR


def test_settling_below_the_play_never_binds() -> None:
    assert pytest.approx(1.0) == model(0.01).reach([placed("A", (0, 20, 4), 0, **RIGID)], "whole").reach


@few
@given(st.lists(mixes(), min_size=2, max_size=5), demands)
def test_a_kept_model_answers_as_a_fresh_one(many: list[list[Placement]], demand: DemandName) -> None:
    """Rows of mixes asked before are left in the programme, freed."""
    kept: MovementModel = model()
    for index, parts in enumerate(many):
        named = [Placement(f"{index}{p.site}", p.at, p.axes, p.least, p.most) for p in parts]
        assert reach(named, demand) == pytest.approx(kept.reach(named, demand).reach, abs=NEAR)


def test_a_twist_reaches_what_it_says() -> None:
    """A hinge 4 mm above the crest: the saddles sink the full 0.3 mm by a turn of about 0.3 / 20 rad."""
    answer = model().reach(ONE_AXIS, "left")

    assert pytest.approx(1.0) == answer.reach
    assert abs(answer.twist[0]) < radians(1.5)
    assert pytest.approx(-SETTLING_MM, abs=NEAR) == displacement_at(answer.twist, BASE.left)[2]


@pytest.mark.parametrize("out", [(0.0, 0.0, -1.0), (0.36, 0.48, 0.8)], ids=["upper jaw", "tilted"])
def test_depth_is_the_motion_against_the_path_of_removal(out: tuple[float, float, float]) -> None:
    """By the displacement of a point under a twist, t + w x p."""
    at, twist = np.array([7.0, -3.0, 5.0]), np.array([0.02, -0.03, 0.05, 0.1, 0.2, -0.4])

    depth = sinking_row(at, np.array(out)) @ scaled(twist)

    assert -np.dot(out, displacement_at(twist, at)) == pytest.approx(depth)


@few
@given(mixes(), demands)
def test_each_stop_stands_at_the_limit_it_names(parts: list[Placement], demand: DemandName) -> None:
    """Complementary slackness; and by strong duality the ends with their gains make up the whole reach."""
    answer = model().reach(parts, demand)
    by_site, made_up = {part.site: part for part in parts}, answer.constant

    for stop in answer.stops:
        part, k = by_site[stop.site], COMPONENTS.index(stop.component)
        end = part.most[k] if stop.sign > 0 else part.least[k]
        assert end == pytest.approx(part.rows[k] @ scaled(answer.twist), abs=NEAR)
        assert stop.gain > 0
        made_up += stop.sign * stop.gain * end
    assert answer.reach == pytest.approx(made_up, abs=NEAR)


def test_more_room_behind_the_stop_named_first_gains_what_it_says() -> None:
    """A hinge with 0.05 mm to sink; a hundredth more gains a hundredth of `gain`, on the side of the sign."""
    tight, wider = (placed("A", (0, 20, 4), 0, hinge_deg=20, down_mm=down) for down in (0.05, 0.06))
    answer = model().reach([tight], "whole")
    first = answer.stops[0]

    assert ("vertical", -1) == (first.component, first.sign)
    assert reach([wider], "whole") - answer.reach == pytest.approx(0.01 * first.gain, rel=0.01)


def test_what_stops_nothing_is_not_named() -> None:
    answer = model().reach([placed("A", (0, 20, 4), 0, **RESILIENT)], "whole")

    assert () == answer.stops
    assert {} == answer.wrenches
    assert pytest.approx(1.0) == answer.constant


@pytest.mark.parametrize("name", ["front", "left", "right"])
def test_no_point_of_the_base_sinks_deeper_than_the_mucosa_settles(name: str) -> None:
    assert pytest.approx(SETTLING_MM) == fields([], sinking_row(getattr(BASE, name), OUT))


def test_parts_of_an_earlier_question_hold_nothing_back() -> None:
    """After a rigid part, the model of nothing fitted: every component of that part is free again, both ways."""
    kept, part = model(), placed("A", (0, 20, 4), 0, **RIGID)
    kept.reach([part], "whole")

    for row in part.rows:
        assert model().range_of([], row) == pytest.approx(kept.range_of([], row), abs=NEAR)
    assert pytest.approx(1.0) == kept.reach([], "whole").reach


def test_a_range_has_both_ends_of_a_rigid_part() -> None:
    part = placed("A", (0, 20, 4), 0, **RIGID)

    for row, least, most in zip(part.rows, part.least, part.most, strict=True):
        assert (least, most) == pytest.approx(model().range_of([part], row), abs=NEAR)


@pytest.mark.parametrize(("demand", "side"), [("front", 1), ("front", -1)], ids=["right sinks first", "left"])
def test_a_saddle_that_sinks_first_is_part_of_the_bound(demand: DemandName, side: int) -> None:
    """Two balls on one side: the base turns about their line, and the far saddle is down before the front is."""
    balls = [placed("A", (20.0 * side, 0, 5), 0, **BALL), placed("B", (8.0 * side, 27, 5), 0, **BALL)]
    answer = model().reach(balls, demand)

    assert answer.reach < 0.5
    assert answer.reach == pytest.approx(bound(answer, balls), abs=NEAR)


def scaled(twist: np.ndarray) -> np.ndarray:
    """A twist as the rows take it, turns times the length."""
    return np.concatenate([twist[:3] * LENGTH_MM, twist[3:]])
