"""Parts in their places: where they stand, how far they may move, and which count as alike."""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from catalogue.blocks import Movement
from solver.assess.problem import Problem
from solver.fit.candidate import Candidate
from solver.mechanics.placement import COMPONENTS, FREE, LENGTH_MM, Placement, Places, box_of, placements_of, play_box
from tests.referee.random_case import INVENTED
from tests.solver.small import band, part, small_problem, stock

PLAY = stock().defaults.play
"""0.02 mm and 0.1 degrees."""


def fitted(asked: Problem, count: int = 1, site: str = "B") -> Candidate:
    """The candidate of so many parts at a site."""
    (found,) = (o.candidate for o in asked.options if (o.site, o.candidate.count) == (site, count))
    return found


@pytest.mark.parametrize(
    ("more", "xs_mm"),
    [
        ({"length_mm": 4, "spacing_mm": 1.5}, [-2.75, 2.75]),
        ({"length_mm": 4}, [-2, 2]),
        ({"spacing_mm": 1.5}, [-0.75, 0.75]),
    ],
    ids=["length and spacing", "end to end", "spacing alone"],
)
def test_two_parts_stand_evenly_about_the_middle_of_the_bar(more: dict[str, Any], xs_mm: list[float]) -> None:
    placed = placements_of(fitted(small_problem(stock(part("clip", most=2, **more))), count=2), PLAY)

    assert sorted(float(each.at[0]) for each in placed) == pytest.approx(xs_mm)
    assert {"B"} == {each.site for each in placed}


def test_a_bar_left_bare_has_no_part() -> None:
    assert () == placements_of(fitted(small_problem(stock(part("bare", kind="bare", retention_n=band(0, 0))))), PLAY)


def test_what_the_catalogue_does_not_name_keeps_the_play() -> None:
    """Down and up are apart, every other freedom goes as far to both sides; turns are lengths at 10 mm."""
    least, most = box_of(Movement(source=INVENTED, slide_mm="free", down_mm=0.5, up_mm=0.01, hinge_deg=8.0), PLAY)
    turn = LENGTH_MM * np.radians(0.1)
    tip = LENGTH_MM * np.radians(8)

    assert ("slide", "sideways", "vertical", "hinge", "tip", "turn") == COMPONENTS
    assert [-FREE, -0.02, -0.5, -tip, -turn, -turn] == pytest.approx(least.tolist())
    assert [FREE, 0.02, 0.02, tip, turn, turn] == pytest.approx(most.tolist())


@pytest.mark.parametrize("box", box_of(Movement(source=INVENTED), PLAY), ids=["least", "most"])
def test_a_box_that_is_given_out_to_many_cannot_be_changed(box: np.ndarray) -> None:
    with pytest.raises(ValueError, match="read-only"):
        box[0] = 1.0


def test_parts_that_stand_and_move_alike_are_one_object() -> None:
    asked = small_problem(stock(part("clip"), part("twin"), part("longer", length_mm=3), part("stiff", movement={})))
    places = Places(PLAY)
    found = {o.candidate.attachment.id: places.of(o.candidate) for o in asked.options if o.site == "B"}

    assert found["clip"] is found["twin"]
    assert found["clip"] is not found["longer"]
    assert found["clip"] is not found["stiff"]


def standing(site: str = "B", x_mm: float = 0.0, down_mm: float = 0.1, up_mm: float = 0.2) -> Placement:
    """A part that may go so far down and up."""
    play = np.full(6, 0.02)
    least, most = -play, play.copy()
    least[2], most[2] = -down_mm, up_mm
    return Placement(site, np.array([x_mm, 20.0, 0.0]), np.eye(3), least, most)


@pytest.mark.parametrize(
    ("other", "place", "manner"),
    [
        ({}, True, True),
        ({"x_mm": 1e-9}, True, True),
        ({"x_mm": 1e-5}, False, True),
        ({"site": "C"}, False, True),
        ({"down_mm": 0.3}, True, False),
        ({"up_mm": 0.3}, True, False),
    ],
    ids=["all alike", "a digit of rounding", "beside it", "another site", "deeper", "higher"],
)
def test_place_and_manner(other: dict[str, Any], place: bool, manner: bool) -> None:
    one, two = standing(), standing(**other)

    assert place == (one.place == two.place)
    assert manner == (one.manner == two.manner)


MOVES: dict[str, Any] = {"slide_mm": "free", "down_mm": 0.5, "up_mm": 0.1, "hinge_deg": 8.0, "tip_deg": 0.05}
"""One free, one to each side that is not, one turn, and a tip of less than the play."""


def moving(**movement: Any) -> Placement:
    least, most = box_of(Movement(source=INVENTED, **movement), PLAY)
    return Placement("B", np.array([1.0, 20.0, 3.0]), np.eye(3), least, most, play_box(PLAY))


def test_a_part_as_it_is_goes_up_without_end() -> None:
    """Its retention resists what lifts it, no stop does; all else is as the catalogue says."""
    part = moving(**MOVES)

    assert part.least.tolist() == part.actual.least.tolist()
    assert [*part.most[:2], FREE, *part.most[3:]] == part.actual.most.tolist()
    assert 0.1 == part.most[2]


def test_in_kind_a_freedom_beyond_the_play_has_no_end_and_the_rest_keeps_the_play() -> None:
    turn = LENGTH_MM * np.radians(0.1)
    kind = moving(**MOVES).in_kind

    assert [-FREE, -0.02, -FREE, -FREE, -turn, -turn] == pytest.approx(kind.least.tolist())
    assert [FREE, 0.02, FREE, FREE, turn, turn] == pytest.approx(kind.most.tolist())


def test_what_only_lifts_does_not_sink_in_kind() -> None:
    """A flat magnet: up by 0.2 mm, and down by no more than the play."""
    kind = moving(up_mm=0.2).in_kind

    assert (-0.02, FREE) == (kind.least[2], kind.most[2])


@pytest.mark.parametrize(("beyond_mm", "free"), [(0.0, False), (1e-12, False), (1e-6, True)])
def test_a_last_bit_beyond_the_play_is_no_freedom(beyond_mm: float, free: bool) -> None:
    assert free is bool(moving(down_mm=0.02 + beyond_mm).in_kind.least[2] == -FREE)


def test_an_option_gives_its_parts_in_kind_in_their_order() -> None:
    (option,) = (o for o in small_problem(stock(part("c", movement=MOVES, most=2))).options if o.candidate.count == 2)

    assert [p.at.tolist() for p in option.placements] == [p.at.tolist() for p in option.in_kind]
    assert all(p.least[2] == -FREE for p in option.in_kind)
    assert all(p.play.tolist() == play_box(PLAY).tolist() for p in option.placements)
