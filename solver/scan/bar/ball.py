"""A ball end: diameter, out-of-round, wear of the retentive zone, neck, axis."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.scan.bar.sphere import Sphere, beside, find_sphere, fit_sphere, form, worn_cells
from solver.scan.section.figure import Figure, Measured, Reason, Unknown
from solver.scan.section.kinds import fit_kind
from solver.scan.section.precision import sagitta
from solver.scan.section.shapes import Kind
from solver.scan.surface.mesh import Array, Mesh, areas, near
from solver.scan.surface.sampling import batch, main_cluster, only, surrounded
from solver.scan.surface.slicing import across, cut, frame_for, unit

WINDOW_MM = 4.5  # around the end of the bar in which its ball is sought
MOST_POINTS = 120_000
# retentive zone, from the top of the ball: its widest ring and the undercut below it (choice, no source)
ZONE_DEG = (80.0, 130.0)
NECK_LEAST, NECK_MOST = 0.15, 0.95  # neck diameter over ball diameter
MOST_OVAL = 0.08  # second-order form over radius above which it is no ball
LEAST_BALL = 0.45  # share of all directions that must follow the sphere
NECK_STEP_MM = 0.05


@dataclass(frozen=True, slots=True)
class Ball:
    """A ball end. `axis` points from the neck to the ball; the retentive zone is ZONE_DEG from its top."""

    centre_mm: tuple[float, float, float]
    diameter_mm: Measured
    out_of_round_mm: Measured
    worn_share: Measured
    neck_diameter_mm: Measured
    axis: tuple[float, float, float] | None
    axis_error_deg: float
    tilt_deg: Measured


def find_ball(mesh: Mesh, end: Array, out: Array | None) -> Ball | Unknown:
    """The ball within WINDOW_MM of the bar's `end`, or why there is none; tilt is measured against `out`."""
    part = near(mesh, end, WINDOW_MM)
    points, weight = _corners(part)
    first = find_sphere(points, weight)
    if first is None:
        return Unknown(Reason.NOT_IN_SCAN)
    sphere = fit_sphere(points, *first)
    if sphere is None:
        return Unknown(Reason.NOT_COVERED)
    if not _is_ball(sphere):
        return Unknown(Reason.NOT_IN_SCAN)
    neck = find_neck(part, sphere, points)
    if isinstance(neck[0], Figure) and neck[0].value > NECK_MOST * 2 * sphere.radius:
        return Unknown(Reason.NOT_IN_SCAN)  # the rounded tip of a bar, not a ball
    return _ball(sphere, *neck, out)


def _is_ball(sphere: Sphere) -> bool:
    """Whether what is left after wear is round: the cut end of a bar is not."""
    found, _ = form(sphere.cells, sphere.sound)
    return bool(np.abs(found[4:]).max() < MOST_OVAL * sphere.radius and sphere.share > LEAST_BALL)


def _corners(mesh: Mesh) -> tuple[Array, Array]:
    """Corners with the surface each stands for: corners lie on the true surface, facets within it."""
    corners, weight = mesh.triangles.reshape(-1, 3), np.repeat(areas(mesh.triangles) / 3, 3)
    stride = max(len(corners) // MOST_POINTS, 1)
    return corners[::stride], weight[::stride] * stride


def _ball(sphere: Sphere, neck: Measured, axis: Array | None, axis_error_deg: float, out: Array | None) -> Ball:
    tilt: Measured = Unknown(Reason.NOT_COVERED if axis is None else Reason.OUT_NOT_SHOWN)
    if axis is not None and out is not None:
        tilt = Figure(float(np.degrees(np.arccos(np.clip(axis @ out, -1, 1)))), axis_error_deg)
    return Ball(
        _triple(sphere.centre),
        Figure(2 * sphere.radius, 2 * sphere.radius_error),
        out_of_round(sphere),
        Unknown(Reason.NOT_COVERED) if axis is None else worn_share(sphere, axis, neck),
        neck,
        None if axis is None else _triple(axis),
        axis_error_deg,
        tilt,
    )


def _triple(vector: Array) -> tuple[float, float, float]:
    return float(vector[0]), float(vector[1]), float(vector[2])


def out_of_round(sphere: Sphere) -> Measured:
    """Largest less least diameter of the sound part, from its second-order form (worn parts left out)."""
    if sphere.share < 0.55:
        return Unknown(Reason.NOT_COVERED)
    found, spread = form(sphere.cells, sphere.sound)
    xy, yz, zx, difference, top = found[4:]
    tensor = np.array(
        [[difference - top, xy / 2, zx / 2], [xy / 2, -difference - top, yz / 2], [zx / 2, yz / 2, 2 * top]]
    )
    values = np.linalg.eigvalsh(tensor)
    seen = 2 * float(values[2] - values[0])
    noise = 4 * float(np.sqrt(np.trace(spread[4:, 4:])))
    # noise alone makes a perfect ball look out of round: its usual share is taken off
    value = float(np.sqrt(max(seen**2 - (0.6 * noise) ** 2, 0.0)))
    return Figure(value, noise + 0.002)


def worn_share(sphere: Sphere, axis: Array, neck: Measured) -> Measured:
    """Share of the retentive zone that lies inside the round shape."""
    polar = np.degrees(np.arccos(np.clip(sphere.cells.way @ axis, -1, 1)))
    lowest = ZONE_DEG[1]
    if isinstance(neck, Figure):
        half = np.degrees(np.arcsin(min(neck.value / (2 * sphere.radius), 1.0)))
        lowest = min(lowest, 180.0 - half - 8.0)
    zone = (polar > ZONE_DEG[0]) & (polar < lowest)
    seen = zone & np.isfinite(sphere.cells.radius)
    if not zone.any() or seen.sum() < 0.75 * zone.sum():
        return Unknown(Reason.NOT_COVERED)
    worn = worn_cells(sphere)
    rim = beside(sphere.cells.way, worn) & ~worn
    share, edge = float(worn[seen].mean()), float(rim[seen].mean())
    missing = 1 - float(seen.sum() / zone.sum())
    return Figure(share, edge / 2 + missing / 2 + 3.0 / float(seen.sum()))


def find_neck(mesh: Mesh, sphere: Sphere, points: Array) -> tuple[Measured, Array | None, float]:
    """(neck diameter, axis from neck to ball, its error in deg): the least round section beyond the ball."""
    arm = points - sphere.centre
    length = np.linalg.norm(arm, axis=1)
    beyond = (length > 1.03 * sphere.radius) & (length < 1.3 * sphere.radius + 0.1)
    if beyond.sum() < 20:
        return Unknown(Reason.NOT_COVERED), None, float("nan")
    down = _neck_way(arm[beyond] / length[beyond, None], sphere)
    best: tuple[float, float, Array] | None = None
    for _ in range(3):
        best = _narrowest(mesh, sphere, down)
        if best is None:
            return Unknown(Reason.NOT_COVERED), None, float("nan")
        down = unit(best[2] - sphere.centre)
    if best is None or best[0] < NECK_LEAST * 2 * sphere.radius:
        return Unknown(Reason.NOT_COVERED), None, float("nan")
    lever = float(np.linalg.norm(best[2] - sphere.centre))
    error = float(np.degrees((sphere.centre_error + best[1]) / lever)) + 0.05
    return Figure(best[0], best[1]), -down, error


def _neck_way(ways: Array, sphere: Sphere) -> Array:
    """Where the surface leaves the ball: the densest direction of what lies just beyond it, then its mean."""
    open_ways = sphere.cells.way
    votes = ((open_ways @ ways.T) > np.cos(np.radians(40.0))).sum(axis=1)
    way = open_ways[int(votes.argmax())]
    for _ in range(5):  # a thick neck is a ring around its axis: the mean walks to the middle of it
        way = unit(ways[(ways @ way) > np.cos(np.radians(60.0))].mean(axis=0))
    found: Array = way
    return found


def _narrowest(mesh: Mesh, sphere: Sphere, down: Array) -> tuple[float, float, Array] | None:
    """(diameter, error, middle) of the least closed round section between ball and bar."""
    frame = frame_for(sphere.centre, down, across(down))
    stations = np.arange(0.5 * sphere.radius, sphere.radius + 1.6, NECK_STEP_MM)
    cuts = cut(mesh.triangles, frame, stations, NECK_STEP_MM, 1.5 * sphere.radius)
    own = only(cuts, main_cluster(cuts, len(stations)))
    if not len(own.plane):
        return None
    fitted = fit_kind(Kind.ROUND, batch(own, len(stations)))
    radius, closed = fitted.fits.theta[:, 2], surrounded(own, len(stations)) > 0.7
    good = closed & (fitted.rms < 0.04) & (radius < 1.05 * sphere.radius) & (radius > 0.1)
    good &= np.hypot(fitted.fits.theta[:, 0], fitted.fits.theta[:, 1]) < 0.5 * sphere.radius
    if good.sum() < 3:
        return None
    steady = np.array([np.median(radius[max(k - 1, 0) : k + 2]) if good[max(k - 1, 0) : k + 2].all() else np.inf
                       for k in range(len(radius))])  # fmt: skip
    place = int(steady.argmin())
    if not np.isfinite(steady[place]):
        return None
    alike = good & (np.abs(radius - steady[place]) < 0.02 * steady[place] + 0.005)
    middle = np.median(fitted.fits.theta[alike][:, :2], axis=0)
    deviation = float(np.median(np.sqrt(fitted.fits.spread[alike, 2, 2]) * fitted.fits.scale[alike]))
    error = 2 * 2 * deviation * np.sqrt(160 / float(np.median(fitted.points.independent[alike])))
    sag = 2 * float(np.median(sagitta(fitted)[alike]))
    slope = 2 * float(np.median(np.abs(radius[alike] - steady[place])))
    at = frame.origin + middle[0] * frame.l + middle[1] * frame.v + np.median(stations[alike]) * frame.a
    return 2 * float(steady[place]), float(np.sqrt(error**2 + sag**2 + slope**2) + 0.001), at
