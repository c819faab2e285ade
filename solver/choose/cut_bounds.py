"""What every option of a site is worth in a cut: the most work that the dual of a binding mix can do on its parts.

The dual of a movement LP is a wrench on each part of the mix that binds; the wrenches and the demand balance. On a
motion that another mix allows, the wrenches of a site do at most the work that the boxes of its parts there leave.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from solver.mechanics.placement import LENGTH_MM, Array, Placement
from solver.mechanics.screws import cross_matrix


class SiteWorth:
    """The parts of all options of one site in arrays. Options without parts are worth anything (infinity).

    Options that share their parts are reckoned once.
    """

    def __init__(self, options: Sequence[Sequence[Placement]]) -> None:
        kinds = [tuple(option) for option in options]
        number = {kind: i for i, kind in enumerate(dict.fromkeys(kinds))}
        self._number = [number[kind] for kind in kinds]
        parts = [part for option in number for part in option]
        self._counts = np.array([len(option) for option in number])
        self._fitted = np.flatnonzero(self._counts)
        self._starts = np.concatenate([[0], np.cumsum(self._counts[self._fitted])[:-1]]).astype(int)
        self._at = np.array([part.at for part in parts]).reshape(-1, 3)
        self._axes = parts[0].axes if parts else np.eye(3)
        self._least = np.array([part.least for part in parts]).reshape(-1, 6)
        self._most = np.array([part.most for part in parts]).reshape(-1, 6)

    def under(self, wrenches: Sequence[Array]) -> Array:
        """Worth of each option under the wrenches on the parts of the mix that binds, in order along the site.

        Any split of the whole wrench among the parts of an option bounds the work on them. Two are tried: all of it
        on one part, whichever gives least; and, where the count is the same, each wrench on the part in its place.
        """
        worth = np.full(len(self._counts), np.inf)
        if not len(self._fitted):
            return worth[self._number]
        whole = self._give(np.sum(wrenches, axis=0))
        worth[self._fitted] = np.minimum.reduceat(whole, self._starts)
        alike = self._counts[self._fitted] == len(wrenches)
        if len(wrenches) > 1 and alike.any():
            starts = self._starts[alike]
            each = sum((self._give(w)[starts + k] for k, w in enumerate(wrenches)), np.zeros(len(starts)))
            matching = self._fitted[alike]
            worth[matching] = np.minimum(worth[matching], each)
        return worth[self._number]

    def _give(self, wrench: Array) -> Array:
        """Most work of one wrench (dual on scaled twists) on each part alone."""
        force = self._axes @ wrench[3:]
        # p x f as a product: the cross product of numpy takes ten times as long on so few rows.
        moments = (wrench[:3] - self._at @ cross_matrix(wrench[3:]) / LENGTH_MM) @ self._axes.T
        local = np.empty_like(self._most)
        local[:, :3], local[:, 3:] = force, moments
        work: Array = np.maximum(local * self._most, local * self._least).sum(axis=1)
        return work
