"""Forces as the choice counts them: whole millinewtons, so that sums are exact."""

from __future__ import annotations

import math

FORCE_SCALE = 1000
"""Millinewtons in a newton."""

_ROUNDING = 1e-6
"""Millinewtons that a limit may be off by rounding."""


def force(newtons: float) -> int:
    """The nearest whole number of millinewtons."""
    return round(newtons * FORCE_SCALE)


def at_least(newtons: float) -> int:
    """The least whole number of millinewtons that keeps a floor."""
    return math.ceil(newtons * FORCE_SCALE - _ROUNDING)


def at_most(newtons: float) -> int:
    """The largest whole number of millinewtons that keeps a ceiling."""
    return math.floor(newtons * FORCE_SCALE + _ROUNDING)
