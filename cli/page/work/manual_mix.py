"""What is put by hand at a site, and the ways to do it: with which reworks, at what cost, and whether it fits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import NamedTuple

from cli.page.work.case_words import Voice
from solver.choose.check import Checked
from solver.fit.candidate import Candidate
from solver.fit.needs import Verdict
from solver.fit.proposal import read_put, written


class Way(NamedTuple):
    """A proposal as the file has it, in words, and whether it is the one that stands."""

    put: str
    told: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class Fitted:
    """A site with what is put there; `ways` are empty where there is but one."""

    site: str
    candidate: Candidate
    ways: tuple[Way, ...]


def fitted(checked: Checked, voice: Voice) -> tuple[Fitted, ...]:
    """Every site of a mix put by hand."""
    return tuple(Fitted(c.site.id, c, tuple(_ways(checked, c, voice))) for c in checked.plan.mix)


def _ways(checked: Checked, candidate: Candidate, voice: Voice) -> Iterator[Way]:
    """Left to the best fit, then with every set of reworks that gains something, the cheapest first."""
    site, same = candidate.site.id, (candidate.attachment.id, candidate.count)
    every = [c for c in checked.problem.fit.at(site).every if (c.attachment.id, c.count) == same]
    if len(every) < 2:
        return
    named = read_put(voice.desk.case.mix[site]).reworks is not None
    count = f" x{candidate.count}" if candidate.count > 1 else ""
    yield Way(candidate.attachment.id + count, "as fits best", not named)
    for one in sorted(every, key=lambda c: (c.cost.high, c.key)):
        yield Way(written(one), _told(one, voice), named and one is candidate)


def _told(candidate: Candidate, voice: Voice) -> str:
    reworks = " and ".join(rework.name for rework in candidate.extra_reworks) or "no rework"
    return f"{reworks}, {voice.cost(candidate.cost)}{_JUDGED[candidate.verdict]}"


_JUDGED: Mapping[Verdict, str] = {
    Verdict.HOLDS: "", Verdict.ASK: ", hangs on a question", Verdict.SHORT: ", falls short",
    Verdict.FAILS: ", does not fit",
}  # fmt: skip
