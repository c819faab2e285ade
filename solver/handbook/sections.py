"""Cross-sections of a bar, whole or as rework leaves them, for bending in the vertical plane.

A section is built column by column from raw moments about a datum, which add and subtract exactly; the
properties about its own centroid follow by the parallel-axis theorem. Heights count upwards from the
underside of the whole bar. Formulas: Roark's Formulas for Stress and Strain, Table A.1 (memory), or derived.

`hole_mm` is the diameter of a vertical hole through the bar, threaded or not: the section at its middle has
lost a strip of that width. Take the major diameter of the thread. The stress from it is nominal: a hole
concentrates stress at its edge by a factor of about two to three (memory), which no function here adds.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from solver.handbook.checks import OutOfDomain, check_not_negative, check_positive


@dataclass(frozen=True, slots=True)
class Section:
    """What bending needs to know of a section; the second moment is about the horizontal centroidal axis."""

    area_mm2: float
    centroid_mm: float
    second_moment_mm4: float
    bottom_mm: float
    top_mm: float

    @property
    def extreme_fibre_mm(self) -> float:
        """Greatest distance c of material from the centroidal axis."""
        return max(self.top_mm - self.centroid_mm, self.centroid_mm - self.bottom_mm)

    @property
    def modulus_mm3(self) -> float:
        """Elastic section modulus Z = I / c."""
        return self.second_moment_mm4 / self.extreme_fibre_mm


class NothingLeft(ValueError):
    """A hole as wide as the bar."""

    def __init__(self, width_mm: float, hole_mm: float) -> None:
        self.width_mm, self.hole_mm = width_mm, hole_mm
        super().__init__(width_mm, hole_mm)

    def __str__(self) -> str:
        return f"a hole of {self.hole_mm:g} mm leaves nothing of a bar {self.width_mm:g} mm wide"


def rectangle(width_mm: float, height_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Parallel-sided bar.

    Raises:
        OutOfDomain: for a size that is not above zero.
        NothingLeft: where the hole is as wide as the bar.
    """
    check_positive(width_mm=width_mm, height_mm=height_mm)
    _check_hole(width_mm, hole_mm)
    return _section(_block(width_mm - hole_mm, height_mm), 0.0, height_mm)


def round_bar(diameter_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Round bar; raises as `rectangle`."""
    return ellipse(diameter_mm, diameter_mm, hole_mm=hole_mm)


def ellipse(width_mm: float, height_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Elliptic bar; raises as `rectangle`."""
    return egg(width_mm, height_mm / 2.0, height_mm / 2.0, hole_mm=hole_mm)


def egg(width_mm: float, top_mm: float, bottom_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Ovoid bar: two half ellipses on a common chord, `top_mm` high above it and `bottom_mm` deep below it.

    Raises:
        OutOfDomain: for a size that is not above zero.
        NothingLeft: where the hole is as wide as the bar.
    """
    check_positive(width_mm=width_mm, top_mm=top_mm, bottom_mm=bottom_mm)
    _check_hole(width_mm, hole_mm)
    half, cut = width_mm / 2.0, hole_mm / 2.0
    above, below = _cap(half, top_mm, cut, half), _cap(half, bottom_mm, cut, half).flipped()
    reach = math.sqrt(1.0 - (cut / half) ** 2)
    left = _total(above, below).shifted(bottom_mm)
    return _section(left, bottom_mm * (1.0 - reach), bottom_mm + top_mm * reach)


def necked(width_mm: float, height_mm: float, neck_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Elliptic bar whose lower half was cut back from both sides to a neck: the least that an undercut leaves.

    Raises:
        OutOfDomain: for a size not above zero, or a neck wider than the bar.
        NothingLeft: where the hole is as wide as the bar.
    """
    check_positive(width_mm=width_mm, height_mm=height_mm, neck_mm=neck_mm)
    if neck_mm > width_mm:
        raise OutOfDomain("neck_mm", neck_mm, f"must not exceed the bar of {width_mm:g} mm")
    _check_hole(width_mm, hole_mm)
    half, rise, cut = width_mm / 2.0, height_mm / 2.0, hole_mm / 2.0
    below = _cap(half, rise, cut, max(neck_mm / 2.0, cut)).flipped()
    left = _total(_cap(half, rise, cut, half), below).shifted(rise)
    reach = math.sqrt(1.0 - (cut / half) ** 2)
    bottom_mm = rise * (1.0 - reach) if neck_mm > hole_mm else rise
    return _section(left, bottom_mm, rise * (1.0 + reach))


def keyhole(head_mm: float, neck_mm: float, height_mm: float, *, hole_mm: float = 0.0) -> Section:
    """Keyhole bar: a round head of diameter `head_mm` on a web of width `neck_mm`, `height_mm` overall.

    Raises:
        OutOfDomain: for a size not above zero, or a neck wider or a height less than the head.
        NothingLeft: where the hole is as wide as the head.
    """
    check_positive(head_mm=head_mm, neck_mm=neck_mm, height_mm=height_mm)
    if neck_mm > head_mm:
        raise OutOfDomain("neck_mm", neck_mm, f"must not exceed the head of {head_mm:g} mm")
    if height_mm < head_mm:
        raise OutOfDomain("height_mm", height_mm, f"must not be less than the head of {head_mm:g} mm")
    _check_hole(head_mm, hole_mm)
    radius, neck, cut = head_mm / 2.0, neck_mm / 2.0, hole_mm / 2.0
    centre_mm = height_mm - radius
    web_mm = 2.0 * max(neck - cut, 0.0)
    above = _cap(radius, radius, cut, radius)
    below = _cap(radius, radius, max(neck, cut), radius).flipped()
    reach_mm = math.sqrt(radius**2 - cut**2)
    left = _total(above.shifted(centre_mm), below.shifted(centre_mm), _block(web_mm, centre_mm))
    return _section(left, 0.0 if web_mm else centre_mm - reach_mm, centre_mm + reach_mm)


class _Moments(NamedTuple):
    """Area, and the integrals of z and z^2 over it, about some datum."""

    area: float
    first: float
    second: float

    def shifted(self, up_mm: float) -> _Moments:
        return _Moments(
            self.area,
            self.first + up_mm * self.area,
            self.second + 2.0 * up_mm * self.first + up_mm**2 * self.area,
        )

    def flipped(self) -> _Moments:
        return _Moments(self.area, -self.first, self.second)


def _total(*parts: _Moments) -> _Moments:
    return _Moments(*(sum(column) for column in zip(*parts, strict=True)))


def _block(width_mm: float, height_mm: float) -> _Moments:
    """Rectangle standing on the datum."""
    return _Moments(width_mm * height_mm, width_mm * height_mm**2 / 2.0, width_mm * height_mm**3 / 3.0)


def _cap(half_mm: float, height_mm: float, inner_mm: float, outer_mm: float) -> _Moments:
    """Half ellipse on the datum, only the columns between `inner_mm` and `outer_mm` on either side."""
    whole, core = _strip(half_mm, height_mm, outer_mm), _strip(half_mm, height_mm, inner_mm)
    return _Moments(*(a - b for a, b in zip(whole, core, strict=True)))


def _strip(half_mm: float, height_mm: float, reach_mm: float) -> _Moments:
    """Half ellipse on the datum, its columns |x| <= reach; from z = h cos(u), x = a sin(u)."""
    u = math.asin(reach_mm / half_mm)
    return _Moments(
        height_mm * half_mm * (u + math.sin(2.0 * u) / 2.0),
        height_mm**2 * half_mm * (math.sin(u) - math.sin(u) ** 3 / 3.0),
        2.0 * height_mm**3 * half_mm / 3.0 * (3.0 * u / 8.0 + math.sin(2.0 * u) / 4.0 + math.sin(4.0 * u) / 32.0),
    )


def _section(left: _Moments, bottom_mm: float, top_mm: float) -> Section:
    """Properties about the centroid, from moments about the underside."""
    centroid = left.first / left.area
    return Section(left.area, centroid, left.second - left.area * centroid**2, bottom_mm, top_mm)


def _check_hole(width_mm: float, hole_mm: float) -> None:
    check_not_negative(hole_mm=hole_mm)
    if hole_mm >= width_mm:
        raise NothingLeft(width_mm, hole_mm)
