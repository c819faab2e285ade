"""A candidate: one attachment in a count, at one site, with the reworks that make it fit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from catalogue.blocks import Permission
from catalogue.models import Attachment, Rework
from solver.judge import Judgement, Verdict
from solver.money import Cost
from solver.sites import Site


class Question(NamedTuple):
    """A fact that must be known before work starts."""

    site: str
    of: str


class Waived(NamedTuple):
    """A need that a person would have to live with."""

    site: str
    of: str


@dataclass(frozen=True, eq=False)
class Candidate:
    """What could be done at a site, judged and priced. Retention counts all its parts, N."""

    site: Site
    attachment: Attachment
    count: int
    reworks: tuple[Rework, ...]
    judgements: tuple[Judgement, ...]
    cost: Cost

    @cached_property
    def key(self) -> str:
        """Unique and stable: site, attachment, count and reworks."""
        return f"{self.site.id}={self.label}"

    @cached_property
    def label(self) -> str:
        """`attachment xN + rework + rework`."""
        count = f" x{self.count}" if self.count > 1 else ""
        return self.attachment.id + count + "".join(f" + {r.id}" for r in self.extra_reworks)

    @property
    def extra_reworks(self) -> tuple[Rework, ...]:
        """Reworks other than the steps that always go with the attachment, or with another rework."""
        brought = {*self.attachment.steps, *(step for rework in self.reworks for step in rework.steps)}
        return tuple(r for r in self.reworks if r.id not in brought)

    @cached_property
    def verdict(self) -> Verdict:
        """The worst verdict of all its needs."""
        return max((j.verdict for j in self.judgements), default=Verdict.HOLDS)

    @cached_property
    def questions(self) -> tuple[Question, ...]:
        """What must be asked before it can be relied on."""
        asked = dict.fromkeys(j.of for j in self.judgements if j.verdict is Verdict.ASK)
        return tuple(Question(self.site.id, of) for of in asked)

    @cached_property
    def waived(self) -> tuple[Waived, ...]:
        """Needs that are short by an amount a person may accept."""
        short = dict.fromkeys(j.of for j in self.judgements if j.verdict is Verdict.SHORT)
        return tuple(Waived(self.site.id, of) for of in short)

    @cached_property
    def permissions(self) -> tuple[Permission, ...]:
        """Kinds of work that the case must allow."""
        return tuple(sorted({p for rework in self.reworks for p in rework.permissions}))

    @cached_property
    def charges(self) -> tuple[str, ...]:
        """Reworks paid once a case."""
        return tuple(r.id for r in self.reworks if r.once)

    @property
    def harms_bar(self) -> bool:
        """True where a sound bar is cut for it."""
        return any(rework.harms_bar for rework in self.reworks)

    @property
    def low_n(self) -> float:
        """Retention to count on."""
        return self.count * self.attachment.retention_n.low

    @property
    def high_n(self) -> float:
        """Retention that a hand may have to overcome."""
        return self.count * self.attachment.retention_n.high

    @property
    def parts(self) -> int:
        """Pieces to order."""
        return 0 if self.attachment.kind == "bare" else self.count

    @property
    def takes_bar_off(self) -> bool:
        """True where it sits on a support that the bar has left."""
        return self.site.kind == "support"
