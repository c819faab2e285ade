"""What a candidate costs: parts and minutes per piece, reworks per site, charges once a case."""

from __future__ import annotations

import pytest

from solver.case.money import Cost
from solver.fit.pricing import NoExchange, candidate_cost, purse_of, rework_cost
from tests.referee.random_case import INVENTED
from tests.solver.small import band, part, small_case, small_problem, step, stock

WORK = {"bench": [3, 5], "chair": [0, 10], "source": INVENTED}
CATALOGUE = stock(
    part("clip", price=band(10, 12.34), work=WORK),
    part("stud", at="support", price=band(0, 0), steps=["off"]),
    steps=(
        step("file", "segment", price=band(1, 2), work=WORK),
        step("off", "support", price=band(20, 20), once=True, always_with=True),
    ),
)
CLIP, FILE, OFF = CATALOGUE.attachments["clip"], CATALOGUE.reworks["file"], CATALOGUE.reworks["off"]
PURSE = purse_of(small_case(), CATALOGUE)


@pytest.mark.parametrize(
    ("low", "high", "count", "reworks"),
    [(1300, 3734, 1, ()), (2600, 7468, 2, ()), (1700, 6434, 1, (FILE,)), (1300, 3734, 1, (OFF,))],
    ids=["10 + 3 to 12.34 + 5 + 20", "two", "4 to 27 of filing more", "paid once a case, not here"],
)
def test_parts_minutes_and_reworks_add_up(low: int, high: int, count: int, reworks: tuple[object, ...]) -> None:
    assert Cost(low, high) == candidate_cost(CLIP, count, reworks, PURSE)  # type: ignore[arg-type]


def test_a_rework_costs_its_price_and_minutes() -> None:
    assert Cost(400, 2700) == rework_cost(FILE, PURSE)


def test_a_charge_is_paid_once_however_many_sites_use_it() -> None:
    problem = small_problem(CATALOGUE)
    studs = [problem.fit.at(site).usable[0] for site in ("R", "L")]

    assert Cost(2000, 2000) == problem.cost_of(studs) == problem.cost_of(studs[:1])
    assert Cost() == problem.cost_of([])


@pytest.mark.parametrize(
    ("cost", "currency", "exchange"),
    [(Cost(1636, 2018), "JPY", 163.55), (Cost(3075, 3795), "KWD", 0.3075)],
    ids=["no digits", "three digits"],
)
def test_prices_are_exchanged_and_wages_are_not(cost: Cost, currency: str, exchange: float) -> None:
    money = {"currency": currency, "bench_per_hour": 0, "chair_per_hour": 0, "exchange": exchange}

    assert cost == candidate_cost(CLIP, 1, (), purse_of(small_case(money=money), CATALOGUE))


def test_another_currency_needs_a_rate() -> None:
    with pytest.raises(NoExchange) as caught:
        purse_of(small_case(money={"currency": "CHF"}), CATALOGUE)

    found = caught.value.finding()
    assert ("prices are in EUR and the case is in CHF", "give `exchange`: CHF for one EUR") == (
        found.problem,
        found.advice,
    )


def test_ones_own_money_needs_no_rate() -> None:
    """A rate that stands in a case of the catalogue's own currency is not applied, wherever it is reckoned."""
    case = small_case(money={"currency": "EUR", "bench_per_hour": 60, "chair_per_hour": 60, "exchange": 2})

    assert purse_of(case, CATALOGUE).exchange == 1
