"""What mechanics says of a mix: what it misses, by which smallest parts of it, and that asking leaves no trace."""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from itertools import combinations, islice
from typing import Any

import pytest

from catalogue.models import Jaws
from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.retention import Condition
from solver.case.rules import Moves, Pulls
from solver.case.schema import DEMANDS, PULLS
from solver.mechanics.freedom import Level
from solver.mechanics.option import Option
from solver.mechanics.verdicts import Kind, MovementVerdict
from tests.referee.random_case import INVENTED
from tests.solver.parts import BALL, HINGE, RIGID
from tests.solver.small import FREE, band, part, preferring, renewal, small_case, small_problem, stock
from tests.solver.trying_all import FIT, GIVE, mixes, problem

SEEDS = (*FIT, *GIVE)


@cache
def some_mixes(seed: int, most: int = 12) -> list[tuple[Option, ...]]:
    every = [mix.options for mix in mixes(seed)]
    return random.Random(seed).sample(every, min(most, len(every)))


def demands(seed: int) -> list[Moves]:
    return [rule for rule in problem(seed).rules if isinstance(rule, Moves)]


def misses(mechanics: Mechanics, options: tuple[Option, ...], rule: Moves) -> bool:
    return mechanics.proof(options, rule) is not None


@pytest.mark.parametrize("seed", SEEDS)
def test_each_conflict_is_a_smallest_part_and_without_them_the_demand_is_met(seed: int) -> None:
    """Smallest: one option less meets the demand. No two of one demand share a site.

    What follows from the sinking of the whole base is not asked while that is in force.
    """
    asked, mechanics = problem(seed), Mechanics(problem(seed))
    whole = [rule for rule in demands(seed) if rule.demand == "whole"]

    for mix in some_mixes(seed):
        for in_force in (asked.rules, [rule for rule in asked.rules if rule not in whole]):
            found = mechanics.conflicts(mix, in_force)
            for rule in demands(seed):
                parts = [conflict.options for conflict in found if conflict.rule == rule]
                if rule not in in_force or _follows(rule, [other for other in whole if other in in_force]):
                    assert not parts
                    continue
                assert misses(mechanics, mix, rule) is bool(parts)
                for small in parts:
                    assert misses(mechanics, small, rule)
                    assert not any(misses(mechanics, rest, rule) for rest in combinations(small, len(small) - 1))
                taken = [option.site for small in parts for option in small]
                assert len(taken) == len(set(taken))
                assert not misses(mechanics, tuple(option for option in mix if option.site not in taken), rule)
            for conflict in found:
                assert conflict.reach.demand == conflict.rule.demand
                assert conflict.reach.reach == pytest.approx(reaches(seed, conflict.options)[conflict.rule.demand])
    assert mechanics.rules == asked.rules


def _follows(rule: Moves, whole: list[Moves]) -> bool:
    return rule.demand != "whole" and any(rule.share <= other.share for other in whole)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mix_with_no_conflict_misses_no_demand(seed: int) -> None:
    """Also those that were not asked, whatever is given up."""
    asked, mechanics = problem(seed), Mechanics(problem(seed))
    every = demands(seed)

    for options in some_mixes(seed):
        mix = assess(asked, mechanics, options)
        for in_force in (every, [rule for rule in every if rule.demand != "whole"]):
            missed = [rule for rule in in_force if not rule.kept(mix)]
            assert bool(missed) is bool(mechanics.conflicts(options, in_force))


def test_where_the_duals_name_nobody_the_whole_mix_is_held_to_account() -> None:
    """So deep a settling makes every dual a rounding error; the search for a smallest part ends all the same."""
    stiff = small_problem(stock(part("clip", movement={}), part("ball", "ball", "end", movement={})))
    mix = tuple(stiff.option_of[key] for key in ("B=clip", "E=ball"))
    mechanics = Mechanics(replace(stiff, settling_mm=1e11))

    found = list(islice(mechanics.conflicts(mix, stiff.rules), 3))

    assert found
    assert all(conflict.options for conflict in found)
    assert all(conflict.reach.reach < 1 for conflict in found)


def reaches(seed: int, options: tuple[Option, ...]) -> dict[str, float]:
    """By mechanics that have been asked nothing before."""
    return {reach.demand: reach.reach for reach in Mechanics(problem(seed)).reaches(options)}


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_missed_is_what_falls_short(seed: int) -> None:
    asked, mechanics = problem(seed), Mechanics(problem(seed))
    pulled = [rule for rule in asked.rules if isinstance(rule, Pulls)]

    for options in some_mixes(seed):
        mix = assess(asked, mechanics, options)
        reach = {r.demand: r.reach for r in mechanics.reaches(options)}
        hold_n = {p.name: p.hold_n for p in mechanics.pulls(options)}
        assert (list(DEMANDS), list(PULLS)) == (list(reach), list(hold_n))
        for rule in demands(seed):
            assert rule.kept(mix) is (reach[rule.demand] >= rule.share - 1e-6)
        for pull in pulled:
            assert pull.kept(mix) is (hold_n[pull.pull] >= pull.least_n - 1e-6)


@pytest.mark.parametrize(("expected", "asks"), [(True, 2.5), (True, 2.5 + 5e-7), (False, 2.5 + 2e-6)])
def test_a_pull_missed_by_no_more_than_rounding_is_taken(expected: bool, asks: float) -> None:
    """Held with 3.5 N 20 mm in front of the heels about which it tips, and pulled 28 mm in front of them: 2.5 N."""
    clip = part("clip", retention_n=band(3.5, 3.5))
    heels = {"heel_left": [26, 0], "heel_right": [-26, 0]}
    asked = small_problem(stock(clip), wanted={"pull_n": {"front": asks}}, denture=heels)
    (pull,) = (rule for rule in asked.rules if isinstance(rule, Pulls))

    assert expected is pull.kept(assess(asked, Mechanics(asked), asked.options))


def test_peels_are_those_of_the_edges_at_the_high_end_and_the_easiest_is_the_peel() -> None:
    """8 N, 30 mm in front of the heels and pulled 38 mm in front; a side gives first."""
    heels = {"heel_left": [26, -10], "heel_right": [-26, -10]}
    asked = small_problem(stock(part("clip")), denture=heels)
    mechanics = Mechanics(asked)
    peels = {hold.name: hold.hold_n for hold in mechanics.peels(asked.options)}

    assert ["front", "left", "right"] == list(peels)
    assert 8 * 30 / 38 == pytest.approx(peels["front"])
    assert peels["left"] == pytest.approx(peels["right"])
    assert mechanics.peel(asked.options).hold_n == pytest.approx(min(peels.values()))


@pytest.mark.parametrize(
    ("condition", "share"), [(Condition.NEW, 1.0), (Condition.WORN, 0.65), (Condition.TIGHT, 1.6)]
)
def test_a_pull_is_taken_with_every_part_in_its_condition(condition: Condition, share: float) -> None:
    """The band runs from 5 to 8 N; half of its middle is lost in the 730 insertions of six months at four a day."""
    wear = {"loss": [0.5, 0.5], "cycles": 730, "source": INVENTED}
    clip = part("clip", wear=wear, service=renewal(6, 9))
    asked = small_problem(stock(clip), wanted={"insertions_per_day": 4})
    new, found = (Mechanics(asked).pull(asked.options, "front", each) for each in (Condition.NEW, condition))

    assert share * new.hold_n == pytest.approx(found.hold_n)


def test_what_binds_alone_names_the_first_demand_that_it_misses() -> None:
    asked = small_problem(stock(part("rigid", movement=RIGID), part("free", movement=FREE)))
    mechanics = Mechanics(asked)
    found = {option.candidate.attachment.id: mechanics.binds_alone(option) for option in asked.options}

    assert found["free"] is None
    assert found["rigid"] is not None
    assert Moves(DEMANDS[0], 1.0) == found["rigid"][0]


@pytest.mark.parametrize(
    ("level", "left", "moves"),
    [(Level.NONE, [], RIGID), (Level.HINGE, [("B", "hinge")], HINGE), (Level.ALL, [], FREE)],
    ids=["rigid", "hinge", "free"],
)
def test_a_mix_is_told_by_its_level_and_by_the_freedom_of_its_parts(
    level: Level, left: list[tuple[str, str]], moves: dict[str, Any]
) -> None:
    """What is free without limit has no share to tell of."""
    asked = small_problem(stock(part("clip", movement=moves)))
    mechanics = Mechanics(asked)

    assert level is mechanics.level(asked.options)
    assert left == [(use.site, use.component) for use in mechanics.freedoms(asked.options)]


def test_beside_another_catalogue_each_answers_as_if_alone() -> None:
    """Another clip, another settling where the case leaves it to the catalogue, another base: rules and reaches."""
    stiff, soft = (stock(part("clip", movement={**HINGE, "down_mm": down_mm})) for down_mm in (0.05, 0.1))
    deeper = Jaws(lower=0.9, upper=0.9, source=INVENTED)
    sinks = stiff.model_copy(update={"defaults": stiff.defaults.model_copy(update={"settling_mm": deeper})})
    one = problem_of(small_case(denture={"settling_mm": "unknown"}), stiff)
    short = small_case(denture={"settling_mm": "unknown", "front": [0, 22], "left": [24, 15]})
    first = Mechanics(one)
    before = [each.reach for each in first.reaches(one.options)]

    for two in (problem_of(one.case, soft), problem_of(one.case, sinks), problem_of(short, stiff)):
        beside, alone = first.beside(two), Mechanics(two)
        found = [each.reach for each in alone.reaches(two.options)]
        assert two.rules == beside.rules
        assert before != pytest.approx(found)
        assert found == pytest.approx([each.reach for each in beside.reaches(two.options)])


def fighting_itself() -> tuple[Problem, dict[str, Option]]:
    """Parts that turn any way but do not sink: one right at the end of a saddle, or two on either side of it."""
    catalogue = preferring(
        stock(
            part("ball", movement=BALL, length_mm=4, spacing_mm=6, most=2),
            part("cut", kind="bare"),
            part("stiff", movement={}),
        ),
        in_kind=0.5,
    )
    asked = small_problem(catalogue, denture={"right": [0, 20]})
    return asked, {option.candidate.label: option for option in asked.options}


def test_an_option_of_two_parts_may_fight_itself_and_is_no_giver() -> None:
    asked, at = fighting_itself()
    mechanics = Mechanics(asked)
    right = mechanics.verdicts([at["ball x2"]])[3]
    kinds = {label: mechanics.kind_of(option, "right") for label, option in at.items()}

    expected = {"ball": Kind.STOPPER, "ball x2": Kind.FIGHTS_ITSELF, "cut": Kind.IDLE, "stiff": Kind.STOPPER}
    assert expected == kinds
    assert MovementVerdict.FIGHTS is right.verdict
    assert right.pair is not None
    assert {("B", 0), ("B", 1)} == {(name.site, name.number) for name in right.pair}
    assert not mechanics.wedges([at["ball x2"]], "right")


def test_the_threshold_in_kind_is_the_catalogue_s() -> None:
    """A turning clip lets a tenth or so of the settling through by its play."""
    kinds, verdicts = [], []
    for share in (0.5, 0.05):
        asked = small_problem(preferring(stock(part("turns", movement=HINGE)), in_kind=share))
        kinds.append(Mechanics(asked).kind_of(asked.options[0], "whole"))
        verdicts.append(Mechanics(asked).verdicts(asked.options)[0].verdict)

    assert [Kind.STOPPER, Kind.GIVER] == kinds
    assert [MovementVerdict.STANDS, MovementVerdict.BOTTOMS] == verdicts
