"""The load on the supports of a plan: one row a support, one column a bite."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.console import Console

from cli.terminal.screen import bullets, heading, table
from cli.wording.loads import BITE, percent, remarks, rounded, spanned
from solver.assess.loads import Loads
from solver.handbook.sourced import Interval
from solver.mechanics.bar_bending import NOT_KNOWN, Bent


def show_loads(page: Console, loads: Loads) -> None:
    """Force on each support for every bite, and the remarks that go with it."""
    heading(page, "Load on the supports", "N, if the implants took the whole bite (worst case)")
    table(page, ("", *(f">{BITE[bite.name]}" for bite in loads.bites)), _rows(loads))
    heading(page, "Load shared with the mucosa", "N on each support, least to most")
    table(page, ("", *(f">{BITE[bite.name]}" for bite in loads.shared)), _shared_rows(loads))
    if loads.bar:
        heading(page, "Bar under the whole bite", "low: ends held rigid, high: ends free to turn")
        table(page, ("site", ">stress, MPa", ">alloy bears, MPa", ">sag, mm"), map(_bent_row, loads.bar))
    bullets(page, remarks(loads))


def _rows(loads: Loads) -> Iterator[tuple[str, ...]]:
    bites = loads.bites
    yield "bite", *(f"{bite.force_n:.0f}" for bite in bites)
    for support in bites[0].support_n:
        yield support, *(rounded(bite.support_n[support]) for bite in bites)
    yield "moment left to the mucosa, N mm", *(rounded(bite.unbalanced_moment_nmm) for bite in bites)
    yield "bite outside the supports, mm", *(f"{bite.lever_mm:.1f}" for bite in bites)


def _shared_rows(loads: Loads) -> Iterator[tuple[str, ...]]:
    for support in loads.shared[0].support_n:
        yield support, *(spanned(bite.support_n[support]) for bite in loads.shared)
    yield "share of the supports, %", *(percent(bite.share) for bite in loads.shared)


def _bent_row(found: Bent) -> tuple[str, ...]:
    if found.stress_mpa is NOT_KNOWN or found.sag_mm is None:
        return found.site, "sizes not known", _whole(found.proof_mpa), ""
    sags = " to ".join("breaks" if math.isinf(sag) else f"{sag:.2f}" for sag in found.sag_mm)
    return found.site, _whole(found.stress_mpa), _whole(found.proof_mpa), sags


def _whole(found: Interval) -> str:
    low, high = ("breaks" if math.isinf(end) else rounded(end) for end in found)
    return low if low == high else f"{low} to {high}"
