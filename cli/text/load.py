"""The load on the supports of a plan: one row a support, one column a bite."""

from __future__ import annotations

import math
from collections.abc import Iterator

from rich.console import Console

from cli.text.page import bullets, heading, table
from solver.arch import Arch
from solver.bent import NOT_KNOWN, Bent
from solver.bite import BiteForce
from solver.loads import CantileverEnd, Loads
from solver.mucosa import BASE_AREA_MM2, MODULUS_MPA, SUPPORT_RATIO, THICKNESS_MM, whole_base_n_per_mm
from solver.sourced import Interval, Place, Sourced
from solver.spread import CantileverNote

BITE = {"left": "left", "right": "right", "both": "both sides", "front": "front"}


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
        yield support, *(_rounded(bite.support_n[support]) for bite in bites)
    yield "moment left to the mucosa, N mm", *(_rounded(bite.unbalanced_moment_nmm) for bite in bites)
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
    low, high = ("breaks" if math.isinf(end) else _rounded(end) for end in found)
    return low if low == high else f"{low} to {high}"


def spanned(found: Interval) -> str:
    """Least to most in whole numbers."""
    low, high = _rounded(found.low), _rounded(found.high)
    return low if low == high else f"{low} to {high}"


def percent(share: Interval) -> str:
    """Least to most of a whole, in per cent."""
    return spanned(Interval(100 * share.low, 100 * share.high))


def _rounded(value: float) -> str:
    """Without decimals, and without a minus before nothing."""
    return f"{round(value) + 0:d}"


def remarks(loads: Loads) -> Iterator[str]:
    """What the figures rest on, supports that are pulled, and the rules of thumb for cantilevers."""
    yield from _force(loads.force)
    yield "Minus: the implant is pulled, not pressed."
    yield mucosa(loads.arch)
    if loads.spread_mm is not None:
        yield (
            f"Spread of the supports from front to back: {loads.spread_mm:.1f} mm. Shown, not judged: rules that "
            "multiply it were written for fixed work and never validated prospectively (Walter and Greenstein, J Am "
            "Dent Assoc 2020;151:790-795)."
        )
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


def mucosa(arch: Arch) -> str:
    """The stiffness that the shared load rests on, and how each figure of it is known."""
    areas = BASE_AREA_MM2[f"{arch}-bearing"], BASE_AREA_MM2[arch]
    return (
        f"Mucosa under the base: {band(whole_base_n_per_mm(arch))} N/mm, from {_measured('modulus', MODULUS_MPA)}; "
        f"{_measured('thickness', THICKNESS_MM[arch])}; {_measured('area', areas[0])}, or {_measured('', areas[1])}. "
        f"Supports {band(SUPPORT_RATIO.interval)} times as stiff ({figure(SUPPORT_RATIO)})."
    )


def _measured(name: str, found: Sourced) -> str:
    return f"{name} {band(found.interval)} {found.unit} ({figure(found)})".strip()


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
    """One figure where both ends agree; three digits, or all before the point."""
    low, high = (f"{end:.0f}" if end >= 100 else f"{end:.3g}" for end in found)
    return low if low == high else f"{low} to {high}"
