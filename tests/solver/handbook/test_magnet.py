"""Magnets: between the published offsets and at the edges of what is known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.handbook.magnets import AfterScan, MagnetAlloy, after_scan, force_at_offset_n

newton = st.floats(0.0, 20.0)
offset = st.floats(0.0, 3.0)


@given(seated=newton, one=offset, two=offset)
def test_further_aside_holds_less(seated: float, one: float, two: float) -> None:
    near, far = sorted((one, two))

    assert force_at_offset_n(seated, far) <= force_at_offset_n(seated, near) <= seated


def test_straight_lines_between_the_offsets() -> None:
    """Halfway between 82.7 and 68.8 %."""
    assert 0.7575 * 6.0 == pytest.approx(force_at_offset_n(6.0, 0.75))


@pytest.mark.parametrize("offset_mm", [3.01, -0.1, float("nan")])
def test_offsets_without_a_figure_are_refused(offset_mm: float) -> None:
    with pytest.raises(OutOfDomain) as caught:
        force_at_offset_n(6.0, offset_mm)
    assert caught.value.name == "offset_mm"


@given(seated=newton, alloy=st.sampled_from(MagnetAlloy), field=st.floats(0.1, 7.0))
def test_scan_reverses_or_weakens(seated: float, alloy: MagnetAlloy, field: float) -> None:
    """Fields above 1.5 T are judged as 3 T; below, a band from square to proportion, never above the start."""
    left = after_scan(seated, alloy, field)

    assert left.reversed == (field > 1.5)
    if left.force_n is None:
        assert AfterScan(reversed=True, force_n=None) == left
    else:
        assert 0.0 <= left.force_n.low <= left.force_n.high <= seated


def test_a_scanner_without_a_field_is_refused() -> None:
    with pytest.raises(OutOfDomain, match="field_t: must be finite and above zero, got 0"):
        after_scan(6.0, MagnetAlloy.NEODYMIUM, 0.0)
