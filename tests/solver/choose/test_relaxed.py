"""What is given up where nothing keeps every rule: amounts count, exactly, however far a limit is overshot."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.assessment import Assessment, Status
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.rule_set import MOST_OVERSHOOT
from solver.case.rules import Borne, Budget, Held, NoFight, Peel
from solver.case.schema import DEMANDS
from solver.choose.cutter import grip_of
from solver.choose.master import Outcome
from solver.choose.plan import plan
from solver.choose.search import LEAST_PULL, Choice, Options, choose_least, choose_relaxed
from solver.explain.algorithms import Verdict
from solver.explain.rule_switches import Switches
from tests.solver.choose.test_balance import five
from tests.solver.small import band, part, preferring, small_case, small_problem, stock

HEELS = {"heel_left": [26, -10], "heel_right": [-26, -10]}
"""A clip on the bar holds 30 mm in front of them and is pulled 38 mm in front of them at the front."""


def relaxed(asked: Problem) -> Choice:
    """Soon, for a search that goes round in circles would take all the time there is."""
    return choose_relaxed(asked, Mechanics(asked), Options(time_limit_s=4))


def best(asked: Problem) -> Assessment:
    found = relaxed(asked)
    assert Outcome.OPTIMAL is found.outcome
    assert found.best is not None
    return found.best


def clip(name: str, low_n: float, high_n: float | None = None, price: float = 10, **more: Any) -> dict[str, Any]:
    return part(name, retention_n=band(low_n, high_n or low_n), price=band(price, price), **more)


@pytest.mark.parametrize(
    ("percent", "cap"), [(100, 5), (900, 1), (1000, 0.9), (1000, 0.01), (0, 0)],
    ids=["twice", "ten times", "more than eleven times", "a thousand times", "a cap of nothing"],
)  # fmt: skip
def test_a_cap_may_be_given_up_however_far_below_every_plan_it_lies(percent: int, cap: float) -> None:
    found = best(small_problem(stock(clip("clip", 5)), money={"cap": cap}))

    assert [(Budget(round(100 * cap)), min(percent, MOST_OVERSHOOT))] == [(g.rule, g.percent) for g in found.given_up]
    assert Status.RELAXED is plan(small_case(money={"cap": cap}), stock(clip("clip", 5))).status


@pytest.mark.parametrize(
    ("percent", "most_n"), [(22, 2), (1000, 0.2), (1000, 0.001), (0, 0)],
    ids=["a fifth", "more than eleven times", "a thousand times", "a hand that lifts nothing"],
)  # fmt: skip
def test_so_may_the_most_that_a_hand_can_do(percent: int, most_n: float) -> None:
    """The easiest edge takes 0.305 of 8 N."""
    found = best(small_problem(stock(clip("clip", 5, 8)), wanted={"most_n": most_n}))

    assert [(Peel(most_n), percent)] == [(each.rule, each.percent) for each in found.given_up]


def test_48_n_against_15_is_harder_to_give_up_than_16() -> None:
    """The firm clip is cheaper by half; 0.305 of 157 N is 48 N, of 52.4 N 16."""
    firm, mild = clip("firm", 5, 157.5, price=5), clip("mild", 5, 52.4, price=10)

    found = best(small_problem(stock(firm, mild), wanted={"most_n": 15}))

    assert ["B=mild"] == list(found.keys)
    assert [7] == [each.percent for each in found.given_up]


def test_among_equals_in_amount_the_cheapest_is_taken() -> None:
    """A third over or twice as far, a euro more: per cent count before money; a tenth of a per cent is none."""
    near, as_near, far = clip("near", 4, price=30), clip("as-near", 4.0001, price=31), clip("far", 3, price=5)

    found = best(small_problem(stock(near, as_near, far), wanted={"pull_n": {"front": 20}}))

    assert ["B=near"] == list(found.keys)


@pytest.mark.parametrize("least_n", [0.3, 1, 1.7, 2, 2.3, 50])
@pytest.mark.parametrize("percent", [1, 37, 50, 99])
@pytest.mark.parametrize("off_n", [0.0, 0.9e-6, 1.5e-6, 1e-5, 3e-5])
def test_a_pull_that_lies_a_rounding_under_a_whole_per_cent_is_settled(
    least_n: float, percent: int, off_n: float
) -> None:
    """An amount that the search and the mix round differently would be cut for ever."""
    taken_n = least_n * (1 - percent / 100) - off_n
    asked = small_problem(
        stock(clip("clip", taken_n * 38 / 30)), wanted={"pull_n": {"front": least_n}}, denture=HEELS
    )
    found = best(asked)

    assert taken_n == pytest.approx(found.hold_n("front"), abs=1e-9)
    (given,) = found.given_up
    assert given.percent in (percent, percent + 1)


@pytest.mark.parametrize("off_n", [0.9e-6, 2e-6, 1e-5, 2e-5])
def test_a_pull_a_rounding_under_what_is_asked_is_settled(off_n: float) -> None:
    """Within a millionth it is kept; else it is given up, by a per cent or by none."""
    taken_n = 10 - off_n
    asked = small_problem(stock(clip("clip", taken_n * 38 / 30)), wanted={"pull_n": {"front": 10}}, denture=HEELS)
    found = best(asked)

    assert (off_n < 1e-6) is (found.given_up == ())


@pytest.mark.parametrize("over_n", [0.9e-6, 2e-6, 1e-5, 2e-5])
def test_a_peel_a_rounding_over_what_the_hand_can_do_is_settled(over_n: float) -> None:
    free = best(small_problem(stock(clip("clip", 20, 60))))
    asked = small_problem(stock(clip("clip", 20, 60)), wanted={"most_n": free.peel_n - over_n})
    found = best(asked)

    assert (over_n < 1e-6) is (found.given_up == ())


@pytest.mark.parametrize("off", [0.0, 2e-4, 6e-4, 1.5e-3, 0.5])
def test_a_least_pull_a_rounding_under_a_hundredth_is_settled(off: float) -> None:
    """Counted in hundredths of a newton, by the search as by the mix."""
    one = best(small_problem(stock(clip("clip", 5))))
    asked = small_problem(stock(clip("clip", 5 * (200 - off) / 100 / one.weakest.hold_n)))
    found = choose_least(asked, Mechanics(asked), Options(time_limit_s=4), [LEAST_PULL])

    assert Outcome.OPTIMAL is found.outcome
    assert found.best is not None
    assert (200 if off < 1e-3 else 199) == grip_of(found.best)


def test_what_is_given_up_by_less_is_not_given_away_for_balance() -> None:
    """Of five stretches alike B4 on the left misses the pull there by least; a clip in the middle would balance."""
    once = {"money": {"cap": 12}, "severity": {"budget": 100, "pulls": 1}}
    asked = five(0, wanted={"pull_n": {"left": 9}}, **once)
    taken_n = {o.site: Mechanics(asked).pull([o], "left", Condition.NEW).hold_n for o in asked.options}

    assert "B4" == max(taken_n, key=lambda site: taken_n[site])
    assert ["B4=clip"] == list(best(asked).keys)


STANDS = preferring(stock(part("stiff", movement={}), part("turns", "ball", "end", movement={})), in_kind=0.5)


def test_a_rule_that_is_kept_is_kept_though_parts_may_fight() -> None:
    """What only stands is borne by two supports: giving up that parts do not fight opens no mix."""
    asked = Switches(small_problem(STANDS, wanted={"movement": dict.fromkeys(DEMANDS, 0)}), Options())
    borne, held = (next(r for r in asked.every if isinstance(r, kind)) for kind in (Borne, Held))
    fights = [rule for rule in asked.every if isinstance(rule, NoFight)]

    assert 4 == len(fights)
    assert Verdict.NO is asked.feasible(frozenset({borne, held, *fights}))
    assert Verdict.NO is asked.feasible(frozenset({borne, held}))
    assert Verdict.YES is asked.feasible(frozenset({held, *fights}))
    assert Verdict.YES is asked.feasible(frozenset({borne}))
