"""Each rule of the master alone: free, broken, at its border and one past it; the exact outcome every time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.case.rule_set import MOST_OVERSHOOT
from solver.case.rules import (
    Alike,
    Borne,
    Budget,
    Covered,
    EnoughSupports,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NoFight,
    NotAllowed,
    Peel,
    Preference,
    Pulls,
    Rule,
    ThreePoints,
    Unsplint,
    WholeBar,
)
from solver.choose.cuts import AnyCut, CoverCut, Cut, LinearCut, MixCut
from solver.choose.master import Master, Outcome, Solved
from solver.choose.ranking import best_first
from tests.solver.parts import BALL as TURNS
from tests.solver.small import band, large_world, need, part, preferring, small_problem, step, stock, waive

OPTIMAL, INFEASIBLE = Outcome.OPTIMAL, Outcome.INFEASIBLE
STOCK = stock(
    part("clip"),
    part("other"),
    part("asks", needs=[need("gap_mm", at_least=1)]),
    part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("sent", steps=["send"]),
    part("ball", "ball", "end"),
    part("idle", "ball", "end", retention_n=band(0, 3)),
    part("faint", "ball", "end", retention_n=band(0.1, 3)),
    part("stud", "stud", "support", steps=["off"]),
    part("stiff", movement={}),
    part("lines", "lining"),
    part("turns", movement={"hinge_deg": 20}),
    part("cut", steps=["grind"]),
    part("sinks", "ball", "end", movement={**TURNS, "down_mm": 0.5}),
    part("post", "stud", "support", steps=["off"], movement={}),
    steps=(
        step("send", "segment", always_with=True, permissions=["send_out"]),
        step("grind", "segment", always_with=True, permissions=["cut_bar"]),
        step("off", "support", always_with=True, once=True, price=band(7, 7)),
    ),
)
CATALOGUE = preferring(STOCK, in_kind=0.5)
CLIP, BALL, IDLE = "B=clip", "E=ball", "E=idle"
STIFF, SINKS, STUD, STUDS, POSTS = "B=stiff", "E=sinks", ("R=stud",), ("R=stud", "L=stud"), ("R=post", "L=post")


def master_of(
    *rules: Rule, soft: tuple[Rule, ...] = (), preferences: tuple[Preference, ...] = (), weighing: bool = False
) -> Master:
    """A master with just these rules, over the options that need no waiver."""
    problem = replace(small_problem(CATALOGUE), rules=rules, preferences=preferences)
    options = [option for option in problem.options if not option.needs_waived]
    return Master(problem, options, Mechanics(problem), soft, weighing=weighing)


def pick_exactly(master: Master, *keys: str) -> None:
    for x, option in zip(master.pick, master.options, strict=True):
        master.model.add(x == int(option.candidate.key in keys))


def outcome(master: Master, *keys: str) -> Outcome:
    """With exactly these candidates picked."""
    pick_exactly(master, *keys)
    return master.solve(master.cost_high, 10).outcome


@pytest.mark.parametrize(
    ("expected", "keys"),
    [
        (OPTIMAL, ()),
        (OPTIMAL, (CLIP, BALL)),
        (INFEASIBLE, (CLIP, "B=other")),
        (OPTIMAL, ("R=stud", "L=stud")),
        (INFEASIBLE, (CLIP, "L=stud")),
        (INFEASIBLE, (BALL, "L=stud")),
    ],
    ids=["nothing", "two sites", "two at a site", "bar off", "bar on and off", "ball of a bar that is off"],
)
def test_structure(expected: Outcome, keys: tuple[str, ...]) -> None:
    assert expected is outcome(master_of(), *keys)


@pytest.mark.parametrize(
    ("expected", "rule", "keys"),
    [
        pytest.param(OPTIMAL, Budget(0), (), id="budget: nothing costs nothing"),
        pytest.param(OPTIMAL, Budget(2400), (CLIP, BALL), id="budget: border"),
        pytest.param(INFEASIBLE, Budget(2399), (CLIP, BALL), id="budget: a cent less"),
        pytest.param(OPTIMAL, Budget(3100), ("R=stud", "L=stud"), id="budget: bar off paid once, border"),
        pytest.param(INFEASIBLE, Budget(3099), ("R=stud", "L=stud"), id="budget: bar off paid once, a cent less"),
        pytest.param(OPTIMAL, LevelPull(0), (), id="floor: none"),
        pytest.param(INFEASIBLE, LevelPull(1), (), id="floor: nothing holds"),
        pytest.param(OPTIMAL, LevelPull(10), (CLIP, BALL), id="floor: border"),
        pytest.param(INFEASIBLE, LevelPull(10.001), (CLIP, BALL), id="floor: a millinewton more"),
        pytest.param(OPTIMAL, Held(), (CLIP, IDLE), id="held: one of two holds"),
        pytest.param(OPTIMAL, Held(), ("E=faint",), id="held: however little"),
        pytest.param(INFEASIBLE, Held(), (IDLE,), id="held: what is there may hold nothing"),
        pytest.param(INFEASIBLE, Held(), (), id="held: nothing is there"),
        pytest.param(OPTIMAL, Covered("E", 1.0, False), (BALL,), id="cover: the end is"),
        pytest.param(INFEASIBLE, Covered("E", 1.0, False), (CLIP,), id="cover: the end is not"),
        pytest.param(INFEASIBLE, Covered("E", 1.0, False), (), id="cover: nothing at all"),
        pytest.param(OPTIMAL, Covered("E", 1.0, False), ("R=stud",), id="cover: no bar, no end"),
        pytest.param(OPTIMAL, Unsplint(2), (CLIP, BALL), id="unsplint: bar on"),
        pytest.param(OPTIMAL, LinedAlone(), ("B=lines",), id="lined: a lining by itself"),
        pytest.param(INFEASIBLE, LinedAlone(), ("B=lines", BALL), id="lined: a lining beside a firm part"),
        pytest.param(OPTIMAL, LinedAlone(), (CLIP, BALL), id="lined: firm parts"),
        pytest.param(INFEASIBLE, FirmBar(("R",)), (CLIP, BALL), id="firm bar: bar on"),
        pytest.param(OPTIMAL, FirmBar(("R",)), ("R=stud",), id="firm bar: bar off"),
        pytest.param(OPTIMAL, Unsplint(2), (), id="unsplint: nothing at all"),
        pytest.param(INFEASIBLE, Unsplint(2), ("R=stud",), id="unsplint: bar off"),
        pytest.param(OPTIMAL, NoFight("whole"), (), id="fight: nothing"),
        pytest.param(OPTIMAL, NoFight("whole"), ("B=turns",), id="fight: what stops, alone"),
        pytest.param(OPTIMAL, NoFight("whole"), (SINKS,), id="fight: what gives, alone"),
        pytest.param(INFEASIBLE, NoFight("whole"), ("B=turns", SINKS), id="fight: both"),
        pytest.param(OPTIMAL, NoFight("front"), ("B=turns", SINKS), id="fight: both, where both give"),
        pytest.param(INFEASIBLE, Borne(3, 4, splinted=True), (STIFF,), id="borne: by three"),
        pytest.param(OPTIMAL, Borne(4, 4, splinted=True), (STIFF,), id="borne: by four"),
        pytest.param(INFEASIBLE, Borne(4, 4, splinted=False), (STIFF,), id="borne: by four without a bar"),
        pytest.param(INFEASIBLE, Borne(4, 4, splinted=True), POSTS, id="borne: by four that the bar has left"),
        pytest.param(OPTIMAL, Borne(2, 4, splinted=True), ("B=turns",), id="borne: something gives in a demand"),
        pytest.param(OPTIMAL, Borne(2, 4, splinted=True), (STIFF, SINKS), id="borne: something else gives"),
        pytest.param(OPTIMAL, Borne(2, 4, splinted=True), (), id="borne: nothing"),
        pytest.param(OPTIMAL, EnoughSupports(2), STUDS, id="supports: enough"),
        pytest.param(INFEASIBLE, EnoughSupports(2), STUD, id="supports: one"),
        pytest.param(OPTIMAL, EnoughSupports(2), (CLIP,), id="supports: the bar stays"),
        pytest.param(OPTIMAL, EnoughSupports(2), (), id="supports: nothing"),
    ],
)
def test_a_rule_alone(expected: Outcome, rule: Rule, keys: tuple[str, ...]) -> None:
    assert expected is outcome(master_of(rule), *keys)


@pytest.mark.parametrize(
    ("rule", "keys"),
    [
        (Budget(0), (CLIP,)),
        (LevelPull(99), ()),
        (Held(), ()),
        (Covered("E", 0.5, True), ()),
        (Unsplint(2), ("R=stud",)),
        (FirmBar(("R",)), (CLIP, BALL)),
        (LinedAlone(), ("B=lines", BALL)),
        (NoFight("whole"), ("B=turns", SINKS)),
        (Borne(2, 4, splinted=True), (STIFF,)),
        (EnoughSupports(2), STUD),
    ],
    ids=["budget", "floor", "held", "cover", "unsplint", "firm bar", "lined", "fight", "borne", "supports"],
)
def test_a_rule_that_may_be_given_up_is(rule: Rule, keys: tuple[str, ...]) -> None:
    master = master_of(rule, soft=(rule,))
    pick_exactly(master, *keys)

    found = master.solve(master.severity_of_waivers({rule: 1}), 10)

    assert OPTIMAL is found.outcome
    assert {rule} == found.given_up


@pytest.mark.parametrize(
    ("percent", "cap"), [(0, 2400), (1, 2399), (100, 1200), (140, 1000), (MOST_OVERSHOOT, 100), (0, 0)]
)
def test_a_cap_given_up_costs_by_how_much_it_is_overshot(percent: int, cap: int) -> None:
    """A clip and a ball cost 24 EUR at most; of a cap of nothing there are no per cent."""
    rule = Budget(cap)
    master = master_of(rule, soft=(rule,), weighing=True)
    pick_exactly(master, CLIP, BALL)

    found = master.solve(master.given_up, 10)

    assert OPTIMAL is found.outcome
    assert (percent, cap < 2400) == (found.over.get(rule, 0), rule in found.given_up)
    assert (100 + percent) * 1000 * (cap < 2400) == master.weight_given_up(found)
    assert master.weight_given_up(found) <= master.most_given_up


ALIKE, WHOLE = Alike(0.1, ""), WholeBar(0.3, "")


@pytest.mark.parametrize(
    ("expected", "preference", "keys"),
    [
        (OPTIMAL, WHOLE, (CLIP, BALL)),
        (INFEASIBLE, WHOLE, ("B=cut", BALL)),
        (OPTIMAL, ALIKE, STUDS),
        (INFEASIBLE, ALIKE, STUD),
        (INFEASIBLE, ALIKE, ("R=stud", "L=post")),
        (OPTIMAL, ALIKE, (CLIP, BALL)),
        (OPTIMAL, ALIKE, ()),
    ],
    ids=["bar whole", "bar cut", "the same on both", "one alone", "two different", "no mirror site", "nothing"],
)
def test_a_preference_holds_where_it_is_preferred(
    expected: Outcome, preference: Preference, keys: tuple[str, ...]
) -> None:
    master = master_of(preferences=(ALIKE, WHOLE))
    master.prefer([preference])
    assert expected is outcome(master, *keys)

    master.prefer([other for other in (ALIKE, WHOLE) if other is not preference])
    assert OPTIMAL is master.solve(None, 10).outcome


def test_an_option_that_needs_a_waiver_takes_it() -> None:
    not_allowed = NotAllowed("send_out")
    problem = small_problem(CATALOGUE, allowed={"send_out": False})
    short = next(o.needs_waived[0] for o in problem.options if o.candidate.key == "B=short")
    soft = (not_allowed, short)
    given_up = {}
    for key in ("B=sent", "B=short", CLIP):
        master = Master(problem, problem.options, Mechanics(problem), soft)
        master.model.add(master.pick[[o.candidate.key for o in master.options].index(key)] == 1)
        given_up[key] = master.solve(master.severity_of_waivers(dict.fromkeys(soft, 1)), 10).given_up

    assert {"B=sent": {not_allowed}, "B=short": {short}, CLIP: set()} == given_up


RULE = Moves("whole", 1.0)


@pytest.mark.parametrize(
    ("expected", "least", "keys"),
    [
        pytest.param(OPTIMAL, 1.0, (), id="nothing picked at a touched site: slack"),
        pytest.param(OPTIMAL, 1.0, (CLIP,), id="one touched site empty: slack"),
        pytest.param(OPTIMAL, 0.7, (CLIP, BALL), id="border"),
        pytest.param(INFEASIBLE, 0.7001, (CLIP, BALL), id="past the border"),
        pytest.param(OPTIMAL, 1.0, ("B=other", BALL), id="worth enough"),
        pytest.param(OPTIMAL, 0.1, (CLIP, BALL), id="the constant is enough"),
    ],
)
def test_a_cut(expected: Outcome, least: float, keys: tuple[str, ...]) -> None:
    """Constant 0.1; a clip is worth 0.2, any other attachment on the bar infinitely much, a ball 0.4."""
    master = master_of()
    worth: dict[str, dict[int, float]] = {"B": {}, "E": {}}
    for index, option in enumerate(master.options):
        if option.site in worth:
            worth[option.site][index] = {CLIP: 0.2, BALL: 0.4}.get(option.candidate.key, float("inf"))
    master.add(Cut(RULE, worth, 0.1, least))

    assert expected is outcome(master, *keys)


def at_b_and_e(master: Master, **worth: float) -> dict[int, float]:
    """Worths of a clip and a ball, all else at these sites being worth nothing."""
    keys = {CLIP: worth["clip"], BALL: worth["ball"]}
    return {i: keys.get(option.candidate.key, 0.0) for i, option in enumerate(master.options)}


PULL, PEEL = Pulls("front", 2), Peel(2)


@pytest.mark.parametrize(
    ("expected", "least", "keys"),
    [
        pytest.param(OPTIMAL, 0.2, (CLIP,), id="border, one site empty"),
        pytest.param(INFEASIBLE, 0.2000015, (CLIP,), id="a grain past it"),
        pytest.param(OPTIMAL, 0.4, (BALL,), id="border, the other site empty"),
        pytest.param(OPTIMAL, 0.6, (CLIP, BALL), id="border, both"),
        pytest.param(INFEASIBLE, 0.6000015, (CLIP, BALL), id="both, a grain past it"),
        pytest.param(INFEASIBLE, 0.000001, (), id="both empty"),
        pytest.param(OPTIMAL, -0.000001, (), id="nothing is enough"),
        pytest.param(OPTIMAL, -0.000001, (CLIP, BALL), id="more than enough"),
    ],
)
def test_a_linear_cut(expected: Outcome, least: float, keys: tuple[str, ...]) -> None:
    """A clip is worth 0.2 and a ball 0.4; nothing counts nothing, and rounding gives less than a grain away."""
    master = master_of()
    master.add(LinearCut(PULL, at_b_and_e(master, clip=0.2, ball=0.4), least))

    assert expected is outcome(master, *keys)


@pytest.mark.parametrize(
    ("expected", "least", "keys"),
    [
        pytest.param(INFEASIBLE, 0.0, (BALL,), id="too much elsewhere"),
        pytest.param(OPTIMAL, 0.0, (CLIP, BALL), id="made good"),
        pytest.param(INFEASIBLE, 0.1000015, (CLIP, BALL), id="not by enough"),
        pytest.param(OPTIMAL, -0.3, (BALL,), id="no more than may be missing"),
    ],
)
def test_a_linear_cut_of_worths_of_either_sign(expected: Outcome, least: float, keys: tuple[str, ...]) -> None:
    """As of a share: a clip brings 0.4 above what it asks, a ball 0.3 less."""
    master = master_of()
    master.add(LinearCut(PULL, at_b_and_e(master, clip=0.4, ball=-0.3), least))

    assert expected is outcome(master, *keys)


@pytest.mark.parametrize("worth", [{"clip": 0.2, "ball": 0.4}, {"clip": 0.2, "ball": -0.4}], ids=["all", "some"])
def test_a_linear_cut_sleeps_where_its_rule_is_given_up(worth: dict[str, float]) -> None:
    for soft, expected in (((), INFEASIBLE), ((PULL,), OPTIMAL)):
        master = master_of(soft=soft)
        master.add(LinearCut(PULL, at_b_and_e(master, **worth), 1.0))
        assert expected is outcome(master, BALL)


@pytest.mark.parametrize(("percent", "key"), [(0, "B=clip"), (40, "B=other"), (100, "B=cut")])
def test_a_linear_cut_is_paid_for_by_the_per_cent(percent: int, key: str) -> None:
    """2 N are asked; a clip is worth all of them, the other 1.2 N, the one that is cut in nothing."""
    master = master_of(soft=(PULL,), weighing=True)
    worths = {"B=clip": 2.0, "B=other": 1.2}
    worth = {i: worths.get(option.candidate.key, 0.0) for i, option in enumerate(master.options)}
    master.add(LinearCut(PULL, worth, 2.0, slack_per_cent=0.02))
    pick_exactly(master, key)

    found = master.solve(master.given_up, 10)

    assert (OPTIMAL, percent) == (found.outcome, found.over[PULL])
    assert (PULL in found.given_up) is (percent > 0)


def covering(master: Master, *keys: str) -> dict[str, tuple[int, ...]]:
    return {
        site: tuple(i for i in master.at[site] if master.options[i].candidate.key in keys)
        for site in {key.partition("=")[0] for key in keys}
    }


COVER = (CLIP, "B=other", BALL)


@pytest.mark.parametrize(
    ("expected", "keys"),
    [
        (INFEASIBLE, (CLIP, BALL)),
        (INFEASIBLE, ("B=other", BALL)),
        (OPTIMAL, (CLIP,)),
        (OPTIMAL, (BALL,)),
        (OPTIMAL, ("B=cut", BALL)),
        (OPTIMAL, ()),
    ],
    ids=["all sites covered", "by another", "one bare", "the other bare", "one by what does not cover", "nothing"],
)
def test_a_cover_cut(expected: Outcome, keys: tuple[str, ...]) -> None:
    master = master_of()
    master.add(CoverCut(PEEL, covering(master, *COVER), 30))

    assert expected is outcome(master, *keys)


@pytest.mark.parametrize(("percent", "keys"), [(30, (CLIP, BALL)), (0, (CLIP,)), (0, ("B=cut", BALL))])
def test_a_cover_cut_is_paid_for_by_the_per_cent(percent: int, keys: tuple[str, ...]) -> None:
    master = master_of(soft=(PEEL,), weighing=True)
    master.add(CoverCut(PEEL, covering(master, *COVER), 30))
    pick_exactly(master, *keys)

    found = master.solve(master.given_up, 10)

    assert (OPTIMAL, percent) == (found.outcome, found.over[PEEL])
    assert (PEEL in found.given_up) is (percent > 0)


@pytest.mark.parametrize(
    ("expected", "keys"),
    [
        (INFEASIBLE, (CLIP, BALL)),
        (OPTIMAL, (CLIP, SINKS)),
        (OPTIMAL, (CLIP,)),
        (INFEASIBLE, ("B=other", BALL)),
    ],
    ids=["covered, not enough", "not covered", "one bare", "covered by another, not enough"],
)
def test_a_cover_cut_that_asks_for_worth(expected: Outcome, keys: tuple[str, ...]) -> None:
    """Where both sites are covered, 0.7 must be there: a clip is worth 0.2 and a ball 0.4."""
    for rules, outcomes in (((), expected), ((PEEL,), OPTIMAL)):
        master = master_of(soft=rules)
        worth = at_b_and_e(master, clip=0.2, ball=0.4)
        master.add(CoverCut(PEEL, covering(master, *COVER), 0, worth, 0.7))
        assert outcomes is outcome(master, *keys)


def test_a_cover_cut_is_met_by_worth_enough() -> None:
    master = master_of()
    master.add(CoverCut(PEEL, covering(master, *COVER), 0, at_b_and_e(master, clip=0.2, ball=0.4), 0.6))

    assert OPTIMAL is outcome(master, CLIP, BALL)


@pytest.mark.parametrize(
    ("expected", "keys"),
    [(INFEASIBLE, (CLIP,)), (OPTIMAL, (CLIP, BALL)), (OPTIMAL, ()), (OPTIMAL, (BALL,))],
    ids=["this mix", "a larger one", "a smaller one", "another"],
)
def test_a_mix_that_misses_a_rule_is_out_and_no_other(expected: Outcome, keys: tuple[str, ...]) -> None:
    for soft, outcomes in (((), expected), ((PULL,), OPTIMAL)):
        master = master_of(soft=soft)
        master.add(MixCut(PULL, (index_of(master, CLIP),), 30))
        assert outcomes is outcome(master, *keys)


@pytest.mark.parametrize(
    ("percent", "keys"), [(30, (CLIP,)), (0, (CLIP, BALL)), (0, ())], ids=["this", "larger", "smaller"]
)
def test_of_a_mix_the_amount_is_known(percent: int, keys: tuple[str, ...]) -> None:
    master = master_of(soft=(PULL,), weighing=True)
    master.add(MixCut(PULL, (index_of(master, CLIP),), 30))
    pick_exactly(master, *keys)

    assert percent == master.solve(master.given_up, 10).over[PULL]


@pytest.mark.parametrize(
    ("grip", "cuts", "keys"),
    [
        (500, [], (CLIP,)),
        (1000, [], (CLIP, BALL)),
        (0, [], ()),
        (150, [LinearCut(None, {}, -1e-5, grip=True)], (CLIP,)),
        (123, [MixCut(None, (), grip=123)], (CLIP,)),
        (1000, [MixCut(None, (), grip=123)], (CLIP, BALL)),
    ],
    ids=["all of its hold", "of both", "nothing", "a lift field", "of this mix", "of no larger one"],
)
def test_the_least_pull_is_no_more_than_its_cuts_leave(grip: int, cuts: list[AnyCut], keys: tuple[str, ...]) -> None:
    """A clip and a ball hold 5 N each; by the lift field a clip is worth 1.499995 N, to rounding 1.5."""
    master = master_of()
    worth = {index_of(master, CLIP): 1.499995, index_of(master, BALL): 0.0}
    for cut in cuts:
        if isinstance(cut, MixCut):
            master.add(replace(cut, picked=(index_of(master, CLIP),)))
        elif isinstance(cut, LinearCut):
            master.add(replace(cut, worth=worth))
    pick_exactly(master, *keys)

    found = master.solve(-master.grip, 10)

    assert (OPTIMAL, grip) == (found.outcome, found.grip)


def index_of(master: Master, key: str) -> int:
    return [option.candidate.key for option in master.options].index(key)


@pytest.mark.parametrize(
    ("expected", "together", "keys"),
    [
        (OPTIMAL, (), (CLIP,)),
        (INFEASIBLE, (CLIP,), (CLIP,)),
        (INFEASIBLE, (CLIP,), (CLIP, BALL)),
    ],
    ids=["not proved", "proved", "proved of larger ones"],
)
def test_what_is_proved_to_fail_is_out_though_rounding_leaves_it(
    expected: Outcome, together: tuple[str, ...], keys: tuple[str, ...]
) -> None:
    """A clip misses by less than a grain."""
    master = master_of()
    worth = {"B": dict.fromkeys(master.at["B"], 1.0) | {index_of(master, CLIP): 0.4999999}}
    master.add(Cut(RULE, worth, 0.0, 0.5, together=tuple(index_of(master, key) for key in together)))

    assert expected is outcome(master, *keys)


@pytest.mark.parametrize(
    ("expected", "exactly", "keys"),
    [
        (INFEASIBLE, True, (CLIP,)),
        (OPTIMAL, True, (CLIP, BALL)),
        (OPTIMAL, True, ()),
        (INFEASIBLE, False, (CLIP,)),
        (INFEASIBLE, False, (CLIP, BALL)),
        (OPTIMAL, False, (BALL,)),
    ],
    ids=["itself", "larger one stays", "smaller one stays", "these together", "in a larger one", "without it"],
)
def test_forbidding(expected: Outcome, exactly: bool, keys: tuple[str, ...]) -> None:
    master = master_of()
    master.forbid([[o.candidate.key for o in master.options].index(CLIP)], exactly=exactly)

    assert expected is outcome(master, *keys)


def test_cost_goes_before_questions_before_parts() -> None:
    """Asked to fill the bar: the three clips cost 12, `asks` hangs on an answer."""
    master = master_of(Covered("B", 0, False))

    picked = master.solve(best_first(master.problem, master.options), 10).picked

    assert [CLIP] == [master.options[i].candidate.key for i in picked]


def test_no_time_is_undecided_and_never_infeasible() -> None:
    """Eleven segments with 60 parts each cannot be read, let alone solved, in a millisecond."""
    large = problem_of(*large_world())
    master = Master(large, large.options, Mechanics(large))

    assert Solved(Outcome.UNDECIDED) == master.solve(best_first(large, large.options), 0.0)


@pytest.mark.parametrize("objective", [True, False], ids=["cost", "any mix"])
def test_no_time_is_undecided_however_small_the_case(objective: bool) -> None:
    master = master_of()

    assert Solved(Outcome.UNDECIDED) == master.solve(master.cost_high if objective else None, 0.0)


THREE_PLACES = "B=clip", "C=clip", "E=ball"


@pytest.mark.parametrize(
    ("expected", "keys"),
    [
        (OPTIMAL, THREE_PLACES),
        (INFEASIBLE, ("B=clip", "C=clip")),
        (INFEASIBLE, (CLIP, BALL)),
        (INFEASIBLE, (BALL,)),
        (OPTIMAL, STUDS),
    ],
    ids=["two clips and a ball", "the ball is left", "two places", "the end alone", "bar off"],
)
def test_three_points_hold_where_they_are_preferred(expected: Outcome, keys: tuple[str, ...]) -> None:
    """The rule judges a mix as the master lets it through."""
    rule = ThreePoints(0.4, "")
    bar = {"section": "round", "width_mm": 1.8, "undercut_mm": 0.3, "alloy": "titanium-alloy"}
    wide = small_problem(
        CATALOGUE, supports={"X": {"at_mm": [-30, 0, 0]}}, segments={"C": {"between": ["R", "X"], **bar}}
    )
    problem = replace(wide, preferences=(rule,))
    mechanics = Mechanics(problem)
    options = [option for option in problem.options if not option.needs_waived]
    master = Master(problem, options, mechanics)
    master.prefer([rule])

    assert expected is outcome(master, *keys)
    mix = assess(problem, mechanics, (problem.option_of[key] for key in keys))
    assert rule.kept(mix) is (expected is OPTIMAL)
