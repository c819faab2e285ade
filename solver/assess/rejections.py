"""What was considered and ruled out, and by what: one entry per attachment and site."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.rules import Moves, NoFight, NotAllowed, Unsplint
from solver.fit.bench import SiteFit
from solver.fit.candidate import Candidate
from solver.fit.needs import Judgement, Verdict
from solver.mechanics.movement import Reach
from solver.mechanics.option import Option


@dataclass(frozen=True, slots=True)
class RuledOut:
    """An attachment that cannot be used at a site, in the variant that comes nearest.

    Either needs are not met (`judgements`: failing or short), or work it needs is not allowed or the bar must stay
    (`rules`), or it binds a demand whatever else is fitted (`binds`).
    """

    candidate: Candidate
    judgements: tuple[Judgement, ...] = ()
    rules: tuple[NotAllowed | Unsplint, ...] = ()
    binds: tuple[Moves | NoFight, Reach] | None = None


def ruled_out(problem: Problem, mechanics: Mechanics) -> tuple[RuledOut, ...]:
    """Every attachment that no plan can use without giving something up, site by site."""
    return tuple(entry for fit in problem.fit.sites for entry in _at_site(fit, problem.option_of, mechanics))


def _at_site(fit: SiteFit, options: Mapping[str, Option], mechanics: Mechanics) -> Iterator[RuledOut]:
    by_attachment: dict[str, list[Candidate]] = {}
    for candidate in fit.every:
        by_attachment.setdefault(candidate.attachment.id, []).append(candidate)
    for candidates in by_attachment.values():
        if entry := nearest_miss(candidates, options, mechanics):
            yield entry


def nearest_miss(
    candidates: Sequence[Candidate], options: Mapping[str, Option], mechanics: Mechanics
) -> RuledOut | None:
    """The variant of an attachment that comes nearest, with what is against it; None where a plan may use one."""
    entries = [_why(candidate, options.get(candidate.key), mechanics) for candidate in candidates]
    known = [entry for entry in entries if entry is not None]
    return min(known, key=_nearness) if known and len(known) == len(entries) else None


def _why(candidate: Candidate, option: Option | None, mechanics: Mechanics) -> RuledOut | None:
    """Why a candidate is out, or None where a plan may use it."""
    bad = tuple(j for j in candidate.judgements if j.verdict >= Verdict.SHORT)
    closed: tuple[NotAllowed | Unsplint, ...] = ()
    if option:
        closed = tuple(r for r in option.needs_waived if isinstance(r, NotAllowed))
        closed += tuple(r for r in mechanics.rules if isinstance(r, Unsplint) and candidate.takes_bar_off)
    if bad or closed:
        return RuledOut(candidate, bad, closed)
    binds = mechanics.binds_alone(option) if option else None
    return RuledOut(candidate, binds=binds) if binds else None


def _nearness(entry: RuledOut) -> tuple[int, int, int, int, str]:
    """Fewest failing needs, then fewest short ones, then fewest permissions, fewest reworks, then the key."""
    fails = sum(1 for j in entry.judgements if j.verdict is Verdict.FAILS)
    return fails, len(entry.judgements) - fails, len(entry.rules), len(entry.candidate.reworks), entry.candidate.key
