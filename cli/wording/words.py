"""Sentences for the facts that solver answers with. Nothing is decided here."""

from __future__ import annotations

from collections.abc import Sequence
from typing import get_args

from babel.numbers import format_decimal

from catalogue.blocks import Permission, Source, SourceKind
from catalogue.quantities import QUANTITIES
from solver.assess.assessment import Status
from solver.assess.cautions import Caution, Hazard
from solver.assess.problem import Least
from solver.case.measure import Measure
from solver.case.money import Cost, major
from solver.case.schema import BITE, DemandName
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import STRENGTH, Judgement, Verdict
from solver.mechanics.freedom import Level
from solver.mechanics.hold import TippingLine
from solver.mechanics.movement import Stop
from solver.mechanics.placement import Component

STATUS = {
    Status.FITS: "fits",
    Status.FITS_IF: "should fit; answers are still needed",
    Status.TOO_LITTLE_KNOWN: "too little is known to say",
    Status.RELAXED: "fits only if something is given up",
    Status.NONE: "does not fit",
    Status.UNDECIDED: "undecided in the time given",
}
JUDGED = {
    Verdict.HOLDS: "every need holds",
    Verdict.ASK: "something must be asked or measured",
    Verdict.SHORT: "short by what a person could accept",
    Verdict.FAILS: "cannot be",
}
DEMAND = {
    "whole": "the whole base settles",
    "front": "bite at the front",
    "left": "bite on the left",
    "right": "bite on the right",
}
PULL = {
    "centre": "at the centre",
    "left": "on the left",
    "right": "on the right",
    "front": "at the front",
    "behind": "behind, on both sides at once",
}
LEVEL = {
    Level.NONE: "PM-0: no movement",
    Level.HINGE: "PM-2: hinge",
    Level.HINGE_AND_APICAL: "PM-3: hinge and apical",
    Level.FOUR_DIRECTIONS: "PM-4: can settle, hinge and tip",
    Level.ALL: "PM-6: all directions",
}
SOURCE_KINDS: tuple[SourceKind, ...] = get_args(SourceKind)
PERMISSION: dict[Permission, str] = {
    "send_out": "sending work out",
    "weld": "welding",
    "cut_bar": "cutting the bar",
    "bar_off": "taking the bar off",
    "new_bar": "making a new bar",
}
MOTION: dict[Component, str] = {
    "slide": "sliding along the bar",
    "sideways": "sideways movement",
    "vertical": "vertical movement",
    "hinge": "rotation about the bar",
    "tip": "tipping along the bar",
    "turn": "turning about the path of insertion",
}
"""A local direction of a part, whichever way."""
_MOTION = {
    ("slide", 1): "slide along the bar",
    ("slide", -1): "slide along the bar",
    ("sideways", 1): "sideways movement",
    ("sideways", -1): "sideways movement",
    ("vertical", 1): "upward play",
    ("vertical", -1): "downward movement",
    ("hinge", 1): "rotation about the bar",
    ("hinge", -1): "rotation about the bar",
    ("tip", 1): "tipping along the bar",
    ("tip", -1): "tipping along the bar",
    ("turn", 1): "turning about the path of insertion",
    ("turn", -1): "turning about the path of insertion",
}
_HAZARD = {
    Hazard.MAGNET_SCAN: "Magnets: the denture comes out before any magnetic resonance scan, and radiology is told of "
    "the keepers that stay in the mouth.",
    Hazard.SMALL_PARTS: "Small parts can be swallowed or inhaled: secure them while working and show the patient "
    "what a loose part looks like.",
    Hazard.METALS: "Metals in the mouth: {text}. Ask for sensitivities before ordering.",
    Hazard.UPPER_JAW: "Upper jaw: bone is commonly taken as about half as dense as in the lower jaw (common "
    "practice, no source); keep the supports splinted where possible.",
    Hazard.FEW_SUPPORTS: "Fewer than four upper supports: reported loss of overdenture implants is about three times "
    "as high (Kern et al. 2016, read in abstract).",
    Hazard.BRUXISM: "Grinding is expected or not ruled out: parts wear sooner, and weak implants carry more.",
    Hazard.BAR_CUT: "Cutting weakens the bar: measure the section that is left before the step and after it.",
    Hazard.BAR_OFF: "With the bar off each implant carries its own load: check mobility and bone of each first.",
    Hazard.BAR_BENDS: "Under a full bite the bar would likely bend for good: {text} of proof stress. An estimate "
    "from sizes and alloy; check both before you rely on it.",
    Hazard.BAR_CRACKS: "Chewing may crack the bar with the years: {text}, what lasts at a collar or a hole. An "
    "estimate with fatigue limit and notch from memory; look for cracks there at each visit.",
    Hazard.NO_DENTURE: "There is no denture: one is made first, and neither its price nor its minutes are counted.",
    Hazard.DENTURE_CRACKED: "The base is cracked: find out why, repair it and stiffen it with metal where it broke "
    "before parts are picked up in it.",
    Hazard.HOUSINGS: "Housings of the old parts are still in the denture: try a new insert in them first; where it "
    "holds, neither housing nor pick-up is needed.",
    Hazard.OPEN_PALATE: "Implants that stand alone in an upper jaw are spared by a base that covers the palate "
    "(common practice, no source).",
    Hazard.INVENTED: "Prices and minutes are invented figures: put in your own before quoting a patient.",
    Hazard.DECIDES: "The makers' instructions, local rules and the licensed clinician decide; this sheet advises.",
}
_ASKED = {
    "scans_expected": ("magnetic scans expected", "ask the patient"),
    "top_mm": ("height of the bar above the ridge", "crest of the ridge to the top of the bar, ball or platform"),
    "force_n": (BITE.label, BITE.how),
}
"""What is asked for beside the quantities of a site, and how it is found out."""
_WHOLE = {"room": "whole case", "patient": "patient", "bite": "patient", "bar": "the bar", "denture": "the denture"}
"""Who or what is asked where it is no site."""


def money(minor: int, digits: int) -> str:
    """An amount without its currency, with all its decimals."""
    return str(
        format_decimal(major(minor, digits), format=f"#,##0.{'0' * digits}" if digits else "#,##0", locale="en")
    )


def cost(band: Cost, digits: int) -> str:
    """A cost band; one figure where both ends agree."""
    low, high = money(band.low, digits), money(band.high, digits)
    return low if low == high else f"{low} to {high}"


def over(least: Least, years: int) -> str:
    """Which cost is meant, where it is not that of fitting."""
    return "" if least == "now" else f" over {years} years"


def newtons(value: float) -> str:
    """A force with one decimal."""
    return f"{value:.1f} N"


def site_name(candidate: Candidate) -> str:
    """`segment A`."""
    return f"{candidate.site.kind} {candidate.site.id}"


def mix(candidates: Sequence[Candidate]) -> str:
    """`A clip-x, L ball-y`, or that nothing is fitted."""
    return ", ".join(f"{c.site.id} {c.label}" for c in candidates) or "nothing fitted"


def have(judgement: Judgement) -> str:
    """What is there, with its unit."""
    if isinstance(judgement.have, Measure) and judgement.have.known:
        return f"{judgement.have} {judgement.unit}"
    return str(judgement.have)


def short(judgement: Judgement) -> str:
    """By how much a need is missed."""
    if judgement.verdict is Verdict.ASK:
        return "ask"
    return f"{judgement.short_by:.2f} {judgement.unit}" if judgement.short_by else ""


def stop(found: Stop) -> str:
    """`A: downward movement`."""
    return f"{found.site}: {motion(found)}"


def motion(found: Stop) -> str:
    """The motion that is at its limit."""
    return _MOTION[found.component, found.sign]


def question(asked: Question) -> str:
    """What to find out, where, and how."""
    label, how = _ASKED.get(asked.of) or (QUANTITIES[asked.of].label, QUANTITIES[asked.of].how)
    on_each = ", on each of them" if len(asked.places) > 1 else ""
    return f"{where(asked)}: {label}{on_each}? {how[:1].upper()}{how[1:]}."


def asked(question: Question) -> str:
    """What to find out and where, in short."""
    return f"{where(question)}: {quantity(question.of)}"


def where(question: Question) -> str:
    """The sites that a question is about, else who or what is asked."""
    first, *rest = question.places[0]
    if first == "reworks":
        return f"after {rest[0]}"
    return ", ".join(question.sites) or _WHOLE[first]


def caution(entry: Caution) -> str:
    """A caution as a sentence, with its sites."""
    sites = f" ({', '.join(entry.sites)})" if entry.sites else ""
    text = entry.text if entry.hazard is None else _HAZARD[entry.hazard].format(text=entry.text)
    return text + (sites if entry.hazard not in (Hazard.METALS, Hazard.BAR_BENDS, Hazard.BAR_CRACKS) else "")


def quantity(of: str) -> str:
    """The name of what is measured or asked."""
    if of == STRENGTH:
        return "bar strength"
    return _ASKED[of][0] if of in _ASKED else QUANTITIES[of].label if of in QUANTITIES else of


def unit(of: str) -> str:
    """The unit of what is measured; heights are lengths like all others."""
    return {"force_n": BITE.unit, "top_mm": "mm"}.get(of) or QUANTITIES[of].unit


def demand(name: DemandName) -> str:
    """A demand in words."""
    return DEMAND[name]


def remeasure(candidate: Candidate) -> list[str]:
    """What measuring or asking would settle."""
    return [f"measure or ask: {question(asked)}" for asked in candidate.questions]


def source(found: Source) -> str:
    """A source with its kind and how it is known."""
    known = f" ({found.known})" if found.known else ""
    return f"{found.kind}: {found.text}{known}"


def tipping(line: TippingLine | None) -> str:
    """The line a denture tips about: how far from the origin, and which way it runs."""
    if line is None:
        return "comes straight out"
    x, y = line.foot
    across = abs(line.direction.x_mm) > abs(line.direction.y_mm)
    return f"a line {'across' if across else 'along'} the jaw past ({x:z.0f}, {y:z.0f}) mm"
