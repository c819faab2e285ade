"""The cautions that go with a plan: what can hurt, and who decides. Codes and sites here, words in the report."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from itertools import chain

from catalogue.models import Catalogue
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.handbook.sourced import Interval
from solver.mechanics.bar_bending import Bent


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
    BAR_CRACKS = "bar-cracks"
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


def cautions(
    case: Case, catalogue: Catalogue, mix: Sequence[Candidate], bar: Sequence[Bent] = ()
) -> tuple[Caution, ...]:
    """Everything to be careful of with this mix, which bends the bar so; the last is always who decides."""
    return (*_hazards(case, catalogue, mix), *_bar_strength(bar), *_worded(mix), Caution(Hazard.DECIDES))


def _bar_strength(bar: Sequence[Bent]) -> Iterator[Caution]:
    """What is more likely than not to bend for good, and of the rest what is to crack with the years."""
    if bends := [each for each in bar if each.bends]:
        yield Caution(Hazard.BAR_BENDS, tuple(each.site for each in bends), "; ".join(map(_bends, bends)))
    if cracks := [each for each in bar if each.cracks and not each.bends]:
        yield Caution(Hazard.BAR_CRACKS, tuple(each.site for each in cracks), "; ".join(map(_cracks, cracks)))


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
    return _against(found.site, found.stress_mpa, found.proof_mpa)


def _cracks(found: Bent) -> str:
    return _against(found.site, found.chewing_mpa, found.lasting_mpa)


def _against(site: str, stress: Interval | None, bears: Interval) -> str:
    put = f"{stress.low:.0f} to {stress.high:.0f}" if stress else "?"
    return f"{site} {put} of {bears.low:.0f} to {bears.high:.0f} MPa"


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
