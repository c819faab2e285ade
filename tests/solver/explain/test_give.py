"""What has to give in small cases that are seen through by hand."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from solver.case.rules import Peel
from solver.choose.master import Master, Outcome, Solved
from solver.explain.algorithms import Ending
from solver.explain.waivers import Footing, Give
from tests.solver.small import band, need, part, small_case, step, stock, waive


def searched(give: Give) -> Give:
    for _ in give.steps():
        pass
    return give


def test_two_rules_that_must_go_together() -> None:
    """The only clip costs 12 EUR and is cut into the bar; without it nothing holds the denture."""
    shaved = stock(
        part("clip", steps=["shave"]), steps=(step("shave", "segment", always_with=True, permissions=["cut_bar"]),)
    )
    case = small_case(money={"cap": 10}, allowed={"cut_bar": False}, wanted={"level_n": 5})

    found = searched(Give(case, shaved))

    assert [("budget", "allowed:cut_bar")] == [tuple(r.code for r in way.rules) for way in found.ways]
    assert [1200] == [way.best.cost.high for way in found.ways]
    assert Ending.COMPLETE is found.ending


def test_one_rule_at_most_leaves_the_pair_out() -> None:
    shaved = stock(
        part("clip", steps=["shave"]), steps=(step("shave", "segment", always_with=True, permissions=["cut_bar"]),)
    )
    case = small_case(money={"cap": 10}, allowed={"cut_bar": False}, wanted={"level_n": 5})

    found = searched(Give(case, shaved, most=1))

    assert [] == found.ways
    assert Ending.BOUNDED is found.ending


@pytest.mark.parametrize(
    ("weights", "expected"),
    [
        ({}, ["budget", "need:B:undercut_mm"]),
        ({"need": 1, "budget": 2}, ["need:B:undercut_mm", "budget"]),
        ({"budget": 4}, ["need:B:undercut_mm", "budget"]),
    ],
    ids=["our own order", "the case's own", "as heavy, so by cost"],
)
def test_a_case_may_weigh_for_itself(weights: dict[str, int], expected: list[str]) -> None:
    cheap = part("cheap", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))])
    dear = part("dear", price=band(30, 30))
    case = small_case(money={"cap": 20}, wanted={"level_n": 5}, severity=weights)

    found = searched(Give(case, stock(cheap, dear)))

    assert expected == [way.rules[0].code for way in found.ways if way.rules[0].code != "level"]


def test_where_nothing_costs_less_nothing_has_to_give() -> None:
    found = searched(Give(small_case(), stock(part("clip"))))

    assert (Footing.FITS, Ending.COMPLETE, []) == (found.footing, found.ending, found.ways)
    assert found.best is not None
    assert ("B=clip",) == found.best.keys


def test_a_search_without_time_knows_nothing(monkeypatch: pytest.MonkeyPatch) -> None:
    """The clip costs up to 12.00 EUR: what the short way does not settle is left open."""
    monkeypatch.setattr(Master, "solve", lambda *_: Solved(Outcome.UNDECIDED))

    found = searched(Give(small_case(money={"cap": 11}), stock(part("clip"))))

    assert (Footing.OPEN, Ending.UNDECIDED) == (found.footing, found.ending)


def test_a_search_may_be_left_at_any_step_and_what_stands_is_right() -> None:
    """Each prefix of the steps leaves the first ways of the whole list, or fewer."""
    cheap = part("cheap", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))])
    case = small_case(money={"cap": 20}, wanted={"level_n": 5})
    catalogue = stock(cheap, part("dear", price=band(30, 30)))
    whole = [way.rules for way in searched(Give(case, catalogue)).ways]

    seen = list(_ways_at_each_step(Give(case, catalogue)))

    assert [] == seen[0]
    assert whole == seen[-1]
    assert all(set(ways) <= set(whole) for ways in seen)


def _ways_at_each_step(give: Give) -> Iterator[list[object]]:
    for _ in give.steps():
        yield [way.rules for way in give.ways]


def test_a_way_opens_the_mix_that_misses_its_limit_by_least_and_then_costs_least() -> None:
    """20 N are to be taken at the front: the cheap clip takes far less, the dear ones come nearer."""
    dear, dearer = (
        part(name, retention_n=band(15, 18), price=band(p, p)) for name, p in (("dear", 30), ("dearer", 31))
    )
    case = small_case(wanted={"pull_n": {"front": 20}})
    (way,) = searched(Give(case, stock(part("cheap"), dearer, dear))).ways

    assert ["pulls:front"] == [rule.code for rule in way.rules]
    assert ["dear"] == [candidate.attachment.id for candidate in way.best.mix]


def test_ways_come_in_order_of_what_they_weigh_amounts_counted() -> None:
    """Either the hand lifts 157.5 N at 0.305, 48 N where 15 are asked, or a need goes that it may do without."""
    firm = part("firm", retention_n=band(5, 157.5), price=band(5, 5))
    short = part("short", needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))])
    case = small_case(wanted={"level_n": 5, "most_n": 15})
    ways = searched(Give(case, stock(firm, short))).ways

    assert [["need:B:undercut_mm"], ["peel"]] == [
        [rule.code for rule in way.rules] for way in ways if ("level",) != tuple(rule.code for rule in way.rules)
    ]
    assert sorted(way.best.weight for way in ways) == [way.best.weight for way in ways]
    (peel,) = (way for way in ways if isinstance(way.rules[0], Peel))
    assert (3, [221]) == (peel.severity, [each.percent for each in peel.best.given_up])


def test_where_nothing_can_hold_nothing_can_be_given_up() -> None:
    """The only part holds nothing that could be counted: no waiver makes an answer of it."""
    idle = part("idle", retention_n=band(0, 0))
    found = searched(Give(small_case(wanted={"level_n": 20}), stock(idle)))

    assert (Footing.FIXED, []) == (found.footing, found.ways)
