"""The mucosa and the bites upon it against published measurements."""

from __future__ import annotations

import pytest

from solver.mucosa import BASE_AREA_MM2, BITE_N, settling, spring_n_per_mm
from solver.wear import newton_from_kilogram_force


@pytest.mark.parametrize(
    ("jaw", "thickness_mm", "spring", "depth_mm", "pressure_kpa"),
    [("lower", 1.5, 1634.0, 0.06120, 40.80), ("upper", 2.1, 1754.8, 0.05699, 27.14)],
)
def test_base_under_a_hundred_newton(
    jaw: str, thickness_mm: float, spring: float, depth_mm: float, pressure_kpa: float
) -> None:
    """Areas of Araby et al. 2024 (read), 1 MPa chosen, spring derived and computed."""
    area = BASE_AREA_MM2[jaw].middle
    settled = settling(100.0, modulus_mpa=1.0, area_mm2=area, thickness_mm=thickness_mm)

    assert spring == pytest.approx(spring_n_per_mm(1.0, area, thickness_mm), abs=0.05)
    assert depth_mm == pytest.approx(settled.depth_mm, abs=1e-5)
    assert pressure_kpa == pytest.approx(settled.pressure_kpa, abs=0.01)


def test_both_sides_bite_a_third_harder_than_one() -> None:
    """569 against 430 N (van der Bilt et al. 2008, read in the abstract): 1.323."""
    ratio = BITE_N["natural-both-sides"].middle / BITE_N["natural-one-side"].middle

    assert 1.323 == pytest.approx(ratio, abs=5e-4)


@pytest.mark.parametrize(
    ("preset", "force_kgf"), [("denture-new", 5.65), ("denture-old", 7.01), ("overdenture", 12.22)]
)
def test_bite_presets_are_the_printed_kilogram_forces(preset: str, force_kgf: float) -> None:
    """J Oral Implantol 2009;35:196 (read), converted."""
    assert newton_from_kilogram_force(force_kgf) == pytest.approx(BITE_N[preset].middle, abs=0.01)
