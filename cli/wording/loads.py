"""The load on the supports of a plan, in words: what the figures rest on, and how each is known."""

from __future__ import annotations

from collections.abc import Iterator

from solver.assess.loads import CantileverEnd, Loads
from solver.case.bite_force import BiteForce
from solver.handbook.alloys import FATIGUE_SHARE, HOLE_NOTCH, NOTCH
from solver.handbook.mucosa import (
    BASE_AREA_MM2,
    CHEWING_N,
    MODULUS_MPA,
    SIDEWAYS_SHARE,
    SUPPORT_RATIO,
    SUPPORT_TURN_MM2,
    THICKNESS_MM,
    whole_base_n_per_mm,
)
from solver.handbook.sourced import Interval, Place, Sourced
from solver.handbook.support_spread import CantileverNote
from solver.handbook.teeth import Arch

BITE = {"left": "left", "right": "right", "both": "both sides", "front": "front"}


def spanned(found: Interval) -> str:
    """Least to most in whole numbers."""
    low, high = rounded(found.low), rounded(found.high)
    return low if low == high else f"{low} to {high}"


def percent(share: Interval) -> str:
    """Least to most of a whole, in per cent."""
    return spanned(Interval(100 * share.low, 100 * share.high))


def rounded(value: float) -> str:
    """Without decimals, and without a minus before nothing."""
    return f"{round(value) + 0:d}"


def remarks(loads: Loads) -> Iterator[str]:
    """What the figures rest on, supports that are pulled, and the rules of thumb for cantilevers."""
    yield from _force(loads.force)
    yield "Minus: the implant is pulled, not pressed."
    yield sideways()
    yield mucosa(loads.arch)
    if loads.bar:
        yield strength()
    if loads.spread_mm is not None:
        yield (
            f"Spread of the supports from front to back: {loads.spread_mm:.1f} mm. Shown, not judged: rules that "
            "multiply it were written for fixed work and never validated prospectively (Walter and Greenstein, J Am "
            "Dent Assoc 2020;151:790-795)."
        )
    yield from (_cantilever(end, note) for end in loads.cantilevers for note in end.notes)


def sideways() -> str:
    """What comes across the supports besides, and how it is known."""
    share = percent(SIDEWAYS_SHARE.interval)
    return (
        f"Sideways comes {share} % of the force along an implant, as measured elsewhere ({figure(SIDEWAYS_SHARE)})."
    )


def strength() -> str:
    """How the stress of the bar is worked out, and how each figure of it is known."""
    chewing, lasting = band(CHEWING_N.interval), percent(FATIGUE_SHARE.interval)
    return (
        "Bar: bent by its parts, at its strongest on supports that hold it against turning "
        f"({figure(SUPPORT_TURN_MM2)}) and at its weakest free to turn on them. Chewing with {chewing} N "
        f"({figure(CHEWING_N)}). It lasts below {lasting} % of its proof stress ({figure(FATIGUE_SHARE)}), divided "
        f"by {band(NOTCH.interval)} at a collar ({figure(NOTCH)}) or {band(HOLE_NOTCH.interval)} at a hole "
        f"({figure(HOLE_NOTCH)})."
    )


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
