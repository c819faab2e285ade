"""What one option must have, or lack, to stand for another in every mix."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.choose.dominance import Replacement, undominated
from solver.mechanics.option import Option
from tests.referee.random_case import INVENTED
from tests.solver.small import (
    FREE,
    band,
    need,
    part,
    preferring,
    promising,
    renewal,
    small_problem,
    step,
    stock,
    waive,
)

STEPS = (
    step("send", "segment", always_with=True, once=True),
    step("cut", "segment", always_with=True, once=True),
    step("bend", "segment", always_with=True),
    step("grind", "segment", always_with=True, permissions=["cut_bar"]),
)
PLAIN: dict[str, Any] = {
    "price": band(10, 10),
    "steps": ["send"],
    "retention_n": band(5, 8),
    "movement": {**FREE, "down_mm": 0.3, "up_mm": 0.3, "hinge_deg": 5},
    "needs": [need("gap_mm", at_least=1), need("undercut_mm", at_least=0.4, waive=waive(0.2))],
}


def moving(**changes: Any) -> dict[str, Any]:
    return {"movement": {**PLAIN["movement"], **changes}}


def of(*changes: dict[str, Any], ceiling: bool = False, **figures: float) -> Problem:
    """Options for the same bar that differ from a plain one in these things, in this order.

    `ceiling`: the case says how hard an edge may be to lift. `figures` of the usual tier.
    """
    parts = (part(f"p{number}", **{**PLAIN, **each}) for number, each in enumerate(changes))
    wanted = {"wanted": {"most_n": 99}} if ceiling else {}
    return small_problem(promising(stock(*parts, steps=STEPS), "usual", **figures), **wanted)


def replaces(problem: Problem, better: Option, worse: Option) -> bool:
    return Replacement(problem, Mechanics(problem), problem.options)(better, worse)


ANYWHERE, FREELY, NEVER = (True, True), (False, True), (False, False)
CASES: dict[str, tuple[tuple[bool, bool], dict[str, Any]]] = {
    "alike": (ANYWHERE, {}),
    "a cent cheaper": (ANYWHERE, {"price": band(9.99, 9.99)}),
    "a cent dearer": (NEVER, {"price": band(10, 10.01)}),
    "the low end of the price does not count": (ANYWHERE, {"price": band(0, 10)}),
    "grips more": (ANYWHERE, {"retention_n": band(6, 8)}),
    "grips less": (NEVER, {"retention_n": band(4.9, 8)}),
    "may grip harder": (FREELY, {"retention_n": band(5, 8.1)}),
    "grips less hard at most": (ANYWHERE, {"retention_n": band(5, 7)}),
    "hangs on nothing": (ANYWHERE, {"needs": PLAIN["needs"][1:]}),
    "hangs on one answer more": (NEVER, {"needs": [*PLAIN["needs"], need("height_mm", at_least=1)]}),
    "hangs on another": (NEVER, {"needs": [need("height_mm", at_least=1), *PLAIN["needs"][1:]]}),
    "lacks nothing": (ANYWHERE, {"needs": PLAIN["needs"][:1]}),
    "lacks one thing more": (
        NEVER, {"needs": [*PLAIN["needs"], need("width_mm", at_least=2.0, waive=waive(1))]},
    ),
    "pays nothing once": (ANYWHERE, {"steps": []}),
    "pays one thing more once": (NEVER, {"steps": ["send", "cut"]}),
    "pays another": (NEVER, {"steps": ["cut"]}),
    "has a step that is paid each time": (ANYWHERE, {"steps": ["send", "bend"]}),
    "gives more downwards": (ANYWHERE, moving(down_mm=0.4)),
    "gives less downwards": (NEVER, moving(down_mm=0.2)),
    "gives more upwards": (ANYWHERE, moving(up_mm=0.4)),
    "gives less upwards": (NEVER, moving(up_mm=0.2)),
    "turns more": (ANYWHERE, moving(hinge_deg="free")),
    "turns less": (NEVER, moving(hinge_deg=4)),
    "gives more one way and less the other": (NEVER, moving(down_mm=0.4, up_mm=0.2)),
}  # fmt: skip


@pytest.mark.parametrize(("expected", "changes"), CASES.values(), ids=CASES)
def test_replaces(expected: tuple[bool, bool], changes: dict[str, Any]) -> None:
    """Where a case says how hard an edge may be to lift, and where none does."""
    found = []
    for ceiling in (True, False):
        problem = of({}, changes, ceiling=ceiling)
        plain, other = problem.options
        found.append(replaces(problem, other, plain))

    assert expected == tuple(found)


@pytest.mark.parametrize("figures", [{"spread": 0.6}, {"even": 0.5}], ids=["spread", "even"])
@pytest.mark.parametrize(("expected", "retention_n"), [(True, band(5, 8)), (False, band(6, 8)), (False, band(4, 8))])
def test_where_both_sides_must_hold_a_firmer_grip_on_one_may_be_too_much(
    expected: bool, retention_n: dict[str, Any], figures: dict[str, Any]
) -> None:
    problem = of({}, {"retention_n": retention_n}, **figures)
    plain, other = problem.options

    assert expected is replaces(problem, other, plain)


WEARS = {"wear": {"loss": [0.5, 0.5], "cycles": 730, "source": INVENTED}, "service": renewal(6, 9)}


def test_what_wears_stands_for_nothing_that_does_not() -> None:
    problem = of({}, WEARS)
    plain, other = problem.options

    assert not replaces(problem, other, plain)
    assert replaces(problem, plain, other)


@pytest.mark.parametrize(
    ("expected", "in_kind", "movement"),
    [(True, 0.0, {"hinge_deg": 20, "down_mm": 0.3}), (False, 0.5, {"hinge_deg": 20, "down_mm": 0.3})],
    ids=["nothing is judged in kind", "it gives where the other stops"],
)
def test_what_moves_more_stands_for_nothing_of_another_kind(
    expected: bool, in_kind: float, movement: dict[str, Any]
) -> None:
    """A giver among stoppers would fight them."""
    clips = [part("p0", movement={"hinge_deg": 20}), part("p1", movement=movement)]
    problem = small_problem(preferring(stock(*clips), in_kind=in_kind))
    turns, sinks = problem.options

    assert expected is replaces(problem, sinks, turns)


@pytest.mark.parametrize(("expected", "short_mm"), [(True, 0.35), (True, 0.4), (False, 0.45)])
def test_what_falls_shorter_of_a_need_weighs_more_to_give_up(expected: bool, short_mm: float) -> None:
    """The bar has 0.3 mm of undercut; the plain clip wants 0.4 and would do with 0.2 less."""
    needs = [PLAIN["needs"][0], need("undercut_mm", at_least=short_mm, waive=waive(0.2))]
    problem = of({}, {"needs": needs})
    plain, other = problem.options

    assert expected is replaces(problem, other, plain)


CUTS = {"steps": ["send", "grind"]}


@pytest.mark.parametrize(
    ("expected", "saves"), [((True, True), 0.0), ((True, False), 0.3)], ids=["not preferred", "preferred"]
)
def test_where_a_whole_bar_is_preferred_none_is_cut_for_a_replacement(
    expected: tuple[bool, bool], saves: float
) -> None:
    parts = [part("p0", **PLAIN), part("p1", **{**PLAIN, **CUTS})]
    problem = small_problem(preferring(stock(*parts, steps=STEPS), whole_bar_saves=saves))
    plain, ground = problem.options

    assert expected == (replaces(problem, plain, ground), replaces(problem, ground, plain))


def test_parts_in_other_places_replace_nothing() -> None:
    """A second clip, further apart: more hold and less room between, at no cost."""
    problem = small_problem(stock(part("clip", price=band(0, 0), length_mm=4, most=2)))
    one, two = problem.options

    assert not replaces(problem, two, one)
    assert not replaces(problem, one, two)


def names(found: list[Option]) -> list[str]:
    return [option.candidate.attachment.id for option in found]


DEAR, CHEAP, HARD = {"price": band(12, 12)}, {"price": band(8, 8)}, {"retention_n": band(6, 9)}


@pytest.mark.parametrize(
    ("expected", "changes", "wanted", "ceiling"),
    [
        (["p2"], ({}, DEAR, CHEAP), [], True),
        (["p0"], ({}, {}, {}), [], True),
        (["p0", "p1"], (HARD, {}), [], True),
        (["p0"], (HARD, {}), [], False),
        (["p0", "p1"], ({}, CHEAP), [["B=p0"]], True),
        (["p1"], ({}, CHEAP), [["B=p0", "B=p1"]], True),
        (["p1"], ({}, CHEAP), [["B=p1"]], True),
        (["p0", "p2"], ({}, DEAR, CHEAP), [["B=p0", "B=p1"]], True),
        (["p0", "p1"], ({}, CHEAP), [["B=p0", "B=p1"], ["B=p0"]], True),
    ],
    ids=[
        "the cheapest", "of equals the first", "in order", "without a ceiling the stronger", "a wanted one stays",
        "both will do", "only the cheap one will", "the best of the wanted", "wanted twice",
    ],
)  # fmt: skip
def test_what_another_replaces_goes(
    expected: list[str], changes: tuple[dict[str, Any], ...], wanted: list[list[str]], ceiling: bool
) -> None:
    problem = of(*changes, ceiling=ceiling)

    assert expected == names(undominated(problem, Mechanics(problem), problem.options, wanted))


def test_an_option_at_another_site_replaces_nothing() -> None:
    """A clip on each of two bars alike but for the price."""
    asked = small_problem(
        stock(part("clip")),
        supports={"M": {"at_mm": [0, 20, 0]}},
        segments={"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], "section": "round"}},
    )

    assert ["B", "C"] == [option.site for option in undominated(asked, Mechanics(asked), asked.options)]
