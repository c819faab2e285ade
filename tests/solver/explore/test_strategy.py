"""The ways out side by side: what is open, what it would need, and what it costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest

from catalogue.blocks import WhatIf
from catalogue.models import Catalogue
from solver.assess.assessment import Status
from solver.assess.cautions import Hazard
from solver.assess.problem import problem_of
from solver.audit.second_opinion.decide import decide
from solver.audit.second_opinion.mixes import Mix
from solver.audit.second_opinion.world import World
from solver.case.money import Cost
from solver.case.rules import Budget, EnoughSupports, LevelPull, NotAllowed, Unsplint
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explore.strategies import Standing, Strategy, Way, strategies
from tests.referee.random_case import INVENTED, random_world
from tests.solver.small import band, large_world, part, small_problem, step, stock

STOCK = stock(
    part("clip"),
    part("stud", "stud", "support", steps=["off"], price=band(20, 20)),
    steps=(step("off", "support", always_with=True, once=True, permissions=["bar_off"]),),
)
UPPER = {"arch": "upper", "denture": {"left": None, "right": None, "front": None}}


def priced(name: str, price: float) -> WhatIf:
    entry = {"name": name, "price": band(price, price), "work": {"source": INVENTED}, "source": INVENTED}
    return WhatIf.model_validate(entry, strict=False)


def with_what_ifs(catalogue: Catalogue) -> Catalogue:
    added = {"new_bar": priced("new bar", 500), "no_attachment": priced("none", 40)}
    return catalogue.model_copy(update={"defaults": catalogue.defaults.model_copy(update=added)})


def ways(**changes: Any) -> dict[Way, Strategy]:
    problem = small_problem(with_what_ifs(STOCK), **{"wanted": {"level_n": 5}, **changes})
    return {found.way: found for found in strategies(problem)}


def standings(found: dict[Way, Strategy]) -> list[Standing]:
    return [found[way].standing for way in Way]


def needs(found: Strategy) -> list[type]:
    return [type(entry.rule) for entry in found.needs]


@pytest.mark.parametrize(
    ("expected", "changes"),
    [
        ("open what-if what-if what-if", {}),
        ("open open open what-if", {"allowed": {"bar_off": True, "new_bar": True}}),
        ("open what-if what-if what-if", {"money": {"cap": 15}, "allowed": {"bar_off": True, "new_bar": True}}),
        ("what-if what-if what-if what-if", {"money": {"cap": 5}}),
        ("open open what-if open", {"wanted": {"level_n": 0}, "allowed": {"bar_off": True}}),
        ("open what-if what-if what-if", {**UPPER, "allowed": {"bar_off": True}}),
        ("closed open what-if what-if", {"segments": {"B": None}, "ends": {"E": None}}),
    ],
    ids=["nothing allowed", "all allowed", "tight cap", "no cap left", "no hold asked", "upper jaw", "no bar"],
)
def test_what_is_open(expected: str, changes: dict[str, Any]) -> None:
    assert expected.split(" ") == [standing.value for standing in standings(ways(**changes))]


def test_what_is_not_open_says_what_it_would_need() -> None:
    found = ways(money={"cap": 45})

    assert [NotAllowed("bar_off")] == [entry.rule for entry in found[Way.OFF].needs]
    assert [NotAllowed, Budget] == needs(found[Way.NEW])
    assert [45500] == [entry.amount for entry in found[Way.NEW].needs if isinstance(entry.rule, Budget)]
    assert [LevelPull] == needs(found[Way.NONE])


def test_in_the_upper_jaw_the_bar_comes_off_only_against_a_rule() -> None:
    """Never silently, whatever the case allows."""
    found = ways(**UPPER, allowed={"bar_off": True})

    assert [EnoughSupports(4), Unsplint(2)] == [entry.rule for entry in found[Way.OFF].needs]
    assert Hazard.BAR_OFF in {caution.hazard for caution in found[Way.OFF].cautions}


def test_prices_of_what_is_not_planned_come_from_the_catalogue() -> None:
    found = ways()

    assert (Cost(50000, 50000), None, None) == (found[Way.NEW].cost, found[Way.NEW].cost_years, found[Way.NEW].plan)
    assert (Cost(4000, 4000), Cost(4000, 4000)) == (found[Way.NONE].cost, found[Way.NONE].cost_years)


def test_what_the_catalogue_does_not_price_is_left_out() -> None:
    assert [Way.KEEP, Way.OFF] == [found.way for found in strategies(small_problem(STOCK))]


def test_time_out_is_not_taken_for_closed() -> None:
    case, catalogue = large_world()

    kept = strategies(problem_of(case, catalogue), Options(time_limit_s=0.001))[0]

    assert Standing.UNDECIDED is kept.standing


@pytest.mark.parametrize("seed", range(40))
def test_each_way_is_the_exhaustive_optimum_with_the_other_forbidden(seed: int) -> None:
    """Referee: python-constraint enumerates, scipy judges the motion."""
    world = random_world(seed)
    answer = plan(*world)

    kept, off = strategies(answer.problem)

    assert exhaustive(world, on_bar) == open_at(kept)
    assert exhaustive(world, on_supports) == open_at(off)
    if answer.status in (Status.FITS, Status.FITS_IF) and answer.best and answer.best.mix:
        opened = [each.cost.high for each in (kept, off) if each.standing is Standing.OPEN and each.cost]
        assert not opened or answer.best.cost.high <= min(opened)


def on_bar(mix: Mix) -> bool:
    return any(p.site.kind != "support" and p.attachment.kind != "bare" for p in mix)


def on_supports(mix: Mix) -> bool:
    return any(p.site.kind == "support" for p in mix)


def exhaustive(world: World, wanted: Callable[[Mix], bool]) -> int | None:
    best = decide(world, wanted).best
    return best[0] if best else None


def open_at(found: Strategy) -> int | None:
    """The cost of a way that is open, high end; None where it is not."""
    return found.cost.high if found.standing is Standing.OPEN and found.cost else None
