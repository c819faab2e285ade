"""Simulated demand against what theory says of it."""

from __future__ import annotations

import pytest
from scipy.stats import poisson

from solver.buying.forecast import forecast, simulate
from solver.buying.outlook import Kind, Outlook

RUNS = 40_000


def test_single_pieces_of_a_share_of_cases_are_poisson() -> None:
    """Thinning a Poisson process leaves one: mean, deviation and level of a part that each third case takes once."""
    mix = (Kind(share=1, parts={"a": 1}), Kind(share=2, parts={"b": 1}))
    row = {r.part: r for r in forecast(Outlook(cases_per_month=6, mix=mix), 3, 0.95, {}, runs=RUNS)}["a"]

    assert row.mean == pytest.approx(6, abs=4 * (6 / RUNS) ** 0.5)
    assert row.deviation == pytest.approx(6**0.5, rel=0.03)
    assert int(poisson(6).ppf(0.95)) == row.level == row.poisson_level


def test_pairs_spread_more_than_poisson() -> None:
    """Two pieces a case: mean 2 lambda, variance 4 lambda (compound Poisson), so the level is above Poisson's."""
    outlook = Outlook(cases_per_month=5, mix=(Kind(share=1, parts={"a": 2}),))
    (row,) = forecast(outlook, 2, 0.95, {}, runs=RUNS)

    assert row.mean == pytest.approx(20, rel=0.01)
    assert row.deviation == pytest.approx(2 * 10**0.5, rel=0.03)
    assert 2 * int(poisson(10).ppf(0.95)) == row.level > row.poisson_level


def test_a_history_without_change_repeats_itself() -> None:
    (row,) = forecast(Outlook(history=({"a": 3}, {"a": 3})), 4, 0.5, {"a": 10}, runs=100)

    assert (12.0, 0.0, 12, 2, 1.0) == (row.mean, row.deviation, row.level, row.to_buy, row.runs_out)


def test_what_goes_together_in_a_month_stays_together() -> None:
    used = simulate(Outlook(history=({"a": 1, "b": 2}, {"a": 4, "b": 8})), 5, 200, 7)

    assert (2 * used[:, 0] == used[:, 1]).all()
    assert 1 < len(set(used[:, 0]))


def test_the_same_seed_the_same_answer() -> None:
    outlook = Outlook(cases_per_month=3, mix=(Kind(share=1, parts={"a": 1}),))

    assert forecast(outlook, 3, 0.9, {}, runs=500, seed=4) == forecast(outlook, 3, 0.9, {}, runs=500, seed=4)
    assert (simulate(outlook, 3, 500, 4) != simulate(outlook, 3, 500, 5)).any()


@pytest.mark.parametrize("service", [0.5, 0.9, 0.99])
def test_the_level_is_the_smallest_that_serves(service: float) -> None:
    outlook = Outlook(cases_per_month=4, mix=(Kind(share=1, parts={"a": 1}), Kind(share=1, parts={"a": 3})))
    used = simulate(outlook, 3, 5000, 1)[:, 0]
    (row,) = forecast(outlook, 3, service, {}, runs=5000)

    assert (used <= row.level).mean() >= service > (used <= row.level - 1).mean()
