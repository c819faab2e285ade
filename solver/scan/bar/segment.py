"""One segment: its ends in the scan, its sections, what they say together, and where it is usable."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.scan.section.figure import Figure, Measured, Reason, Unknown, known, root_sum
from solver.scan.section.section import STEP_MM, Section
from solver.scan.section.shapes import Kind
from solver.scan.surface.mesh import Array

SAME_MM = (
    0.1  # a section within this of the median width and height belongs to the usable stretch (choice, no source)
)


@dataclass(frozen=True, slots=True)
class Summary:
    """Least and median of a figure over the sections that show it."""

    least: Measured
    median: Measured


@dataclass(frozen=True, slots=True)
class Stretch:
    """The longest run of like sections, mm from the start of the segment."""

    from_mm: float
    to_mm: float
    length_mm: Figure


@dataclass(frozen=True, slots=True, eq=False)
class Segment:
    """A straight stretch of bar. Sections run from `start_mm` to `end_mm` (points on its axis, patient frame)."""

    start_mm: tuple[float, float, float]
    end_mm: tuple[float, float, float]
    axis: tuple[float, float, float]
    length_mm: Measured
    bisector_angle_deg: Measured
    stance: str | None
    kind: Kind | None
    width_mm: Summary
    height_mm: Summary
    head_diameter_mm: Summary
    undercut_left_mm: Summary
    undercut_right_mm: Summary
    gap_mm: Summary
    usable: Stretch | None
    sections: tuple[Section, ...]


def summary(figures: list[Measured]) -> Summary:
    """Least (of the running median of three, so that one bad section is not the least) and median."""
    values = known(figures)
    if not values:
        reasons = [figure.reason for figure in figures if isinstance(figure, Unknown)]
        reason = Unknown(max(reasons, key=reasons.count) if reasons else Reason.NOT_COVERED)
        return Summary(reason, reason)
    numbers, errors = np.array([f.value for f in values]), np.array([f.error for f in values])
    steady = [float(np.median(numbers[max(k - 1, 0) : k + 2])) for k in range(len(numbers))]
    place = int(np.argmin(steady))
    typical = float(np.median(errors))
    # half of a section's error is taken as common to all sections (mesh, form), half as their own
    middle = root_sum(typical / 2, 1.25 * typical / np.sqrt(len(values)))
    return Summary(
        Figure(steady[place], float(errors[max(place - 1, 0) : place + 2].max())),
        Figure(float(np.median(numbers)), middle),
    )


def main_kind(sections: list[Section]) -> Kind | None:
    """The kind of most sections; None where fewer than a third have one."""
    kinds = [section.kind for section in sections if section.kind is not None]
    if not sections or len(kinds) < len(sections) / 3:
        return None
    return max(Kind, key=kinds.count)


def usable_stretch(sections: list[Section], start: float) -> Stretch | None:
    """The longest run of sections of the segment's kind whose width and height keep to the median."""
    kind = main_kind(sections)
    if kind is None:
        return None
    widths = known(s.width_mm for s in sections if s.kind is kind)
    heights = known(s.height_mm for s in sections if s.kind is kind)
    width = float(np.median([f.value for f in widths])) if widths else None
    height = float(np.median([f.value for f in heights])) if heights else None
    like = [s.kind is kind and _keeps(s.width_mm, width) and _keeps(s.height_mm, height) for s in sections]
    best, run = (0, 0), 0
    for place, good in enumerate([*like, False]):
        if good:
            run += 1
            continue
        if run > best[1] - best[0]:
            best = (place - run, place)
        run = 0
    if best[1] - best[0] < 2:
        return None
    first, last = sections[best[0]].station_mm - start, sections[best[1] - 1].station_mm - start
    return Stretch(first, last, Figure(last - first + STEP_MM / 2, STEP_MM))


def _keeps(figure: Measured, middle: float | None) -> bool:
    return middle is not None and isinstance(figure, Figure) and abs(figure.value - middle) <= SAME_MM + figure.error


def end_of_bar(along: Array, off_axis: Array, last: float, size_mm: float) -> Figure | None:
    """Station at which the bar ends: its end face near the axis, beyond the `last` whole section.

    `along` and `off_axis` are the coordinates of the corners of the triangles, (n, 3) each.
    """
    near_axis = (off_axis < 0.33 * size_mm) & (along > last - 0.15)
    for reach in (0.35, 0.8 * size_mm + 0.3):  # cut square; or rounded
        spots = along[near_axis & (along < last + reach)]
        if len(spots) >= 12:
            break
    else:
        return None
    middle = float(np.median(spots))
    spread = 1.4826 * float(np.median(np.abs(spots - middle)))
    rise = float(np.quantile(spots, 0.95)) - middle
    return Figure(middle, max(4 * spread / np.sqrt(len(spots) / 6), rise - 2 * spread, 0.0) + 0.002)
