"""The cautions that go with a plan: what can hurt, and who decides. Codes and sites here, words in the report."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import chain

from catalogue.models import Catalogue
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.mechanics.bar_bending import Bent, overbent


class Hazard(Enum):
    """Kinds of caution."""

    MAGNET_SCAN = "magnet-scan"
    SMALL_PARTS = "small-parts"
    METALS = "metals"
    UPPER_JAW = "upper-jaw"
    FEW_SUPPORTS = "few-supports"
    BRUXISM = "bruxism"
    BAR_CUT = "bar-cut"
    BAR_OFF = "bar-off"
    BAR_BENDS = "bar-bends"
    NO_DENTURE = "no-denture"
    DENTURE_CRACKED = "denture-cracked"
    HOUSINGS = "housings"
    OPEN_PALATE = "open-palate"
    INVENTED = "invented"
    DECIDES = "decides"


@dataclass(frozen=True, slots=True)
class Caution:
    """One caution; `sites` where it stands, `text` where the catalogue words it."""

    hazard: Hazard | None
    sites: tuple[str, ...] = ()
    text: str = ""


def cautions(case: Case, catalogue: Catalogue, mix: Sequence[Candidate]) -> tuple[Caution, ...]:
    """Everything to be careful of with this mix; the last is always who decides."""
    return (*_hazards(case, catalogue, mix), *_worded(mix), Caution(Hazard.DECIDES))


def _hazards(case: Case, catalogue: Catalogue, mix: Sequence[Candidate]) -> Iterator[Caution]:
    if magnets := [c for c in mix if c.attachment.magnetic]:
        yield Caution(Hazard.MAGNET_SCAN, _at(magnets))
    if any(c.parts for c in mix):
        yield Caution(Hazard.SMALL_PARTS)
    if with_metal := [c for c in mix if c.attachment.metals]:
        yield Caution(
            Hazard.METALS, _at(with_metal), ", ".join(sorted({m for c in mix for m in c.attachment.metals}))
        )
    if case.arch == "upper":
        yield Caution(Hazard.UPPER_JAW)
    if case.arch == "upper" and len(case.supports) < 4:
        yield Caution(Hazard.FEW_SUPPORTS)
    if case.patient.bruxism != "no":
        yield Caution(Hazard.BRUXISM)
    yield from _bar_work(mix)
    if found := overbent(case, catalogue.defaults, mix):
        yield Caution(Hazard.BAR_BENDS, tuple(each.site for each in found), "; ".join(map(_bends, found)))
    yield from _of_the_denture(case, mix)
    kinds = {catalogue.sources[c.attachment.price.source].kind for c in mix}
    if case.invented or "invented" in kinds:
        yield Caution(Hazard.INVENTED)


def _bar_work(mix: Sequence[Candidate]) -> Iterator[Caution]:
    if cut := [c for c in mix if "cut_bar" in c.permissions]:
        yield Caution(Hazard.BAR_CUT, _at(cut))
    if bar_off := [c for c in mix if c.takes_bar_off]:
        yield Caution(Hazard.BAR_OFF, _at(bar_off))


def _of_the_denture(case: Case, mix: Sequence[Candidate]) -> Iterator[Caution]:
    """What is to be done about the denture before parts are picked up in it."""
    denture = case.denture
    if not any(c.parts for c in mix):
        return
    missing = denture.state in ("lost", "none")
    if missing:
        yield Caution(Hazard.NO_DENTURE)
    if denture.state == "cracked":
        yield Caution(Hazard.DENTURE_CRACKED)
    if not missing and denture.housings == "yes":
        yield Caution(Hazard.HOUSINGS)
    if case.arch == "upper" and denture.palate != "covered" and (alone := [c for c in mix if c.takes_bar_off]):
        yield Caution(Hazard.OPEN_PALATE, _at(alone))


def _bends(found: Bent) -> str:
    stress, proof = found.stress_mpa, found.proof_mpa
    return f"{found.site} {stress.low:.0f} to {stress.high:.0f} of {proof.low:.0f} to {proof.high:.0f} MPa"


def _at(mix: Sequence[Candidate]) -> tuple[str, ...]:
    return tuple(candidate.site.id for candidate in mix)


def _worded(mix: Sequence[Candidate]) -> Iterator[Caution]:
    """The catalogue's own cautions, each once with all its sites."""
    sites: dict[str, list[str]] = {}
    for candidate in mix:
        own = (candidate.attachment.cautions, *(rework.cautions for rework in candidate.reworks))
        for text in chain.from_iterable(own):
            sites[text] = [*dict.fromkeys([*sites.get(text, []), candidate.site.id])]
    for text, where in sites.items():
        yield Caution(None, tuple(where), text)
