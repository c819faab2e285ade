"""Where a figure meets its limit: one comparison for all, so that no last bit of a sum or an LP decides."""

from __future__ import annotations

WITHIN = 1e-6
"""Newtons, shares or millimetres that rounding may take: an LP keeps its rows to about 1e-7."""


def reaches(have: float, least: float, within: float = WITHIN) -> bool:
    """Return True if a figure is at least its limit."""
    return have >= least - within


def stays_under(have: float, most: float, within: float = WITHIN) -> bool:
    """Return True if a figure is at most its limit."""
    return have <= most + within
