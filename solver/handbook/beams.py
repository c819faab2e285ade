"""Bending of a bar: moment, sag, stress and the load it may take, from the formulas of the beam tables.

Cases as in Roark's Formulas for Stress and Strain, Table 8.1 (1a, 1d, 1e) and the AISC beam tables (memory;
the same formulas were read in engineering pages). A case is two numbers, because everything is linear in
load: the lever that turns a force into the largest moment, and the sag per newton times E I.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from solver.handbook.checks import check_finite, check_not_negative, check_positive
from solver.handbook.sections import Section
from solver.handbook.sourced import Interval


@dataclass(frozen=True, slots=True)
class LoadCase:
    """A way to hold and load a bar: moment = force x lever, largest sag = force x sag_mm3 / (E I)."""

    name: str
    lever_mm: float
    sag_mm3: float


class Bending(NamedTuple):
    """Largest moment, stress and sag of one case under one force."""

    moment_nmm: float
    stress_mpa: float
    sag_mm: float


@dataclass(frozen=True, slots=True)
class SpanBand:
    """A span between two supports: its ends are neither clamped nor free; the truth lies between."""

    fixed: Bending
    simple: Bending

    @property
    def stress_mpa(self) -> Interval:
        """Stress from clamped ends (low) to ends free to turn (high)."""
        return Interval(self.fixed.stress_mpa, self.simple.stress_mpa)

    @property
    def sag_mm(self) -> Interval:
        """Sag from clamped ends (low) to ends free to turn (high)."""
        return Interval(self.fixed.sag_mm, self.simple.sag_mm)


def cantilever(length_mm: float) -> LoadCase:
    """Clamped at the support, loaded at the tip: P a, P a^3 / 3."""
    check_positive(length_mm=length_mm)
    return LoadCase("cantilever, load at the tip", length_mm, length_mm**3 / 3.0)


def simple_span(length_mm: float) -> LoadCase:
    """Ends free to turn, loaded at the centre: P L / 4, P L^3 / 48."""
    check_positive(length_mm=length_mm)
    return LoadCase("simple span, load at the centre", length_mm / 4.0, length_mm**3 / 48.0)


def fixed_span(length_mm: float) -> LoadCase:
    """Both ends clamped, loaded at the centre: P L / 8 at ends and centre, P L^3 / 192."""
    check_positive(length_mm=length_mm)
    return LoadCase("clamped span, load at the centre", length_mm / 8.0, length_mm**3 / 192.0)


def propped_span(length_mm: float) -> LoadCase:
    """One end clamped, one free, loaded at the centre: 3 P L / 16 at the clamp, P L^3 / (48 sqrt 5)."""
    check_positive(length_mm=length_mm)
    return LoadCase(
        "propped span, load at the centre", 3.0 * length_mm / 16.0, length_mm**3 / (48.0 * math.sqrt(5.0))
    )


def overhang(span_mm: float, overhang_mm: float) -> LoadCase:
    """On two supports, loaded at the tip of the overhang: P a at the near one, P a^2 (a + b) / 3."""
    check_positive(span_mm=span_mm, overhang_mm=overhang_mm)
    return LoadCase("overhang, load at the tip", overhang_mm, overhang_mm**2 * (overhang_mm + span_mm) / 3.0)


def overhang_reactions_n(force_n: float, span_mm: float, overhang_mm: float) -> tuple[float, float]:
    """Force on the near and on the far support of an overhang; the far one is pulled (negative).

    Lever principle: Rangert, Jemt, Jörneus, Int J Oral Maxillofac Implants 1989;4:241-247 (memory).
    """
    check_finite(force_n=force_n)
    check_positive(span_mm=span_mm)
    check_not_negative(overhang_mm=overhang_mm)
    ratio = overhang_mm / span_mm
    return force_n * (1.0 + ratio), -force_n * ratio


def bending(force_n: float, case: LoadCase, section: Section, modulus_mpa: float) -> Bending:
    """Largest moment, stress M c / I and sag of a case.

    Raises:
        OutOfDomain: for a force below zero or a modulus not above zero.
    """
    check_not_negative(force_n=force_n)
    check_positive(modulus_mpa=modulus_mpa)
    moment = force_n * case.lever_mm
    sag = force_n * case.sag_mm3 / (modulus_mpa * section.second_moment_mm4)
    return Bending(moment, moment / section.modulus_mm3, sag)


def span_band(force_n: float, length_mm: float, section: Section, modulus_mpa: float) -> SpanBand:
    """Bending of a span loaded at the centre, for both extremes of its ends; raises as `bending`."""
    return SpanBand(
        fixed=bending(force_n, fixed_span(length_mm), section, modulus_mpa),
        simple=bending(force_n, simple_span(length_mm), section, modulus_mpa),
    )


def allowable_force_n(case: LoadCase, section: Section, limit_mpa: float) -> float:
    """Force at which the extreme fibre reaches `limit_mpa`; no safety factor is added.

    Raises:
        OutOfDomain: for a limit not above zero.
    """
    check_positive(limit_mpa=limit_mpa)
    return limit_mpa * section.modulus_mm3 / case.lever_mm
