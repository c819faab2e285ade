"""Magnets beside their keepers and in scanners."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from solver.handbook.magnets import MagnetAlloy, after_scan, force_at_offset_n
from tests.published.check import Check, Known

_WIGIANTO = "Wigianto AYP et al. Dent J 2022;10:75, doi 10.3390/dj10050075: shares of the seated force"
_BLANKENSTEIN = "Blankenstein FH et al. Rofo 2011;183(8), doi 10.1055/s-0031-1273424"


def _left(force_n: float, alloy: MagnetAlloy, tesla: float) -> Callable[[], Any]:
    def found() -> tuple[float, float]:
        left = after_scan(force_n, alloy, tesla).force_n
        assert left is not None
        return left.low, left.high

    return found


CHECKS = (
    *(
        Check(f"A magnet of 6 N, {offset_mm} mm beside its keeper, N", _WIGIANTO, Known.DERIVED, force_n,
              lambda offset_mm=offset_mm: force_at_offset_n(6.0, offset_mm), 0.005)  # type: ignore[misc]
        for offset_mm, force_n in
        ((0.0, 6.0), (0.5, 4.96), (1.0, 4.13), (1.5, 3.74), (2.0, 2.83), (2.5, 2.14), (3.0, 1.24))
    ),
    Check("Neodymium of 8.1 N at 1.5 T, 34 % of flux left: N if force follows flux squared, or flux", _BLANKENSTEIN,
          Known.DERIVED, (0.94, 2.75), _left(8.1, MagnetAlloy.NEODYMIUM, 1.5), 0.005),
    Check("Samarium-cobalt at 1.5 T, share left at best", _BLANKENSTEIN, Known.READ, 0.92,
          lambda: _left(1.0, MagnetAlloy.SAMARIUM, 1.5)()[1]),
    *(
        Check(f"{alloy.name.lower()} at 3 T: reversed", _BLANKENSTEIN, Known.READ, True,
              lambda alloy=alloy: after_scan(8.1, alloy, 3.0).reversed)  # type: ignore[misc]
        for alloy in MagnetAlloy
    ),
)  # fmt: skip
