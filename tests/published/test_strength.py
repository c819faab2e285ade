"""Beams, sections, alloys and acrylic against handbooks and standards; each row says how it is known."""

from __future__ import annotations

import math
from typing import NamedTuple

import pytest

from solver import acrylic
from solver.alloy import ALLOY_TYPES, BAR_TENSILE_MPA
from solver.beam import (
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
from solver.joint import RETAPPED_PRELOAD_SHARE, WeldedMetal, weld_gains_by_voltage
from solver.measure import Measure
from solver.section import Section, egg, rectangle, round_bar
from solver.sites import Fact
from solver.sourced import Interval, Known
from solver.strength import Cut, bar_stress

COBALT_MPA, GOLD_MPA, TITANIUM_MPA = 210_000.0, 95_000.0, 105_000.0
EGG = egg(2.2, 1.1, 1.9)


class Worked(NamedTuple):
    """A worked beam: moment, stress, sag; units are those of the source throughout."""

    source: str
    case: LoadCase
    section: Section
    force: float
    modulus: float
    moment: float
    stress: float
    sag: float


def _as_printed(second_moment: float, fibre: float) -> Section:
    """Section known by its I and c alone."""
    return Section(1.0, 0.0, second_moment, -fibre, fibre)


WORKED = {
    "cantilever": Worked(
        "engineeringtoolbox.com, cantilever beams: 7.6 mm, 27.4 MPa (read; decimals computed)",
        cantilever(5000),
        _as_printed(8.196e7, 150),
        3000,
        200e3,
        1.5e7,
        27.452,
        7.6257,
    ),
    "simple span": Worked(
        "engineeringtoolbox.com, simple beam in inches and pounds (memory; decimals computed)",
        simple_span(100),
        _as_printed(285, 6.25),
        10_000,
        29e6,
        250_000,
        5482.46,
        0.025207,
    ),
    "round bar, simple": Worked(
        "computed from the tables' formulas",
        simple_span(15),
        round_bar(2),
        100,
        COBALT_MPA,
        375,
        477.46,
        0.04263,
    ),
    "round bar, clamped": Worked(
        "computed", fixed_span(15), round_bar(2), 100, COBALT_MPA, 187.5, 238.73, 0.04263 / 4
    ),
    "round bar, gold": Worked("computed", simple_span(15), round_bar(2), 100, GOLD_MPA, 375, 477.46, 0.09424),
    "round bar, titanium": Worked("computed", simple_span(15), round_bar(2), 100, TITANIUM_MPA, 375, 477.46, 0.08526),
    "thinner round bar": Worked(
        "computed; I = 0.515300", simple_span(15), round_bar(1.8), 100, COBALT_MPA, 375, 654.96, 0.064974
    ),
    "round bar, cantilever": Worked("computed", cantilever(10), round_bar(2), 100, COBALT_MPA, 1000, 1273.2, 0.2021),
    "egg, cantilever": Worked("computed", cantilever(10), EGG, 100, COBALT_MPA, 1000, 530.73, 0.05399),
    "rectangle, simple": Worked(
        "computed; I = 4.5, c = 1.5", simple_span(15), rectangle(2, 3), 100, COBALT_MPA, 375, 125, 0.0074405
    ),
    "overhang": Worked(
        "AISC beam table (memory), computed",
        overhang(22, 8),
        round_bar(2),
        50,
        COBALT_MPA,
        400,
        509.30,
        0.19402,
    ),
}


@pytest.mark.parametrize("row", WORKED.values(), ids=WORKED.keys())
def test_worked_beams(row: Worked) -> None:
    bent = bending(row.force, row.case, row.section, row.modulus)

    assert (row.moment, row.stress, row.sag) == pytest.approx(bent, rel=1e-3), row.source


def test_clamped_span_has_half_the_moment_and_a_quarter_of_the_sag() -> None:
    """P L / 8 against P L / 4 and P L^3 / 192 against / 48 (read: piping-designer.com; Roark, memory)."""
    assert 0.5 == pytest.approx(fixed_span(15).lever_mm / simple_span(15).lever_mm)
    assert 0.25 == pytest.approx(fixed_span(15).sag_mm3 / simple_span(15).sag_mm3)


def test_span_band_of_a_round_bar() -> None:
    """2 mm round, 15 mm, 100 N: 238.73 to 477.46 MPa (computed)."""
    assert (238.73, 477.46) == pytest.approx(span_band(100, 15, round_bar(2), COBALT_MPA).stress_mpa, rel=1e-3)


def test_propped_span() -> None:
    """3 P L / 16 = 281.25 N mm and 0.009317 P L^3 / (E I) (read: piping-designer.com)."""
    case = propped_span(15)

    assert 281.25 == pytest.approx(100 * case.lever_mm)
    assert 0.009317 == pytest.approx(case.sag_mm3 / 15**3, abs=5e-7)


def test_overhang_reactions() -> None:
    """68.182 and -18.182 N (formula from memory: lever principle)."""
    assert (68.182, -18.182) == pytest.approx(overhang_reactions_n(50, 22, 8), abs=0.001)


@pytest.mark.parametrize(
    ("section", "allowed_n"),
    [(round_bar(1.8), 20.61), (round_bar(2.0), 28.27), (EGG, 67.83)],
    ids=["round 1.8", "round 2.0", "egg"],
)
def test_load_a_cantilever_may_take(section: Section, allowed_n: float) -> None:
    """10 mm at the 360 MPa of type 4 (limit from memory, computed)."""
    limit = ALLOY_TYPES[4].proof_mpa.middle

    assert allowed_n == pytest.approx(allowable_force_n(cantilever(10), section, limit), rel=1e-3)


def test_egg_section() -> None:
    """Derived, and equal to numerical integration: A, centroid from the chord, I, c."""
    properties = (EGG.area_mm2, EGG.centroid_mm - 1.9, EGG.second_moment_mm4, EGG.extreme_fibre_mm)

    assert (5.18363, -0.339531, 2.940252, 1.560469) == pytest.approx(properties, abs=1e-5)
    assert 1.884210 == pytest.approx(EGG.modulus_mm3, abs=1e-5)


def test_semicircle_constant() -> None:
    """(pi/8 - 8/(9 pi)) r^4 = 0.109757 r^4 about its own centroid (handbooks): half of a very flat-bottomed egg."""
    flat = 1e-9
    half_round = egg(2.0, 1.0, flat)

    assert 0.109757 == pytest.approx(half_round.second_moment_mm4, abs=1e-6)
    assert math.pi / 8 - 8 / (9 * math.pi) == pytest.approx(half_round.second_moment_mm4, abs=1e-6)


@pytest.mark.parametrize(
    ("longer", "deeper", "softer"),
    [(2.0, 1.0, 8.0), (1.0, 0.5, 8.0), (1.5, 1.5, 1.0)],
    ids=["double length", "half depth", "both by half"],
)
def test_rule_of_cubes(longer: float, deeper: float, softer: float) -> None:
    """Rodriguez, Aquilino, Lund, J Prosthodont 1994;3:41-46 (read; pages from memory), last row derived."""
    before = bending(50, cantilever(10), rectangle(2, 3), COBALT_MPA)
    after = bending(50, cantilever(10 * longer), rectangle(2, 3 * deeper), COBALT_MPA)

    assert softer == pytest.approx(after.sag_mm / before.sag_mm)


def test_type_5_row() -> None:
    """ISO 22674:2016 as restated in a journal table (read): 500 MPa, 2 %, 150 GPa."""
    row = ALLOY_TYPES[5]

    assert row.modulus_mpa is not None
    assert (500.0, 2.0, 150_000.0) == (
        row.proof_mpa.middle,
        row.elongation_percent.middle,
        row.modulus_mpa.middle,
    )
    assert row.proof_mpa.known is Known.PUBLISHED


def test_tensile_strength_asked_of_a_cast_bar() -> None:
    """95 000 psi (read: Shafie and Ellison, ch. 6) = 655.0 MPa."""
    assert 655.0 == pytest.approx(BAR_TENSILE_MPA.middle, abs=0.1)


def test_acrylic_specimen() -> None:
    """ISO 20795-1 specimen (size from memory): 65 MPa is 94.38 N; 50 N at 2000 MPa sags 2.174 mm (computed)."""
    assert 94.38 == pytest.approx(acrylic.breaking_force_n(65, 50, 10, 3.3), abs=0.01)
    assert 2.174 == pytest.approx(acrylic.sag_mm(50, 50, 10, 3.3, 2000), abs=0.001)


@pytest.mark.parametrize(("thickness_mm", "force_n"), [(2, 86.67), (4, 346.67)])
def test_acrylic_strip(thickness_mm: float, force_n: float) -> None:
    """10 mm wide, span 20, 65 MPa (computed): double thickness bears four times as much."""
    assert force_n == pytest.approx(acrylic.breaking_force_n(65, 20, 10, thickness_mm), abs=0.01)


@pytest.mark.parametrize(
    ("thickness_mm", "reinforced", "enough"), [(2.0, False, True), (2.0, True, False), (3.0, True, True)]
)
def test_base_over_a_bar(thickness_mm: float, reinforced: bool, enough: bool) -> None:
    """Tokgoz et al., Eur J Dent 2019;13:64-68 (read in the abstract)."""
    assert enough == acrylic.base_is_thick_enough(thickness_mm, reinforced=reinforced)


@pytest.mark.parametrize(
    ("metal", "gains"),
    [(WeldedMetal.TITANIUM, False), (WeldedMetal.COBALT_CHROMIUM, True), (WeldedMetal.NICKEL_CHROMIUM, True)],
)
def test_weld_strength_against_voltage(metal: WeldedMetal, gains: bool) -> None:
    """Thesis on attachments (read in the abstract): titanium 221 to 154 MPa, cobalt-chromium 360 to 580 MPa."""
    assert gains == weld_gains_by_voltage(metal)


def test_retapped_thread_keeps_two_thirds() -> None:
    """18.77 of 28.41 N cm (PubMed 40345915, read; share derived): 66.1 %."""
    assert 0.661 == pytest.approx(RETAPPED_PRELOAD_SHARE.middle, abs=5e-4)


@pytest.mark.parametrize(
    ("section", "width_mm", "height_mm", "free_mpa"),
    [("round", 2.0, 2.0, 477.46), ("round", 1.8, 1.8, 654.96), ("parallel", 2.0, 3.0, 125.0)],
)
def test_a_stretch_of_bar_by_the_beam_table(section: str, width_mm: float, height_mm: float, free_mpa: float) -> None:
    """100 N at the middle of 15 mm, 32 F L / (4 pi d^3) and 6 F L / (4 b h^2) by hand (Roark, Table 8.1, memory)."""
    sizes = {"width_mm": width_mm, "height_mm": height_mm, "length_mm": 15.0}
    facts: dict[str, Fact] = {
        "section": section,
        "alloy": "gold",
        **{of: Measure(size) for of, size in sizes.items()},
    }
    found = bar_stress(facts, Cut(), Interval(100.0, 100.0))
    assert found is not None

    assert (free_mpa, free_mpa) == pytest.approx(tuple(found.free_mpa), rel=1e-4)
    assert (free_mpa / 2, free_mpa / 2) == pytest.approx(tuple(found.clamped_mpa), rel=1e-4)


def test_moment_under_the_load_of_a_propped_span() -> None:
    """5 P L / 32 = 234.375 N mm (read: piping-designer.com): that of the simple span less half the clamp's."""
    under_load = simple_span(15).lever_mm - propped_span(15).lever_mm / 2

    assert 234.375 == pytest.approx(100 * under_load)
    assert 5 / 32 == pytest.approx(under_load / 15)
