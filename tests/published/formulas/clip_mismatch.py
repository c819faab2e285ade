"""How much a clip whose axis is not quite that of the hinge must give when the denture turns."""

from __future__ import annotations

import math
from typing import NamedTuple

from solver.handbook.checks import check_finite, check_not_negative


class ClipMismatch(NamedTuple):
    """What the clip must give by clearance or flex: its centre moves off, its ends move apart from the bar."""

    centre_mm: float
    ends_mm: float


def clip_mismatch(*, turn_rad: float, offset_mm: float, askew_rad: float, length_mm: float) -> ClipMismatch:
    """Return what a clip must give when the denture turns by a small angle about another axis.

    Its centre lies `offset_mm` off that axis and moves by turn x offset; its own axis is `askew_rad` from
    that axis, tilts by turn x sin(askew), and carries its ends, half of `length_mm` away, along. Derived here
    from t + w x p.

    Raises:
        OutOfDomain: where an angle is not finite, or a distance is below zero.
    """
    check_finite(turn_rad=turn_rad, askew_rad=askew_rad)
    check_not_negative(offset_mm=offset_mm, length_mm=length_mm)
    turn = abs(turn_rad)
    return ClipMismatch(turn * offset_mm, length_mm / 2.0 * turn * abs(math.sin(askew_rad)))
