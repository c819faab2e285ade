"""Attachment parts set anywhere in a lower jaw, for tests of motion. All lengths and angles are invented."""

from __future__ import annotations

from math import cos, radians, sin
from typing import Any

import numpy as np
from hypothesis import strategies as st

from catalogue.blocks import Movement
from catalogue.models import Play
from solver.case.base import Base
from solver.case.layout import Layout
from solver.case.sites import Frame
from solver.mechanics.movement import MovementModel
from solver.mechanics.placement import Placement, box_of, play_box
from tests.solver.small import small_case

OUT = np.array([0.0, 0.0, 1.0])
BASE = Layout(small_case()).base
SETTLING_MM = 0.3
PLAY = Play(mm=0.02, deg=0.1, source="invented")

HINGE: dict[str, Any] = {"hinge_deg": 20}
RESILIENT: dict[str, Any] = {"hinge_deg": 20, "down_mm": 0.5}
BALL: dict[str, Any] = {"hinge_deg": "free", "tip_deg": "free", "turn_deg": "free"}
RIGID: dict[str, Any] = {}


def placed(site: str, at: tuple[float, float, float], along_deg: float = 0.0, **movement: Any) -> Placement:
    """A part at a point, its bar turned by `along_deg` from the x axis; what is not named keeps the small play."""
    direction = np.array([cos(radians(along_deg)), sin(radians(along_deg)), 0.0])
    frame = Frame.along(direction, OUT)
    least, most = box_of(Movement(**movement, source="invented"), PLAY)
    axes = np.array([frame.a, frame.l, frame.v])
    return Placement(site, np.array(at, dtype=float), axes, least, most, play_box(PLAY))


def model(settling_mm: float = SETTLING_MM, base: Base = BASE) -> MovementModel:
    """A movement model of the lower jaw of these tests."""
    return MovementModel(base, OUT, settling_mm)


def movements() -> st.SearchStrategy[dict[str, Any]]:
    """Any movement: each component at its small play, limited or free."""
    lengths = st.sampled_from([0.0, 0.1, 0.3, 0.5, "free"])
    turns = st.sampled_from([0.0, 2.0, 8.0, 20.0, "free"])
    names = {"slide_mm": lengths, "sideways_mm": lengths, "down_mm": lengths, "up_mm": lengths}
    return st.fixed_dictionaries(names | {"hinge_deg": turns, "tip_deg": turns, "turn_deg": turns})


def mixes(least: int = 1, most: int = 4) -> st.SearchStrategy[list[Placement]]:
    """A few parts with bars in any direction, each at a site of its own."""
    xs, ys, zs = st.floats(-22, 22), st.floats(2, 27), st.floats(0, 6)
    one = st.tuples(st.tuples(xs, ys, zs), st.floats(-90, 90), movements())
    return st.lists(one, min_size=least, max_size=most).map(
        lambda drawn: [placed(f"S{i}", at, deg, **moves) for i, (at, deg, moves) in enumerate(drawn)]
    )
