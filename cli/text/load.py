"""The load on the supports of a plan: one row a support, one column a bite."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console

from cli.text.page import bullets, heading, table
from solver.bite import BiteForce
from solver.loads import CantileverEnd, Loads
from solver.sourced import Interval, Place, Sourced
from solver.spread import CantileverNote

BITE = {"left": "left", "right": "right", "both": "both sides", "front": "front"}


def show_loads(page: Console, loads: Loads) -> None:
    """Force on each support for every bite, and the remarks that go with it."""
    heading(page, "Load on the supports", "N, the whole bite on them: an upper figure")
    table(page, ("", *(f">{BITE[bite.name]}" for bite in loads.bites)), _rows(loads))
    bullets(page, remarks(loads))


def _rows(loads: Loads) -> Iterator[tuple[str, ...]]:
    bites = loads.bites
    yield "bite", *(f"{bite.force_n:.0f}" for bite in bites)
    for support in bites[0].support_n:
        yield support, *(_rounded(bite.support_n[support]) for bite in bites)
    yield "moment left to the mucosa, N mm", *(_rounded(bite.unbalanced_moment_nmm) for bite in bites)
    yield "bite outside the supports, mm", *(f"{bite.lever_mm:.1f}" for bite in bites)
    yield "least share of the supports", *(f"{bite.least_share:.0%}" for bite in bites)


def _rounded(value: float) -> str:
    """Without decimals, and without a minus before nothing."""
    return f"{round(value) + 0:d}"


def remarks(loads: Loads) -> Iterator[str]:
    """What the figures rest on, supports that are pulled, and the rules of thumb for cantilevers."""
    yield from _force(loads.force)
    if lifted := pulled(loads):
        yield f"A figure below zero pulls at the support: {', '.join(lifted)}."
    if loads.spread_mm is not None:
        yield f"Spread of the supports from front to back: {loads.spread_mm:.1f} mm."
    yield from (_cantilever(end, note) for end in loads.cantilevers for note in end.notes)


def pulled(loads: Loads) -> list[str]:
    """Supports at which some bite pulls."""
    return [s for s in loads.bites[0].support_n if any(bite.support_n[s] < -0.5 for bite in loads.bites)]


def _force(force: BiteForce) -> Iterator[str]:
    if force.presets:
        sources = "; ".join(dict.fromkeys(figure(preset) for preset in force.presets))
        yield f"Bite on one side {band(force.band_n)} N, assumed from what the denture bites on ({sources})."
    else:
        yield f"Bite on one side {band(force.band_n)} N, from the case."


def _cantilever(end: CantileverEnd, note: CantileverNote) -> str:
    limit = note.rule.limit
    reached = "beyond" if note.place is Place.ABOVE else "within"
    length = f"End {end.end} is {end.length_mm:g} mm long, {reached} the {band(note.limit_mm)} mm"
    return f"{length} of a rule of thumb: {figure(limit)}."


def figure(found: Sourced) -> str:
    """How a figure of the trade is known, its source and its caveat."""
    note = f"; {found.note}" if found.note else ""
    return f"{found.known}: {found.source}{note}"


def band(found: Interval) -> str:
    """One figure where both ends agree."""
    low, high = f"{found.low:.3g}", f"{found.high:.3g}"
    return low if low == high else f"{low} to {high}"
