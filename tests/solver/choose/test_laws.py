"""Laws that whole plans keep, on random cases: mirror, origin, one attachment more, the bite in balance and scale."""

from __future__ import annotations

import random
from collections.abc import Iterable, Mapping
from typing import Any

import numpy as np
import pytest

from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.audit.second_opinion.world import World
from solver.case.schema import PULLS
from solver.choose.plan import Answer, plan
from solver.mechanics.bites import BITES
from solver.mechanics.option import Option
from tests.referee.random_case import random_world, with_pulls

SEEDS = range(40)
OTHER = {"left": "right", "right": "left"}


def world(seed: int) -> World:
    return with_pulls(random_world(seed), seed)


def moved(found: World, turn: int = 1, by: tuple[float, float] = (0.0, 0.0)) -> World:
    """The same mouth seen from another origin, or (turn = -1) in the mirror: x to the other side, left for right."""
    case = found.case

    def at(place: tuple[float, ...]) -> tuple[float, ...]:
        return (turn * place[0] + by[0], place[1] + by[1], *place[2:])

    def sided(values: Mapping[Any, Any]) -> dict[Any, Any]:
        return {OTHER.get(name, name) if turn < 0 else name: value for name, value in values.items()}

    supports = {
        name: support.model_copy(update={"at_mm": at(support.at_mm) if support.at_mm else None})
        for name, support in case.supports.items()
    }
    spots = sided({side: at(getattr(case.denture, side)) for side in ("left", "right", "front")})
    wanted = case.wanted.model_copy(
        update={"movement": sided(case.wanted.movement), "pull_n": sided(case.wanted.pull_n)}
    )
    denture = case.denture.model_copy(update=spots)
    changes = {"supports": supports, "denture": denture, "wanted": wanted}
    return World(case.model_copy(update=changes), found.catalogue)


def figures(answer: Answer, turn: int = 1) -> dict[str, Any]:
    """Everything of a plan that is a number, under names without a side where `turn` is -1."""
    best = answer.best
    if best is None:
        return {"status": answer.status}
    return {
        "status": answer.status,
        "mix": [candidate.key for candidate in best.mix],
        "cost": best.cost,
        "level": best.level,
        "given up": len(best.given_up),
        "questions": best.questions,
        "years": best.aftercare.cost,
    } | {name: pytest.approx(value, abs=2e-3, rel=2e-3) for name, value in _loads(best, turn).items()}


def _loads(best: Assessment, turn: int) -> dict[str, Any]:
    def side(name: str) -> str:
        return OTHER.get(name, name) if turn < 0 else name

    named: dict[str, Any] = {f"reach {side(r.demand)}": r.reach for r in best.reaches}
    named |= {f"hold {side(p.name)}": p.hold_n for p in best.pulls}
    for found in best.loads.bites:
        bite = side(found.name)
        named[f"{bite} lever"] = found.lever_mm
        named[f"{bite} shared"] = np.array(found.share)
    return named


@pytest.mark.parametrize("seed", SEEDS)
def test_a_mirrored_case_has_the_mirrored_plan(seed: int) -> None:
    found = world(seed)

    assert figures(plan(*found)) == _plain(figures(plan(*moved(found, turn=-1)), turn=-1))


@pytest.mark.parametrize("seed", SEEDS)
def test_the_origin_may_lie_anywhere(seed: int) -> None:
    found = world(seed)

    assert figures(plan(*found)) == _plain(figures(plan(*moved(found, by=(13.0, -21.0)))))


def _plain(found: dict[str, Any]) -> dict[str, Any]:
    """Without tolerances, which only one side of a comparison may have."""
    return {name: getattr(value, "expected", value) for name, value in found.items()}


@pytest.mark.parametrize("seed", SEEDS)
def test_one_attachment_more_never_adds_reach_and_never_lowers_hold(seed: int) -> None:
    problem, dice = problem_of(*world(seed)), random.Random(seed)
    mechanics = Mechanics(problem)
    mix = _some(problem, dice)
    less = mix[:-1]

    for more, fewer in zip(mechanics.reaches(mix), mechanics.reaches(less), strict=True):
        assert more.reach <= fewer.reach + 1e-6
    for pull_more, pull_fewer in zip(mechanics.pulls(mix), mechanics.pulls(less), strict=True):
        assert pull_more.hold_n >= pull_fewer.hold_n - 1e-6
    assert _held(mix) >= _held(less)


def _some(problem: Problem, dice: random.Random) -> list[Option]:
    """One option at every site, in any order; physics aside, since this asks of mechanics only."""
    by_site: dict[str, list[Option]] = {}
    for option in problem.options:
        by_site.setdefault(option.site, []).append(option)
    return dice.sample([dice.choice(options) for options in by_site.values()], len(by_site))


def _held(mix: Iterable[Option]) -> float:
    return sum(option.candidate.low_n for option in mix)


@pytest.mark.parametrize("seed", SEEDS)
def test_supports_bear_what_the_mucosa_does_not(seed: int) -> None:
    """Summed over the supports, least and most enclose the least and most share of the bite."""
    best = plan(*world(seed)).best
    for bite in best.loads.bites if best else ():
        low, high = (sum(ends) for ends in zip(*bite.support_n.values(), strict=True))

        assert low <= bite.force_n * bite.share.low + 0.1
        assert high >= bite.force_n * bite.share.high - 0.1


def test_the_random_plans_are_not_all_alike() -> None:
    """Some are filled, some bind, some are pulled, some are on the upper jaw: the laws above are not kept idly."""
    found = [plan(*world(seed)) for seed in SEEDS]
    plans = [answer.best for answer in found if answer.best]

    assert sum(bool(each.mix) for each in plans) > 15
    assert any(reach.reach < 0.9 for each in plans for reach in each.reaches)
    assert len(PULLS) * 5 < sum(pull.hold_n > 0.1 for each in plans for pull in each.pulls)
    assert {"lower", "upper"} == {answer.problem.case.arch for answer in found if answer.best}
    assert len(BITES) == len(plans[0].loads.bites)
