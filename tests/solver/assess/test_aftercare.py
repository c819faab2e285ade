"""The years after fitting: wear, the month under the floor, renewals, visits and their cost."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.assess.problem import Problem
from solver.assess.years import Aftercare, aftercare
from solver.case.money import Cost
from tests.referee.random_case import INVENTED
from tests.solver.small import band, part, renewal, small_problem, stock


def service(*months: int, price: float = 10, chair: float = 5) -> dict[str, Any]:
    """Renewal of parts at one price, 2 EUR a chair minute."""
    return renewal(*months, price=band(price, price), work={"chair": [chair, chair], "source": INVENTED})


def wear(low: float, high: float, cycles: int = 1000) -> dict[str, Any]:
    return {"loss": [low, high], "cycles": cycles, "source": INVENTED}


def years_of(clip: dict[str, Any], **changes: Any) -> tuple[Problem, Aftercare]:
    """The small case with this clip on its bar."""
    problem = small_problem(stock(clip), **changes)
    return problem, aftercare(problem, [problem.options[0].candidate])


@pytest.mark.parametrize(
    ("months", "years", "times"),
    [
        ((12, 12), 5, (4, 4)),  # due at 12, 24, 36, 48; not on the last day
        ((6, 12), 1, (0, 1)),
        ((7, 18), 5, (3, 8)),
        ((60, 108), 5, (0, 0)),
        ((60, 108), 10, (1, 1)),
    ],
    ids=["yearly", "one year", "uneven", "outlasts", "ten years"],
)
def test_renewals_are_counted_within_the_years(months: tuple[int, int], years: int, times: tuple[int, int]) -> None:
    _, found = years_of(part("c", service=service(*months)), money={"years": years})

    assert times == found.renewals[0].times
    assert Cost(2000 * times[0], 2000 * times[1]) == found.renewals[0].cost


def test_the_cost_over_the_years_is_fitting_renewals_and_visits() -> None:
    """Fitting 10 to 12, four renewals at 20; no visit is named by the catalogue of the tests."""
    problem, found = years_of(part("c", service=service(12, 12)))

    assert Cost() == problem.recalls == found.visits_cost
    assert Cost(1000 + 8000, 1200 + 8000) == found.cost


def test_a_part_that_the_catalogue_never_renews_costs_nothing_later() -> None:
    problem, found = years_of(part("c"))

    assert problem.cost_of([problem.options[0].candidate]) == found.cost
    assert () == found.renewals
    assert ("B",) == found.unknown


def test_balls_with_polymer_caps_after_a_year_as_published() -> None:
    """Manimala et al., Online J Dent Oral Health 2021: 24.73 N, 19.28 N after the 1,440 insertions of a year."""
    lost = (24.73 - 19.28) / 24.73
    ball = part("b", retention_n=band(24.73, 24.73), wear=wear(lost, lost, 1440))

    _, found = years_of(ball, wanted={"insertions_per_day": 1440 / 365})

    assert 19.28 == pytest.approx(found.yearly[1].low_n)
    assert 19.28 == pytest.approx(found.yearly[1].high_n)


def test_the_month_under_the_floor_comes_sooner_with_more_insertions() -> None:
    """5 N halved every 1,000 insertions falls under 4 N at 1,000 ln 0.8 / ln 0.5 = 322: day 64 at 5, day 107 at 3."""
    _, found = years_of(part("c", retention_n=band(5, 5), wear=wear(0.5, 0.5)), wanted={"level_n": 4})

    assert found.assumed
    assert (3.0, 5.0) == found.insertions_per_day
    assert (3, 4) == found.under_floor


def test_renewing_in_time_keeps_the_hold() -> None:
    """5 N halved every 1,000 insertions, 1,825 a year: a year leaves 5 x 2^-1.825, two months 5 x 2^-0.304."""
    clip = part("c", retention_n=band(5, 5), wear=wear(0.5, 0.5), service=service(2, 12))
    _, found = years_of(clip, wanted={"level_n": 4})

    assert (5 * 2 ** -(1825 / 6000), 5 * 2**-1.825) == pytest.approx(found.renewed_n)
    assert found.renewed_n[1] < 4 < found.renewed_n[0]


def test_where_no_hold_is_asked_nothing_falls_under_it() -> None:
    _, found = years_of(part("c", wear=wear(0.5, 0.9)), wanted={"level_n": 0})

    assert (None, None) == found.under_floor


shares = st.lists(st.floats(-0.2, 0.95), min_size=2, max_size=2).map(sorted)


@given(shares, st.integers(1, 30), st.integers(0, 30), st.floats(0.5, 20))
def test_the_bands_hold_what_they_say(loss: list[float], sooner: int, more: int, per_day: float) -> None:
    """Low ends lie below high ends, renewing sooner never holds less, and costs only grow with years."""
    clip = part("c", wear=wear(loss[0], loss[1]), service=service(sooner, sooner + more))
    _, found = years_of(clip, wanted={"insertions_per_day": per_day}, money={"years": 4})
    _, longer = years_of(clip, wanted={"insertions_per_day": per_day}, money={"years": 6})

    assert all(held.low_n <= held.high_n + 1e-9 for held in found.months)
    assert min(found.months[0].low_n, found.months[-1].low_n) - 1e-9 <= found.renewed_n[1]
    assert found.renewed_n[1] <= found.renewed_n[0] <= found.months[0].low_n + 1e-9
    assert found.cost.low <= longer.cost.low
    assert found.cost.high <= longer.cost.high
    assert longer.months[: len(found.months)] == found.months
