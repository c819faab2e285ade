"""Alloys of bars: least values by type of ISO 22674, and what is on record for alloys in use.

The standard gives floors, not the alloy in the mouth: where only the type is known, use the floor.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from solver.handbook.sourced import Interval, Known, Sourced

_STANDARD = "ISO 22674, Metallic materials for fixed and removable restorations and appliances"
_JOURNAL = "Advances in Materials Science and Engineering 2018:8213023, table 2"


class _Origin(NamedTuple):
    known: Known
    source: str
    note: str = ""


_LASER = _Origin(Known.PUBLISHED, _JOURNAL)
_LASER_LOW = _Origin(Known.PUBLISHED, _JOURNAL, "a modulus this low would fail type 5; use with care")
_HANDBOOK = _Origin(Known.MEMORY, "handbook values")
_TITANIUM = _Origin(Known.MEMORY, "ISO 5832-2 and 5832-3", "the proof stress is the least value")
_TYPE_5 = _Origin(Known.PUBLISHED, f"{_STANDARD} (2016), as restated in {_JOURNAL}")


@dataclass(frozen=True, slots=True)
class AlloyType:
    """Least proof stress (0.2 %) and elongation of a type; only type 5 has a least modulus."""

    number: int
    proof_mpa: Sourced
    elongation_percent: Sourced
    modulus_mpa: Sourced | None = None


@dataclass(frozen=True, slots=True)
class Alloy:
    """Modulus and proof stress on record for an alloy; the low edge is the one to design with."""

    code: str
    name: str
    modulus_mpa: Sourced
    proof_mpa: Sourced


def _type(number: int, proof_mpa: float, elongation_percent: float) -> AlloyType:
    return AlloyType(
        number,
        Sourced.single(proof_mpa, "MPa", Known.MEMORY, _STANDARD),
        Sourced.single(elongation_percent, "%", Known.MEMORY, _STANDARD),
    )


def _alloy(
    code: str,
    name: str,
    origin: _Origin,
    *,
    modulus_gpa: tuple[float, float],
    proof_mpa: tuple[float, float],
) -> Alloy:
    modulus = Interval(1000.0 * modulus_gpa[0], 1000.0 * modulus_gpa[1])
    return Alloy(code, name, Sourced(modulus, "MPa", *origin), Sourced(Interval(*proof_mpa), "MPa", *origin))


ALLOY_TYPES = {
    1: _type(1, 80.0, 18.0),
    2: _type(2, 180.0, 10.0),
    3: _type(3, 270.0, 5.0),
    4: _type(4, 360.0, 2.0),
    5: AlloyType(
        5,
        Sourced.single(500.0, "MPa", *_TYPE_5),
        Sourced.single(2.0, "%", *_TYPE_5),
        Sourced.single(150_000.0, "MPa", *_TYPE_5),
    ),
}

_RECORD = (
    _alloy("cocr-cast", "cobalt-chromium, cast", _HANDBOOK, modulus_gpa=(200, 230), proof_mpa=(480, 700)),
    _alloy(
        "cocrmo-laser",
        "cobalt-chromium-molybdenum, laser-built, as built",
        _LASER_LOW,
        modulus_gpa=(98.4, 112.1),
        proof_mpa=(674, 783),
    ),
    _alloy(
        "cocrmo-laser-treated",
        "cobalt-chromium-molybdenum, laser-built, heat-treated",
        _LASER,
        modulus_gpa=(105.7, 164.5),
        proof_mpa=(757, 1002),
    ),
    _alloy(
        "cocrw-laser",
        "cobalt-chromium-tungsten, laser-built, as built",
        _LASER,
        modulus_gpa=(138.6, 183.4),
        proof_mpa=(755, 965),
    ),
    _alloy(
        "cocrw-laser-treated",
        "cobalt-chromium-tungsten, laser-built, heat-treated",
        _LASER,
        modulus_gpa=(187.0, 216.3),
        proof_mpa=(651, 669),
    ),
    _alloy("gold-type-4", "gold alloy, type 4", _HANDBOOK, modulus_gpa=(85, 105), proof_mpa=(360, 600)),
    _alloy("ti-grade-4", "titanium, grade 4", _TITANIUM, modulus_gpa=(103, 107), proof_mpa=(483, 483)),
    _alloy("ti-6al-4v", "titanium 6Al-4V", _TITANIUM, modulus_gpa=(110, 114), proof_mpa=(780, 780)),
)
ALLOYS = {alloy.code: alloy for alloy in _RECORD}

IN_USE = {
    "gold": ("gold-type-4",),
    "cobalt-chromium": (
        "cocr-cast",
        "cocrmo-laser",
        "cocrmo-laser-treated",
        "cocrw-laser",
        "cocrw-laser-treated",
    ),
    "titanium": ("ti-grade-4",),
    "titanium-alloy": ("ti-6al-4v",),
}
"""What an alloy named in a case may be; any other name may be all of them."""


def proof_band_mpa(named: str) -> Interval:
    """Least and greatest proof stress on record for an alloy of a case."""
    return _envelope([alloy.proof_mpa.interval for alloy in _may_be(named)])


def modulus_band_mpa(named: str) -> Interval:
    """Least and greatest modulus on record for an alloy of a case."""
    return _envelope([alloy.modulus_mpa.interval for alloy in _may_be(named)])


def _may_be(named: str) -> list[Alloy]:
    return [ALLOYS[code] for code in IN_USE.get(named, ALLOYS)]


def _envelope(bands: list[Interval]) -> Interval:
    return Interval(min(band.low for band in bands), max(band.high for band in bands))


FATIGUE_SHARE = Sourced(
    Interval(0.4, 0.6),
    "share",
    Known.MEMORY,
    "handbook values of cast and wrought alloys, in air; solder and castings with pores lie below",
)
"""What an alloy bears for millions of bites, as a share of its proof stress."""

NOTCH = Sourced(
    Interval(1.5, 2.0), "ratio", Known.MEMORY, "rounded steps in bending, Peterson's stress concentration factors",
    "where a bar meets its collar",
)  # fmt: skip
HOLE_NOTCH = Sourced(
    Interval(2.0, 3.0), "ratio", Known.MEMORY, "holes in bending, Peterson's stress concentration factors"
)
"""How many times the stress at such a place is that of the plain section."""

BAR_TENSILE_MPA = Sourced.single(
    95_000.0 * 0.45359237 * 9.80665 / 25.4**2,
    "MPa",
    Known.PUBLISHED,
    "Shafie and Ellison, Bar attachments (textbook chapter 6)",
    "95 000 psi, asked of a cast bar together with 200 HV",
)
