"""What the master starts a search from and the bound it sets: by hold alone, with the switches as they stand."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest

from catalogue.blocks import Recall
from solver.assess.oracle import Mechanics
from solver.case.rules import LevelPull, Moves, Rule
from solver.case.schema import DEMANDS
from solver.choose import cpsat as stoppable
from solver.choose.cuts import Cut
from solver.choose.master import Master, Outcome, Solved, bound
from solver.choose.ranking import Ranking, best_first
from tests.referee.random_case import INVENTED
from tests.solver.small import band, need, part, small_problem, step, stock, waive

STOCK = stock(
    part("asks", price=band(6, 6), needs=[need("gap_mm", at_least=1)]),
    part("short", price=band(7, 7), needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))]),
    part("clip", price=band(8, 8)),
    part("ball", "ball", "end", price=band(9, 9)),
    part("stud", "stud", "support", price=band(4, 4), steps=["off"]),
    steps=(step("off", "support", always_with=True, once=True, price=band(7, 7)),),
)
WANTED = {"level_n": 5, "movement": dict.fromkeys(DEMANDS, 0)}
FLOOR, SINKS = LevelPull(5), Moves("whole", 1.0)
PROBLEM = replace(small_problem(STOCK, supports={"R": {"room_mm": 12}}), rules=(FLOOR, SINKS))
NEED: tuple[Rule, ...] = tuple(rule for option in PROBLEM.options for rule in option.needs_waived)
BOTH = (FLOOR, *NEED)
VISIT = {"months": (12, 12), "price": band(30, 30), "work": {"source": INVENTED}, "source": INVENTED}
WEARS = part("wears", price=band(5, 5), service={"what": "insert", **VISIT})


def index_of(master: Master, key: str) -> int:
    return [option.candidate.key for option in master.options].index(key)


def started_from(master: Master) -> list[str]:
    """The mix that the next search starts from."""
    hint = master.model.proto.solution_hint
    key = {x.index: option.candidate.key for x, option in zip(master.pick, master.options, strict=True)}
    return [key[variable] for variable, value in zip(hint.vars, hint.values, strict=True) if value]


def least_weight(master: Master) -> int:
    return int(master.model.proto.objective.domain[0])


def weight(master: Master, ranking: Ranking, keys: Sequence[str]) -> int:
    picked = [index_of(master, key) for key in keys]
    return ranking.of((i, master.options[i].candidate) for i in picked)


@pytest.mark.parametrize(
    ("expected", "soft", "kept", "answered", "fails"),
    [
        ([], BOTH, (), True, ()),
        (["B=asks"], BOTH, (FLOOR,), True, ()),
        (["B=asks"], NEED, (), True, ()),
        (["B=short"], BOTH, (FLOOR,), False, ()),
        (["B=clip"], BOTH, BOTH, False, ()),
        (["E=ball"], BOTH, BOTH, False, ("B=clip",)),
        (["R=stud"], BOTH, BOTH, False, ("B=clip", "E=ball")),
        (["B=asks"], BOTH, BOTH, True, ("B=clip", "E=ball")),
    ],
    ids=[
        "the floor may go", "the floor holds", "a floor that nobody gives up", "an answer is not to be hung on",
        "nor the need given up", "a cut takes out one", "cuts take out two", "cuts of others",
    ],
)  # fmt: skip
def test_a_ranking_starts_from_the_cheapest_by_hold_and_never_below_it(
    expected: list[str], soft: tuple[Rule, ...], kept: tuple[Rule, ...], answered: bool, fails: tuple[str, ...]
) -> None:
    """Nothing but the hold is asked of these mixes, so the cheapest by hold is the answer too."""
    master = Master(PROBLEM, PROBLEM.options, Mechanics(PROBLEM), soft)
    master.switch(kept)
    for literal in master.asked.values():
        bound(literal, 0, int(answered))
    for key in fails:
        master.add(alone(master, key))
    ranking = best_first(PROBLEM, master.options)

    found = master.solve(ranking, 10)

    assert (Outcome.OPTIMAL, expected) == (found.outcome, [master.options[i].candidate.key for i in found.picked])
    assert expected == started_from(master)
    assert weight(master, ranking, expected) == least_weight(master)


def alone(master: Master, key: str) -> Cut:
    """A cut that proves of one option that it fails whatever stands elsewhere."""
    index = index_of(master, key)
    here = master.at[master.options[index].site]
    return Cut(SINKS, {master.options[index].site: {i: 0.0 if i == index else 1.0 for i in here}}, 0.0, 1.0)


def test_a_bound_that_no_mix_reaches_is_infeasible_without_a_search(monkeypatch: pytest.MonkeyPatch) -> None:
    asked = small_problem(STOCK, wanted={"level_n": 99})
    master = Master(asked, asked.options, Mechanics(asked), NEED)
    monkeypatch.setattr(stoppable, "solve", None)

    assert Solved(Outcome.INFEASIBLE) == master.solve(best_first(asked, master.options), 10)


def test_each_ranking_has_its_own_bound() -> None:
    """By cost now, over the years, and by cost again: weights of the one bound nothing of the other."""
    asked = small_problem(stock(WEARS, part("lasts", price=band(6, 6))), wanted=WANTED)
    master = Master(asked, asked.options, Mechanics(asked))
    now, years = (best_first(asked, master.options, least) for least in ("now", "years"))

    for ranking, expected in ((now, ["B=wears"]), (years, ["B=lasts"]), (now, ["B=wears"])):
        assert expected == [master.options[i].candidate.key for i in master.solve(ranking, 10).picked]
        assert expected == started_from(master)
        assert weight(master, ranking, expected) == least_weight(master)


@pytest.mark.parametrize(("expected", "told"), [(["E=ball"], {"from_last": True}), ([], {})])
def test_only_where_told_does_a_search_start_from_the_mix_found_last(
    expected: list[str], told: dict[str, Any]
) -> None:
    master = Master(PROBLEM, PROBLEM.options, Mechanics(PROBLEM), NEED, **told)
    for x, option in zip(master.pick, master.options, strict=True):
        master.model.add(x == int(option.candidate.key == "E=ball"))

    assert (Outcome.OPTIMAL, (index_of(master, "E=ball"),)) == master.solve(None, 10)[:2]
    assert expected == started_from(master)


def test_any_time_is_a_search_and_none_is_none(monkeypatch: pytest.MonkeyPatch) -> None:
    """On one worker, which answers the same every time."""
    given: list[tuple[int, float]] = []

    def unfinished(solver: Any, _: Any, limit_s: float) -> None:
        given.append((solver.parameters.num_workers, limit_s))

    monkeypatch.setattr(stoppable, "solve", unfinished)
    master = Master(PROBLEM, PROBLEM.options, Mechanics(PROBLEM), NEED)
    for limit_s in (0.5, 0.0, -1.0):
        assert Outcome.UNDECIDED is master.solve(None, limit_s)[0]

    assert [(1, 0.5)] == given


@pytest.mark.parametrize(("expected", "less"), [(Outcome.OPTIMAL, 0), (Outcome.INFEASIBLE, 1)], ids=["all", "a cent"])
def test_the_cost_over_the_years_is_that_of_the_mix_with_its_visits(expected: Outcome, less: int) -> None:
    """Five years leave four renewals and four visits, at 30 EUR each, beside 5 EUR now."""
    recall = Recall.model_validate(VISIT, strict=False)
    world = stock(WEARS)
    world = world.model_copy(update={"defaults": world.defaults.model_copy(update={"recall": recall})})
    asked = small_problem(world, wanted=WANTED, money={"years": 5})
    master = Master(asked, asked.options, Mechanics(asked))
    master.model.add(master.pick[0] == 1)
    master.model.add(master.paid_high("years") <= 24500 - less)

    assert expected is master.solve(None, 10)[0]
