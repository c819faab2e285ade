"""Laws of bending, and the formulas against integration of the beam equation."""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.beams import (
    LoadCase,
    allowable_force_n,
    bending,
    cantilever,
    fixed_span,
    overhang,
    overhang_reactions_n,
    propped_span,
    simple_span,
    span_band,
)
from solver.handbook.checks import OutOfDomain
from solver.handbook.sections import rectangle, round_bar

BAR = round_bar(2.0)
length = st.floats(2.0, 60.0)
newton = st.floats(0.1, 500.0)
CASES = (cantilever, simple_span, fixed_span, propped_span)


def _largest(
    moments: Callable[[np.ndarray], np.ndarray], span: float, clamped_slope: float | None
) -> tuple[float, float]:
    """Largest moment and sag for E I = 1, integrating M twice from sag 0 at x = 0.

    The slope at x = 0 is given, or chosen so that the sag at the far end is 0 as well.
    """
    x = np.linspace(0.0, span, 20_001)
    step = x[1] - x[0]
    moment = moments(x)
    slope = np.concatenate(([0.0], np.cumsum((moment[1:] + moment[:-1]) / 2.0) * step))
    sag = np.concatenate(([0.0], np.cumsum((slope[1:] + slope[:-1]) / 2.0) * step))
    sag = sag + (clamped_slope if clamped_slope is not None else -sag[-1] / span) * x
    return float(np.abs(moment).max()), float(np.abs(sag).max())


L = 15.0


@pytest.mark.parametrize(
    ("case", "moments", "slope"),
    [
        (cantilever(L), lambda x: L - x, 0.0),
        (simple_span(L), lambda x: np.minimum(x, L - x) / 2.0, None),
        (fixed_span(L), lambda x: np.minimum(x, L - x) / 2.0 - L / 8.0, 0.0),
        (propped_span(L), lambda x: np.minimum(x, L - x) / 2.0 - 3.0 * L / 16.0 * (1.0 - x / L), 0.0),
    ],
    ids=["cantilever", "simple", "fixed", "propped"],
)
def test_sag_is_the_double_integral_of_moment(
    case: LoadCase, moments: Callable[[np.ndarray], np.ndarray], slope: float | None
) -> None:
    """Unit load, unit E I; moments of the diagram in statics, clamps level, far ends where supports keep them."""
    assert (case.lever_mm, case.sag_mm3) == pytest.approx(_largest(moments, L, slope), rel=1e-4)


def test_overhang_is_a_cantilever_on_a_root_that_turns() -> None:
    """Tip sag = P a^3 / 3 plus a times the slope P a b / 3 that the simple span takes at its end."""
    span, tip = 22.0, 8.0

    assert cantilever(tip).sag_mm3 + tip * (tip * span / 3.0) == pytest.approx(overhang(span, tip).sag_mm3)


@given(force_n=newton, span=length, tip=length)
def test_overhang_reactions_balance(force_n: float, span: float, tip: float) -> None:
    """They add up to the load, and their moment about the far support is that of the load."""
    near, far = overhang_reactions_n(force_n, span, tip)

    assert force_n == pytest.approx(near + far)
    assert force_n * (span + tip) == pytest.approx(near * span)


@pytest.mark.parametrize("make", CASES)
@given(force_n=newton, span=length, factor=st.floats(0.1, 10.0))
def test_bending_is_linear_in_force(
    make: Callable[[float], LoadCase], force_n: float, span: float, factor: float
) -> None:
    one = bending(force_n, make(span), BAR, 2e5)
    scaled = bending(force_n * factor, make(span), BAR, 2e5)

    assert tuple(factor * part for part in one) == pytest.approx(scaled)


@pytest.mark.parametrize("make", CASES)
@given(span=length, limit=st.floats(50.0, 900.0))
def test_allowable_force_just_reaches_the_limit(make: Callable[[float], LoadCase], span: float, limit: float) -> None:
    force_n = allowable_force_n(make(span), BAR, limit)

    assert limit == pytest.approx(bending(force_n, make(span), BAR, 2e5).stress_mpa)


@given(force_n=newton, span=length)
def test_propped_span_lies_between_fixed_and_simple(force_n: float, span: float) -> None:
    """And so a real span does: the band has its low edge at clamped ends."""
    band = span_band(force_n, span, BAR, 2e5)
    propped = bending(force_n, propped_span(span), BAR, 2e5)

    assert band.stress_mpa.low < propped.stress_mpa < band.stress_mpa.high
    assert band.sag_mm.low < propped.sag_mm < band.sag_mm.high


def test_a_tapped_hole_raises_stress_and_sag() -> None:
    whole, drilled = (bending(50, simple_span(15), rectangle(3, 3, hole_mm=h), 2e5) for h in (0.0, 1.5))

    assert (2.0, 2.0) == pytest.approx((drilled.stress_mpa / whole.stress_mpa, drilled.sag_mm / whole.sag_mm))


@pytest.mark.parametrize(
    ("call", "name"),
    [
        (lambda: cantilever(0.0), "length_mm"),
        (lambda: overhang(10.0, -1.0), "overhang_mm"),
        (lambda: overhang_reactions_n(1.0, 0.0, 1.0), "span_mm"),
        (lambda: bending(-1.0, cantilever(1.0), BAR, 1.0), "force_n"),
        (lambda: bending(1.0, cantilever(1.0), BAR, math.nan), "modulus_mpa"),
        (lambda: allowable_force_n(cantilever(1.0), BAR, 0.0), "limit_mpa"),
    ],
)
def test_numbers_without_meaning_are_refused_by_name(call: Callable[[], object], name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        call()
    assert name == caught.value.name
