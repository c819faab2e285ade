"""Magnets beside their keepers and in scanners, against published measurements."""

from __future__ import annotations

import pytest

from solver.magnet import OFFSET_SOURCE, MagnetAlloy, after_scan, force_at_offset_n


@pytest.mark.parametrize(
    ("offset_mm", "force_n"),
    [(0.0, 6.0), (0.5, 4.96), (1.0, 4.13), (1.5, 3.74), (2.0, 2.83), (2.5, 2.14), (3.0, 1.24)],
)
def test_six_newton_magnet_beside_its_keeper(offset_mm: float, force_n: float) -> None:
    """82.7, 68.8, 62.4, 47.2, 35.7, 20.7 % at each half millimetre (read in the abstract), newton derived."""
    assert force_n == pytest.approx(force_at_offset_n(6.0, offset_mm), abs=0.005), OFFSET_SOURCE


def test_neodymium_at_one_and_a_half_tesla() -> None:
    """8.1 N falls to 34 % of flux (Blankenstein 2011, read): 2.75 N if force follows flux, 0.94 N if its square."""
    left = after_scan(8.1, MagnetAlloy.NEODYMIUM, 1.5)

    assert left.force_n is not None
    assert (0.94, 2.75) == pytest.approx(left.force_n, abs=0.005)


@pytest.mark.parametrize("alloy", MagnetAlloy)
def test_every_magnet_is_reversed_at_three_tesla(alloy: MagnetAlloy) -> None:
    """Blankenstein et al. 2011 (read)."""
    assert after_scan(8.1, alloy, 3.0).reversed


def test_samarium_bears_one_and_a_half_tesla() -> None:
    """92 % of flux is left (Blankenstein 2011, read)."""
    left = after_scan(1.0, MagnetAlloy.SAMARIUM, 1.5)

    assert left.force_n is not None
    assert 0.92 == pytest.approx(left.force_n.high)
