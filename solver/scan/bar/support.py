"""Supports: the post that carries the bar, where the scan shows it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from solver.scan.bar.axes import angle_between
from solver.scan.bar.centreline import fit_line
from solver.scan.section.figure import Figure, Measured, Reason, Unknown
from solver.scan.section.kinds import fit_kind
from solver.scan.section.precision import sagitta
from solver.scan.section.shapes import Kind
from solver.scan.surface.mesh import Array
from solver.scan.surface.sampling import batch, main_cluster, only, surrounded
from solver.scan.surface.slicing import across, cut, frame_for, unit

DEPTH_MM = 6.0  # below the bar in which a post is sought
STEP_MM = 0.12
RADIUS_MM = (1.0, 3.5)
WORST_RMS_MM = 0.045
LEAST_SECTIONS = 5


@dataclass(frozen=True, slots=True)
class Support:
    """A place that carries the bar. `axis` points out; None where the post is not shown."""

    at_mm: tuple[float, float, float]
    axis: tuple[float, float, float] | None
    tilt_deg: Measured
    diameter_mm: Measured


@dataclass(frozen=True, slots=True, eq=False)
class Post:
    """A post found in the mesh: a point on its axis, the axis pointing out, and errors."""

    at: Array
    axis: Array
    axis_error_rad: float
    diameter_mm: Figure
    sections: int


def find_post(triangles: Array, guess: Array, out: Array) -> Post | None:
    """The round post under `guess`, from its sections square to `out` and then to its own axis."""
    at, axis, post = guess, out, None
    for _ in range(2):
        post = _post(triangles, at, axis)
        if post is None:
            return None
        at, axis = post.at, post.axis
    return post


def _post(triangles: Array, at: Array, axis: Array) -> Post | None:
    frame = frame_for(at, -axis, across(axis))
    stations = np.arange(-1.0, DEPTH_MM, STEP_MM)
    cuts = cut(triangles, frame, stations, 0.08, 4.5)
    own = only(cuts, main_cluster(cuts, len(stations)))
    if not len(own.plane):
        return None
    fitted = fit_kind(Kind.ROUND, batch(own, len(stations)))
    theta = fitted.fits.theta
    good = (surrounded(own, len(stations)) > 0.8) & (fitted.rms < WORST_RMS_MM)
    good &= (theta[:, 2] > RADIUS_MM[0]) & (theta[:, 2] < RADIUS_MM[1]) & (np.hypot(theta[:, 0], theta[:, 1]) < 2.5)
    if good.sum() < LEAST_SECTIONS:
        return None
    typical = float(np.median(theta[good, 2]))
    good &= np.abs(theta[:, 2] - typical) < 0.08 * typical
    if good.sum() < LEAST_SECTIONS:
        return None
    fit, (turn, _) = fit_line(stations[good], theta[good, :2])
    way = unit(frame.a + frame.l * fit[0, 0] + frame.v * fit[0, 1])
    origin = frame.origin + frame.l * fit[1, 0] + frame.v * fit[1, 1]
    spread = 1.4826 * float(np.median(np.abs(theta[good, 2] - typical)))
    sag = float(np.median(sagitta(fitted)[good]))
    diameter = Figure(2 * typical, float(4 * spread / np.sqrt(good.sum()) + 2 * sag + 0.002))
    return Post(origin, -way, turn, diameter, int(good.sum()))


def support(place: Array, post: Post | None, out: Array) -> Support:
    """What is known of the support at `place` on the bar's axis."""
    at = (float(place[0]), float(place[1]), float(place[2]))
    if post is None:
        hidden = Unknown(Reason.NOT_IN_SCAN)
        return Support(at, None, hidden, hidden)
    axis = (float(post.axis[0]), float(post.axis[1]), float(post.axis[2]))
    return Support(at, axis, angle_between(post.axis, out, post.axis_error_rad), post.diameter_mm)
