"""How a mix moves under each demand: facts of the trade in kind and amount, which parts fight, and laws."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import cache
from itertools import combinations
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.load import load_catalogue
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.audit.certificate_motion import check_verdicts
from solver.audit.second_opinion.motion import Motion
from solver.audit.second_opinion.pieces import Piece
from solver.audit.second_opinion.world import World
from solver.case.layout import Layout
from solver.case.schema import DEMANDS, Case, DemandName
from solver.fit.proposal import candidate_for, read_put
from solver.mechanics.movement import MovementModel, meets
from solver.mechanics.option import Option
from solver.mechanics.placement import Placement
from solver.mechanics.verdicts import DemandVerdict, Kind, MovementVerdict, Part, PartName, kind_of, verdict_of
from tests.solver.parts import BALL, HINGE, PLAY, RESILIENT, RIGID, mixes, model, placed

TURNS, SINKS, BALL_FEMALE, STUD, SINGLE = (
    "clip-round-polymer-5",
    "clip-round-metal-5",
    "ball-flex-2.2",
    "stud-thread-medium",
    "stud-single-medium",
)
SLEEVE, MAGNET = "clip-parallel-sleeve-6", "magnet-flat-weld"

few = settings(max_examples=25)


def bar(*at_mm: tuple[float, float], arch: str = "lower", balls: bool = False, **more: Any) -> dict[str, Any]:
    """Supports S1, S2 ... in a row with segments A, B ... between them; `balls` beyond both ends of it, R and L."""
    supports = {f"S{i}": {"at_mm": [*at, 0.0]} for i, at in enumerate(at_mm, 1)}
    names = list(supports)
    segments = {"ABCDE"[i]: {"between": names[i : i + 2]} for i in range(len(names) - 1)}
    ends = {
        "R": {"on": names[0], "at_mm": [-17.5, 14.5, 0], "length_mm": 9},
        "L": {"on": names[-1], "at_mm": [17.5, 14.5, 0], "length_mm": 9},
    }
    money = {"currency": "EUR", "bench_per_hour": 50, "chair_per_hour": 120}
    return {
        "case": "invented", "invented": True, "arch": arch, "supports": supports, "segments": segments,
        "ends": ends if balls else {}, "money": money, **more,
    }  # fmt: skip


def apart(deg: float, front_mm: float = 25.0) -> dict[str, Any]:
    """Two segments of 18 mm that meet in front, their directions so far apart."""
    half = np.radians(deg / 2)
    x, y = 18 * float(np.cos(half)), front_mm - 18 * float(np.sin(half))
    return bar((-x, y), (0, front_mm), (x, y))


CANINES = bar((-12.7, 20), (12.7, 20), balls=True)
STRAIGHT = bar((-18, 21), (0, 21), (18, 21))
SINGLES = {f"S{tooth}": {"tooth": tooth} for tooth in (13, 15, 23, 25)}
FOUR_UPPER = bar((0, 0), (1, 0), arch="upper", segments={}) | {"supports": SINGLES}
MILLED = bar((-20, 12), (-9, 22), (9, 22), (20, 12))

SHARE = load_catalogue().defaults.preferences.in_kind.value

FACTS: dict[str, tuple[dict[str, Any], dict[str, str], str]] = {
    "a turning clip between two resilient balls": (
        CANINES, {"A": TURNS, "R": BALL_FEMALE, "L": BALL_FEMALE}, "fights moves moves moves",
    ),
    "a clip that sinks between two resilient balls": (
        CANINES, {"A": SINKS, "R": BALL_FEMALE, "L": BALL_FEMALE}, "moves moves moves moves",
    ),
    "two turning clips at fifty degrees": (apart(50), {"A": TURNS, "B": TURNS}, "stands fights fights fights"),
    "two sinking clips at fifty degrees": (apart(50), {"A": SINKS, "B": SINKS}, "moves moves moves moves"),
    "two turning clips on one straight bar": (STRAIGHT, {"A": TURNS, "B": TURNS}, "stands moves moves moves"),
    "two turning clips on one stretch": (CANINES, {"A": f"{TURNS} x2"}, "stands moves moves moves"),
    "two medium studs on a lower bar": (STRAIGHT, {"A": STUD, "B": STUD}, "bottoms moves moves moves"),
    "two medium studs on single implants": (CANINES, {"S1": SINGLE, "S2": SINGLE}, "bottoms moves moves moves"),
    "four studs on four upper implants": (
        FOUR_UPPER, dict.fromkeys(("S13", "S15", "S23", "S25"), SINGLE), "bottoms moves moves moves",
    ),
    "sleeves on a milled bar": (MILLED, dict.fromkeys("ABC", SLEEVE), "stands stands stands stands"),
    "flat magnets": (STRAIGHT, {"A": MAGNET, "B": MAGNET}, "stands moves moves moves"),
    "a turning clip beside a sinking one": (STRAIGHT, {"A": TURNS, "B": SINKS}, "fights moves moves moves"),
    "turning clips skew by four degrees": (apart(4, 22), {"A": TURNS, "B": TURNS}, "stands moves moves moves"),
    "turning clips skew by seven degrees": (apart(7, 22), {"A": TURNS, "B": TURNS}, "stands bottoms moves moves"),
    "nothing fitted": (CANINES, {}, "moves moves moves moves"),
}  # fmt: skip
"""Case, mix, and the verdict on whole, front, left and right: what the trade knows (common practice, no source)."""


@cache
def mechanics_of(name: str) -> tuple[Problem, Mechanics]:
    case = Case.model_validate(FACTS[name][0], strict=False)
    problem = problem_of(case, load_catalogue())
    return problem, Mechanics(problem)


def fitted(name: str) -> tuple[Option, ...]:
    problem, _ = mechanics_of(name)
    mix = FACTS[name][1]
    found = {site: candidate_for(read_put(text), problem.fit.at(site)) for site, text in mix.items()}
    return tuple(problem.option(found[site]) for site in problem.site_ids if site in found)


def verdicts(name: str) -> dict[DemandName, DemandVerdict]:
    return {each.demand: each for each in mechanics_of(name)[1].verdicts(fitted(name))}


@pytest.mark.parametrize("name", FACTS)
def test_a_fact_comes_out_and_its_certificate_passes(name: str) -> None:
    problem, _ = mechanics_of(name)
    found = verdicts(name)

    assert FACTS[name][2].split() == [each.verdict.value for each in found.values()]
    check_verdicts(problem, [option.candidate for option in fitted(name)], list(found.values()), SHARE)


@pytest.mark.parametrize("name", FACTS)
def test_the_second_opinion_comes_to_the_same_facts(name: str) -> None:
    problem, _ = mechanics_of(name)
    motion = Motion(World(problem.case, problem.catalogue))
    places = {place.id: place for place in motion.map.places}
    chosen = [option.candidate for option in fitted(name)]
    mix = [Piece(places[c.site.id], c.attachment, c.count, (), frozenset(), frozenset(), 0) for c in chosen]

    assert FACTS[name][2].split() == [motion.verdict(mix, demand) for demand in DEMANDS]


@pytest.mark.parametrize(
    ("name", "reach"),
    [("two medium studs on a lower bar", 2 / 3), ("four studs on four upper implants", 0.5)],
    ids=["0.2 of 0.3 mm", "0.2 of 0.4 mm"],
)
def test_what_bottoms_says_how_far_it_went_and_which_travel_ended(name: str, reach: float) -> None:
    found = verdicts(name)["whole"]
    assert found.end is not None

    assert [reach, 1.0] == pytest.approx([found.reach, found.in_kind])
    assert ("vertical", -1, "mm") == (found.end.component, found.end.sign, found.end.unit)
    assert pytest.approx(0.2) == found.end.limit
    assert not found.end.play
    assert found.end.part.site in FACTS[name][1]


def test_clips_that_are_a_little_skew_bottom_on_their_play() -> None:
    """Nothing that was assumed of the settling ends it, nor a travel of a part: no clip has a freedom to tip."""
    end = verdicts("turning clips skew by seven degrees")["front"].end
    assert end is not None

    assert ("tip", True, "deg") == (end.component, end.play, end.unit)
    assert pytest.approx(0.1) == end.limit


@pytest.mark.parametrize(
    ("name", "demand", "pair", "component"),
    [
        ("a turning clip between two resilient balls", "whole", ("A", "R"), "vertical"),
        ("a turning clip beside a sinking one", "whole", ("A", "B"), "vertical"),
        ("two turning clips at fifty degrees", "left", ("B", "A"), "tip"),
        ("two turning clips at fifty degrees", "right", ("A", "B"), "tip"),
        ("two turning clips at fifty degrees", "front", None, "tip"),
    ],
)
def test_a_fight_names_the_pair_and_the_direction(
    name: str, demand: DemandName, pair: tuple[str, str] | None, component: str
) -> None:
    """In front the two are alike: either may be the one that stops."""
    found = verdicts(name)[demand]
    assert found.pair is not None

    sites = tuple(part.site for part in found.pair)
    assert sites in ((pair,) if pair else (("A", "B"), ("B", "A")))
    assert component == found.component
    assert {option.site: option.candidate.label for option in fitted(name)}.items() >= {
        (part.site, part.label) for part in found.pair
    }


def name_of(number: int) -> PartName:
    return PartName(f"S{number}", "invented", 0)


def judged(parts: Sequence[Placement], demand: DemandName, kept: MovementModel | None = None) -> DemandVerdict:
    solve = (kept or model()).reach
    return verdict_of([Part(name_of(i), part) for i, part in enumerate(parts)], demand, solve, SHARE)


def test_three_that_agree_two_by_two_wedge_and_what_has_no_part_in_it_is_left_out() -> None:
    wedging = [
        placed("S0", (20, 10, 4), 0, **HINGE, tip_deg=20),
        placed("S1", (-7, 26, 4), 30, **HINGE),
        placed("S2", (8, 23, 4), 0, **HINGE, turn_deg=20),
    ]
    found = judged([*wedging, placed("S3", (0, 20, 5), 0, **BALL, down_mm=1.0, slide_mm="free")], "left")
    assert found.fight is not None
    assert found.pair is not None

    assert MovementVerdict.FIGHTS is found.verdict
    assert (name_of(0), name_of(1), name_of(2)) == found.fight.among
    costly = [found.fight.among[stop.part] for stop in found.fight.proof.stops]
    assert costly[0] == found.fight.stops
    assert set(found.pair) < set(found.fight.among)
    for pair in combinations(wedging, 2):
        assert meets(judged(pair, "left").in_kind, 0.5)


def test_the_hardest_stopper_is_named_against_the_freest_giver() -> None:
    parts = [placed("S0", (-10, 18, 4), 0, **RESILIENT), placed("S1", (0, 20, 4), 0, **RIGID)]
    found = judged(parts, "left")

    assert (name_of(1), name_of(0)) == found.pair
    assert found.fight is not None
    assert (name_of(0), name_of(1)) == found.fight.among


def test_of_two_stoppers_the_harder_is_named() -> None:
    """A clip that runs to the side that sinks gives it a little, a rigid part less."""
    giver, soft = placed("S0", (0, 20, 4), 0, **RESILIENT), placed("S1", (8, 21, 4), -35, **HINGE)
    hard = placed("S2", (0, 22, 4), 0, **RIGID)
    parts = [giver, soft, hard]
    softer, harder = judged([soft], "left").in_kind, judged([hard], "left").in_kind

    assert harder < softer - 0.01 < 0.5
    assert (name_of(2), name_of(0)) == judged(parts, "left").pair


@pytest.mark.parametrize(("deg", "component"), [(0.5, "hinge"), (0.7, "hinge")])
def test_a_turn_that_ends_a_motion_is_told_in_degrees(deg: float, component: str) -> None:
    end = judged([placed("S0", (0, 20, 4), 0, hinge_deg=deg)], "front").end
    assert end is not None

    assert (component, "deg", False) == (end.component, end.unit, end.play)
    assert pytest.approx(deg) == end.limit


@pytest.mark.parametrize(
    ("expected", "reach", "share"),
    [
        (True, 0.49999999999999994, 0.5),
        (True, 0.5, 0.5),
        (True, 0.9999999, 1.0),
        (False, 0.49999, 0.5),
        (False, 0.9999, 1.0),
    ],
)
def test_no_last_bit_decides_whether_a_share_is_reached(expected: bool, reach: float, share: float) -> None:
    assert expected is meets(reach, share)


def option_of(
    *, count: int = 1, at: tuple[float, float, float] = (0, 20, 4), **movement: Any
) -> tuple[Placement, ...]:
    """Parts in a row along a bar that runs forwards, 20 mm apart."""
    one = placed("S", at, 90, **movement)
    return tuple(replace(one, at=one.at + 20 * (k - (count - 1) / 2) * one.axes[0]).in_kind for k in range(count))


@pytest.mark.parametrize(
    ("kind", "demand", "parts"),
    [
        (Kind.IDLE, "whole", ()),
        (Kind.STOPPER, "whole", option_of(**HINGE)),
        (Kind.STOPPER, "whole", option_of(count=2, **HINGE)),
        (Kind.STOPPER, "left", option_of(**RIGID)),
        (Kind.GIVER, "whole", option_of(count=2, **RESILIENT)),
        (Kind.GIVER, "front", option_of(**BALL)),
        (Kind.GIVER, "right", option_of(at=(-24, 10, 4), **BALL)),
        (Kind.GIVER, "right", option_of(at=(-24, -10, 4), **BALL)),
        (Kind.FIGHTS_ITSELF, "right", option_of(count=2, at=(-24, 0, 4), **BALL)),
    ],
    ids=[
        "no part",
        "turns",
        "two that turn",
        "rigid",
        "two that sink",
        "a ball",
        "a ball in front of the saddle end",
        "a ball behind it",
        "both of these",
    ],
)
def test_what_an_option_does_alone(kind: Kind, demand: DemandName, parts: tuple[Placement, ...]) -> None:
    assert kind is kind_of(parts, demand, model().reach, SHARE)


def shared_demand() -> st.SearchStrategy[DemandName]:
    return st.sampled_from(DEMANDS)


@few
@given(mixes(), shared_demand())
def test_a_mirrored_mix_has_the_mirrored_verdict(parts: list[Placement], demand: DemandName) -> None:
    flip = np.diag([-1.0, 1.0, 1.0])
    mirrored = [replace(p, at=flip @ p.at, axes=np.diag([-1, 1, 1]) @ p.axes @ flip) for p in parts]
    other: Mapping[DemandName, DemandName] = {"whole": "whole", "front": "front", "left": "right", "right": "left"}
    one, two = judged(parts, demand), judged(mirrored, other[demand])

    assert one.verdict is two.verdict
    assert [one.reach, one.in_kind] == pytest.approx([two.reach, two.in_kind], abs=1e-5)


@few
@given(mixes(1, 3), mixes(1, 1), shared_demand())
def test_one_part_more_never_adds_reach_in_kind(
    parts: list[Placement], more: list[Placement], demand: DemandName
) -> None:
    extra = replace(more[0], site="extra").in_kind
    kind = [part.in_kind for part in parts]

    assert model().reach([*kind, extra], demand).reach <= model().reach(kind, demand).reach + 1e-6


@few
@given(mixes(), shared_demand(), st.sampled_from([-1e-12, 1e-12]))
def test_a_last_bit_of_play_or_travel_turns_no_verdict(parts: list[Placement], demand: DemandName, by: float) -> None:
    """Every limit moved by 1e-12 mm, and so beyond or within the play that stays as it was."""
    moved = [replace(p, least=p.least - by, most=p.most + by) for p in parts]

    assert judged(parts, demand).verdict is judged(moved, demand).verdict


@few
@given(mixes(), shared_demand())
def test_the_verdict_is_as_it_is_defined(parts: list[Placement], demand: DemandName) -> None:
    """From the three reaches, each asked of a model of its own."""
    found = judged(parts, demand)
    actual = model().reach([p.actual for p in parts], demand).reach
    in_kind = model().reach([p.in_kind for p in parts], demand).reach
    alone = [model().reach([p.in_kind], demand).reach for p in parts]
    expected = MovementVerdict.FIGHTS
    if actual > 1 - 1e-6:
        expected = MovementVerdict.MOVES
    elif in_kind > 0.5 - 1e-6:
        expected = MovementVerdict.BOTTOMS
    elif max(alone) < 0.5 - 1e-6:
        expected = MovementVerdict.STANDS

    assert expected is found.verdict
    assert actual <= in_kind + 1e-6
    assert (expected is MovementVerdict.BOTTOMS, expected is MovementVerdict.FIGHTS) == (
        found.end is not None,
        found.fight is not None,
    )


@few
@given(mixes(2, 4), shared_demand())
def test_stoppers_and_givers_exclude_each_other_and_stoppers_only_stand(
    parts: list[Placement], demand: DemandName
) -> None:
    """A mix of stoppers alone stands, one of both fights, one of givers never stands."""
    kept = model()
    kinds = {kind_of([part.in_kind], demand, kept.reach, SHARE) for part in parts}
    found = judged(parts, demand, kept).verdict

    if kinds == {Kind.STOPPER}:
        assert MovementVerdict.STANDS is found
    elif kinds == {Kind.GIVER}:
        assert MovementVerdict.STANDS is not found
    else:
        assert MovementVerdict.FIGHTS is found


@few
@given(mixes(2, 4), shared_demand())
def test_what_is_said_to_fight_fights_without_the_others(parts: list[Placement], demand: DemandName) -> None:
    """And no fewer do: without any one of them the rest gives, or every part that is left stops."""
    found = judged(parts, demand)
    if found.fight is None:
        return
    number = {name_of(i): part for i, part in enumerate(parts)}
    few = [number[name] for name in found.fight.among]

    assert MovementVerdict.FIGHTS is judged(few, demand).verdict
    assert {found.fight.stops, found.fight.gives} <= set(found.fight.among)
    for part in few:
        rest = [other for other in few if other is not part]
        assert MovementVerdict.FIGHTS is not judged(rest, demand).verdict


@pytest.mark.parametrize(
    ("settling_mm", "y_mm", "fights_from_deg"),
    [
        (0.3, 20, 12.5),
        (0.3, 22, 9.5),
        (0.3, 24, 6.5),
        (0.3, 26, 3),
        (0.2, 20, 20),
        (0.2, 22, 15),
        (0.2, 24, 10),
        (0.2, 26, 5),
    ],
)
def test_how_skew_two_turning_clips_may_be_hangs_on_settling_and_place(
    settling_mm: float, y_mm: float, fights_from_deg: float
) -> None:
    """The figures of docs/mechanics.md, to half a degree: in kind the play stays, and the hinge turns the further the
    nearer the bar runs to the front."""
    movement = load_catalogue().attachments[TURNS].movement.model_dump(exclude={"source"}, exclude_none=True)
    base = Layout(Case.model_validate(CANINES, strict=False)).base

    def verdict(deg: float) -> MovementVerdict:
        clips = [placed(f"S{i}", (x, y_mm, 0), -deg * x / 16, **movement) for i, x in enumerate((-8.0, 8.0))]
        return judged(clips, "front", model(settling_mm, base)).verdict

    assert MovementVerdict.FIGHTS is verdict(fights_from_deg)
    assert MovementVerdict.BOTTOMS is verdict(fights_from_deg - 0.5)


def test_the_play_of_these_parts_is_that_of_the_catalogue() -> None:
    """Else nothing of a part that keeps its play would be kept in kind."""
    assert pytest.approx(PLAY.mm) == placed("A", (0, 20, 4)).in_kind.most[0]
