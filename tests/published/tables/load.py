"""Load: sharing by rigid pieces, bolts in their plane, mucosa as a spring, and bites."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from solver.handbook.mucosa import BASE_AREA_MM2, BITE_N, settling, spring_n_per_mm
from solver.handbook.point import PointLoad
from solver.handbook.wear import newton_from_kilogram_force
from tests.published.check import Check, Known
from tests.published.formulas.load_sharing import Support, share_in_plane, share_vertical


class Group(NamedTuple):
    """Supports (x, y) or (x, y, stiffness), one load (x, y, force), and the shares."""

    source: str
    known: Known
    supports: tuple[tuple[float, ...], ...]
    load: tuple[float, float, float]
    shares: tuple[float, ...]
    tolerance: float


def arc(count: int) -> tuple[tuple[float, ...], ...]:
    """Supports evenly on 112.5 degrees of a circle of 11.2 mm, symmetric about the y axis."""
    angles = np.radians(np.linspace(33.75, 146.25, count))
    return tuple((float(11.2 * np.cos(a)), float(11.2 * np.sin(a))) for a in angles)


AT_TEN_DEGREES = (float(11.2 * np.cos(np.radians(10))), float(11.2 * np.sin(np.radians(10))), 30.0)

_RANGERT = (
    "Rangert B, Jemt T, Joerneus L. Forces and moments on implants. Int J Oral Maxillofac Implants 1989;4:241-247"
)
_ARC = "set-up recalled with doubt (Skalak, Brunski); shares computed"
_BOLTS = "mechanicalc.com, bolt pattern force distribution, validation"

VERTICAL = {
    "four piers": Group(
        "eng-tips.com thread 400254 (54, 29, -4, 21 t); decimals computed", Known.READ,
        ((3, 2), (3, -2), (-3, -2), (-3, 2)), (2, 1, 100), (54.167, 29.167, -4.167, 20.833), 0.001,
    ),
    # 1000 lbf at (0, 0, 5) with 250 and 100 lbf across and (-250, 250) in lbf: as one force at (-1.5, -0.75)
    "four bolts, force and moment": Group(
        f"{_BOLTS}: inputs; shares by the handbook's section method", Known.DERIVED,
        ((-5, 4), (-5, -4), (5, 4), (5, -4)), (-1.5, -0.75, 1000), (278.125, 371.875, 128.125, 221.875), 1e-6,
    ),
    # the same load; stiffness in proportion to the stress areas, which are printed to four digits
    "bolts of two sizes": Group(
        f"{_BOLTS}, case 2: inputs", Known.DERIVED,
        ((-5, 4, 0.03182), (-5, -4, 0.03182), (5, 4, 0.03182), (5, -4, 0.03182),
         (-5, 0, 0.07749), (5, 0, 0.07749), (0, 4, 0.07749), (0, -4, 0.07749)),
        (-1.5, -0.75, 1000), (85.457, 127.732, 17.817, 60.092, 259.586, 94.865, 125.750, 228.700), 0.02,
    ),
    "piles out of place": Group(
        "pile group as driven (scribd.com 417790842): inputs, centroid and sums", Known.DERIVED,
        ((376, 393), (-376, 437), (-370, -339), (336, -385)), (0, 0, 1693),
         (405.753, 384.224, 441.233, 461.789), 0.01,
    ),
    "tripod, equal": Group(
        "three supports are statics", Known.OURS, ((0, 0), (10, 0), (0, 10)), (2, 3, 100), (50, 20, 30), 1e-9,
    ),
    "tripod, unequal": Group(
        "stiffness plays no part in statics", Known.OURS, ((0, 0, 1), (10, 0, 5), (0, 10, 0.3)), (2, 3, 100),
        (50, 20, 30), 1e-9,
    ),
    "unequal springs": Group(
        "by hand to whole numbers", Known.OURS, ((0, 0, 1), (10, 0, 2), (20, 0, 1), (0, 5, 1)), (5, 1, 100),
        (35, 40, 5, 20), 1e-9,
    ),
    "lever, arm as long as the spacing": Group(
        _RANGERT, Known.MEMORY, ((0, 0), (0, 10)), (0, -10, 100), (200, -100), 1e-9,
    ),
    "lever, arm one and a half": Group(_RANGERT, Known.MEMORY, ((0, 0), (0, 10)), (0, -15, 100), (250, -150), 1e-9),
    "lever, arm half": Group(_RANGERT, Known.MEMORY, ((0, 0), (0, 20)), (0, -10, 100), (150, -50), 1e-9),
    "four on an arc": Group(_ARC, Known.MEMORY, arc(4), AT_TEN_DEGREES, (45.09, -8.66, -20.61, 14.18), 0.01),
    "six on an arc": Group(
        _ARC, Known.MEMORY, arc(6), AT_TEN_DEGREES, (40.02, 8.72, -11.22, -16.78, -7.09, 16.35), 0.01,
    ),
    "four implants, load behind": Group(
        "derived and computed", Known.OURS, ((15, 8), (6, 0), (-6, 0), (-15, 8)), (18, 20, 100),
        (176.72, -54.31, -95.69, 73.28), 0.01,
    ),
}  # fmt: skip

BRACKETS = (
    ("Bracket of four bolts at (40, 30) mm, 10 kN at 100 mm: greatest and least, kN",
     "interviewmania.com 96141 (7.16 kN); least computed", Known.READ, (40, 30), 10, 100, (7.1589, 3.3541), 0.001),
    ("... with x and y swapped, the wrong answer offered there (6.80)", "interviewmania.com 96141", Known.DERIVED,
     (30, 40), 10, 100, (6.8007, 4.0311), 0.001),
    ("Bracket of four bolts at (75, 60) mm, 16 kN at 425 mm: greatest and least, kN",
     "Budynas, Nisbett. Shigley's Mechanical Engineering Design, ch. 8 (21.0 and 14.8 kN); decimals computed",
     Known.MEMORY, (75, 60), 16, 425, (20.973, 14.789), 0.01),
)  # fmt: skip


def shared(group: Group) -> Callable[[], tuple[float, ...]]:
    """Shares of a group, and the moment that it leaves unbalanced: none."""

    def found() -> tuple[float, ...]:
        sharing = share_vertical([Support(*s) for s in group.supports], [PointLoad(*group.load)])
        return tuple(sharing.shares_n)

    return found


def _bolts(half_mm: tuple[float, float], force: float, arm_mm: float) -> Callable[[], tuple[float, float]]:
    def found() -> tuple[float, float]:
        x, y = half_mm
        bolts = [Support(x, y), Support(x, -y), Support(-x, -y), Support(-x, y)]
        size = np.hypot(*np.asarray(share_in_plane(bolts, (0.0, -force), (arm_mm, 0.0)).shares_n).T)
        return float(size.max()), float(size.min())

    return found


def _base(jaw: str, thickness_mm: float) -> tuple[Callable[[], float], Callable[[], float], Callable[[], float]]:
    area = BASE_AREA_MM2[jaw].middle
    return (
        lambda: spring_n_per_mm(1.0, area, thickness_mm),
        lambda: settling(100.0, modulus_mpa=1.0, area_mm2=area, thickness_mm=thickness_mm).depth_mm,
        lambda: settling(100.0, modulus_mpa=1.0, area_mm2=area, thickness_mm=thickness_mm).pressure_kpa,
    )


_AREAS = (
    "Araby et al., Int J Prosthodont Restor Dent 2024;14:161-164, doi 10.5005/jp-journals-10019-1465: areas; 1 MPa "
    "chosen"
)
_JOI = "J Oral Implantol 2009;35:196"
_BITES = (("denture worn below 6 months", "denture-new", 5.65, 55.41),
 ("denture worn 10 years", "denture-old", 7.01, 68.74),
          ("overdenture", "overdenture", 12.22, 119.84))  # fmt: skip
_BASES = (("lower", 1.5, (1634.0, 0.06120, 40.80)), ("upper", 2.1, (1754.8, 0.05699, 27.14)))

CHECKS = (
    *(
        Check(f"Shares of {name}", group.source, group.known, group.shares, shared(group), group.tolerance)
        for name, group in VERTICAL.items()
    ),
    *(
        Check(claim, source, known, expected, _bolts(half_mm, force, arm_mm), tolerance)
        for claim, source, known, half_mm, force, arm_mm, expected, tolerance in BRACKETS
    ),
    *(
        Check(f"{jaw} base of 100 N on mucosa {thickness_mm} mm thick: {what}", _AREAS, Known.DERIVED, figure, ours,
              tolerance)
        for jaw, thickness_mm, figures in _BASES
        for what, figure, ours, tolerance in zip(("spring, N/mm", "settling, mm", "pressure, kPa"), figures,
                                                 _base(jaw, thickness_mm), (0.05, 1e-5, 0.01), strict=True)
    ),
    *(
        Check(f"Bite with a {what}: {kgf} kgf in N", _JOI, Known.DERIVED, force_n,
              lambda kgf=kgf: newton_from_kilogram_force(kgf), 0.01)  # type: ignore[misc]
        for what, _, kgf, force_n in _BITES
    ),
    *(
        Check(f"... as the preset `{preset}`, N", _JOI, Known.DERIVED, newton_from_kilogram_force(kgf),
              lambda preset=preset: BITE_N[preset].middle, 0.01)  # type: ignore[misc]
        for _, preset, kgf, _ in _BITES
    ),
    Check("Bite on both sides (569 N) against one (430 N), ratio",
          "van der Bilt et al., Eur J Oral Sci 2008;116:217-222 (title and volume from memory)", Known.DERIVED, 1.323,
          lambda: BITE_N["natural-both-sides"].middle / BITE_N["natural-one-side"].middle, 5e-4),
)  # fmt: skip
