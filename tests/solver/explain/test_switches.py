"""Rules as switches: any set of them may be kept, and one question leaves nothing behind for the next."""

from __future__ import annotations

import random

import pytest

from solver.assess.assessment import Assessment
from solver.case.rules import Budget, LevelPull, Moves
from solver.choose.master import Outcome
from solver.choose.search import LEAST_PULL, Options
from solver.explain.algorithms import Verdict
from solver.explain.rule_switches import Switches, hard_rules, soft_rules
from tests.solver.small import FREE, band, need, part, small_problem, stock
from tests.solver.trying_all import FIT, GIVE, mixes, problem

CHEAP = part("cheap", price=band(10, 10), retention_n=band(6, 20))
FIRM = part("firm", price=band(30, 30), retention_n=band(9, 20))
DEAR = part("dear", price=band(50, 50), retention_n=band(9, 20))


def switches(cap: int = 100) -> Switches:
    return Switches(
        small_problem(stock(CHEAP, FIRM, DEAR), money={"cap": cap}, wanted={"level_n": 5, "most_n": 30}), Options()
    )


def names(chosen: Assessment | None) -> list[str]:
    assert chosen is not None
    return [option.candidate.attachment.id for option in chosen.options]


def test_a_goal_comes_before_the_cost_and_the_cost_decides_among_equals() -> None:
    asked = switches()

    assert ["firm"] == names(asked.best(asked.every, LEAST_PULL)[1])


def test_a_goal_reached_before_binds_no_later_question() -> None:
    asked = switches()
    asked.best(asked.every, LEAST_PULL)

    assert ["cheap"] == names(asked.best(asked.every)[1])
    (goal,) = (each for each in asked.master.model.proto.variables if each.name == "at the goal")
    assert [0, 0] == list(goal.domain)


def test_a_goal_under_rules_that_clash_has_no_mix() -> None:
    asked = switches(cap=5)

    assert (Outcome.INFEASIBLE, None) == asked.best(asked.every, LEAST_PULL)


def test_feasible_is_asked_of_the_rules_kept_and_answers_the_same_twice() -> None:
    """With 5 EUR nothing holds 5 N: either rule may stand alone, both may not."""
    asked = switches(cap=5)
    budget, hold = (frozenset(rule for rule in asked.soft if isinstance(rule, kind)) for kind in (Budget, LevelPull))

    for _ in range(2):
        assert Verdict.NO is asked.feasible(budget | hold)
        assert Verdict.YES is asked.feasible(budget)
        assert Verdict.YES is asked.feasible(hold)
        assert Verdict.YES is asked.feasible(frozenset(asked.hard))


def test_only_what_the_best_mix_breaks_is_named() -> None:
    """All soft rules given up: the cheapest clip holds enough and breaks the cap alone."""
    asked = switches(cap=5)
    found = asked.best(asked.hard)[1]

    assert ["cheap"] == names(found)
    assert found is not None
    assert [Budget] == [type(each.rule) for each in found.given_up]


def test_a_mix_holds_what_its_parts_hold_together() -> None:
    asked = switches()
    found = asked.best(asked.every)[1]
    assert found is not None

    assert (6, 20, 1000, ()) == (found.low_n, found.high_n, found.cost.high, found.given_up)
    assert found.cost is found.paid("now")
    assert found.cost_years is found.paid("years")


def test_a_mix_tells_by_how_much_the_whole_base_sinks_too_little() -> None:
    """The clip gives by 0.15 of the 0.3 mm of settling: half, though each point of the base alone sinks in full."""
    half = part("half", movement={**FREE, "down_mm": 0.15})
    asked = Switches(small_problem(stock(half), wanted={"level_n": 5}), Options())
    found = asked.best([rule for rule in asked.every if rule != Moves("whole", 1.0)])[1]
    assert found is not None
    (given_up,) = found.given_up

    assert Moves("whole", 1.0) == given_up.rule
    assert pytest.approx(0.5) == given_up.amount


def test_a_mix_hangs_on_what_its_parts_hang_on_each_thing_once() -> None:
    """Two needs on one gap, and a third on the height; the ball on the end has none."""
    gap, height = need("gap_mm", at_least=1), need("height_mm", at_least=1)
    clip, ball = part("clip", needs=[gap, height, need("gap_mm", at_most=9)]), part("ball", "ball", "end")
    asked = Switches(small_problem(stock(clip, ball), wanted={"level_n": 10}), Options())
    found = asked.best(asked.every)[1]
    assert found is not None

    assert ["segments.B.gap_mm", "segments.B.height_mm"] == [*map(str, found.questions)]


@pytest.mark.parametrize("seed", [*FIT[:6], *GIVE])
def test_a_set_of_rules_is_feasible_where_some_mix_keeps_it(seed: int) -> None:
    """By chance: of all rules, those of physics among them, about half are kept."""
    asked, dice = problem(seed), random.Random(seed)
    search = Switches(asked, Options())
    assert (*soft_rules(asked), *hard_rules(asked)) == search.every

    for _ in range(12):
        kept = frozenset(rule for rule in search.every if dice.random() < 0.5)
        expected = any(not mix.rules & kept for mix in mixes(seed))
        assert (Verdict.YES if expected else Verdict.NO) is search.feasible(kept)
