"""Frames, points and directions of the size of a jaw, for property tests."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st
from scipy.spatial.transform import Rotation

from solver.mechanics.screws import Array


def vectors(size: int, most: float = 50.0) -> st.SearchStrategy[Array]:
    """Vectors with entries up to `most` either way."""
    return st.lists(st.floats(-most, most), min_size=size, max_size=size).map(np.array)


def axes() -> st.SearchStrategy[Array]:
    """Directions whose length is well above rounding."""
    return vectors(3, 1.0).filter(lambda axis: bool(np.linalg.norm(axis) > 0.1))


def frames() -> st.SearchStrategy[tuple[Array, Array]]:
    """Frames turned any way, their origin anywhere in the mouth."""
    turns = vectors(3, 3.0).map(lambda turn: Rotation.from_rotvec(turn).as_matrix())
    return st.tuples(turns, vectors(3))
