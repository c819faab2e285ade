"""Each rule of the master alone: free, broken, at its border and one past it; the exact outcome every time."""

from __future__ import annotations

from dataclasses import replace

import pytest

from solver.cuts import Cut
from solver.master import Master, Outcome
from solver.problem import problem_of
from solver.ranking import best_first
from solver.rules import Budget, Covered, Held, HoldCeiling, LevelPull, Moves, NotAllowed, Rule, Unsplint
from tests.solver.small import band, large_world, need, part, small_problem, step, stock, waive

OPTIMAL, INFEASIBLE = Outcome.OPTIMAL, Outcome.INFEASIBLE
CATALOGUE = stock(
    part("clip"),
    part("other"),
    part("asks", needs=[need("gap_mm", at_least=1)]),
    part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("sent", steps=["send"]),
    part("ball", "ball", "end"),
    part("idle", "ball", "end", retention_n=band(0, 3)),
    part("faint", "ball", "end", retention_n=band(0.1, 3)),
    part("stud", "stud", "support", steps=["off"]),
    steps=(
        step("send", "segment", always_with=True, permissions=["send_out"]),
        step("off", "support", always_with=True, once=True, price=band(7, 7)),
    ),
)
CLIP, BALL, IDLE = "B=clip", "E=ball", "E=idle"


def master_of(*rules: Rule, soft: tuple[Rule, ...] = ()) -> Master:
    """A master with just these rules, over the options that need no waiver."""
    problem = replace(small_problem(CATALOGUE), rules=rules)
    return Master(problem, [option for option in problem.options if not option.needs_waived], soft)


def pick_exactly(master: Master, *keys: str) -> None:
    for x, option in zip(master.pick, master.options, strict=True):
        master.model.add(x == int(option.candidate.key in keys))


def outcome(master: Master, *keys: str) -> Outcome:
    """With exactly these candidates picked."""
    pick_exactly(master, *keys)
    return master.solve(master.cost_high, 10)[0]


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
        pytest.param(OPTIMAL, Peel(0), (), id="ceiling: nothing to pull"),
        pytest.param(OPTIMAL, Peel(16), (CLIP, BALL), id="ceiling: border"),
        pytest.param(INFEASIBLE, Peel(15.999), (CLIP, BALL), id="ceiling: a millinewton less"),
        pytest.param(OPTIMAL, Covered("E", 1.0, False), (BALL,), id="cover: the end is"),
        pytest.param(INFEASIBLE, Covered("E", 1.0, False), (CLIP,), id="cover: the end is not"),
        pytest.param(INFEASIBLE, Covered("E", 1.0, False), (), id="cover: nothing at all"),
        pytest.param(OPTIMAL, Covered("E", 1.0, False), ("R=stud",), id="cover: no bar, no end"),
        pytest.param(OPTIMAL, Unsplint(2), (CLIP, BALL), id="unsplint: bar on"),
        pytest.param(OPTIMAL, Unsplint(2), (), id="unsplint: nothing at all"),
        pytest.param(INFEASIBLE, Unsplint(2), ("R=stud",), id="unsplint: bar off"),
    ],
)
def test_a_rule_alone(expected: Outcome, rule: Rule, keys: tuple[str, ...]) -> None:
    assert expected is outcome(master_of(rule), *keys)


@pytest.mark.parametrize(
    ("rule", "keys"),
    [
        (Budget(0), (CLIP,)),
        (LevelPull(99), ()),
        (Peel(0), (CLIP,)),
        (Covered("E", 0.5, True), ()),
        (Unsplint(2), ("R=stud",)),
    ],
    ids=["budget", "floor", "ceiling", "cover", "unsplint"],
)
def test_a_rule_that_may_be_given_up_is(rule: Rule, keys: tuple[str, ...]) -> None:
    master = master_of(rule, soft=(rule,))
    pick_exactly(master, *keys)

    found, _, given_up = master.solve(master.severity_of_waivers({rule: 1}), 10)

    assert OPTIMAL is found
    assert {rule} == given_up


def test_an_option_that_needs_a_waiver_takes_it() -> None:
    not_allowed = NotAllowed("send_out")
    problem = small_problem(CATALOGUE, allowed={"send_out": False})
    short = next(o.needs_waived[0] for o in problem.options if o.candidate.key == "B=short")
    soft = (not_allowed, short)
    given_up = {}
    for key in ("B=sent", "B=short", CLIP):
        master = Master(problem, problem.options, soft)
        master.model.add(master.pick[[o.candidate.key for o in master.options].index(key)] == 1)
        given_up[key] = master.solve(master.severity_of_waivers(dict.fromkeys(soft, 1)), 10)[2]

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


@pytest.mark.parametrize(
    ("expected", "least", "keys"),
    [
        pytest.param(OPTIMAL, 0.2, (CLIP,), id="border, one site empty"),
        pytest.param(INFEASIBLE, 0.2000015, (CLIP,), id="a grain past it"),
        pytest.param(OPTIMAL, 0.4, (BALL,), id="border, the other site empty"),
        pytest.param(OPTIMAL, 0.6, (CLIP, BALL), id="border, both"),
        pytest.param(INFEASIBLE, 0.6000015, (CLIP, BALL), id="both, a grain past it"),
        pytest.param(INFEASIBLE, 0.000001, (), id="both empty"),
    ],
)
def test_a_cut_that_empty_sites_do_not_slacken(expected: Outcome, least: float, keys: tuple[str, ...]) -> None:
    """A clip is worth 0.2 and a ball 0.4; nothing counts nothing, and rounding gives less than a grain away."""
    master = master_of()
    indices = {option.candidate.key: index for index, option in enumerate(master.options)}
    worth = {"B": {indices[CLIP]: 0.2}, "E": {indices[BALL]: 0.4}}
    worth = {site: dict.fromkeys(master.at[site], 0.0) | worth[site] for site in worth}
    master.add(Cut(RULE, worth, 0.0, least, empty_is_slack=False))

    assert expected is outcome(master, *keys)


@pytest.mark.parametrize(
    ("expected", "together", "exactly", "keys"),
    [
        (OPTIMAL, (), False, (CLIP,)),
        (INFEASIBLE, (CLIP,), False, (CLIP,)),
        (INFEASIBLE, (CLIP,), False, (CLIP, BALL)),
        (INFEASIBLE, (CLIP,), True, (CLIP,)),
        (OPTIMAL, (CLIP,), True, (CLIP, BALL)),
        (INFEASIBLE, (), True, ()),
    ],
    ids=["not proved", "proved", "proved of larger ones", "of this mix", "of this mix only", "of nothing at all"],
)
def test_what_is_proved_to_fail_is_out_though_rounding_leaves_it(
    expected: Outcome, together: tuple[str, ...], exactly: bool, keys: tuple[str, ...]
) -> None:
    """A clip misses by less than a grain."""
    master = master_of()
    indices = {option.candidate.key: index for index, option in enumerate(master.options)}
    worth = {"B": dict.fromkeys(master.at["B"], 1.0) | {indices[CLIP]: 0.4999999}}
    master.add(Cut(RULE, worth, 0.0, 0.5, together=tuple(indices[key] for key in together), exactly=exactly))

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

    picked = master.solve(best_first(master.problem, master.options), 10)[1]

    assert [CLIP] == [master.options[i].candidate.key for i in picked]


def test_no_time_is_undecided_and_never_infeasible() -> None:
    """Eleven segments with 60 parts each cannot be read, let alone solved, in a millisecond."""
    large = problem_of(*large_world())
    master = Master(large, large.options)

    found, picked, given_up = master.solve(best_first(large, large.options), 0.0)

    assert (Outcome.UNDECIDED, (), frozenset()) == (found, picked, given_up)


@pytest.mark.parametrize("objective", [True, False], ids=["cost", "any mix"])
def test_no_time_is_undecided_however_small_the_case(objective: bool) -> None:
    master = master_of()

    assert (Outcome.UNDECIDED, (), frozenset()) == master.solve(master.cost_high if objective else None, 0.0)
