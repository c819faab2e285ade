"""Laws of wear: what is measured comes back, floors are where they are said to be, renewals count."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.handbook.wear import (
    CYCLE_CONVENTIONS,
    Wear,
    WearLaw,
    chained_loss_share,
    initial_from_final_n,
    loss_share,
    months,
    newton_from_gram_force,
    newton_from_kilogram_force,
    renewals,
    survival_share,
)

law = st.sampled_from(WearLaw)
loss = st.floats(0.01, 0.95)
cycles = st.floats(100.0, 20_000.0)
newton = st.floats(0.5, 60.0)


@given(wear=st.builds(Wear, st.floats(-0.5, 0.95), cycles, law), initial=newton)
def test_measured_loss_comes_back(wear: Wear, initial: float) -> None:
    """After exactly the cycles of the test, exactly the share of the test is lost, whichever the law."""
    assert wear.loss_share == pytest.approx(
        loss_share(initial, wear.retention_after_n(initial, wear.over_cycles)), abs=1e-9
    )


@given(lost=loss, over=cycles)
def test_geometric_loss_per_cycle_compounds(lost: float, over: float) -> None:
    wear = Wear(lost, over, WearLaw.GEOMETRIC)

    assert 1.0 - lost == pytest.approx((1.0 - wear.loss_per_cycle) ** over, rel=1e-6)


@given(lost=loss, over=cycles)
def test_linear_loss_per_cycle_adds_up(lost: float, over: float) -> None:
    assert lost == pytest.approx(Wear(lost, over, WearLaw.LINEAR).loss_per_cycle * over)


@given(lost=st.floats(-0.5, 0.95).filter(bool), over=cycles, part=st.floats(0.01, 4.0))
def test_which_law_is_the_gloomier(lost: float, over: float, part: float) -> None:
    """Geometric within the cycles tested, linear beyond them."""
    geometric, linear = (Wear(lost, over, which).share_left(over * part) for which in WearLaw)
    low, high = (geometric, linear) if part < 1.0 else (linear, geometric)

    assert low <= high + 1e-9


@given(wear=st.builds(Wear, loss, cycles, law), initial=newton, some=cycles, more=cycles)
def test_retention_only_falls(wear: Wear, initial: float, some: float, more: float) -> None:
    assert 0.0 <= wear.retention_after_n(initial, some + more) <= wear.retention_after_n(initial, some) <= initial


@given(wear=st.builds(Wear, loss, cycles, law), initial=newton, floor=newton)
def test_floor_is_met_at_the_cycles_given(wear: Wear, initial: float, floor: float) -> None:
    assume(initial > floor)

    assert floor == pytest.approx(wear.retention_after_n(initial, wear.cycles_to_floor(initial, floor)))


@pytest.mark.parametrize("which", WearLaw)
@pytest.mark.parametrize(
    ("lost", "initial_n", "expected"),
    [(0.2, 3.0, 0.0), (0.2, 2.0, 0.0), (0.0, 9.0, math.inf), (-0.03, 9.0, math.inf)],
    ids=["starts at it", "starts below it", "no loss", "a gain"],
)
def test_floors_met_at_once_or_never(which: WearLaw, lost: float, initial_n: float, expected: float) -> None:
    assert expected == Wear(lost, 1000.0, which).cycles_to_floor(initial_n, 3.0)


def test_months_to_a_floor_depend_on_the_convention() -> None:
    """12 N losing 50 % in 5500 cycles meets 6 N after 5500: 60 months at one convention, 36 at the other."""
    wear = Wear(0.5, 5500.0)
    reda, walton = (c.insertions_per_day for c in CYCLE_CONVENTIONS if c.cycles == 5500)

    assert [60.0, 36.0] == pytest.approx([wear.months_to_floor(12.0, 6.0, each) for each in (reda, walton)])


def test_never_is_never_in_months_too() -> None:
    assert math.inf == months(math.inf, 3.0)


@pytest.mark.parametrize(
    ("years", "interval_months", "times"),
    [(5, 12, 4), (5, 11, 5), (1, 12, 0), (1, 13, 0), (0, 6, 0), (10, math.inf, 0), (2, 7, 3), (3, 0.1 * 30, 11)],
)
def test_renewals(years: float, interval_months: float, times: int) -> None:
    """New at the start; what runs out as the time ends is not renewed."""
    assert times == renewals(years, interval_months)


@given(years=st.floats(0, 20), interval=st.floats(0.5, 100))
def test_renewals_cover_the_time(years: float, interval: float) -> None:
    """The first part and its renewals last at least the time; one renewal less would not."""
    times = renewals(years, interval)

    assert (times + 1) * interval >= years * 12 - 1e-6
    assert times == 0 or times * interval < years * 12


@given(losses=st.lists(st.floats(-0.5, 0.9), max_size=6), start=newton)
def test_chained_losses_are_losses_in_turn(losses: list[float], start: float) -> None:
    left = start
    for lost in losses:
        left -= left * lost

    assert 1.0 - left / start == pytest.approx(chained_loss_share(losses), abs=1e-9)


@given(final=newton, lost=st.floats(-0.5, 0.95))
def test_start_and_loss_undo_each_other(final: float, lost: float) -> None:
    assert lost == pytest.approx(loss_share(initial_from_final_n(final, lost), final), abs=1e-9)


@given(rate=st.floats(0.0, 20.0), one=st.floats(0, 20), two=st.floats(0, 20))
def test_survival_multiplies_over_time(rate: float, one: float, two: float) -> None:
    assert survival_share(rate, one) * survival_share(rate, two) == pytest.approx(survival_share(rate, one + two))


def test_a_kilogram_is_a_thousand_grams() -> None:
    assert newton_from_kilogram_force(1.5) == pytest.approx(newton_from_gram_force(1500.0))


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: Wear(1.0, 10.0), "loss_share"),
        (lambda: Wear(math.nan, 10.0), "loss_share"),
        (lambda: Wear(0.1, 0.0), "over_cycles"),
        (lambda: Wear(0.1, 10.0).share_left(-1.0), "cycles"),
        (lambda: Wear(0.1, 10.0).cycles_to_floor(5.0, 0.0), "floor_n"),
        (lambda: months(10.0, 0.0), "insertions_per_day"),
        (lambda: renewals(1.0, 0.0), "interval_months"),
        (lambda: renewals(1.0, math.nan), "interval_months"),
        (lambda: renewals(-1.0, 1.0), "years"),
        (lambda: loss_share(0.0, 1.0), "before"),
        (lambda: initial_from_final_n(1.0, 1.0), "lost_share"),
        (lambda: survival_share(-1.0, 1.0), "losses_per_100_years"),
    ],
)
def test_numbers_without_meaning_are_refused_by_name(call: Callable[[], object], name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        call()
    assert name == caught.value.name
