"""From the axes of a scan to those of the patient: x to the left, y forwards, z up, mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

import numpy as np

from solver.handbook.teeth import DEFAULT_CURVES, Arch
from solver.scan.bar.direction import checked_direction
from solver.scan.errors import BadDirection, ForwardsNotShown
from solver.scan.surface.mesh import Array
from solver.scan.surface.slicing import across, unit

BEND_MM = (
    1.0  # by which the middle of a bar must lie before the line of its ends to show the front (choice, no source)
)


class Placement(NamedTuple):
    """patient = turn @ scan + shift; `off_mm` is the worst distance left between matched supports."""

    turn: Array
    shift: Array
    off_mm: float

    def of(self, point: Array) -> Array:
        """A point of the scan, in the patient's axes."""
        found: Array = self.turn @ point + self.shift
        return found


def turn_to_patient(out: Array, forwards: Array, arch: Arch) -> Array:
    """Rows: the patient's left, forwards and up, in the axes of the scan; raises `BadDirection`."""
    up = out if arch == "lower" else -out
    flat = forwards - (forwards @ up) * up
    if np.linalg.norm(flat) < 0.1 * np.linalg.norm(forwards):
        raise BadDirection("forwards", "it runs along the path of removal")
    ahead = unit(flat)
    return np.stack([np.cross(ahead, up), ahead, up])


def given_forwards(forwards: object) -> Array:
    """A direction that a person gives; raises `BadDirection`."""
    return checked_direction("forwards", forwards)


def forwards_of(points: Array, out: Array) -> Array:
    """From the line between the outermost points of the bar to the rest of it; raises `ForwardsNotShown`."""
    flat = points - np.outer(points @ out, out)
    apart = np.linalg.norm(flat[:, None] - flat[None], axis=2)
    one, two = np.unravel_index(int(apart.argmax()), apart.shape)
    chord = flat[two] - flat[one]
    if np.linalg.norm(chord) < BEND_MM:
        raise ForwardsNotShown(len(points))
    rest = np.delete(flat, [one, two], axis=0) - flat[one]
    ahead = np.cross(out, unit(chord))
    bend = float(np.mean(rest @ ahead)) if len(rest) else 0.0
    if abs(bend) < BEND_MM:
        raise ForwardsNotShown(len(points))
    return ahead if bend > 0 else -ahead


def any_forwards(out: Array) -> Array:
    """Some direction square to `out`, where matched supports will show the true one."""
    return across(out)


def place_on(points: Array, turn: Array, wanted: Mapping[int, Array], arch: Arch) -> Placement:
    """Set the supports `points` (n, 3) where `wanted` says (number -> patient point), turning about z alone.

    One wanted point moves without turning; none sets the bar symmetrically on the default arch (an assumption).
    """
    turned = points @ turn.T
    if not wanted:
        return Placement(turn, _on_arch(turned, arch), 0.0)
    numbers = sorted(wanted)
    here, there = turned[numbers], np.array([wanted[number] for number in numbers])
    about = _about_z(here - here.mean(axis=0), there - there.mean(axis=0))
    shift = there.mean(axis=0) - about @ here.mean(axis=0)
    off = np.linalg.norm((here @ about.T + shift - there)[:, :2], axis=1)
    return Placement(about @ turn, shift, float(off.max()))


def _about_z(here: Array, there: Array) -> Array:
    """Rotation about z that best lays centred points on others (least squares in the plane)."""
    dot = float((here[:, :2] * there[:, :2]).sum())
    cross = float((here[:, 0] * there[:, 1] - here[:, 1] * there[:, 0]).sum())
    angle = float(np.arctan2(cross, dot)) if np.hypot(dot, cross) > 1e-6 else 0.0
    c, s = np.cos(angle), np.sin(angle)
    return np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])


def _on_arch(turned: Array, arch: Arch) -> Array:
    """Shift that centres the supports about the midline, on average on the default arch and at z = 0."""
    curve = DEFAULT_CURVES[arch]
    middle = (turned[:, 0].min() + turned[:, 0].max()) / 2
    half = 0.49 * curve.width_mm
    ahead = curve.forward_mm(np.clip(turned[:, 0] - middle, -half, half)) - turned[:, 1]
    return np.array([-middle, float(ahead.mean()), -float(turned[:, 2].mean())])
