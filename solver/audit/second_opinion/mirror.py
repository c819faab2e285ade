"""Which site is the image of which on the other side, and what a part wants to find there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from solver.audit.second_opinion.pieces import Piece
from solver.audit.second_opinion.places import Map, Place, Vector

NEAR_MM, MIDDLE_MM = 8.0, 2.0
"""As in solver.assess.mirror."""


def mirrored(found: Map) -> dict[str, str]:
    """Every site that has an image with it: reflected in the plane halfway between the last teeth."""
    left, right = found.base["left"], found.base["right"]
    normal = (left - right) / (float(np.linalg.norm(left - right)) or 1.0)
    reflection = np.eye(3) - 2 * np.outer(normal, normal)
    foot = (left + right) / 2

    def image(at: Vector) -> Vector:
        return np.asarray(foot + reflection @ (at - foot))

    def side(place: Place) -> float:
        return float((place.at - foot) @ normal)

    lefts = [place for place in found.places if side(place) > MIDDLE_MM]
    rights = [place for place in found.places if side(place) < -MIDDLE_MM]
    apart = {
        (one.id, other.id): float(np.linalg.norm(image(one.at) - other.at))
        for one in lefts
        for other in rights
        if one.kind == other.kind
    }
    pairs: dict[str, str] = {}
    while apart:
        (one, other), gap_mm = min(apart.items(), key=lambda entry: (entry[1], entry[0]))
        if gap_mm > NEAR_MM:
            break
        pairs[one], pairs[other] = other, one
        apart = {names: mm for names, mm in apart.items() if one not in names and other not in names}
    return pairs


class Likeness:
    """What every piece wants on the mirror site, of the pieces that the sites could have."""

    def __init__(self, mirrors: Mapping[str, str], at: Mapping[str, Sequence[Piece]]) -> None:
        self._mirrors = mirrors
        self._wants = {
            piece: _likes(piece, at[mirrors[site]])
            for site, pieces in at.items()
            if site in mirrors
            for piece in pieces
        }
        self._wanted_by: dict[Piece, set[Piece]] = {piece: set() for piece in self._wants}
        for piece, wanted in self._wants.items():
            for other in wanted:
                self._wanted_by[other].add(piece)

    def unlike(self, mix: Sequence[Piece]) -> bool:
        """True where something stands without its like on a mirror site that could have it."""
        fitted = {piece.site.id: piece for piece in mix}
        return any(
            wanted and fitted.get(self._mirrors[piece.site.id]) not in wanted
            for piece in mix
            if (wanted := self._wants.get(piece))
        )

    def follows(self, one: Piece, other: Piece) -> bool:
        """True where `one` is like whatever `other` is like."""
        if one not in self._wants:
            return True
        content = not self._wants[one] or (bool(self._wants[other]) and self._wants[one] >= self._wants[other])
        return content and self._wanted_by[one] >= self._wanted_by[other]


def _likes(piece: Piece, there: Sequence[Piece]) -> frozenset[Piece]:
    """The same parts and steps; where the mirror site cannot have these, the same parts."""
    parts = [
        other
        for other in there
        if (other.attachment.id, other.count) == (piece.attachment.id, piece.count)
        and _gives_up(other) <= _gives_up(piece)
        and other.harms_bar <= piece.harms_bar
    ]
    return frozenset([other for other in parts if other.extra == piece.extra] or parts)


def _gives_up(piece: Piece) -> frozenset[str]:
    """Without the site."""
    return frozenset(code.split(":")[-1] for code in piece.broken)
