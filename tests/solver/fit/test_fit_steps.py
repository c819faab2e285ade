"""Steps that go with a rework, work at the bench on a bar that must come off, and supports without a bar."""

from __future__ import annotations

from typing import Any

import pytest

from solver.audit.second_opinion.mixes import Mixes
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.fit.bench import fit
from solver.fit.needs import Verdict
from solver.fit.pricing import purse_of
from tests.solver.small import band, need, part, small_case, small_problem, step, stock

HOLDS, ASK, SHORT, FAILS = Verdict
UNSCREW = step(
    "unscrew", "segment", "end", once=True, always_with=True, price=band(30, 40),
    needs=[need("fixing", one_of=["screwed"]), need("screws", one_of=["tight", "loose"])],
)  # fmt: skip
BENCH: dict[str, Any] = {"where": "bench", "steps": ["unscrew"]}
DEEPEN = step("deepen", "segment", makes={"undercut_mm": 0.35}, permissions=["cut_bar"], **BENCH)
SLIM = step("slim", "segment", changes={"width_mm": -0.3}, permissions=["cut_bar"], **BENCH)
TAP = step("tap", "segment", always_with=True, **BENCH)
OFF = step("off", "support", once=True, always_with=True, permissions=["bar_off"], price=band(9, 9))
STEPS = (UNSCREW, DEEPEN, SLIM, TAP, OFF)

CLIP = part("clip", needs=[need("undercut_mm", at_least=0.3), need("width_mm", at_least=1.7, at_most=1.9)])
STUD = part("stud", "stud", steps=["tap"], needs=[need("width_mm", at_most=1.9)])
SINGLE = part("single", "stud", "support", steps=["off"])
CATALOGUE = stock(CLIP, STUD, SINGLE, steps=STEPS)


def fitted(site: str = "B", catalogue: Any = CATALOGUE, **changes: Any) -> dict[str, Any]:
    """The candidates of a site by their label."""
    case = small_case(**changes)
    return {c.label: c for c in fit(case, catalogue, purse_of(case, catalogue)).at(site).every}


def bar(fixing: str = "screwed", screws: str = "tight", **facts: Any) -> dict[str, Any]:
    return {"bar": {"fixing": fixing, "screws": screws}, "segments": {"B": facts}}


COMES_OFF = {
    "screwed, tight": (HOLDS, ()),
    "screwed, loose": (HOLDS, ()),
    "screwed, stuck": (FAILS, ()),
    "screwed, unknown": (ASK, ("screws",)),
    "cemented, unknown": (FAILS, ("screws",)),
    "unknown, stuck": (FAILS, ("fixing",)),
    "unknown, tight": (ASK, ("fixing",)),
    "unknown, unknown": (ASK, ("fixing", "screws")),
}


@pytest.mark.parametrize("told", COMES_OFF)
def test_bench_work_wants_a_bar_that_comes_off(told: str) -> None:
    found = fitted(**bar(*told.split(", "), undercut_mm=0))
    verdict, asked = COMES_OFF[told]

    assert (FAILS, verdict) == (found["clip"].verdict, found["clip + deepen"].verdict)
    assert asked == tuple(question.of for question in found["clip + deepen"].questions)


def test_a_bar_that_nobody_told_of_is_asked_for_only_where_the_bench_works_on_it() -> None:
    found = fitted(bar=None)

    assert () == found["clip"].questions
    assert ["fixing", "screws"] == [question.of for question in found["stud"].questions]


def test_what_goes_before_a_rework_goes_before_it_once_and_is_not_named() -> None:
    found = fitted(**bar(undercut_mm=0, width_mm=2.1))
    both = found["clip + deepen + slim"]

    assert ["unscrew", "deepen", "slim"] == [rework.id for rework in both.reworks]
    assert ["deepen", "slim"] == [rework.id for rework in both.extra_reworks]
    assert ("unscrew",) == both.charges


def test_a_step_of_the_attachment_brings_its_own_too() -> None:
    assert ["unscrew", "tap"] == [rework.id for rework in fitted(**bar())["stud"].reworks]


def test_the_bar_is_unscrewed_once_for_an_attachment_and_the_rework_that_makes_it_fit() -> None:
    slimmed = fitted(**bar(width_mm=2.1))["stud + slim"]

    assert ["unscrew", "slim", "tap"] == [rework.id for rework in slimmed.reworks]
    assert HOLDS is slimmed.verdict


def test_an_attachment_may_name_the_step_that_a_rework_brings() -> None:
    own = stock(part("post", "stud", steps=["unscrew"], needs=[need("width_mm", at_most=1.9)]), steps=STEPS)

    found = fitted(catalogue=own, **bar("cemented", width_mm=2.1))

    assert {"post": FAILS, "post + slim": FAILS} == {label: c.verdict for label, c in found.items()}
    assert ["unscrew", "slim"] == [rework.id for rework in found["post + slim"].reworks]


def test_unscrewing_is_paid_once_a_case() -> None:
    segments = {"C": {"between": ["L", "M"], "section": "round", "width_mm": 1.8, "undercut_mm": 0}}
    problem = small_problem(
        CATALOGUE,
        supports={"M": {"at_mm": [24, 8, 0]}},
        ends=None,
        bar={"fixing": "screwed", "screws": "tight"},
        segments={"B": {"undercut_mm": 0}, **segments},
    )
    mix = [problem.option_of[f"{site}=clip + deepen"].candidate for site in ("B", "C")]

    assert 2 * 1200 + 4000 == problem.cost_of(mix).high


# Supports without a bar


BARLESS: dict[str, Any] = {"segments": None, "ends": None}


@pytest.mark.parametrize(
    ("changes", "steps"), [pytest.param({}, ["off"], id="bar"), pytest.param(BARLESS, [], id="no bar")]
)
def test_a_bar_is_taken_off_only_where_one_stands(changes: dict[str, Any], steps: list[str]) -> None:
    single = fitted("L", **changes)["single"]

    assert steps == [rework.id for rework in single.reworks] == list(single.charges)
    assert (("bar_off",) if steps else ()) == single.permissions


def test_nothing_is_to_be_allowed_or_paid_where_no_bar_stands() -> None:
    problem = small_problem(CATALOGUE, allowed={"bar_off": False}, **BARLESS)
    single = problem.option_of["L=single"]

    assert () == single.needs_waived
    assert 1200 == problem.cost_of([single.candidate]).high


# The second opinion knows it by its own code


@pytest.mark.parametrize("told", COMES_OFF)
def test_the_second_opinion_asks_the_same_of_the_bar(told: str) -> None:
    verdict, asked = COMES_OFF[told]
    world = World(small_case(**bar(*told.split(", "), undercut_mm=0)), CATALOGUE)
    pieces = [piece for piece in Mixes(world).groups[0]["B"] if piece.attachment.id == "clip"]

    assert (0 if verdict is FAILS else 1) == len(pieces)
    assert [{frozenset({f"bar.{of}"}) for of in asked}] * len(pieces) == [set(piece.asks) for piece in pieces]
    assert [["unscrew", "deepen"]] * len(pieces) == [[r.id for r in piece.reworks] for piece in pieces]


@pytest.mark.parametrize("changes", [pytest.param({}, id="bar"), pytest.param(BARLESS, id="no bar")])
def test_the_second_opinion_takes_off_no_bar_that_does_not_stand(changes: dict[str, Any]) -> None:
    mixes = Mixes(World(small_case(allowed={"bar_off": False}, **changes), CATALOGUE))
    (single,) = mixes.groups[1]["L"]

    assert (set() if changes else {"allowed:bar_off"}) == single.broken
    assert (1200 if changes else 2100) == mixes.cost((single,))


# What is ground off is ground off with an error


@pytest.mark.parametrize(
    ("width_mm", "verdict"),
    [
        pytest.param(2.2, HOLDS, id="fits at the worst of the error"),
        pytest.param(2.24, ASK, id="fits within the error only"),
        pytest.param(2.31, FAILS, id="does not fit"),
    ],
)
def test_what_is_ground_off_carries_the_error_of_the_hand(width_mm: float, verdict: Verdict) -> None:
    by_hand = step("slim", "segment", changes={"width_mm": -0.35}, tolerance_mm=0.05)
    catalogue = stock(CLIP, steps=(by_hand,))
    changes: dict[str, Any] = {"segments": {"B": {"width_mm": width_mm}}}

    slimmed = fitted(catalogue=catalogue, **changes)["clip + slim"]
    pieces = Mixes(World(small_case(**changes), catalogue)).groups[0]["B"]

    assert verdict is slimmed.verdict
    assert {HOLDS: [set()], ASK: [{frozenset({"segments.B.width_mm"})}], FAILS: []}[verdict] == [
        set(p.asks) for p in pieces
    ]


def test_the_error_of_a_change_adds_to_that_of_the_measure() -> None:
    assert Measure(1.5, 0.75) == Measure(2.0, 0.25).shifted(-0.5, 0.5)
