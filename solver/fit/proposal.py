"""A mix as a person proposes it: `clip-round-metal-5 x2 + deepen-undercut` at a site."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable
from dataclasses import dataclass

from solver.fit.bench import LEFT_BARE, SiteFit
from solver.fit.candidate import Candidate

_PUT = re.compile(
    r"\s*(?P<attachment>[a-z0-9][a-z0-9.-]*?)(?:\s*x\s?(?P<count>[1-9]))?\s*(?P<reworks>(?:\+\s*[a-z0-9.-]+\s*)*)"
)

NONE = "none"
"""In place of a rework: none at all, though one might fit better."""
LONGEST = 500
"""Characters of a proposal; a longer text is a slip, and is not repeated in the message."""


@dataclass(frozen=True, slots=True)
class Put:
    """What is put at a site; `reworks` None leaves them to the best fit, an empty one means none."""

    attachment: str
    count: int = 1
    reworks: tuple[str, ...] | None = None


class BadPut(Exception):
    """A proposal that names nothing that can be put there; `problem` and `advice` as in a file's mistake."""

    def __init__(self, problem: str, advice: str) -> None:
        super().__init__(problem, advice)
        self.problem, self.advice = problem, advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}"


def read_put(text: str) -> Put:
    """`attachment`, `attachment x2` (or `attachmentx2`), `attachment + rework` or `+ none`; raises `BadPut`."""
    if len(text) > LONGEST:
        raise BadPut(f"{len(text)} characters are no proposal", "write `attachment`, `attachment x2` or the like")
    found = _PUT.fullmatch(text)
    if found is None:
        raise BadPut(f"'{text}' is no proposal", "write `attachment`, `attachment x2` or `attachment + rework`")
    reworks = tuple(name.strip() for name in found["reworks"].split("+")[1:])
    return Put(found["attachment"], int(found["count"] or 1), () if reworks == (NONE,) else reworks or None)


def written(candidate: Candidate) -> str:
    """A candidate as a proposal that means it and no other."""
    return candidate.label if candidate.extra_reworks else f"{candidate.label} + {NONE}"


def candidate_for(put: Put, fit: SiteFit) -> Candidate:
    """The candidate meant, usable or not: with the reworks named, else those that fit best at least cost."""
    site, every = fit.site, [c for c in fit.every if c.attachment.id != LEFT_BARE]
    same = [c for c in every if c.attachment.id == put.attachment]
    if not same:
        raise BadPut(f"'{put.attachment}' cannot go on {site.kind} {site.id}", _known(put.attachment, every))
    counted = [c for c in same if c.count == put.count]
    if not counted:
        most = max(c.count for c in same)
        raise BadPut(f"{put.count} of '{put.attachment}' on {site.id}", f"at most {most} on one {site.kind}")
    matching = [c for c in counted if put.reworks is None or _is_meant(c, frozenset(put.reworks))]
    if not matching:
        offered = "; ".join(sorted(" + ".join(r.id for r in c.extra_reworks) or "no rework" for c in counted))
        raise BadPut(f"'{put.attachment}' is not tried with those reworks on {site.id}", f"tried: {offered}")
    return min(matching, key=lambda c: (c.verdict, len(c.waived), len(c.questions), c.cost.high, c.key))


def _is_meant(candidate: Candidate, named: frozenset[str]) -> bool:
    """The reworks named, whether or not the steps that go with them by themselves are named as well."""
    extra, every = ({r.id for r in reworks} for reworks in (candidate.extra_reworks, candidate.reworks))
    return extra <= named <= every


def _known(name: str, every: Iterable[Candidate]) -> str:
    names = list(dict.fromkeys(c.attachment.id for c in every))
    close = difflib.get_close_matches(name, names, n=1)
    if close:
        return f"did you mean `{close[0]}`?"
    return "see `regrip catalogue list`"
