"""Which kinds of attachment cannot be used at all, each with what its nearest variant lacks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cli.wording import words
from cli.wording.places import listed
from cli.wording.rules import closed
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut
from solver.case.rules import NoFight
from solver.fit.needs import Verdict

KINDS = {"clip": "clips", "ball": "balls", "stud": "studs", "magnet": "magnets", "lining": "a lining"}


def left_out(problem: Problem, out: Sequence[RuledOut], *, bar_off: bool) -> Iterator[str]:
    """`studs (bar width 1.8 mm, needs at least 4 mm)` for every kind that nothing of can be used on the bar.

    With the bar off the implants take its place.
    """
    here = [fit for fit in problem.fit.sites if (fit.site.kind == "support") == bar_off]
    closed_at = {(entry.candidate.site.id, entry.candidate.attachment.id): entry for entry in out}
    tried = [(fit.site.id, candidate.attachment) for fit in here for candidate in fit.every]
    usable = {attachment.kind for site, attachment in tried if (site, attachment.id) not in closed_at}
    by_ground: dict[str, list[str]] = {}
    for kind, name in KINDS.items():
        entries = [
            closed_at[site, attachment.id]
            for site, attachment in tried
            if attachment.kind == kind and kind not in usable
        ]
        if entries:
            by_ground.setdefault(_ground(min(entries, key=_distance)), []).append(name)
    for ground, names in by_ground.items():
        yield f"{listed(names)} ({ground})"


def _distance(entry: RuledOut) -> tuple[int, int, int, int, float, str]:
    """A part for another kind of bar is farthest; then the more needs fail, the more are short, by the more."""
    fails = [j for j in entry.judgements if j.verdict is Verdict.FAILS]
    other_kind = sum(1 for j in fails if not j.unit)
    short = len(entry.judgements) - len(fails)
    missing = sum(j.short_by for j in entry.judgements)
    return other_kind, len(fails), short, len(entry.rules), missing, entry.candidate.key


def _ground(entry: RuledOut) -> str:
    if entry.judgements:
        worst = min(entry.judgements, key=lambda j: (-j.verdict, j.unit != "", -j.short_by))
        return f"{worst.label} {words.have(worst)}, needs {worst.want}"
    if entry.rules:
        need, have, _, _ = closed(entry.rules[0])
        return f"{need}: {have}"
    fights = entry.binds is not None and isinstance(entry.binds[0], NoFight)
    return "their own parts fight" if fights else "they hold the base fast"
