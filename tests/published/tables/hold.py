"""Hold: collapse loads of beams by the same theorem, levers, and the spread of attachments."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from solver.handbook.point import Point
from solver.mechanics.hold import largest_pull
from solver.mechanics.limit_analysis import Bound, LimitModel
from tests.published.check import Check, Known

_TEXTBOOKS = "textbooks of plastic analysis"
_STATICS = "statics; computed with another linear-programming solver, lever rows by hand"

CONTACTS = [Point(25, 40), Point(-25, 40), Point(8, -10), Point(-8, -10)]
TWO = [Point(11, 0), Point(-11, 0)]
FOUR = [Point(16, 0), Point(-16, 0), Point(20, 22), Point(-20, 22)]


def collapse(columns: Sequence[tuple[float]], arm: float) -> Callable[[], float]:
    """Centre load in units of Mp / L: one equation of virtual work, hinges at the clamps and at the centre."""
    return lambda: LimitModel(columns, rows=1).solve([arm], [Bound(-1.0, 1.0)] * len(columns)).factor


def hold(attachments: list[Point], x_mm: float, y_mm: float) -> Callable[[], float]:
    """Largest pull on attachments of 10 N each."""
    retentions = [10.0] * len(attachments)
    return lambda: largest_pull(attachments, retentions, CONTACTS, Point(x_mm, y_mm)).hold_n


def _pull(what: str, attachments: list[Point], x_mm: float, y_mm: float, hold_n: float) -> Check:
    return Check(
        f"{what}, N", _STATICS, Known.OURS, hold_n, hold(attachments, x_mm, y_mm), 1e-3
    )  # fmt: skip


CHECKS = (
    Check("Collapse load of a simply supported beam, Mp / L", _TEXTBOOKS, Known.MEMORY, 4.0,
          collapse([(1.0,)], 0.25), 1e-6),
    Check("Collapse load of a propped beam, Mp / L", "GATE 2016, civil engineering, paper 1, question 37", Known.READ,
          6.0, collapse([(1.0,), (2.0,)], 0.5), 1e-6),
    Check("Collapse load of a clamped beam, Mp / L", _TEXTBOOKS, Known.MEMORY, 8.0,
          collapse([(1.0,), (2.0,), (1.0,)], 0.5), 1e-6),
    Check("Attachments spread front to back hold better behind than two side by side",
          "El-Amier et al., J Oral Maxillofac Res 2018;9(3):e3", Known.READ, True,
          lambda: hold(FOUR, 0, 40)() > hold(TWO, 0, 40)()),
    Check("... by how much for attachments of 10 N, 22 mm apart, N", _STATICS, Known.OURS, (4.0, 16.8),
          lambda: (hold(TWO, 0, 40)(), hold(FOUR, 0, 40)())),
    _pull("Two of 10 N, pulled between them", TWO, 0, 0, 20.0),
    _pull("Two, pulled behind: 20 x 10 / 50", TWO, 0, 40, 4.0),
    _pull("Two, pulled in front: 20 x 40 / 50", TWO, 0, -10, 16.0),
    _pull("Two, pulled midway: 20 x 10 / 30", TWO, 0, 20, 6.6667),
    _pull("Two, pulled at a corner", TWO, 25, 40, 4.0),
    _pull("Two, pulled above one of them", TWO, 11, 0, 10.1786),
    _pull("Four of 10 N, pulled at their centre", FOUR, 0, 11, 40.0),
    _pull("Four, pulled at the front pair", FOUR, 0, 0, 29.0),
    _pull("Four, pulled behind", FOUR, 0, 40, 16.8),
    _pull("Four, pulled in front", FOUR, 0, -10, 23.2),
    _pull("Four, pulled to one side", FOUR, 25, 11, 16.5122),
)  # fmt: skip
