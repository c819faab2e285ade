"""The mix that makes goals least, in order and within limits, is the one that trying every mix finds."""

from __future__ import annotations

import pytest

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.choose.goals import COST, HOLD, YEARS
from solver.choose.master import Master, Outcome, Solved
from solver.choose.search import Choice, Goal, Options, choose_least
from tests.cli.test_aftercare import CHEAP, LASTING
from tests.solver.small import band, part, small_problem, step, stock
from tests.solver.trying_all import FIT, GIVE, problem, standing

GOALS: dict[str, tuple[Goal, ...]] = {
    "cost, hold": (COST.goal, HOLD.goal),
    "hold, cost": (HOLD.goal, COST.goal),
    "years, hold": (YEARS.goal, HOLD.goal),
    "level pull, cost": (Goal(lambda m: -m.hold_low, lambda mix: -round(1000 * mix.low_n)), COST.goal),
    "cost": (COST.goal,),
    "none": (),
}
PRUNABLE = {"level pull, cost", "cost", "none"}


def least(asked: Problem, *goals: Goal, at_most: tuple[tuple[Goal, int], ...] = (), prune: bool = False) -> Choice:
    return choose_least(asked, Mechanics(asked), Options(), goals, at_most, prune=prune)


def reached(mix: Assessment, goals: tuple[Goal, ...]) -> tuple[int, ...]:
    """The goals in order, then what makes one mix better than another."""
    questions, parts = len(mix.questions), sum(candidate.parts for candidate in mix.mix)
    return (*(goal.of(mix) for goal in goals), mix.cost.high, questions, parts)


@pytest.mark.parametrize("goals", GOALS)
@pytest.mark.parametrize("seed", [*FIT[:12:2], *FIT[10:], *GIVE[:4]])
def test_the_goals_are_made_least_in_order(seed: int, goals: str) -> None:
    asked, wanted = problem(seed), GOALS[goals]
    best = sorted(reached(mix, wanted) for mix in standing(seed))[:1]

    for prune in (False, True) if goals in PRUNABLE else (False,):
        found = least(asked, *wanted, prune=prune)
        assert best == [reached(mix, wanted) for mix in found.mixes]
        assert (Outcome.OPTIMAL if best else Outcome.INFEASIBLE) is found.outcome


@pytest.mark.parametrize("seed", FIT)
def test_a_limit_is_kept_and_may_be_met(seed: int) -> None:
    """Of all values of the least pull each in turn is the limit: the cheapest mix that takes at least so much."""
    asked, mixes = problem(seed), standing(seed)
    values = sorted({HOLD.goal.of(mix) for mix in mixes})

    for most in (values[0] - 1, *values[:3], values[-1]):
        within = [mix for mix in mixes if HOLD.goal.of(mix) <= most]
        found = least(asked, COST.goal, at_most=((HOLD.goal, most),))
        assert sorted(mix.cost.high for mix in within)[:1] == [mix.cost.high for mix in found.mixes]
        assert all(HOLD.goal.of(mix) <= most for mix in found.mixes)
        assert (Outcome.OPTIMAL if within else Outcome.INFEASIBLE) is found.outcome


CLIPS = stock(
    part("cheap", price=band(5, 5), retention_n=band(5, 9)),
    part("firm", price=band(9, 9), retention_n=band(8, 9)),
    part("firm-dear", price=band(10, 10), retention_n=band(8, 9)),
    part("sent", price=band(0, 0), retention_n=band(30, 30), steps=["send"]),
    steps=(step("send", "segment", always_with=True, permissions=["send_out"]),),
)


@pytest.mark.parametrize(
    ("expected", "goals", "at_most"),
    [
        ("cheap", (COST.goal, HOLD.goal), ()),
        ("firm", (HOLD.goal, COST.goal), ()),
        ("firm", (HOLD.goal,), ()),
        ("cheap", (), ()),
        ("firm", (COST.goal,), ((HOLD.goal, -243),)),
        ("cheap", (HOLD.goal,), ((COST.goal, 899),)),
        ("firm", (HOLD.goal,), ((COST.goal, 900),)),
    ],
    ids=["cost first", "hold first", "of equals the best", "no goal", "held at least", "a cent less", "border"],
)
def test_goals_of_one_clip(expected: str, goals: tuple[Goal, ...], at_most: tuple[tuple[Goal, int], ...]) -> None:
    """What needs work that is not allowed is no choice, though it is best in every respect.

    The weaker side takes 0.305 of the retention: 2.4397 N of 8.
    """
    asked = small_problem(CLIPS, wanted={"level_n": 5}, allowed={"send_out": False})

    for prune in (False, True):
        (mix,) = least(asked, *goals, at_most=at_most, prune=prune).mixes
        assert [expected] == [option.candidate.attachment.id for option in mix.options]


def test_what_costs_less_to_fit_stands_for_nothing_that_lasts_unless_it_may() -> None:
    """Only without `prune` is the least over the years found."""
    asked = small_problem(stock(CHEAP, LASTING), wanted={"level_n": 4}, money={"years": 3})

    (mix,) = least(asked, YEARS.goal, prune=False).mixes

    assert ["lasting"] == [option.candidate.attachment.id for option in mix.options]


@pytest.mark.parametrize("times", [0, 1, 2])
def test_time_that_runs_out_on_the_way_leaves_no_verdict(times: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Two goals and the best of their mixes are three questions; cut off before any of them nothing is known."""
    asked = small_problem(CLIPS, wanted={"level_n": 5})
    whole, done = Master.solve, [0]

    def solve(self: Master, objective: object, time_limit_s: float) -> object:
        done[0] += 1
        return whole(self, objective, time_limit_s) if done[0] <= times else Solved(Outcome.UNDECIDED)

    monkeypatch.setattr(Master, "solve", solve)

    found = least(asked, COST.goal, HOLD.goal)

    assert (Outcome.UNDECIDED, ()) == (found.outcome, found.mixes)
