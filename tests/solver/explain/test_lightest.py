"""The list of what to give up, one set at a time, is the one that all mixes together have."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from dataclasses import replace

import pytest

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rule_set import severity
from solver.case.rules import Borne, EnoughSupports, Rule
from solver.choose.goals import HOLD
from solver.choose.master import Master, Outcome, Solved
from solver.choose.search import Goal, Options
from solver.explain.algorithms import Verdict
from solver.explain.rule_switches import Switches, soft_rules
from solver.explain.waiver_optimiser import Lightest
from tests.referee.every_mix import minimal
from tests.solver.small import band, part, small_problem, stock
from tests.solver.trying_all import FIT, GIVE, keeping, problem

SEEDS = (*FIT[:4], *GIVE)
EVERY = 99


def weights(asked: Problem) -> dict[Rule, int]:
    return {rule: severity(rule, asked.case) for rule in soft_rules(asked)}


def lightest(asked: Problem, below: int | None = None) -> Lightest:
    return Lightest(Switches(asked, Options()), weights(asked), below)


def listed(search: Lightest, asked: Problem, most: int = EVERY) -> Iterator[frozenset[Rule]]:
    """Each set in turn, all before it blocked."""
    blocked: list[frozenset[Rule]] = []
    search.restart(most)
    while (found := search(tuple(blocked), weights(asked))) is not None:
        assert isinstance(found, frozenset)
        yield found
        blocked.append(found)


def sets(seed: int, below: float = float("inf")) -> set[frozenset[Rule]]:
    """By definition: the smallest sets that some mix which physics allows breaks."""
    return minimal(mix.rules for mix in keeping(seed, soft_rules(problem(seed))) if mix.cost < below)


def weight(seed: int, given_up: Collection[Rule]) -> int:
    return sum(weights(problem(seed))[rule] for rule in given_up)


@pytest.mark.parametrize("most", [1, 2, EVERY])
@pytest.mark.parametrize("seed", SEEDS)
def test_every_smallest_set_within_the_bound_comes_once_the_lightest_first(seed: int, most: int) -> None:
    asked = problem(seed)
    found = list(listed(lightest(asked), asked, most))

    assert len(found) == len(set(found))
    assert {each for each in sets(seed) if len(each) <= most} == set(found)
    assert sorted(weight(seed, each) for each in found) == [weight(seed, each) for each in found]


@pytest.mark.parametrize("seed", FIT[:6])
def test_with_a_bound_on_the_cost_only_cheaper_mixes_open_a_set(seed: int) -> None:
    """The bound itself is not below it."""
    asked = problem(seed)
    for below in (0, 1, min(mix.cost for mix in keeping(seed))):
        assert sets(seed, below) == set(listed(lightest(asked, below), asked))


@pytest.mark.parametrize("seed", SEEDS)
def test_whether_there_are_larger_sets_is_known_without_listing_them(seed: int) -> None:
    asked = problem(seed)
    for most in range(3):
        search = lightest(asked)
        within = list(listed(search, asked, most))
        larger = any(len(each) > most for each in sets(seed))
        assert (Outcome.OPTIMAL if larger else Outcome.INFEASIBLE) is search.more(within)


LEVEL = Goal(lambda master: -master.hold_low, lambda mix: -round(1000 * mix.low_n))


@pytest.mark.parametrize("goal", [None, HOLD.goal, LEVEL], ids=["cost", "least pull, cost", "level pull, cost"])
@pytest.mark.parametrize("seed", SEEDS)
def test_a_set_opens_the_mix_that_is_best_of_all_that_break_no_more(seed: int, goal: Goal | None) -> None:
    asked = problem(seed)
    search, mechanics = lightest(asked), Mechanics(asked)

    for given_up in listed(search, asked):
        chosen = search.opened(given_up, goal)
        rivals = (assess(asked, mechanics, mix.options) for mix in keeping(seed, given_up))
        assert chosen is not None
        assert min(value(mix, goal) for mix in rivals) == value(chosen, goal)
        assert given_up == frozenset(chosen.broken)


def value(mix: Assessment, goal: Goal | None) -> tuple[int, ...]:
    return (*((goal.of(mix),) if goal else ()), mix.cost.high)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_list_leaves_nothing_behind(seed: int) -> None:
    """Left half way or read to the end: the next list and every other question are answered as if it had not been."""
    asked = problem(seed)
    switches = Switches(asked, Options())
    half, whole = (Lightest(switches, weights(asked), below) for below in (1, None))
    next(listed(half, asked), None)

    assert sets(seed) == set(listed(whole, asked))
    kept = frozenset(switches.every)
    assert (Verdict.YES if keeping(seed) else Verdict.NO) is switches.feasible(kept)
    best = switches.best(kept)[1]
    assert (best.cost.high if best else None) == min((mix.cost for mix in keeping(seed)), default=None)


def test_what_a_list_asks_sleeps_between_its_questions() -> None:
    """The switch of a list is off, so that no other search has to turn it."""
    asked = problem(GIVE[0])
    switches = Switches(asked, Options())
    search = Lightest(switches, weights(asked), 1)
    (listing,) = (each for each in switches.master.model.proto.variables if each.name == "listing")
    asleep = [list(listing.domain)]
    for question in (lambda: search((), weights(asked)), lambda: search.more(()), lambda: search.opened(())):
        question()
        asleep.append(list(listing.domain))

    assert [[0, 0]] * 4 == asleep


def test_the_only_rule_there_is_may_be_the_answer() -> None:
    """Only a level pull is asked, of the least weight there is, and the clip holds less: it goes, alone."""
    weak = stock(part("weak", retention_n=band(1, 1)))
    still = {"level_n": 5, "movement": {"whole": 0}}
    asked = small_problem(weak, wanted=still, severity={"level": 1}, **ALLOWED)
    asked = replace(asked, rules=tuple(r for r in asked.rules if not isinstance(r, Borne | EnoughSupports)))
    assert [1] == list(weights(asked).values())

    assert [frozenset(soft_rules(asked))] == list(listed(lightest(asked), asked))


ALLOWED = {"allowed": dict.fromkeys(("send_out", "weld", "cut_bar", "bar_off", "new_bar"), True)}


def test_a_search_without_time_says_so(monkeypatch: pytest.MonkeyPatch) -> None:
    """None would say that there is no other set."""
    asked = small_problem(stock(part("clip", price=band(9, 9))), wanted={"level_n": 9})
    search = lightest(asked)
    (only,) = listed(search, asked)
    monkeypatch.setattr(Master, "solve", lambda *_: Solved(Outcome.UNDECIDED))

    assert Verdict.UNDECIDED is search((), weights(asked))
    assert search.opened(only) is None
    assert Outcome.UNDECIDED is search.more(())


def test_weights_stand_in_the_model_and_cannot_change() -> None:
    asked = small_problem(stock(part("clip")))

    with pytest.raises(ValueError, match="cannot change"):
        lightest(asked)((), dict.fromkeys(soft_rules(asked), 7))
