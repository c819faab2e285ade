"""Random invented bars with known truth: the population on which the stated errors are checked."""

from __future__ import annotations

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from solver.scan.bar.ball import Ball
from solver.scan.measure import BarScan, measure_bar
from solver.scan.section.figure import Measured, Reason, Unknown
from solver.scan.surface.mesh import Array, mesh_from_triangles
from tests.solver.scan import meshes as m

FOOT = 0.2  # the lowest part of a section that counts as no undercut, as docs/scan.md defines it


class Answer(NamedTuple):
    name: str
    truth: float
    measured: Measured


class Shape(NamedTuple):
    kind: str
    outline: Array
    head: float | None


def random_shape(rng: np.random.Generator) -> Shape:
    kind = rng.choice(["round", "ovoid", "parallel", "keyhole"])
    if kind == "round":
        radius = rng.uniform(0.7, 1.3)
        return Shape("round", m.circle(radius), 2 * radius)
    if kind == "ovoid":
        half = rng.uniform(0.75, 1.2)
        return Shape("ovoid", m.egg(half, half * rng.uniform(0.9, 1.2), half * rng.uniform(1.3, 1.8)), None)
    if kind == "parallel":
        half, up = rng.uniform(0.75, 1.2), rng.uniform(1.0, 2.0)
        top, bottom, taper = rng.uniform(0.1, 0.6), rng.uniform(0.05, 0.3), rng.choice([0.0, 0.035, 0.07])
        return Shape("parallel", m.box(half, up, top, bottom, taper), None)
    head = rng.uniform(0.8, 1.1)
    return Shape("keyhole", m.keyhole(head, head * rng.uniform(0.45, 0.7), head * rng.uniform(1.9, 2.8)), 2 * head)


def true_undercut(outline: Array) -> float:
    """Undercut depth from the finely given outline itself (symmetric: both sides alike)."""
    x, y = np.abs(outline[:, 0]), outline[:, 1]
    contour = y[x >= x.max() - 1e-9].min()
    below = (y <= contour) & (y >= min(y.min() + FOOT, contour))
    return float(x.max() - x[below].min()) if below.any() else 0.0


def segment_trial(seed: int, fine: bool = False) -> list[Answer]:
    """One straight bar over wavy mucosa, somewhere in space, with noise, outliers and a random mesh size.

    `fine`: a mesh of 50 micrometres without noise or outliers.
    """
    rng = np.random.default_rng(seed)
    shape, length = random_shape(rng), rng.uniform(7.0, 11.0)
    edge, sigma, wild = rng.uniform(0.05, 0.09), rng.choice([0.0, 0.01, 0.02]), rng.choice([0.0, 0.01])
    if fine:
        edge, sigma, wild = 0.05, 0.0, 0.0
    low, apart, wave = float(shape.outline[:, 1].min()), rng.uniform(0.8, 2.5), rng.uniform(0.0, 0.15)

    def depth(x: Array, y: Array) -> Array:
        return low - apart - wave * (1 - np.cos(0.9 * x)) * np.cos(0.4 * y)

    triangles = np.concatenate([m.prism(shape.outline, length, edge), m.mucosa(length, depth, edge=2 * edge)])
    scan, turn, shift = _scanned(triangles, rng, sigma, wild)
    segment = scan.segments[0]
    chosen = [s for s in segment.sections if 1.0 < s.station_mm - segment.sections[0].station_mm < length - 1.5]
    undercut, (width, height) = true_undercut(shape.outline), np.ptp(shape.outline, axis=0)
    answers = [Answer("length", length, segment.length_mm)]
    for name, truth in (("width", width), ("height", height), ("head_diameter", shape.head),
                        ("undercut_left", undercut), ("undercut_right", undercut)):  # fmt: skip
        if truth is None:
            continue
        answers.append(Answer(f"{name} median", float(truth), getattr(segment, f"{name}_mm").median))
        answers.append(Answer(f"{name} least", float(truth), getattr(segment, f"{name}_mm").least))
        answers += [Answer(f"{name} section", float(truth), getattr(s, f"{name}_mm")) for s in chosen[::8]]
    for section in chosen[::8]:
        # where the section is on the bar as made, whichever way its axis was taken to run
        at = np.array(segment.start_mm) + (section.station_mm - segment.sections[0].station_mm + 0.125) * np.array(
            segment.axis
        )
        x = float((turn.T @ (at - shift))[0])
        answers.append(Answer("gap section", true_gap(shape.outline, depth, x), section.gap_mm))
    return answers


def true_gap(outline: Array, depth: Callable[[Array, Array], Array], x: float) -> float:
    """Least vertical distance from the lower outline to the mucosa at `x` along the bar."""
    lower = outline[outline[:, 1] < (outline[:, 1].min() + outline[:, 1].max()) / 2]
    return float((lower[:, 1] - depth(np.full(len(lower), x), lower[:, 0])).min())


def _scanned(triangles: Array, rng: np.random.Generator, sigma: float, wild: float) -> tuple[BarScan, Array, Array]:
    rough = m.noisy(triangles, sigma, wild, int(rng.integers(1 << 30))) if sigma or wild else triangles
    turn = m.rotation(rng.normal(size=3), rng.uniform(0, 180))
    shift = rng.uniform(-20, 20, 3)
    placed = m.shuffled(m.moved(rough, turn, shift), int(rng.integers(1 << 30)))
    return measure_bar(mesh_from_triangles(placed), out=tuple(turn[:, 2])), turn, shift


def ball_trial(seed: int, fine: bool = False) -> list[Answer]:
    """A short round bar with a ball on a neck, worn flat on one side or a little oval; `fine` as in segment_trial."""
    rng = np.random.default_rng(seed)
    radius, neck, tilt = rng.uniform(0.9, 1.3), rng.uniform(0.5, 0.62), rng.uniform(0, 12)
    edge, sigma, wild = rng.uniform(0.04, 0.07), rng.choice([0.0, 0.01, 0.02]), rng.choice([0.0, 0.01])
    if fine:
        edge, sigma, wild = 0.05, 0.0, 0.0
    worn, oval = rng.choice([False, True]), rng.choice([0.0, 0.0, 0.03])
    side = m.rotation(np.array([0.0, 0.0, 1.0]), rng.uniform(0, 360)) @ [1.0, 0.0, 0.0]
    flat = (side, radius * rng.uniform(0.85, 0.95)) if worn else None
    ball = m.ball(radius, np.zeros(3), edge, flat, np.array([1.0 - oval, 1.0, 1.0]))
    stem = m.prism(m.circle(neck * radius), radius + 1.4, edge) @ m.rotation(np.array([0.0, 1.0, 0.0]), 90.0).T
    head = m.moved(
        np.concatenate([ball, stem]),
        m.rotation(np.array([1.0, 0.0, 0.0]), tilt),
        np.array([0.0, 0.0, radius + 1.5]),
    )
    bar = m.moved(m.prism(m.circle(0.9), 9.0, edge), np.eye(3), np.array([-8.5, 0.0, -0.3]))
    scan, turn, shift = _scanned(np.concatenate([bar, head]), rng, sigma, wild)
    true_centre = turn @ [0.0, 0.0, radius + 1.5] + shift
    balls = [end.ball for end in scan.ends if isinstance(end.ball, Ball)]
    balls = [ball for ball in balls if np.linalg.norm(true_centre - ball.centre_mm) < 0.5]
    if not balls:
        return [Answer("ball diameter", 2 * radius, Unknown(Reason.NOT_IN_SCAN))]
    found = balls[0]
    answers = [
        Answer("neck diameter", 2 * neck * radius, found.neck_diameter_mm),
        Answer("tilt", tilt, found.tilt_deg),
    ]
    if oval == 0.0:
        answers.append(Answer("ball diameter", 2 * radius, found.diameter_mm))
    if not worn:
        answers.append(Answer("out-of-round", 2 * radius * oval, found.out_of_round_mm))
    return answers
