"""A candidate: one attachment in a count, at one site, with the reworks that make it fit."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from itertools import takewhile
from typing import NamedTuple

from catalogue.blocks import Permission
from catalogue.models import Attachment, Rework
from solver.case.money import Cost
from solver.case.provenance import Place, Places
from solver.case.sites import Site
from solver.fit.needs import STRENGTH, Judgement, Verdict


class Question(NamedTuple):
    """What must be known before work starts: entries of the case that one answer fills in.

    What a step is to make, which may come out otherwise, is asked under `reworks` instead.
    """

    places: Places

    @property
    def of(self) -> str:
        """What is asked: the last key."""
        return self.places[0][-1]

    @property
    def sites(self) -> tuple[str, ...]:
        """The sites that it is asked of; none where it is asked of the whole case, the patient or a step."""
        return tuple(place[1] for place in self.places if place[0] in ("segments", "ends", "supports"))

    @property
    def of_a_step(self) -> bool:
        """True for how a step comes out: no answer before the work can tell."""
        return self.places[0][0] == "reworks"

    def __str__(self) -> str:
        return ", ".join(".".join(place) for place in self.places)

    @classmethod
    def read(cls, text: str) -> Question:
        """From what `str` makes of it."""
        return cls(tuple(_place(each) for each in text.split(", ")))


def _place(dotted: str) -> Place:
    """Names of steps may have points of their own."""
    first, _, rest = dotted.partition(".")
    name, _, last = rest.rpartition(".")
    return (first, name, last) if name else (first, last)


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
    variant: str = ""
    """Tells it from its namesake under other figures, where both are looked at together; empty in every plan."""

    @cached_property
    def key(self) -> str:
        """Unique and stable: site, attachment, count and reworks."""
        return f"{self.site.id}={self.label}{self.variant}"

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
        asking = (judgement for judgement in self.judgements if judgement.verdict is Verdict.ASK)
        return tuple(dict.fromkeys(question for judgement in asking for question in self.asked_by(judgement)))

    def asked_by(self, judgement: Judgement) -> tuple[Question, ...]:
        """What would settle a need: what the case says of it, or how the step before comes out that makes it."""
        done = takewhile(lambda rework: judgement.of == STRENGTH or rework.id != judgement.step, self.reworks)
        made = {of: rework.id for rework in done for of in rework.makes}
        return tuple(
            Question((("reworks", made[of], of),) if of in made else self.site.places[of])
            for of in judgement.hangs_on or (judgement.of,)
        )

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
    def is_lining(self) -> bool:
        """True for soft silicone over the bar, which stands by no firm part."""
        return self.attachment.kind == "lining"

    @property
    def makes_safe(self) -> bool:
        """True where work leaves a site without an attachment; not where it is left as it is."""
        return self.attachment.kind == "bare" and bool(self.reworks)

    @property
    def takes_bar_off(self) -> bool:
        """True where it sits on a support that the bar has left."""
        return self.site.kind == "support"
