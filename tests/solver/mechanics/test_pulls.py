"""Where a denture is pulled, where it bears and holds, and how much it takes, against levers reckoned by hand."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.case.layout import Layout
from solver.case.retention import Condition
from solver.case.rule_set import FLOORS
from solver.case.rules import BestShares, Spread
from solver.case.schema import PULLS
from solver.handbook.point import Point
from solver.mechanics.hold import PLAIN_LIFT, LiftField, PullModel
from solver.mechanics.option import Option
from solver.mechanics.pulls import (
    contact_points,
    hold_against,
    holding_points,
    holds_against,
    lift_worth,
    pull_points,
)
from tests.solver.small import band, part, renewal, small_case, small_problem, stock

CLIP = part("clip", retention_n=band(5, 8), length_mm=4, spacing_mm=2, most=2)
LEANING = small_problem(
    stock(CLIP),
    denture={"left": [24, 3], "right": [-21, 0], "front": [3, 27], "heel_left": [26, -14], "heel_right": [-24, -18]},
)
EVEN = small_problem(
    stock(CLIP, part("ball", "ball", "end", retention_n=band(3, 9))),
    denture={"heel_left": [26, -10], "heel_right": [-26, -10]},
)
ONE, TWO, BALL = (EVEN.option_of[key] for key in ("B=clip", "B=clip x2", "E=ball"))


def test_pulls_are_amid_and_at_the_last_teeth_and_the_front_and_halfway_between_the_heels() -> None:
    expected = {"centre": (2, 10), "left": (24, 3), "right": (-21, 0), "front": (3, 27), "behind": (1, -16)}

    assert expected == {name: (at.x_mm, at.y_mm) for name, at in pull_points(LEANING.layout).items()}


def test_a_denture_bears_on_its_border_the_supports_and_the_end() -> None:
    """The end runs 8 mm on from the support at (10, 20)."""
    border = [(at[0], at[1]) for at in LEANING.layout.base.border]

    assert 9 == len(border)
    assert [*border, (-10, 20), (10, 20), (18, 20)] == [(at.x_mm, at.y_mm) for at in contact_points(LEANING.layout)]


def test_every_part_holds_by_its_own_low_end() -> None:
    """Two clips of 4 mm with 2 mm between stand 3 mm to each side of the middle."""
    points, retentions = holding_points([TWO, BALL])

    assert {(-3, 20), (3, 20), (18, 20)} == {(round(at.x_mm, 9), round(at.y_mm, 9)) for at in points}
    assert [5, 5, 3] == retentions


@pytest.mark.parametrize(
    ("expected", "keys"),
    [(5 * 30 / 38, ["B=clip"]), (10 * 30 / 38, ["B=clip x2"]), (0, [])],
    ids=["one", "two", "none"],
)
def test_the_hold_against_a_pull_at_the_front_is_that_of_a_lever(expected: float, keys: list[str]) -> None:
    """5 N each, 30 mm in front of the heels on which the denture tips; the pull is 38 mm in front of them."""
    found = hold_against(EVEN.layout, [EVEN.option_of[key] for key in keys], "front")

    assert ("front", Point(0, 28)) == (found.name, found.at)
    assert expected == pytest.approx(found.hold_n)


def test_an_option_adds_its_retention_times_the_lift_where_its_parts_are() -> None:
    tips = LiftField(0, 0, 1 / 28)

    assert pytest.approx(10) == lift_worth(PLAIN_LIFT, TWO, 5)
    assert pytest.approx(2 * 5 * 20 / 28) == lift_worth(tips, TWO, 5)
    assert pytest.approx(5 * (20 - 12) / 28) == lift_worth(LiftField(-12 / 28, 0, 1 / 28), ONE, 5)
    assert 0 == lift_worth(LiftField(-1, 0, 1 / 28), ONE, 5)


def tight_n(option: Option) -> float:
    return EVEN.retention_n(option.candidate, Condition.TIGHT)


def test_retention_may_be_counted_at_its_high_end() -> None:
    """8 and 9 N instead of 5 and 3."""
    points, retentions = holding_points([TWO, BALL], tight_n)
    (front,) = holds_against(EVEN.layout, [ONE], ["front"], tight_n)

    assert (3, [8, 8, 9]) == (len(points), retentions)
    assert pytest.approx(8 * 30 / 38) == front.hold_n
    assert pytest.approx(16) == lift_worth(PLAIN_LIFT, TWO, 8)
    assert front.hold_n == Mechanics(EVEN).pull([ONE], "front", Condition.TIGHT).hold_n


@pytest.mark.parametrize(
    ("held_n", "service", "loss", "wanted"),
    [
        (6.5 * 0.5**2, {"service": renewal(12, 24)}, (0.3, 0.7), {}),
        (6.5 * 0.5**1, {"service": renewal(12, 24)}, (0.3, 0.7), {"insertions_per_day": 2}),
        (6.5 * 0.5**10, {}, (0.3, 0.7), {}),
        (6.5 * 0.5**20, {"service": renewal(120, 240)}, (0.3, 0.7), {}),
        (5.0, {"service": renewal(12, 24)}, (0.0, 0.1), {}),
        (5.0, {"service": renewal(12, 24)}, (-0.2, -0.1), {}),
    ],
    ids=["to the sooner renewal", "fewer insertions", "for all years", "renewed after them", "hardly", "gains"],
)
def test_worn_is_what_is_left_when_a_part_is_due(
    held_n: float, service: dict[str, Any], loss: tuple[float, float], wanted: dict[str, Any]
) -> None:
    """Of 6.5 N, amid 5 and 8, and never above 5 N; half is lost in half a year at 4 insertions a day, amid 3 and 5.

    Five years are counted.
    """
    wear = {"loss": loss, "cycles": 730, "source": "invented"}
    clip = part("clip", wear=wear, retention_n=band(5, 8), **service)
    worn = small_problem(stock(clip), wanted=wanted)
    option = worn.option_of["B=clip"]

    assert held_n == pytest.approx(worn.retention_n(option.candidate, Condition.WORN))
    front = Mechanics(worn).pull([option], "front", Condition.WORN).hold_n
    assert front == pytest.approx(hold_against(worn.layout, [option], "front").hold_n * held_n / 5, abs=1e-9)


def test_of_two_clips_each_counts_for_itself_when_worn() -> None:
    """Half of 6.5 N in five years of 4 insertions a day."""
    clip = part("clip", wear={"loss": (0.3, 0.7), "cycles": 7300, "source": "invented"}, length_mm=4, most=2)
    worn = small_problem(stock(clip))
    one, two = (worn.retention_n(worn.option_of[key].candidate, Condition.WORN) for key in ("B=clip", "B=clip x2"))

    assert 3.25 == pytest.approx(one) == pytest.approx(two)


def test_a_peel_is_the_easiest_edge_at_the_high_end() -> None:
    """A clip in front, seen from the heels: the sides are easier to lift than the front."""
    mechanics = Mechanics(EVEN)
    peels = {hold.name: hold.hold_n for hold in mechanics.peels([ONE])}

    assert ["front", "left", "right"] == list(peels)
    assert peels["left"] == pytest.approx(peels["right"])
    assert peels["left"] < peels["front"] == pytest.approx(8 * 30 / 38)
    assert "left" == mechanics.peel([ONE]).name
    assert mechanics.peel([ONE]).hold_n == peels["left"]


def test_the_share_of_a_mix_is_that_of_its_weaker_side() -> None:
    mix = assess(EVEN, Mechanics(EVEN), [ONE, BALL])
    left, right = (hold_against(EVEN.layout, [ONE, BALL], side).hold_n for side in ("left", "right"))

    assert right < left
    assert (right, left, 8) == pytest.approx((mix.weaker_side_n, mix.stronger_side_n, mix.low_n))
    assert right / 8 == pytest.approx(Spread(0.5, BestShares(0.4, 0.3), "invented").shortfall(mix).have)


@pytest.mark.parametrize(
    ("expected", "options"), [([5, 5, 3], [TWO, BALL]), ([3, 5, 5], [BALL, TWO])], ids=["clips first", "ball first"]
)
def test_the_forces_against_a_pull_are_told_part_by_part(expected: list[float], options: list[Option]) -> None:
    hold = hold_against(EVEN.layout, options, "front")

    assert expected == pytest.approx(list(hold.pull.attachment_n))


def test_the_weakest_pull_is_sought_at_the_middle_the_sides_and_the_front() -> None:
    """The usual base ends farther behind than the other of these tests: both heels lift first."""
    usual = small_problem(stock(CLIP))
    mix = assess(usual, Mechanics(usual), [usual.option_of["B=clip"]])
    least = min(mix.pulls, key=lambda hold: hold.hold_n)

    assert set(PULLS) == {*FLOORS, "behind"}
    assert ("behind", "left") == (least.name, mix.weakest.name)


USUAL = Layout(small_case(denture={"left": None, "right": None, "front": None}))
places = st.tuples(st.floats(-26, 26), st.floats(-12, 30)).map(lambda at: Point(*at))
parts = st.lists(st.tuples(places, st.floats(0.1, 30)), min_size=1, max_size=6)


def taken(parts: list[tuple[Point, float]]) -> dict[str, float]:
    """What every pull takes on the usual base."""
    model = PullModel([at for at, _ in parts], contact_points(USUAL))
    return {name: model.largest_pull([n for _, n in parts], at).hold_n for name, at in pull_points(USUAL).items()}


@given(parts, places, st.floats(0, 30))
def test_one_part_more_never_lowers_a_pull_and_none_exceeds_the_sum(
    some: list[tuple[Point, float]], at: Point, more_n: float
) -> None:
    fewer, more = taken(some), taken([*some, (at, more_n)])

    assert all(more[name] >= fewer[name] - 1e-6 for name in PULLS)
    assert max(fewer.values()) <= sum(n for _, n in some) + 1e-6


@given(parts, st.data())
def test_a_stronger_part_never_lowers_a_pull(some: list[tuple[Point, float]], data: st.DataObject) -> None:
    index = data.draw(st.integers(0, len(some) - 1))
    stronger = [(at, n + 5.0 if i == index else n) for i, (at, n) in enumerate(some)]
    weak, strong = taken(some), taken(stronger)

    assert all(strong[name] >= weak[name] - 1e-6 for name in PULLS)


@given(parts, st.floats(0.1, 10))
def test_pulls_grow_as_retention_does(some: list[tuple[Point, float]], times: float) -> None:
    once, more = taken(some), taken([(at, times * n) for at, n in some])

    assert more == pytest.approx({name: times * n for name, n in once.items()}, abs=1e-5)


@given(parts)
def test_a_mirrored_denture_takes_the_mirrored_pulls(some: list[tuple[Point, float]]) -> None:
    one, other = taken(some), taken([(Point(-at.x_mm, at.y_mm), n) for at, n in some])
    sides = {"left": "right", "right": "left"}

    assert one == pytest.approx({sides.get(name, name): n for name, n in other.items()}, abs=1e-5)
