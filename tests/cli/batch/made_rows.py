"""Rows written by hand, so that what is counted in them can be counted on one's fingers."""

from __future__ import annotations

from dataclasses import asdict
from typing import Any

from cli.batch.row import EXIT, Asked, Closed, Conceded, Fitted, Outcome, Row, Stamp, failed

STAMP = Stamp("c0ffee", "1.0", "least=now time_limit_s=30")


def planned(file: str, outcome: Outcome, high: int, **more: Any) -> Row:
    """A case with a plan, in EUR unless said otherwise; half of the high end is the low end."""
    about: dict[str, Any] = {"case": f'of "{file}", invented\nü', "currency": "EUR", "digits": 2, "reach": 1.0} | more
    return Row(
        file=file, digest="d" * 64, **STAMP._asdict(), outcome=outcome, exit=EXIT[outcome], cost_low=high // 2,
        cost_high=high, hold_low_n=5.0, hold_high_n=12.5, **about,
    )  # fmt: skip


NARROW = (Closed("stud", "width_mm", 2), Closed("stud", "alloy", 1))
CLIPS = (Fitted("A", "clip-spring", 2, ("slim",)), Fitted("B", "clip-spring", 1, ("slim",)))
ROWS: tuple[Row, ...] = (
    planned("a.yaml", "fits", 10000, mix=CLIPS, ruled_out=NARROW),
    planned("b.yaml", "fits-if", 20050, mix=(Fitted("L", "ball", 1, ()),), questions=(Asked("L", "ball_mm"),)),
    planned("c.yaml", "fits", 30000, mix=CLIPS[:1], ruled_out=(Closed("ball", "width_mm", 3),)),
    planned("d.yaml", "relaxed", 40000, mix=CLIPS[1:], given_up=(Conceded("budget", None, 15000.0, "money"),)),
    planned(
        "e.yaml", "relaxed", 50000, currency="JPY", digits=0,
        given_up=(Conceded("allowed:weld", None, 0.0, None), Conceded("need:room_mm", "A", 0.25, "mm")),
        ruled_out=(Closed("magnet", "allowed:weld", 2), Closed("magnet", "moves:whole", 1)),
    ),
    planned("f.yaml", "relaxed", 0, given_up=(Conceded("need:room_mm", "B", 0.5, "mm"),)),
    failed("g.yaml", None, STAMP, "bad-file", ["g.yaml:1:1: cannot be read: no such file"]),
    Row(file="h.yaml", digest="e" * 64, **STAMP._asdict(), outcome="none", exit=EXIT["none"], case="h",
        currency="EUR", digits=2, ruled_out=(Closed("ball", "unsplint", 1),)),
)  # fmt: skip
DICTS: list[dict[str, Any]] = [asdict(row) for row in ROWS]
