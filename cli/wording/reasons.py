"""Why attachments are out, grouped: what is out for the same reason stands together."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from cli.wording import rules as rule_words
from cli.wording import words
from cli.wording.numbers import Figures
from solver.assess.rejections import RuledOut
from solver.case.measure import Measure
from solver.case.rules import Moves
from solver.choose.check import Refusal
from solver.fit.needs import Judgement, Verdict

OF_THE_PATIENT = frozenset({"metals", "scans", "grinding"})
"""Needs that tell something of the patient."""
LEFT_OUT = "left out"
_DECIMAL = re.compile(r"(?<![\w.])\d+\.(\d+)(?![\w.])")


class Ground(NamedTuple):
    """One reason as written; `source` is a key of the catalogue, `case` or `mechanics`."""

    need: str
    have: str
    want: str
    short: str
    source: str


@dataclass(frozen=True, slots=True)
class Reason:
    """A reason with the attachments that it rules out, by the sites where it does."""

    ground: Ground
    out: tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]


def reasons(out: Sequence[RuledOut], figures: Figures, *, redacted: bool) -> tuple[Reason, ...]:
    """The gravest reason of every attachment that is out."""
    found: dict[Ground, dict[str, list[str]]] = {}
    for entry in out:
        sites = found.setdefault(_gravest(entry, figures, redacted), {})
        sites.setdefault(entry.candidate.attachment.id, []).append(entry.candidate.site.id)
    return tuple(Reason(ground, _by_sites(sites)) for ground, sites in found.items())


def refused(found: Sequence[Refusal], figures: Figures, *, redacted: bool) -> tuple[Reason, ...]:
    """Every need that fails for good where a mix was put by hand."""
    return tuple(
        Reason(_judged(r.judgement, figures, redacted), (((r.candidate.site.id,), (r.candidate.attachment.id,)),))
        for r in found
    )


def _by_sites(found: dict[str, list[str]]) -> tuple[tuple[tuple[str, ...], tuple[str, ...]], ...]:
    grouped: dict[tuple[str, ...], list[str]] = {}
    for attachment, sites in found.items():
        grouped.setdefault(tuple(sites), []).append(attachment)
    return tuple((sites, tuple(ids)) for sites, ids in grouped.items())


def _gravest(entry: RuledOut, figures: Figures, redacted: bool) -> Ground:
    if entry.judgements:
        judged = min(entry.judgements, key=lambda j: (-j.verdict, j.unit != "", -j.short_by))
        return _judged(judged, figures, redacted)
    if entry.rules:
        return Ground(*rule_words.closed(entry.rules[0]), "case")
    if entry.binds is None:
        return Ground("", "", "", "", "")
    rule, reach = entry.binds
    stops = "; ".join(dict.fromkeys(words.motion(stop) for stop in reach.stops[:2]))
    have = f"reach {figures.number(reach.reach, 2)}: {stops}"
    return Ground(
        words.demand(rule.demand),
        have,
        figures.plain(rule.share) if isinstance(rule, Moves) else "parts that agree",
        "",
        "mechanics",
    )


def _judged(judged: Judgement, figures: Figures, redacted: bool) -> Ground:
    if redacted and judged.of in OF_THE_PATIENT:
        return Ground("of the patient", LEFT_OUT, LEFT_OUT, "", "case")
    short = f"{figures.plain(judged.short_by)} {judged.unit}" if judged.short_by else ""
    have = have_of(judged, figures)
    return Ground(
        judged.label,
        have,
        relocated(judged.want, figures),
        "ask" if judged.verdict is Verdict.ASK else short,
        judged.source,
    )


def have_of(judged: Judgement, figures: Figures) -> str:
    """What is there, with its unit."""
    if isinstance(judged.have, Measure) and judged.have.known:
        return f"{figures.measure(judged.have)} {judged.unit}"
    return str(judged.have)


def relocated(text: str, figures: Figures) -> str:
    """A sentence of ours with its decimals written as the locale has them; names and whole numbers stay."""
    return _DECIMAL.sub(lambda number: figures.number(float(number[0]), len(number[1])), text)
