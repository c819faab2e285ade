"""Strength: beams, sections, alloys, acrylic, welds and threads."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

from solver.case.measure import Measure
from solver.case.sites import Fact
from solver.fit.bar_strength import Cut, bar_stress
from solver.handbook.alloys import ALLOY_TYPES, BAR_TENSILE_MPA
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
from solver.handbook.joints import RETAPPED_PRELOAD_SHARE, WeldedMetal, weld_gains_by_voltage
from solver.handbook.sections import Section, egg, rectangle, round_bar
from solver.handbook.sourced import Interval
from tests.published.check import Check, Known
from tests.published.formulas import acrylic

COBALT_MPA, GOLD_MPA, TITANIUM_MPA = 210_000.0, 95_000.0, 105_000.0
EGG = egg(2.2, 1.1, 1.9)

_ROARK = "Roark's Formulas for Stress and Strain, Table 8.1; numbers computed"
_PROPPED = "piping-designer.com, beam fixed at one end, concentrated load at centre"
_CLAMPED = "piping-designer.com, beam fixed at both ends, concentrated load at centre"
_ISO_ACRYLIC = "ISO 20795-1, size of the specimen; 65 MPa read where a paper uses it as the limit"
_RODRIGUEZ = "Rodriguez AM, Aquilino SA, Lund PS. J Prosthodont 1994;3:41-46 (pages from memory)"
_THESIS = "thesis on attachments, abstract (globethesis.com 2144360125952553)"


def as_printed(second_moment: float, fibre: float) -> Section:
    """Section known by its I and c alone."""
    return Section(1.0, 0.0, second_moment, -fibre, fibre)


WORKED: tuple[tuple[str, str, Known, LoadCase, Section, float, float, tuple[float, float, float]], ...] = (
    ("cantilever of 5 m", "engineeringtoolbox.com, cantilever beams (7.6 mm, 27.4 MPa); decimals computed",
     Known.READ,
     cantilever(5000), as_printed(8.196e7, 150), 3000, 200e3, (1.5e7, 27.452, 7.6257)),
    ("simple span in inches and pounds", "engineeringtoolbox.com, simple beam; decimals computed", Known.MEMORY,
     simple_span(100), as_printed(285, 6.25), 10_000, 29e6, (250_000, 5482.46, 0.025207)),
    ("round bar of 2 mm, 15 mm, simple", _ROARK, Known.MEMORY, simple_span(15), round_bar(2), 100, COBALT_MPA,
     (375, 477.46, 0.04263)),
    ("round bar of 2 mm, 15 mm, clamped", _ROARK, Known.MEMORY, fixed_span(15), round_bar(2), 100, COBALT_MPA,
     (187.5, 238.73, 0.04263 / 4)),
    ("... of gold, simple", _ROARK, Known.MEMORY, simple_span(15), round_bar(2), 100, GOLD_MPA,
     (375, 477.46, 0.09424)),
    ("... of titanium, simple", _ROARK, Known.MEMORY, simple_span(15), round_bar(2), 100, TITANIUM_MPA,
     (375, 477.46, 0.08526)),
    ("round bar of 1.8 mm, 15 mm, simple", _ROARK, Known.MEMORY, simple_span(15), round_bar(1.8), 100, COBALT_MPA,
     (375, 654.96, 0.064974)),
    ("round bar of 2 mm, cantilever of 10 mm", _ROARK, Known.MEMORY, cantilever(10), round_bar(2), 100, COBALT_MPA,
     (1000, 1273.2, 0.2021)),
    ("egg, cantilever of 10 mm", _ROARK, Known.MEMORY, cantilever(10), EGG, 100, COBALT_MPA, (1000, 530.73, 0.05399)),
    ("rectangle 2 x 3 mm, 15 mm, simple", _ROARK, Known.MEMORY, simple_span(15), rectangle(2, 3), 100, COBALT_MPA,
     (375, 125, 0.0074405)),
    ("overhang of 8 mm beyond 22 mm", "AISC beam table; numbers computed", Known.MEMORY, overhang(22, 8),
     round_bar(2),
     50, COBALT_MPA, (400, 509.30, 0.19402)),
)  # fmt: skip


def _softer(longer: float, deeper: float) -> Callable[[], float]:
    def found() -> float:
        before = bending(50, cantilever(10), rectangle(2, 3), COBALT_MPA)
        return bending(50, cantilever(10 * longer), rectangle(2, 3 * deeper), COBALT_MPA).sag_mm / before.sag_mm

    return found


def _stretch(section: str, width_mm: float, height_mm: float) -> Callable[[], tuple[float, ...]]:
    """Stress with free and with clamped ends, each least and most, 100 N at the middle of 15 mm."""
    sizes = {"width_mm": width_mm, "height_mm": height_mm, "length_mm": 15.0}
    facts: dict[str, Fact] = {
        "section": section,
        "alloy": "gold",
        **{of: Measure(size) for of, size in sizes.items()},
    }

    def found() -> tuple[float, ...]:
        stress = bar_stress(facts, Cut(), Interval(100.0, 100.0))
        assert stress is not None
        return (*stress.free_mpa, *stress.clamped_mpa)

    return found


def _type_5() -> tuple[float, float, float, str]:
    row = ALLOY_TYPES[5]
    assert row.modulus_mpa is not None
    figures = row.proof_mpa.middle, row.elongation_percent.middle, row.modulus_mpa.middle
    return (*figures, row.proof_mpa.known.name)


def _egg() -> tuple[float, ...]:
    return EGG.area_mm2, EGG.centroid_mm - 1.9, EGG.second_moment_mm4, EGG.extreme_fibre_mm, EGG.modulus_mm3


def _bent(case: LoadCase, section: Section, force: float, modulus: float) -> Callable[[], Any]:
    return lambda: tuple(bending(force, case, section, modulus))


CHECKS = (
    *(
        Check(f"{name}: moment, stress, sag", source, known, expected, _bent(case, section, force, modulus), 1e-3,
              relative=True)
        for name, source, known, case, section, force, modulus, expected in WORKED
    ),
    Check("Clamped against simple span: half the moment", _CLAMPED, Known.READ, 0.5,
          lambda: fixed_span(15).lever_mm / simple_span(15).lever_mm),
    Check("Clamped against simple span: a quarter of the sag", _CLAMPED, Known.READ, 0.25,
          lambda: fixed_span(15).sag_mm3 / simple_span(15).sag_mm3),
    Check("Round bar of 2 mm, 15 mm, 100 N: stress between clamped and simple, MPa", _ROARK, Known.MEMORY,
          (238.73, 477.46), lambda: tuple(span_band(100, 15, round_bar(2), COBALT_MPA).stress_mpa), 1e-3,
          relative=True),
    Check("Propped span of 15 mm, 100 N: moment at the clamp 3 P L / 16, N mm", _PROPPED, Known.READ, 281.25,
          lambda: 100 * propped_span(15).lever_mm),
    Check("... sag 0.009317 P L^3 / (E I)", _PROPPED, Known.READ, 0.009317, lambda: propped_span(15).sag_mm3 / 15**3,
          5e-7),
    Check("... moment under the load 5 P L / 32: of the simple span less half the clamp's, N mm", _PROPPED,
          Known.READ, 234.375, lambda: 100 * (simple_span(15).lever_mm - propped_span(15).lever_mm / 2)),
    Check("... the clamp governs: under the load stand only 5 P L / 32 = 234.375 N mm", _PROPPED, Known.READ, True,
          lambda: 100 * propped_span(15).lever_mm > 5 * 100 * 15 / 32),
    Check("Overhang of 8 mm beyond 22 mm, 50 N: reactions, N", "AISC beam table: lever principle", Known.MEMORY,
          (68.182, -18.182), lambda: tuple(overhang_reactions_n(50, 22, 8)), 0.001),
    *(
        Check(f"Load that a cantilever of 10 mm bears at 360 MPa, {name}, N",
              "limit of ISO 22674 type 4; numbers computed", Known.MEMORY, allowed_n,
              lambda section=section: allowable_force_n(  # type: ignore[misc]
                  cantilever(10), section, ALLOY_TYPES[4].proof_mpa.middle), 1e-3, relative=True)
        for name, section, allowed_n in
        (("round 1.8", round_bar(1.8), 20.61), ("round 2.0", round_bar(2.0), 28.27), ("egg", EGG, 67.83))
    ),
    Check("Egg of 2.2 mm, 1.1 above and 1.9 below: area, centroid, I, c, Z",
          "half ellipses; equal to numerical integration", Known.OURS,
          (5.18363, -0.339531, 2.940252, 1.560469, 1.884210), _egg, 1e-5),
    Check("Semicircle about its own centroid, r^4 times", "handbooks: pi / 8 - 8 / (9 pi)", Known.MEMORY, 0.109757,
          lambda: egg(2.0, 1.0, 1e-9).second_moment_mm4, 1e-6),
    Check("... the same in full", "handbooks: pi / 8 - 8 / (9 pi)", Known.MEMORY, math.pi / 8 - 8 / (9 * math.pi),
          lambda: egg(2.0, 1.0, 1e-9).second_moment_mm4, 1e-6),
    Check("Double length: sag times", _RODRIGUEZ, Known.READ, 8.0, _softer(2.0, 1.0)),
    Check("Half depth: sag times", _RODRIGUEZ, Known.READ, 8.0, _softer(1.0, 0.5)),
    Check("Length and depth one and a half: sag times", _RODRIGUEZ, Known.DERIVED, 1.0, _softer(1.5, 1.5)),
    Check("Type 5: proof stress MPa, elongation %, modulus MPa",
          "ISO 22674:2016 as restated in Advances in Materials Science and Engineering 2018:8213023, table 2",
          Known.READ, (500.0, 2.0, 150_000.0, "PUBLISHED"), _type_5),
    Check("Tensile strength asked of a cast bar, 95 000 psi in MPa",
          "Shafie and Ellison, Bar attachments, textbook ch. 6",
          Known.DERIVED, 655.0, lambda: BAR_TENSILE_MPA.middle, 0.1),
    Check("Acrylic specimen at 65 MPa breaks at, N", _ISO_ACRYLIC, Known.MEMORY, 94.38,
          lambda: acrylic.breaking_force_n(65, 50, 10, 3.3), 0.01),
    Check("Acrylic specimen under 50 N at 2000 MPa sags, mm", _ISO_ACRYLIC, Known.MEMORY, 2.174,
          lambda: acrylic.sag_mm(50, 50, 10, 3.3, 2000), 0.001),
    Check("Acrylic strip of 10 mm over 20 mm, 2 mm thick, at 65 MPa, N", "3 F l / (2 b h^2)", Known.MEMORY, 86.67,
          lambda: acrylic.breaking_force_n(65, 20, 10, 2), 0.01),
    Check("... 4 mm thick: four times", "3 F l / (2 b h^2)", Known.MEMORY, 346.67,
          lambda: acrylic.breaking_force_n(65, 20, 10, 4), 0.01),
    *(
        Check(f"More power makes a weld of {name} stronger ({figures})", _THESIS, Known.READ, gains,
              lambda metal=metal: weld_gains_by_voltage(metal))  # type: ignore[misc]
        for name, metal, figures, gains in (
            ("titanium", WeldedMetal.TITANIUM, "221 to 154 MPa", False),
            ("cobalt-chromium", WeldedMetal.COBALT_CHROMIUM, "360 to 580 MPa", True),
            ("nickel-chromium", WeldedMetal.NICKEL_CHROMIUM, "310 to 566 MPa", True))
    ),
    Check("A retapped thread keeps of its removal torque (18.77 of 28.41 N cm)", "PubMed 40345915", Known.DERIVED,
          0.661,
          lambda: RETAPPED_PRELOAD_SHARE.middle, 5e-4),
    *(
        Check(f"Stretch of {section} bar {width:g} x {height:g} mm, 100 N on 15 mm: free and clamped ends, MPa",
              "Roark, Table 8.1, and section formulas by hand", Known.MEMORY, (free, free, free / 2, free / 2),
              _stretch(section, width, height), 1e-4, relative=True)
        for section, width, height, free in
        (("round", 2.0, 2.0, 477.46), ("round", 1.8, 1.8, 654.96), ("parallel", 2.0, 3.0, 125.0))
    ),
)  # fmt: skip
