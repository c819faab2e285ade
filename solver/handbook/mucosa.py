"""The mucosa under a denture as a spring that can only push, and the bites that press on it.

Linear, unconfined: k = E A / t. A thin wide layer is stiffer, being nearly incompressible, so the settling is
an upper bound. The modulus spans two orders of magnitude in the literature: give a band, not a number.
"""

from __future__ import annotations

from dataclasses import dataclass

from solver.handbook.checks import check_not_negative, check_positive
from solver.handbook.sourced import Interval, Known, Sourced
from solver.handbook.teeth import Arch

_AREAS = "Araby et al., Int J Prosthodont Restor Dent 2024;14:161-164, doi 10.5005/jp-journals-10019-1465"
_UCHIDA = "Uchida et al., J Dent Res 1989;68:95-100, doi 10.1177/00220345890680021501"
_TEXTBOOK = "older textbooks; only the bearing area is counted, hence half the scanned one"
_MEAN_SCAN = "mean of 24 scanned casts"

MODULUS_MPA = Sourced(
    Interval(0.5, 5.0),
    "MPa",
    Known.CHOSEN,
    "inside the 0.06 to 8.9 MPa of Chen et al., J R Soc Interface 2015;12:20150325 (range recalled with doubt)",
    "try both edges; figures of hundreds of MPa in finite-element papers are not those of living mucosa",
)
START_MODULUS_MPA = 1.0
"""Where to start inside that band (chosen here)."""

THICKNESS_MM = {
    "upper": Sourced(Interval(1.92, 2.38), "mm", Known.PUBLISHED, _UCHIDA, "site means, 100 edentulous patients"),
    "lower": Sourced(Interval(1.45, 1.58), "mm", Known.PUBLISHED, _UCHIDA, "site means, 100 edentulous patients"),
}

BASE_AREA_MM2 = {
    "upper": Sourced.single(3685.0, "mm2", Known.PUBLISHED, _AREAS, _MEAN_SCAN),
    "lower": Sourced.single(2451.0, "mm2", Known.PUBLISHED, _AREAS, _MEAN_SCAN),
    "upper-bearing": Sourced.single(2296.0, "mm2", Known.MEMORY, _TEXTBOOK),
    "lower-bearing": Sourced.single(1225.0, "mm2", Known.MEMORY, _TEXTBOOK),
}

_IMPLANTS = "J Oral Implantol 2009;35:196"
_BILATERAL = "van der Bilt et al., Eur J Oral Sci 2008;116:217-222 (title and volume from memory)"

BITE_N = {
    "denture-new": Sourced.single(55.41, "N", Known.PUBLISHED, _IMPLANTS, "5.65 kgf, worn below 6 months"),
    "denture-old": Sourced.single(68.74, "N", Known.PUBLISHED, _IMPLANTS, "7.01 kgf, worn 10 years or more"),
    "overdenture": Sourced.single(119.84, "N", Known.PUBLISHED, _IMPLANTS, "12.22 kgf, lower, first molar"),
    "natural-one-side": Sourced.single(430.0, "N", Known.PUBLISHED, _BILATERAL, "a stress test only"),
    "natural-both-sides": Sourced.single(569.0, "N", Known.PUBLISHED, _BILATERAL, "sum of both first molars"),
    "chewing": Sourced(Interval(40.0, 100.0), "N", Known.MEMORY, "chewing with overdentures, not a full bite"),
    "working": Sourced.single(100.0, "N", Known.CHOSEN, "between the published bites of dentures and overdentures"),
    "worst": Sourced.single(150.0, "N", Known.CHOSEN, "above the 120 N published for overdentures"),
}

CHEWING_N = BITE_N["chewing"]

FRONT_BITE_SHARE = Sourced.single(
    1.0 / 3.0, "share", Known.PUBLISHED, "Flanagan, Med Devices Evid Res 2017", "front bite against back bite"
)

BOTH_SIDES_SHARE = Sourced.single(
    1.3, "share", Known.DERIVED, _BILATERAL, "569 N on both sides against 430 N on one, natural teeth, abstract"
)
"""Bite on both sides at once against that on one."""

SIDEWAYS_SHARE = Sourced(
    Interval(0.1, 1.0),
    "share",
    Known.PUBLISHED,
    "Mericske-Stern et al., Int J Oral Maxillofac Implants, in the mouth, bars and telescopes on two lower implants",
    "10 to 50 % in a maximum bite, 50 to 100 % in chewing, read in the abstract; 2 to 4 times as much as along the "
    "axis backwards and forwards on single balls in chewing (1998, abstract)",
)
"""Force across a support against that along it."""

SUPPORT_RATIO = Sourced.single(
    100.0, "ratio", Known.MEMORY, "how far mucosa and implants give along their axis, about 100 to 1"
)
"""How many times stiffer a support is than the whole mucosa."""

SUPPORT_TURN_MM2 = Sourced.single(
    16.0,
    "mm2",
    Known.MEMORY,
    "implants give at least 3 times as far across as along their axis, and turn some 7 mm below the bar: 7 x 7 / 3",
)
"""How stiff a support is against turning, in N mm, for every N/mm along its axis."""

LOOSE_TURN_NMM = 100.0
"""The same where the bar is free to turn on its supports: as good as nothing beside a bar (chosen)."""


@dataclass(frozen=True, slots=True)
class Settling:
    """What a base does under a force: how far it settles, and the mean pressure beneath."""

    depth_mm: float
    pressure_kpa: float


def spring_n_per_mm(modulus_mpa: float, area_mm2: float, thickness_mm: float) -> float:
    """Stiffness E A / t of a layer of mucosa.

    Raises:
        OutOfDomain: for a number not above zero.
    """
    check_positive(modulus_mpa=modulus_mpa, area_mm2=area_mm2, thickness_mm=thickness_mm)
    return modulus_mpa * area_mm2 / thickness_mm


def whole_base_n_per_mm(arch: Arch) -> Interval:
    """Softest and firmest mucosa under a whole base, between the edges of modulus, area and thickness on record."""
    areas = BASE_AREA_MM2[f"{arch}-bearing"].middle, BASE_AREA_MM2[arch].middle
    modulus, thickness = MODULUS_MPA.interval, THICKNESS_MM[arch].interval
    return Interval(
        spring_n_per_mm(modulus.low, areas[0], thickness.high), spring_n_per_mm(modulus.high, areas[1], thickness.low)
    )


def settling(force_n: float, *, modulus_mpa: float, area_mm2: float, thickness_mm: float) -> Settling:
    """Depth (an upper bound) and mean pressure under a force that presses evenly on the base.

    Raises:
        OutOfDomain: for a force below zero (mucosa cannot pull), or a size not above zero.
    """
    check_not_negative(force_n=force_n)
    depth = force_n / spring_n_per_mm(modulus_mpa, area_mm2, thickness_mm)
    return Settling(depth, 1000.0 * force_n / area_mm2)
