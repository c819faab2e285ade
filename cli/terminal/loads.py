"""The load on the supports of a plan: one row a support, one column a bite; and the bar under what reaches it."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.console import Console

from cli.terminal.screen import bullets, heading, table
from cli.wording.loads import BITE, percent, remarks, rounded, spanned
from solver.assess.loads import Loads
from solver.handbook.sourced import Interval
from solver.mechanics.bar_bending import Bent


def show_loads(page: Console, loads: Loads) -> None:
    """Force on each support for every bite, the bar under it, and the remarks that go with both."""
    heading(page, "Load on the supports", "N, what the mucosa leaves to them, least to most")
    table(page, ("", *(f">{BITE[bite.name]}" for bite in loads.bites)), _rows(loads))
    if loads.bar:
        heading(
            page, "Bar under what reaches it", "MPa: most of all bites, and what the alloy bears once and for years"
        )
        table(
            page, ("site", ">full bite", ">once", ">chewing", ">for years", ">sinks, mm"), map(_bent_row, loads.bar)
        )
    bullets(page, remarks(loads))


def _rows(loads: Loads) -> Iterator[tuple[str, ...]]:
    bites = loads.bites
    yield "bite", *(f"{bite.force_n:.0f}" for bite in bites)
    for support in bites[0].support_n:
        yield support, *(spanned(bite.support_n[support]) for bite in bites)
    yield "sideways on one, besides", *(spanned(bite.sideways_n) for bite in bites)
    yield "share of the supports, %", *(percent(bite.share) for bite in bites)
    yield "bite outside the supports, mm", *(f"{bite.lever_mm:.1f}" for bite in bites)


def _bent_row(found: Bent) -> tuple[str, ...]:
    proof, lasting = _whole(found.proof_mpa), _whole(found.lasting_mpa)
    if found.stress_mpa is None or found.chewing_mpa is None or found.sag_mm is None:
        return found.site, "sizes not known", proof, "", lasting, ""
    sags = " to ".join("breaks" if math.isinf(sag) else f"{sag:.2f}" for sag in found.sag_mm)
    return found.site, _whole(found.stress_mpa), proof, _whole(found.chewing_mpa), lasting, sags


def _whole(found: Interval) -> str:
    low, high = ("breaks" if math.isinf(end) else rounded(end) for end in found)
    return low if low == high else f"{low} to {high}"
