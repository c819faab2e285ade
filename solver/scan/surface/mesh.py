"""A triangle surface as an array, and even samples of it. No connectivity is kept or needed."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Ints = NDArray[np.intp]
Flags = NDArray[np.bool_]

AT_A_TIME = 100_000
SAMPLE_SEED = 20240229  # fixed: the same scan gives the same answer


@dataclass(frozen=True, slots=True, eq=False)
class Mesh:
    """Triangles, shape (n, 3, 3), mm. Order and winding of the triangles carry no meaning here."""

    triangles: Array

    @property
    def diagonal_mm(self) -> float:
        """Diagonal of the bounding box."""
        corners = self.triangles.reshape(-1, 3)
        return float(np.linalg.norm(corners.max(axis=0) - corners.min(axis=0)))


def mesh_from_triangles(triangles: Array) -> Mesh:
    """A mesh without its triangles of no area; `triangles` has shape (n, 3, 3) in mm."""
    kept = areas(triangles) > 0.0
    return Mesh(np.ascontiguousarray(triangles if kept.all() else triangles[kept], dtype=np.float64))


def areas(triangles: Array) -> Array:
    """Area of each triangle, shape (n,); a part of them at a time, for memory."""
    found = np.empty(len(triangles))
    for start in range(0, len(triangles), AT_A_TIME):
        part = triangles[start : start + AT_A_TIME]
        first, second = part[:, 1] - part[:, 0], part[:, 2] - part[:, 0]
        found[start : start + AT_A_TIME] = 0.5 * np.linalg.norm(np.cross(first, second), axis=1)
    return found


def near(mesh: Mesh, centre: Array, radius_mm: float) -> Mesh:
    """The triangles whose bounding box reaches into the cube of half side `radius_mm` about `centre`."""
    low, high = mesh.triangles.min(axis=1), mesh.triangles.max(axis=1)
    touching = ((low <= centre + radius_mm) & (high >= centre - radius_mm)).all(axis=1)
    return Mesh(mesh.triangles[touching])


def along_axis(mesh: Mesh, origin: Array, a: Array, span_mm: tuple[float, float], reach_mm: float) -> Array:
    """Triangles within `reach_mm` of the axis through `origin` along `a`, between two places along it."""
    rest = mesh.triangles[:, 0] - origin
    along = rest @ a
    # a large triangle may cross the space although its first corner lies outside
    slack = np.abs(mesh.triangles[:, 1:] - mesh.triangles[:, :1]).max(axis=(1, 2))
    slack = np.where(slack > 0.5, 2 * slack, 0.0)
    close = (along > span_mm[0] - slack) & (along < span_mm[1] + slack)
    close &= np.einsum("nk,nk->n", rest, rest) - along**2 < (reach_mm + slack) ** 2
    return mesh.triangles[close]


def sample(mesh: Mesh, spacing_mm: float, most: int) -> Array:
    """Points spread over the surface by area, about `spacing_mm` apart, shape (k, 3), k <= most."""
    weights = areas(mesh.triangles)
    total = float(weights.sum())
    count = int(np.clip(total / spacing_mm**2, 1, most))
    rng = np.random.default_rng(SAMPLE_SEED)
    steps = (np.arange(count) + rng.random(count)) / count * total
    chosen = np.searchsorted(np.cumsum(weights), steps).clip(0, len(weights) - 1)
    root, second = np.sqrt(rng.random(count)), rng.random(count)
    shares = np.stack([1 - root, root * (1 - second), root * second], axis=1)
    points: Array = np.einsum("ni,nij->nj", shares, mesh.triangles[chosen])
    return points
