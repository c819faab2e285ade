"""Strength of a denture base of acrylic (PMMA): the three-point bend, and the least thickness on record."""

from __future__ import annotations

from solver.handbook.checks import check_not_negative, check_positive
from solver.handbook.sourced import Known, Place, Sourced

FLEXURAL_STRENGTH_MPA = {
    "heat-cured": Sourced.single(
        65.0,
        "MPa",
        Known.PUBLISHED,
        "ISO 20795-1 (2013), limit as used in Open Dent J 2024;18:e18742106278787",
    ),
    "self-cured": Sourced.single(60.0, "MPa", Known.MEMORY, "ISO 20795-1"),
}

_TOKGOZ = "Tokgoz et al., Eur J Dent 2019;13:64-68, doi 10.1055/s-0039-1688533"
BASE_MM = Sourced.single(2.0, "mm", Known.PUBLISHED, _TOKGOZ, "over a bar, no reinforcement")
REINFORCED_BASE_MM = Sourced.single(
    3.0, "mm", Known.PUBLISHED, _TOKGOZ, "fibre inside; 2 mm was too thin, 3 and 4 mm were tested"
)


def stress_mpa(force_n: float, span_mm: float, width_mm: float, thickness_mm: float) -> float:
    """Bending stress 3 F l / (2 b h^2) of a flat strip on two edges, loaded between (ISO 20795-1; memory).

    Raises:
        OutOfDomain: for a force below zero or a size not above zero.
    """
    check_not_negative(force_n=force_n)
    check_positive(span_mm=span_mm, width_mm=width_mm, thickness_mm=thickness_mm)
    return 3.0 * force_n * span_mm / (2.0 * width_mm * thickness_mm**2)


def breaking_force_n(strength_mpa: float, span_mm: float, width_mm: float, thickness_mm: float) -> float:
    """Force at which the strip reaches its strength; raises as `stress_mpa`."""
    check_positive(strength_mpa=strength_mpa)
    return strength_mpa / stress_mpa(1.0, span_mm, width_mm, thickness_mm)


def sag_mm(force_n: float, span_mm: float, width_mm: float, thickness_mm: float, modulus_mpa: float) -> float:
    """Sag F l^3 / (4 b h^3 E) of the strip at its centre; raises as `stress_mpa`."""
    check_not_negative(force_n=force_n)
    check_positive(span_mm=span_mm, width_mm=width_mm, thickness_mm=thickness_mm, modulus_mpa=modulus_mpa)
    return force_n * span_mm**3 / (4.0 * width_mm * thickness_mm**3 * modulus_mpa)


def least_thickness_mm(force_n: float, strength_mpa: float, span_mm: float, width_mm: float) -> float:
    """Thickness at which the strip just bears the force; raises as `stress_mpa`."""
    check_positive(strength_mpa=strength_mpa)
    return float((stress_mpa(force_n, span_mm, width_mm, 1.0) / strength_mpa) ** 0.5)


def base_is_thick_enough(thickness_mm: float, *, reinforced: bool) -> bool:
    """Judge a base over a bar by the thickness that sufficed in the one study on record."""
    check_positive(thickness_mm=thickness_mm)
    least = REINFORCED_BASE_MM if reinforced else BASE_MM
    return least.interval.place(thickness_mm) is not Place.BELOW
