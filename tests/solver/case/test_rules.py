"""Each rule alone, against one mix: kept with room, kept at its border, missed past it, and by how much.

A millionth is rounding. What a mix takes and reaches is checked elsewhere; here the rules are held against it.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, get_args

import pytest

from catalogue.yaml_text import Loc
from solver.assess.assessment import Assessment, GivenUp, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.case.retention import Condition
from solver.case.rule_set import PERMISSIONS, SEVERITY
from solver.case.rules import (
    NO_NUMBERS,
    Alike,
    BestShares,
    Borne,
    Budget,
    Covered,
    EnoughSupports,
    Even,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NeedHolds,
    NoFight,
    NotAllowed,
    OneKind,
    Peel,
    Preference,
    Pulls,
    Rule,
    Shortfall,
    Spread,
    ThreePoints,
    Unsplint,
    WholeBar,
    waivable,
)
from solver.choose.search import Options, choose_relaxed
from tests.referee.random_case import INVENTED
from tests.solver.parts import BALL
from tests.solver.small import (
    FREE,
    band,
    need,
    part,
    preferring,
    renewal,
    small_case,
    small_problem,
    step,
    stock,
    waive,
)

STOCK = preferring(
    stock(
        part("clip"),
        part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
        part("sent", steps=["send", "solder"]),
        part("cut", steps=["grind"]),
        part("half", movement={**FREE, "down_mm": 0.15}),
        part("wears", wear={"loss": [0.5, 0.5], "cycles": 730, "source": INVENTED}, service=renewal(6, 9)),
        part("turns", movement={"hinge_deg": 20}),
        part("rigid", movement={}),
        part("ball", "ball", "end"),
        part("sinks", "ball", "end", movement={**BALL, "down_mm": 0.5}),
        part("idle", "ball", "end", retention_n=band(0, 3)),
        part("faint", "ball", "end", retention_n=band(0.1, 3)),
        part("lines", "lining"),
        part("stud", "stud", "support", steps=["off"]),
        part("post", "stud", "support", steps=["off"], movement={}),
        steps=(
            step("send", "segment", always_with=True, permissions=["send_out"]),
            step("solder", "segment", always_with=True, permissions=["weld"]),
            step("grind", "segment", always_with=True, permissions=["cut_bar"]),
            step("off", "support", always_with=True, once=True, permissions=["bar_off"]),
        ),
    ),
    in_kind=0.5,
)
PROBLEM: Problem = small_problem(
    STOCK,
    denture={"heel_left": [26, -10], "heel_right": [-26, -10]},
    wanted={"insertions_per_day": 4},
)
MECHANICS = Mechanics(PROBLEM)
NOTHING: tuple[str, ...] = ()
CLIP, BALL_, STUD, STUDS = ("B=clip",), ("E=ball",), ("R=stud",), ("R=stud", "L=stud")
TEN_N = CLIP + BALL_
BEST = BestShares(bar_on=0.25, bar_off=0.5)
FRONT_N, WORN_N = 5 * 30 / 38, 6.5 / 2 * 30 / 38
"""A clip holds 5 to 8 N 30 mm in front of the heels about which it tips, and is pulled 38 mm in front of them.

Worn it has lost half of the middle of its band.
"""


def mix(*keys: str) -> Assessment:
    return assess(PROBLEM, MECHANICS, (PROBLEM.option_of[key] for key in keys))


def share(keys: tuple[str, ...]) -> float:
    """Of the sum of retention what the weaker side takes."""
    return mix(*keys).weaker_side_n / mix(*keys).low_n


def evenness(keys: tuple[str, ...]) -> float:
    return mix(*keys).weaker_side_n / mix(*keys).stronger_side_n


Kept = tuple[bool, Rule | Preference, tuple[str, ...]]
YES_OR_NO: dict[str, Kept] = {
    "cap, far above": (True, Budget(9900), CLIP),
    "cap, border of the high end": (True, Budget(1200), CLIP),
    "cap, a cent less": (False, Budget(1199), CLIP),
    "cap, nothing costs nothing": (True, Budget(0), NOTHING),
    "something holds, one of two": (True, Held(), (*CLIP, "E=idle")),
    "something holds, however little": (True, Held(), ("E=faint",)),
    "something holds, what is there holds nothing": (False, Held(), ("E=idle",)),
    "something holds, nothing is there": (False, Held(), NOTHING),
    "fight, one that stops alone": (True, NoFight("whole"), ("B=turns",)),
    "fight, one that gives alone": (True, NoFight("whole"), ("E=sinks",)),
    "fight, both together": (False, NoFight("whole"), ("B=turns", "E=sinks")),
    "fight, both give": (True, NoFight("whole"), ("B=clip", "E=sinks")),
    "fight, one that stops in every demand": (True, NoFight("whole"), ("B=rigid",)),
    "fight, nothing is there": (True, NoFight("whole"), NOTHING),
    "borne by three": (False, Borne(3, 4, splinted=True), ("B=rigid",)),
    "borne by four": (True, Borne(4, 4, splinted=True), ("B=rigid",)),
    "borne by four that no bar splints": (False, Borne(4, 4, splinted=False), ("B=rigid",)),
    "borne by four that the bar has left": (False, Borne(4, 4, splinted=True), ("R=post", "L=post")),
    "borne by the mucosa in one demand": (True, Borne(2, 4, splinted=True), ("B=turns",)),
    "borne, nothing is there": (True, Borne(2, 4, splinted=True), NOTHING),
    "supports, all that are asked": (True, EnoughSupports(2), STUDS),
    "supports, one too few": (False, EnoughSupports(2), STUD),
    "supports, the bar stays": (True, EnoughSupports(2), CLIP),
    "supports, nothing is there": (True, EnoughSupports(2), NOTHING),
    "work, not done": (True, NotAllowed("send_out"), TEN_N),
    "work, done by one of two": (False, NotAllowed("send_out"), ("B=sent", *BALL_)),
    "work, done too": (False, NotAllowed("weld"), ("B=sent",)),
    "work, done by none": (True, NotAllowed("send_out"), NOTHING),
    "cover, by what is there": (True, Covered("E", 1, thin=False), TEN_N),
    "cover, by nothing": (False, Covered("E", 1, thin=False), NOTHING),
    "cover, by what is elsewhere": (False, Covered("E", 1, thin=False), CLIP),
    "cover, the bar is off": (True, Covered("E", 1, thin=False), STUD),
    "lined, a lining by itself": (True, LinedAlone(), ("B=lines",)),
    "lined, beside a firm part": (False, LinedAlone(), ("B=lines", "E=ball")),
    "lined, firm parts": (True, LinedAlone(), TEN_N),
    "lined, nothing": (True, LinedAlone(), NOTHING),
    "firm bar, bar on": (False, FirmBar(("R",)), CLIP),
    "firm bar, bar off": (True, FirmBar(("R",)), STUD),
    "splint, bar on": (True, Unsplint(2), CLIP),
    "splint, nothing": (True, Unsplint(2), NOTHING),
    "splint, bar off": (False, Unsplint(2), STUD),
    "need, short there": (False, NeedHolds("B", "undercut_mm"), ("B=short", *BALL_)),
    "need, short in something else": (True, NeedHolds("B", "gap_mm"), ("B=short",)),
    "need, short elsewhere": (True, NeedHolds("E", "undercut_mm"), ("B=short",)),
    "need, met": (True, NeedHolds("B", "undercut_mm"), CLIP),
    "whole bar, cut": (False, WholeBar(0.3, ""), ("B=cut", *BALL_)),
    "whole bar, not cut": (True, WholeBar(0.3, ""), TEN_N),
    "whole bar, nothing": (True, WholeBar(0.3, ""), NOTHING),
    "alike, the mirror site can take it": (False, Alike(0.1, ""), STUD),
    "alike, on both": (True, Alike(0.1, ""), STUDS),
    "alike, another on the mirror site": (False, Alike(0.1, ""), ("R=stud", "L=post")),
    "alike, no mirror site": (True, Alike(0.1, ""), TEN_N),
    "alike, nothing": (True, Alike(0.1, ""), NOTHING),
    "one kind, the same twice": (True, OneKind(0.1, ""), STUDS),
    "one kind, two": (False, OneKind(0.1, ""), TEN_N),
    "one kind, of one place": (True, OneKind(0.1, ""), CLIP),
    "three points, a ball and a clip": (False, ThreePoints(0.4, ""), TEN_N),
    "three points, balls alone": (False, ThreePoints(0.4, ""), BALL_),
    "three points, bar off": (True, ThreePoints(0.4, ""), STUD),
    "one kind, nothing": (True, OneKind(0.1, ""), NOTHING),
}


@pytest.mark.parametrize(("kept", "rule", "keys"), YES_OR_NO.values(), ids=YES_OR_NO)
def test_a_rule_is_kept_or_not(kept: bool, rule: Rule | Preference, keys: tuple[str, ...]) -> None:
    """A clip and a ball hold 5 to 8 N each and cost 10 to 12 EUR."""
    assert kept is rule.kept(mix(*keys))


Asking = Callable[[float], Rule]
BORDERS: dict[str, tuple[Asking, tuple[str, ...], float, str]] = {
    "level pull: the low ends together": (LevelPull, TEN_N, 10, "N"),
    "pull at the front, new": (lambda n: Pulls("front", n), CLIP, FRONT_N, "N"),
    "pull at the front, worn": (lambda n: Pulls("front", n, Condition.WORN), ("B=wears",), WORN_N, "N"),
    "pull at the front, what does not wear": (lambda n: Pulls("front", n, Condition.WORN), CLIP, FRONT_N, "N"),
    "pull of the usual tier": (lambda n: Pulls("front", n, tier="usual"), CLIP, FRONT_N, "N"),
    "movement: half of the settling": (lambda s: Moves("whole", s), ("B=half",), 0.5, "share"),
    "movement: another demand": (lambda s: Moves("front", s), ("B=half",), 1.0, "share"),
    "spread, bar on": (lambda s: Spread(s, BestShares(1, 0), ""), CLIP, share(CLIP), "share"),
    "spread, bar off": (lambda s: Spread(s, BestShares(0, 1), ""), STUDS, share(STUDS), "share"),
    "even, two alike": (lambda s: Even(s, ""), STUDS, 1.0, "share"),
    "even, one side": (lambda s: Even(s, ""), BALL_, evenness(BALL_), "share"),
}  # fmt: skip


@pytest.mark.parametrize(("asking", "keys", "have", "unit"), BORDERS.values(), ids=BORDERS)
def test_what_is_asked_in_an_amount_is_kept_up_to_it(
    asking: Asking, keys: tuple[str, ...], have: float, unit: str
) -> None:
    """Shares are asked of newtons, five or ten here, so a millionth of a newton is less than one of a share."""
    within, past = (5e-7, 2e-6) if unit == "N" else (1e-7, 4e-6)
    for kept, want in ((True, 0.5 * have), (True, have), (True, have + within), (False, have + past)):
        assert kept is asking(want).kept(mix(*keys))

    missed = asking(have + 1.25).shortfall(mix(*keys))
    assert (have, have + 1.25, 1.25) == pytest.approx((missed.have, missed.want, missed.amount), abs=2e-6)
    assert unit == missed.unit


SIDE_N = 8 * (20.518 - 1.0036 * 1.176) / (44.518 + 1.0036 * 18.824)
"""The easiest edge of a clip is a side: it tips about the border between two corners on the other one.

They lie at (-20.518, 18.824) and, 11.284 mm further out and 11.243 mm further forward, at (-9.234, 30.067); the
clip at (0, 20), the last tooth at (24, 0). Lift is then 1 a mm outwards less 1.0036 a mm
forwards of the first corner.
"""


def test_a_peel_is_the_easiest_edge_with_every_retention_at_its_high_end() -> None:
    """The front would take more."""
    found = mix(*CLIP)

    assert SIDE_N == pytest.approx(found.peel_n, abs=1e-3)
    assert SIDE_N < 8 * 30 / 38
    for kept, most in ((True, 99), (True, found.peel_n), (True, found.peel_n - 5e-7), (False, found.peel_n - 2e-6)):
        assert kept is Peel(most).kept(found)
    assert Peel(0).kept(mix())
    assert Shortfall(found.peel_n, 1.5, "N") == Peel(1.5).shortfall(found)


def test_a_peel_at_the_front_where_both_sides_hold() -> None:
    """Studs where the last teeth are, 10 mm in front of the heels, 8 N each: a side takes 8, the front 16 x 10/38."""
    wide = small_problem(
        STOCK,
        supports={"R": {"at_mm": [-24, 0, 0]}, "L": {"at_mm": [24, 0, 0]}},
        segments={"B": None},
        ends={"E": None},
        denture={"heel_left": [26, -10], "heel_right": [-26, -10]},
    )
    found = assess(wide, Mechanics(wide), wide.option_of.values())
    both = assess(wide, Mechanics(wide), (wide.option_of[key] for key in STUDS))

    assert len(found.options) > 2
    assert 16 * 10 / 38 == pytest.approx(both.peel_n)
    assert Peel(4.2106).kept(both)
    assert not Peel(4.2105).kept(both)


def test_a_share_is_asked_of_the_best_that_the_bar_on_or_off_allows() -> None:
    rule = Spread(0.6, BEST, "")

    assert (0.15, 0.3) == pytest.approx((rule.least(bar_off=False), rule.least(bar_off=True)))
    assert 0.15 == pytest.approx(rule.shortfall(mix(*CLIP)).want)
    assert 0.3 == pytest.approx(rule.shortfall(mix(*STUDS)).want)


@pytest.mark.parametrize("rule", [Spread(0.6, BEST, ""), Even(0.5, "")], ids=["spread", "even"])
def test_where_nothing_holds_there_is_no_side_to_be_weaker(rule: Spread | Even) -> None:
    """That something must hold is a rule of its own."""
    assert rule.kept(mix())
    assert 0 == rule.shortfall(mix()).have


def test_the_low_end_of_the_cost_keeps_no_cap() -> None:
    found = replace(mix(*CLIP))
    found.__dict__["cost"] = Cost(900, 1001)

    assert not Budget(1000).kept(found)
    assert Shortfall(1001, 1000, "money") == Budget(1000).shortfall(found)


SHORTFALLS: dict[str, tuple[Rule, tuple[str, ...], Shortfall]] = {
    "cap": (Budget(650), CLIP, Shortfall(1200, 650, "money")),
    "level pull": (LevelPull(11.25), TEN_N, Shortfall(10, 11.25, "N")),
    "supports": (EnoughSupports(2), STUD, Shortfall(1, 2, "supports")),
    "cover": (Covered("E", 0.4, thin=True), CLIP, Shortfall(-0.4, 0, "mm")),
    "something holds": (Held(), NOTHING, NO_NUMBERS),
    "fight": (NoFight("whole"), ("B=turns", "E=sinks"), NO_NUMBERS),
    "borne": (Borne(2, 4, splinted=True), ("B=rigid",), NO_NUMBERS),
    "work": (NotAllowed("weld"), ("B=sent",), NO_NUMBERS),
    "lined": (LinedAlone(), CLIP, NO_NUMBERS),
    "firm bar": (FirmBar(("R",)), CLIP, NO_NUMBERS),
    "splint": (Unsplint(2), STUD, NO_NUMBERS),
    "need that is met": (NeedHolds("B", "undercut_mm"), CLIP, NO_NUMBERS),
}


@pytest.mark.parametrize(("rule", "keys", "expected"), SHORTFALLS.values(), ids=SHORTFALLS)
def test_a_shortfall_says_what_is_there_and_what_was_asked(
    rule: Rule, keys: tuple[str, ...], expected: Shortfall
) -> None:
    assert expected == rule.shortfall(mix(*keys))
    assert abs(expected.want - expected.have) == pytest.approx(expected.amount)


def test_amounts_are_rounded_to_millionths() -> None:
    assert 1.234568 == LevelPull(11.23456789).shortfall(mix(*TEN_N)).amount


NEEDS = [
    need("undercut_mm", at_least=0.4, waive=waive(0.2)),
    need("undercut_mm", at_least=0.45, waive=waive(0.3)),
    need("width_mm", at_least=2.5, waive=waive(1)),
]


def test_of_several_needs_for_one_measure_the_worst_counts_with_its_own_advice() -> None:
    """0.1 and 0.15 mm short of undercut, 0.7 of width."""
    problem = small_problem(stock(part("clip", needs=NEEDS)))
    found = assess(problem, Mechanics(problem), problem.options)
    undercut, width = (found.missed(NeedHolds("B", of)) for of in ("undercut_mm", "width_mm"))

    assert pytest.approx(0.15) == undercut.amount
    assert ("mm", 50) == (undercut.unit, undercut.percent)
    assert undercut.waiver is not None
    assert 0.3 == undercut.waiver.up_to
    assert pytest.approx(0.7) == width.amount
    assert 70 == width.percent
    assert [NeedHolds("B", "undercut_mm"), NeedHolds("B", "width_mm")] == [each.rule for each in found.given_up]


def test_a_need_weighs_by_the_largest_share_of_what_may_be_waived() -> None:
    """0.1 mm of 0.1 is all that may be; 0.15 of 1 is more millimetres and less of it."""
    needs = [need("undercut_mm", at_least=0.4, waive=waive(0.1)), need("undercut_mm", at_least=0.45, waive=waive(1))]
    problem = small_problem(stock(part("clip", needs=needs)))
    found = choose_relaxed(problem, Mechanics(problem), Options()).best

    assert found is not None
    (given,) = found.given_up
    assert pytest.approx(0.15) == given.amount
    assert 100 == given.percent


def test_a_rule_of_yes_or_no_is_given_up_without_numbers() -> None:
    said = mix("B=sent").missed(NotAllowed("weld"))

    assert GivenUp(NotAllowed("weld"), weight=100 * SEVERITY["allowed"] * 1000) == said


WAIVABLE: dict[str, tuple[bool, Rule]] = {
    "a cap": (True, Budget(1)),
    "a level pull": (True, LevelPull(1)),
    "a pull at a point": (True, Pulls("front", 1)),
    "a peel": (True, Peel(1)),
    "spread": (True, Spread(0.6, BEST, "")),
    "even": (True, Even(0.5, "")),
    "work": (True, NotAllowed("weld")),
    "a need": (True, NeedHolds("B", "width_mm")),
    "borne by too few": (True, Borne(2, 4, splinted=True)),
    "too few supports": (True, EnoughSupports(2)),
    "splinting": (True, Unsplint(4)),
    "lining": (True, LinedAlone()),
    "loose implants": (True, FirmBar(("R",))),
    "the whole base sinks": (True, Moves("whole", 1)),
    "a part of it sinks": (False, Moves("front", 1)),
    "an end covered by a thin base": (True, Covered("E", 0.1, thin=True)),
    "an end that a base cannot cover": (False, Covered("E", 0.1, thin=False)),
    "that something holds": (False, Held()),
    "that parts do not fight": (False, NoFight("whole")),
}


@pytest.mark.parametrize(("expected", "rule"), WAIVABLE.values(), ids=WAIVABLE)
def test_safety_mechanics_and_the_purpose_stay(expected: bool, rule: Rule) -> None:
    assert expected is waivable(rule)


def test_every_rule_stands_in_the_tables() -> None:
    alone = {type(rule) for _, rule, _ in YES_OR_NO.values()} | {type(asking(1)) for asking, *_ in BORDERS.values()}

    assert {*get_args(Rule), *get_args(Preference)} == alone | {Peel}
    assert set(get_args(Rule)) == {type(rule) for _, rule in WAIVABLE.values()}
    assert set(get_args(Rule)) == {type(rule) for _, rule, _ in ORIGINS.values()}
    assert {"send_out", "weld", "cut_bar", "bar_off", "new_bar"} == set(PERMISSIONS)


ORIGINS: dict[str, tuple[dict[str, Any], Rule, tuple[Loc, ...]]] = {
    "cap": ({}, Budget(100), (("money", "cap"),)),
    "level pull": ({}, LevelPull(5), (("wanted", "level_n"),)),
    "something holds": ({}, Held(), (("wanted", "hold_n"),)),
    "peel given": ({}, Peel(5), (("wanted", "most_n"),)),
    "peel by the hand": ({}, Peel(5, assumed=True), (("patient", "hand"),)),
    "pull at a point": ({}, Pulls("left", 2), (("wanted", "pull_n", "left"),)),
    "pull at the centre": ({}, Pulls("centre", 2), (("wanted", "pull_n", "centre"),)),
    "hold asked": ({"wanted": {"hold_n": 2}}, Pulls("centre", 2), (("wanted", "hold_n"),)),
    "hold asked, another point": ({"wanted": {"hold_n": 2}}, Pulls("left", 2), (("wanted", "pull_n", "left"),)),
    "hold and centre asked": (
        {"wanted": {"hold_n": 2, "pull_n": {"centre": 3}}}, Pulls("centre", 3), (("wanted", "pull_n", "centre"),),
    ),
    "spread": ({}, Spread(0.6, BEST, ""), (("wanted", "pull_n"),)),
    "even": ({}, Even(0.5, ""), (("wanted", "pull_n"),)),
    "movement": ({}, Moves("whole", 1), (("wanted", "movement", "whole"), ("denture", "settling_mm"))),
    "fight": ({}, NoFight("whole"), ()),
    "borne": ({}, Borne(2, 4, splinted=True), (("supports",),)),
    "enough supports": ({}, EnoughSupports(2), (("arch",), ("supports",))),
    "work": ({}, NotAllowed("weld"), (("allowed", "weld"),)),
    "splinting": ({}, Unsplint(2), (("arch",),)),
    "lining": ({}, LinedAlone(), ()),
    "loose implants": ({}, FirmBar(("R", "L")), (("supports", "R", "mobility"), ("supports", "L", "mobility"))),
    "a need": ({}, NeedHolds("B", "undercut_mm"), (("segments", "B", "undercut_mm"),)),
    "cover": ({}, Covered("E", 1, thin=False), (("room", "space_mm"), ("room", "top_mm"))),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "rule", "expected"), ORIGINS.values(), ids=ORIGINS)
def test_a_rule_is_traced_to_its_keys(changes: dict[str, Any], rule: Rule, expected: tuple[Loc, ...]) -> None:
    assert expected == rule.origins(small_case(**changes))
