"""Of equal mixes the one that balances is taken (common practice, no source), and it is worth as much as they are."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Covered, LevelPull, WholeBar
from solver.choose.plan import plan
from solver.choose.ranking import best_first
from solver.choose.search import Options, choose
from solver.choose.tie_break import Balance
from solver.mechanics.option import Option
from tests.referee.every_mix import Broken
from tests.solver.small import band, case_data, need, part, small_problem, stock
from tests.solver.trying_all import FIT, GIVE, mixes, problem, rank

# Five stretches in a row, alike to the last figure, the third of them in the middle.
_SUPPORTS = {f"S{i}": {"at_mm": [-25 + 10 * i, 20, 0]} for i in range(6)}
_STRETCH = case_data()["segments"]["B"]
FIVE: dict[str, Any] = {
    "supports": {"R": None, "L": None, **_SUPPORTS},
    "segments": {"B": None, **{f"B{i}": {**_STRETCH, "between": [f"S{i - 1}", f"S{i}"]} for i in range(1, 6)}},
    "ends": {"E": None},
}
CLIP = part("clip", length_mm=4)


def best(asked: Problem) -> list[str]:
    """Where the plan fits something."""
    found = plan(asked.case, asked.catalogue).best
    return [candidate.site.id for candidate in found.mix] if found else []


def five(hold_n: float, *parts: dict[str, Any], wanted: dict[str, Any] | None = None, **changes: Any) -> Problem:
    """Five stretches alike, and these parts or one clip for them."""
    segments = {**FIVE["segments"], **changes.pop("segments", {})}
    held = {"level_n": hold_n, **(wanted or {})}
    return small_problem(stock(*(parts or (CLIP,))), **{**FIVE, "segments": segments}, wanted=held, **changes)


@pytest.mark.parametrize(
    ("hold_n", "sites"),
    [(5, ["B3"]), (10, ["B1", "B5"]), (15, ["B1", "B3", "B5"]), (20, ["B1", "B2", "B4", "B5"])],
    ids=["one in the middle", "two far apart", "three", "four"],
)
def test_equal_parts_stand_even_about_the_midline(hold_n: float, sites: list[str]) -> None:
    assert sites == best(five(hold_n))


def test_the_midline_is_that_of_the_denture_wherever_the_origin_lies() -> None:
    """The saddles end at 34 and -14: the midline runs through B4."""
    assert ["B4"] == best(five(5, denture={"left": [34, 0], "right": [-14, 0]}))


@pytest.mark.parametrize(
    ("left", "right", "sites"),
    [([54, 0], [-14, 0], ["B5"]), ([44, -30], [-24, 30], ["B5"])],
    ids=["wholly to one side", "one saddle farther back"],
)
def test_the_midline_runs_halfway_between_the_saddles(
    left: list[float], right: list[float], sites: list[str]
) -> None:
    """Askew, B5 is 5.7 mm off the midline and B4 13.2 mm; by x alone B4 would be on it."""
    assert sites == best(five(5, denture={"left": left, "right": right}))


def test_two_parts_never_go_to_one_site() -> None:
    """The midline runs through B1, where two would balance."""
    assert ["B1", "B2"] == best(five(10, denture={"left": [4, 0], "right": [-44, 0]}))


def test_a_question_counts_for_more_than_balance() -> None:
    """Nobody knows how wide the bar is in the middle."""
    unknown = {"B3": {**FIVE["segments"]["B3"], "width_mm": "unknown"}}
    clip = part("clip", length_mm=4, needs=[need("width_mm", at_most=2.0)])

    assert ["B2"] == best(five(5, clip, segments=unknown))


def test_what_else_would_fit_in_the_middle_does_not_matter() -> None:
    """The dearer part comes first in the catalogue and fits the wider stretch alone."""
    wide = {"B3": {**FIVE["segments"]["B3"], "width_mm": 2.4}}
    dear = part("a-dear-one", price=band(30, 30), length_mm=4, needs=[need("width_mm", at_least=2.2)])

    assert ["B3"] == best(five(5, dear, CLIP, segments=wide))


def test_saddles_that_end_in_one_point_have_no_midline() -> None:
    assert 1 == len(best(five(5, denture={"left": [0, 0], "right": [0, 0]})))


def not_in_the_middle(mix: Assessment) -> bool:
    return all(option.site != "B3" for option in mix.options)


@pytest.mark.parametrize("against", ["a rule", "a preference", "what else is asked"])
def test_what_has_something_against_it_is_not_taken(against: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """With a part in the middle refused, the part at the end moves beside it."""
    asked = replace(five(5), preferences=(WholeBar(0.3, ""),))
    options = asked.options
    rule = {"a rule": LevelPull, "a preference": WholeBar}.get(against)
    if rule:
        monkeypatch.setattr(rule, "kept", lambda _, mix: not_in_the_middle(mix))
    asks = {"may_be_taken": not_in_the_middle} if not rule else {}
    balance = Balance(asked, Mechanics(asked), options, best_first(asked, options), **asks)
    (end,) = (index for index, option in enumerate(options) if option.site == "B1")

    taken = balance.of((end,), frozenset(), (), math.inf)
    late = balance.of((end,), frozenset(), (), 0.0)
    assert ["B2"] == [options[index].site for index in taken]
    assert (end,) == late


def test_a_site_that_must_not_stay_bare_keeps_its_part() -> None:
    asked = five(5)
    covered = replace(asked, rules=(*asked.rules, Covered("B1", 1.0, thin=False)))
    found = choose(covered, Mechanics(covered), Options())

    assert ["B1"] == [option.site for option in found.mixes[0].options]


def test_a_cent_counts_for_more_than_balance() -> None:
    """In the middle the bar is too wide for the cheaper clip."""
    wide = {"B3": {**FIVE["segments"]["B3"], "width_mm": 2.4}}
    dear = part("dear", price=band(12.01, 12.01), length_mm=4)
    cheap = part("cheap", price=band(12, 12), length_mm=4, needs=[need("width_mm", at_most=2.0)])

    assert ["B2"] == best(five(5, cheap, dear, segments=wide))


def test_the_best_plans_are_all_different_and_the_even_ones_come_first() -> None:
    asked = five(5)
    found = plan(asked.case, asked.catalogue, Options(plans=5)).plans

    asides_mm = [abs(candidate.site.at[0]) for each in found for candidate in each.mix]
    assert [0, 10, 10, 20, 20] == pytest.approx(asides_mm)
    assert 5 == len({candidate.site.id for each in found for candidate in each.mix})


def test_what_is_required_stays() -> None:
    asked = five(5)
    found = choose(asked, Mechanics(asked), Options(), require=[{"B1=clip"}])

    assert ["B1"] == [option.site for option in found.mixes[0].options]


def lean(asked: Problem, mix: Sequence[Option]) -> tuple[float, float]:
    """Moment of the hold about the midline of the denture, and less how far apart it is, N mm; worked out anew."""
    base = asked.layout.base
    along = base.left - base.right
    asides_mm = [(option.candidate.site.at - (base.left + base.right) / 2) @ along for option in mix]
    holds_n = [np.mean([option.candidate.low_n, option.candidate.high_n]) for option in mix]
    moments = np.array(asides_mm) / np.sqrt(along @ along) * holds_n
    return round(abs(float(moments.sum())), 3), round(-float(np.abs(moments).sum()), 3)


def moved(mix: Sequence[Option], other: Sequence[Option]) -> bool:
    """True where one part stands at another site, in the same way, and all else is alike."""
    gone, come = set(mix) - set(other), set(other) - set(mix)
    if (len(gone), len(come)) != (1, 1):
        return False
    (old,), (new,) = gone, come
    return (
        old.site != new.site
        and old.candidate.label == new.candidate.label
        and set(old.needs_waived) == set(new.needs_waived)
        and _worth(old) == _worth(new)
    )


def _worth(option: Option) -> tuple[int, int, int]:
    candidate = option.candidate
    return candidate.cost.high, len(candidate.questions), candidate.parts


@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_no_equal_with_one_part_moved_balances_better(seed: int) -> None:
    """Against every mix that breaks no other rule and gives up no more, each tried."""
    asked = problem(seed)
    mechanics = Mechanics(asked)
    found = plan(asked.case, asked.catalogue).best
    assert found is not None
    keys, given_up = {c.key for c in found.mix}, {entry.rule for entry in found.given_up}
    (chosen,) = (mix for mix in mixes(seed) if {o.candidate.key for o in mix.options} == keys)
    equals = [mix for mix in mixes(seed) if mix.rules <= given_up and moved(chosen.options, mix.options)]
    equals = [mix for mix in equals if assess(asked, mechanics, mix.options).weight <= found.weight]

    assert [] == [mix for mix in equals if lean(asked, mix.options) < lean(asked, chosen.options)]


def test_some_of_these_cases_have_equals_to_choose_from() -> None:
    def choosable(seed: int) -> bool:
        every: list[Broken] = [mix for mix in mixes(seed) if not mix.rules]
        least = min((rank(mix) for mix in every), default=None)
        return sum(rank(mix) == least for mix in every) > 1

    assert any(choosable(seed) for seed in FIT)
