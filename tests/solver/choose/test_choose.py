"""The choice is the optimum, in order, and depends on nothing it should not depend on."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from itertools import islice, product
from typing import Any

import pytest

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.rules import Budget, LevelPull
from solver.case.schema import Case
from solver.choose import search as module
from solver.choose.master import Outcome
from solver.choose.plan import plan
from solver.choose.search import Choice, Options, choose, choose_relaxed
from solver.mechanics.option import Option
from tests.referee.random_case import random_world
from tests.solver.small import band, large_world, need, part, small_case, small_problem, stock

SEEDS = range(0, 200, 7)
Rank = tuple[int, int, int]


def chosen(problem: Problem, plans: int = 1) -> Choice:
    return choose(problem, Mechanics(problem), Options(plans=plans))


def rank(mix: Assessment) -> Rank:
    """Cost, questions, parts: what makes one mix better than another."""
    return mix.cost.high, len(mix.questions), sum(c.parts for c in mix.mix)


def ranks(choice: Choice) -> list[Rank]:
    return [rank(mix) for mix in choice.mixes]


def keys(choice: Choice) -> list[tuple[str, ...]]:
    return [mix.keys for mix in choice.mixes]


def every_mix(problem: Problem) -> Iterator[Rank]:
    """Ranks of all mixes that keep every rule, best first, by trying them all."""
    at: dict[str, list[Option | None]] = {site: [None] for site in problem.site_ids}
    for option in problem.options:
        if not option.needs_waived:
            at[option.site].append(option)
    mechanics = Mechanics(problem)
    every = (assess(problem, mechanics, (o for o in picks if o is not None)) for picks in product(*at.values()))
    ranked = sorted((mix for mix in every if len({c.takes_bar_off for c in mix.mix}) <= 1), key=rank)
    return (rank(mix) for mix in ranked if all(rule.kept(mix) for rule in problem.rules))


def size(problem: Problem) -> int:
    total = 1
    for site in problem.site_ids:
        total *= 1 + sum(option.site == site for option in problem.options if not option.needs_waived)
    return total


@pytest.mark.parametrize("seed", SEEDS)
def test_the_best_five_are_those_of_trying_all(seed: int) -> None:
    problem = problem_of(*random_world(seed))
    assert size(problem) <= 4000  # all are tried

    found = chosen(problem, plans=5)

    assert list(islice(every_mix(problem), 5)) == ranks(found)
    assert len(set(keys(found))) == len(found.mixes)
    assert (Outcome.OPTIMAL if found.mixes else Outcome.INFEASIBLE) is found.outcome


@pytest.mark.parametrize("seed", SEEDS)
def test_pruning_changes_nothing(seed: int, monkeypatch: pytest.MonkeyPatch) -> None:
    problem = problem_of(*random_world(seed))
    pruned = ranks(chosen(problem))

    monkeypatch.setattr(module, "undominated", lambda _, __, options, wanted=(): list(options))

    assert ranks(chosen(problem)) == pruned


@pytest.mark.parametrize("seed", SEEDS)
def test_order_of_files_changes_nothing(seed: int) -> None:
    """Attachments, reworks and measures may stand in any order; sites keep theirs."""
    case, catalogue = random_world(seed)
    dice = random.Random(seed)

    def shuffled(entries: dict[str, Any]) -> dict[str, Any]:
        return dict(dice.sample(list(entries.items()), len(entries)))

    mixed = catalogue.model_copy(
        update={"attachments": shuffled(catalogue.attachments), "reworks": shuffled(catalogue.reworks)}
    )

    one, two = problem_of(case, catalogue), problem_of(case, mixed)
    assert ranks(chosen(one)) == ranks(chosen(two))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_same_question_has_the_same_answer(seed: int) -> None:
    world = random_world(seed)
    one, two = problem_of(*world), problem_of(*world)

    assert keys(chosen(one, 3)) == keys(chosen(two, 3))


@pytest.mark.parametrize("seed", SEEDS)
def test_a_dearer_attachment_that_can_do_less_changes_nothing(seed: int) -> None:
    case, catalogue = random_world(seed)
    useless = {
        f"z{name}": attachment.model_copy(update={"id": f"z{name}", "price": dearer(attachment.price)})
        for name, attachment in catalogue.attachments.items()
    }
    larger = catalogue.model_copy(update={"attachments": catalogue.attachments | useless})

    one, two = problem_of(case, catalogue), problem_of(case, larger)
    assert keys(chosen(one)) == keys(chosen(two))


def dearer(price: Any) -> Any:
    return price.model_copy(update={"high": price.high + 1})


@pytest.mark.parametrize("seed", SEEDS)
def test_what_is_given_up_is_the_least(seed: int) -> None:
    """No plan gives up something where one keeps every rule; a relaxed plan without the waiver is infeasible."""
    problem = problem_of(*random_world(seed))
    strict = chosen(problem)
    relaxed = choose_relaxed(problem, Mechanics(problem), Options())

    if strict.mixes:
        assert () == relaxed.mixes[0].given_up
        assert ranks(strict) == ranks(relaxed)
    elif relaxed.mixes:
        assert relaxed.mixes[0].given_up


CLIPS = stock(
    part("weak", price=band(5, 5), retention_n=band(2, 2)),
    part("firm", price=band(9, 9), retention_n=band(4, 4)),
    part("asks", price=band(9, 9), retention_n=band(4, 4), needs=[need("gap_mm", at_least=1)]),
    part("two", price=band(4.5, 4.5), retention_n=band(2, 2), length_mm=4, most=2),
)


@pytest.mark.parametrize(
    ("expected", "hold"),
    [(("B=two",), 0), (("B=two",), 2), (("B=firm",), 4)],
    ids=["the cheapest", "cheapest that holds", "same price: one part rather than two, no question"],
)
def test_cost_then_questions_then_parts(expected: tuple[str, ...], hold: float) -> None:
    problem = small_problem(CLIPS, wanted={"level_n": hold})

    assert [expected] == keys(chosen(problem))


@pytest.mark.parametrize("plans", [1, 2], ids=["short way", "CP-SAT"])
def test_nothing_fitted_is_never_a_plan_however_little_is_asked(plans: int) -> None:
    """What holds a ten-thousandth of a newton holds; what holds nothing answers no case."""
    idle, faint = part("idle", retention_n=band(0, 9)), part("faint", price=band(30, 30), retention_n=band(0.0001, 9))

    assert [] == keys(chosen(small_problem(stock(idle)), plans=plans))
    assert ("B=faint",) == keys(chosen(small_problem(stock(idle, faint)), plans=plans))[0]


def test_fewer_plans_than_asked_are_all_there_are() -> None:
    found = chosen(small_problem(CLIPS, wanted={"level_n": 4}), plans=9)

    assert [("B=firm",), ("B=two x2",), ("B=asks",)] == keys(found)
    assert Outcome.OPTIMAL is found.outcome


def test_no_time_is_undecided() -> None:
    case, catalogue = large_world()
    problem = problem_of(case, catalogue)

    found = choose(problem, Mechanics(problem), Options(time_limit_s=0.0, plans=2))
    answer = plan(case, catalogue, Options(time_limit_s=0.0, plans=2))

    assert (Outcome.UNDECIDED, ()) == (found.outcome, found.mixes)
    assert (Status.UNDECIDED, ()) == (answer.status, answer.plans)


def test_nothing_fitted_is_no_answer_where_a_hold_is_asked() -> None:
    """An empty catalogue holds nothing, and that is not called giving up the hold."""
    assert Status.NONE is plan(small_case(wanted={"level_n": 5}), stock()).status


def test_a_hold_given_up_leaves_the_hold_of_what_is_fitted() -> None:
    """5 N is all there is where 20 are asked: the clip is fitted and 15 N are given up, not 20."""
    answer = plan(small_case(wanted={"level_n": 20}), stock(part("clip")))

    assert Status.RELAXED is answer.status
    assert answer.best is not None
    assert [(LevelPull(20.0), 15.0)] == [(g.rule, g.amount) for g in answer.best.given_up]


def test_an_end_too_tall_to_cover_cannot_be_left_by_an_empty_catalogue() -> None:
    assert Status.NONE is plan(small_case(ends={"E": {"room_mm": 1}}), stock()).status


def test_the_cap_is_given_up_before_the_hold() -> None:
    """Severity: money is easier to give up than hold."""
    case: Case = small_case(wanted={"level_n": 4}, money={"cap": 8.99})
    catalogue: Catalogue = CLIPS
    best = plan(case, catalogue).best

    assert best is not None
    assert [(Budget(899), 1.0, "money")] == [(g.rule, g.amount, g.unit) for g in best.given_up]
    assert 900 == best.cost.high


def test_rules_off_leave_the_cheapest() -> None:
    """With none at all nothing need be fitted."""
    problem = replace(small_problem(CLIPS, wanted={"level_n": 4}), rules=())

    assert [()] == keys(chosen(problem))
