"""The choice under terms: what must be in, what must not, which rules do not count, which cost, how long."""

from __future__ import annotations

import math
import random
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rules import Budget, LevelPull, Rule
from solver.choose.master import Master, Outcome, Solved
from solver.choose.search import Choice, Options, choose, choose_relaxed
from solver.choose.shortcut import go_straight
from solver.explain.rule_switches import soft_rules
from tests.cli.test_aftercare import CHEAP, LASTING
from tests.referee.every_mix import Broken
from tests.solver.small import band, part, small_problem, step, stock
from tests.solver.trying_all import FIT, GIVE, keeping, mixes, problem, rank, takes

LEASTS: tuple[Least, ...] = ("now", "years")


def choice(asked: Problem, how: Options = Options(), **terms: Any) -> Choice:  # noqa: B008 - frozen
    return choose(asked, Mechanics(asked), how, **terms)


def ranks(found: Choice, least: Least = "now") -> list[tuple[int, int, int]]:
    """Cost, questions and parts of every mix found."""
    broken = frozenset[Rule]()
    return [rank(Broken(m.options, m.cost.high, broken, m.cost_years.high), least) for m in found.mixes]


def names(found: Choice) -> list[list[str]]:
    return [[option.candidate.attachment.id for option in mix.options] for mix in found.mixes]


def unwaived(seed: int, but: tuple[Rule, ...] = ()) -> list[Broken]:
    """The mixes that break no rule but these, of options that need no waiver."""
    return [mix for mix in keeping(seed, but) if not any(option.needs_waived for option in mix.options)]


@pytest.mark.parametrize("least", LEASTS)
@pytest.mark.parametrize("plans", [1, 2])
@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_the_best_are_those_of_trying_all_and_none_comes_twice(seed: int, plans: int, least: Least) -> None:
    asked = problem(seed)
    found = choice(asked, Options(plans=plans, least=least))

    assert sorted(rank(mix, least) for mix in unwaived(seed))[:plans] == ranks(found, least)
    assert len(found.mixes) == len({frozenset(o.candidate.key for o in mix.options) for mix in found.mixes})
    assert (Outcome.OPTIMAL if unwaived(seed) else Outcome.INFEASIBLE) is found.outcome
    assert all(mix.broken == () for mix in found.mixes)


def terms(seed: int, number: int) -> dict[str, Any]:
    """Up to two sets of which one is picked, some that are not, and some rules that do not count; by chance."""
    dice, asked = random.Random(f"{seed} {number}"), problem(seed)
    every = sorted(option.candidate.key for option in asked.options)
    soft = [rule for rule in soft_rules(asked) if rule in asked.rules]
    return {
        "require": [dice.sample(every, dice.randint(1, len(every))) for _ in range(dice.choice([0, 1, 1, 2]))],
        "forbid": dice.sample(every, dice.choice([0, 1, len(every) // 2])),
        "without": tuple(dice.sample(soft, dice.choice([0, 1, 1, 2]))),
    }


@pytest.mark.parametrize("number", range(2))
@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_under_any_terms_the_best_is_that_of_trying_all(seed: int, number: int) -> None:
    """Of the rules that do not count those are named as given up that the mix breaks, in order of their codes."""
    asked, drawn = problem(seed), terms(seed, number)
    found = choice(asked, **drawn)
    every = [m for m in unwaived(seed, drawn["without"]) if takes(m, drawn["require"], drawn["forbid"])]

    assert sorted(map(rank, every))[:1] == ranks(found)
    assert (Outcome.OPTIMAL if every else Outcome.INFEASIBLE) is found.outcome
    for mix in found.mixes:
        assert set(mix.broken) <= set(drawn["without"])
        assert sorted(rule.code for rule in mix.broken) == [given.rule.code for given in mix.given_up]


@pytest.mark.parametrize("number", range(2))
@pytest.mark.parametrize("seed", GIVE)
def test_under_any_terms_what_is_given_up_weighs_least_and_then_costs_least(seed: int, number: int) -> None:
    asked = problem(seed)
    drawn = {name: said for name, said in terms(seed, number).items() if name != "without"}
    found = choose_relaxed(asked, Mechanics(asked), Options(), **drawn)
    mechanics = Mechanics(asked)
    weighed = sorted(
        (assess(asked, mechanics, mix.options).weight, *rank(mix))
        for mix in keeping(seed, soft_rules(asked))
        if takes(mix, **drawn)
    )

    assert (Outcome.OPTIMAL if weighed else Outcome.INFEASIBLE) is found.outcome
    assert weighed[:1] == [(mix.weight, *figures) for mix, figures in zip(found.mixes, ranks(found), strict=True)]


GRIPS = stock(
    part("strong", price=band(10, 10), retention_n=band(6, 20)),
    part("mild", price=band(12, 12), retention_n=band(5, 8)),
)


@pytest.mark.parametrize(
    ("expected", "most_n"), [("strong", 6.1), ("mild", 6.09), ("mild", 2.5)], ids=["under", "just over", "far over"]
)
def test_what_holds_too_firmly_stands_for_nothing_that_holds_less(expected: str, most_n: float) -> None:
    """The strong clip is cheaper and holds more, yet only up to the limit of the hand does it replace the other.

    The easiest edge takes 0.305 of a retention: 6.099 N of 20, 2.44 of 8.
    """
    assert [[expected]] == names(choice(small_problem(GRIPS, wanted={"level_n": 5, "most_n": most_n})))


@pytest.mark.parametrize("require", [[], [["B=cheap", "B=lasting"]]], ids=["short way", "CP-SAT"])
@pytest.mark.parametrize(("expected", "least"), [("cheap", "now"), ("lasting", "years")])
def test_what_costs_less_to_fit_stands_for_nothing_that_lasts_longer(
    expected: str, least: Least, require: list[list[str]]
) -> None:
    asked = small_problem(stock(CHEAP, LASTING), wanted={"level_n": 4}, money={"years": 3})

    assert [[expected]] == names(choice(asked, Options(least=least), require=require))


def test_of_each_set_one_is_picked_though_another_is_cheaper() -> None:
    ball = part("ball", "ball", "end", price=band(5, 5))
    asked = small_problem(stock(part("clip"), part("dear", price=band(30, 30)), ball))
    sets: list[tuple[list[list[str]], list[list[str]]]] = [
        ([["ball"]], []),
        ([["clip"]], [["B=clip", "B=dear"]]),
        ([["dear"]], [["B=dear"]]),
        ([["clip", "ball"]], [["B=dear", "B=clip"], ["E=ball"]]),
        ([], [["B=clip"], ["B=dear"]]),
        ([], [[]]),
    ]

    for expected, require in sets:
        assert expected == names(choice(asked, require=require))


def test_what_needs_a_waiver_is_no_choice_even_where_its_rule_does_not_count() -> None:
    """`without` says what a mix may break, not what work may be done."""
    asked = small_problem(
        stock(part("sent", steps=["send"]), steps=(step("send", "segment", permissions=["send_out"]),)),
        allowed={"send_out": False},
        wanted={"level_n": 5},
    )
    not_allowed = next(rule for option in asked.options for rule in option.needs_waived)

    assert Outcome.INFEASIBLE is choice(asked, without=[not_allowed]).outcome


@pytest.mark.parametrize(
    ("settled", "seed"),
    [(True, 34), (True, 7), (True, 2), (True, 29), (False, 9), (False, 3)],
    ids=["stands at once", "nothing holds", "one binds", "many bind", "handed on", "handed on with cuts"],
)
def test_rounds_and_cuts_of_both_ways_are_counted_together(
    settled: bool, seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A proposal is a round: the last is not cut. Where the short way hands on, its rounds count too."""
    asked, made = problem(seed), Counter[str]()
    options = [option for option in asked.options if not option.needs_waived]
    short = go_straight(asked, Mechanics(asked), options, "now", math.inf)
    for name in ("solve", "add"):
        monkeypatch.setattr(Master, name, counted(name, made))
    found = choice(asked)

    assert settled is short.settled
    assert (short.rounds + made["solve"], short.cuts + made["add"]) == (found.rounds, found.cuts)
    assert settled is (made["solve"] == 0)


def counted(name: str, made: Counter[str]) -> Callable[..., Any]:
    """A step of the master that counts how often it is taken."""
    taken = getattr(Master, name)

    def take(*given: Any) -> Any:
        made[name] += 1
        return taken(*given)

    return take


def test_without_the_short_way_each_mix_is_a_round_and_so_is_that_there_is_no_other() -> None:
    """Nothing binds, so nothing is cut."""
    asked = small_problem(THREE, wanted={"level_n": 5})

    for plans, rounds in ((2, 2), (3, 3), (9, 4)):
        found = choice(asked, Options(plans=plans))
        assert (rounds, 0) == (found.rounds, found.cuts)


def solved_so_often(monkeypatch: pytest.MonkeyPatch, times: int, then: Outcome) -> None:
    """CP-SAT has time for so many proposals; after that it ends otherwise."""
    whole, asked = Master.solve, [0]

    def solve(self: Master, objective: Any, time_limit_s: float) -> Any:
        asked[0] += 1
        return whole(self, objective, time_limit_s) if asked[0] <= times else Solved(then)

    monkeypatch.setattr(Master, "solve", solve)


THREE = stock(part("a", price=band(1, 1)), part("b", price=band(2, 2)), part("c", price=band(3, 3)))


@pytest.mark.parametrize("then", [Outcome.UNDECIDED, Outcome.FEASIBLE], ids=["nothing", "a mix not proved best"])
def test_a_list_cut_short_is_undecided_and_what_it_has_is_right(
    then: Outcome, monkeypatch: pytest.MonkeyPatch
) -> None:
    asked = small_problem(THREE, wanted={"level_n": 5})
    solved_so_often(monkeypatch, 2, then)

    found = choice(asked, Options(plans=3))

    assert (Outcome.UNDECIDED, [["a"], ["b"]]) == (found.outcome, names(found))


@pytest.mark.parametrize("times", [0, 1])
def test_without_time_nothing_is_said_to_be_given_up(times: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """Not even where the least that must be given up is known already, but not yet the best mix for it."""
    asked = small_problem(THREE, wanted={"level_n": 50})
    solved_so_often(monkeypatch, times, Outcome.UNDECIDED)

    found = choose_relaxed(asked, Mechanics(asked), Options())

    assert (Outcome.UNDECIDED, ()) == (found.outcome, found.mixes)


@pytest.mark.parametrize("terms", [{}, {"require": [["B=a"]]}, {"without": [LevelPull(5.0)]}])
@pytest.mark.parametrize("plans", [1, 3])
def test_no_time_is_never_infeasible(plans: int, terms: dict[str, Any]) -> None:
    asked = small_problem(THREE, wanted={"level_n": 5})

    found = choice(asked, Options(time_limit_s=0.0, plans=plans), **terms)

    assert (Outcome.UNDECIDED, ()) == (found.outcome, found.mixes)


@pytest.mark.parametrize(("expected", "until"), [(math.inf, math.inf), (0.001, 0.0)], ids=["no end", "long over"])
def test_the_time_left_is_that_until_the_end_and_a_blink_once_it_is_over(expected: float, until: float) -> None:
    """Nought would stand for no limit with some solvers."""
    how = Options(time_limit_s=7.0, plans=2, least="years")

    assert Options(time_limit_s=expected, plans=2, least="years") == how.left(until)


@pytest.mark.parametrize(("expected", "cap"), [((), 50), ((Budget(50),), 0.5)], ids=["kept", "broken"])
def test_a_cap_that_does_not_count_is_named_where_it_is_broken(expected: tuple[Rule, ...], cap: float) -> None:
    """Named twice it still is one rule."""
    asked = small_problem(THREE, wanted={"level_n": 5}, money={"cap": cap})
    budget = next(rule for rule in asked.rules if isinstance(rule, Budget))

    (mix,) = choice(asked, without=[budget, budget]).mixes

    assert expected == tuple(given.rule for given in mix.given_up)


def test_the_mixes_tried_are_of_every_kind() -> None:
    """Else trying them all would prove little."""
    assert all(unwaived(seed) for seed in FIT)
    assert not any(unwaived(seed) for seed in GIVE)
    assert sum(len(mixes(seed)) > 10 for seed in GIVE) >= 5
