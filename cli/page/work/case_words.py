"""How the page words an answer: the sentences of the commands, with figures as the case writes them."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import chain
from typing import NamedTuple

from cli.files.desk import Desk
from cli.page.form.fields import Field
from cli.page.form.form import cards, strip
from cli.wording import insertion, words
from cli.wording.numbers import Figures
from cli.wording.reasons import relocated
from cli.wording.rules import RuleWords
from cli.wording.strategies import STANDING, WAY
from solver.assess.assessment import Assessment, GivenUp, Status
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.case.rules import Pulls, Rule
from solver.choose.master import Outcome
from solver.choose.plan import Answer
from solver.explore.strategies import Standing, Strategy
from solver.fit.candidate import Candidate, Question
from solver.mechanics.movement import REACH_TOLERANCE, Reach

_BEFORE_UNIT = re.compile(r"(?<=[0-9]) (?=(?:mm|N)\b)")


class Ask(NamedTuple):
    """What to ask: where, in words where no single field says it, and the fields that answer it."""

    where: str
    told: str
    fields: tuple[Field, ...]


@dataclass(frozen=True)
class Voice:
    """The words for one case."""

    desk: Desk
    problem: Problem
    figures: Figures

    @classmethod
    def of(cls, desk: Desk, problem: Problem) -> Voice:
        """For a case, its figures as its locale has them."""
        return cls(desk, problem, Figures.of(desk.case.locale))

    @property
    def currency(self) -> str:
        """Of the case, ISO 4217."""
        return self.desk.case.money.currency

    def cost(self, band: Cost) -> str:
        """A band of money with its currency."""
        return self.figures.cost(band, self.currency, self.problem.purse.digits)

    def money(self, minor: float) -> str:
        """An amount with its currency."""
        return self.figures.money(round(minor), self.currency, self.problem.purse.digits)

    def number(self, value: float, digits: int = 1) -> str:
        """A number with so many decimals."""
        return self.figures.number(value, digits)

    def span(self, low: float, high: float, digits: int = 1) -> str:
        """`5.0 to 12.0`."""
        return self.figures.span(low, high, digits)

    def told(self, sentence: str) -> str:
        """A sentence of ours with its decimals as the case writes them."""
        return relocated(sentence, self.figures)

    def status(self, found: Answer) -> str:
        """The verdict in a few words."""
        return _capital(words.STATUS[found.status])

    def sentence(self, found: Answer) -> str:
        """The plan in one sentence; empty where there is none."""
        if found.best is None:
            return ""
        return ", ".join(f"{self.fitted(c)} on {c.site.id}" for c in found.best.mix) or "Nothing needs to be fitted"

    def proof(self, found: Answer) -> str:
        """How far it is proved."""
        if found.proof.outcome is Outcome.OPTIMAL and found.best:
            return "proved to give up the least" if found.status is Status.RELAXED else "proved: nothing costs less"
        return "proved: nothing fits" if found.proof.outcome is Outcome.INFEASIBLE else "not proved in the time given"

    def fitted(self, candidate: Candidate) -> str:
        """`2 x round clip`."""
        count = f"{candidate.count} \N{MULTIPLICATION SIGN} " if candidate.count > 1 else ""
        return unbroken(f"{count}{candidate.attachment.name}")

    def steps(self, candidate: Candidate) -> list[str]:
        """The reworks that go with it."""
        return [rework.name for rework in candidate.reworks if not rework.once]

    def charges(self, plan: Assessment) -> list[tuple[str, str]]:
        """What is paid once, and what it costs."""
        names = dict.fromkeys(charge for c in plan.mix for charge in c.charges)
        catalogue = self.problem.catalogue
        return [(catalogue.reworks[name].name, self.cost(self.problem.charges[name])) for name in names]

    def empty(self, plan: Assessment) -> list[str]:
        """Sites of the bar where nothing is fitted; those under it only where it comes off."""
        taken = {c.site.id for c in plan.mix}
        off = any(c.takes_bar_off for c in plan.mix)
        return [
            found.site.id
            for found in self.problem.fit.sites
            if found.site.id not in taken and (found.site.kind == "support") == off
        ]

    def asked(self, plan: Assessment, pull: str) -> str:
        """What is asked of a pull; empty where nothing is."""
        asked = (rule.least_n for rule in plan.problem.rules if isinstance(rule, Pulls) and rule.pull == pull)
        return "".join(unbroken(f"{self.number(least)} N") for least in asked)

    def bound(self, plan: Assessment) -> list[Reach]:
        """Demands that are not wholly met."""
        return [reach for reach in plan.reaches if reach.reach < 1 - REACH_TOLERANCE]

    def stops(self, reach: Reach) -> str:
        """What stops a demand."""
        return "; ".join(list(dict.fromkeys(words.stop(stop) for stop in reach.stops))[:3])

    def path(self, plan: Assessment) -> str:
        """The common path of insertion; empty where nothing asks for one."""
        return self.told(_capital(insertion.sentence(plan.insertion))) if plan.insertion else ""

    def given_up(self, entry: GivenUp) -> str:
        """What has to give."""
        return _capital(self.rules.given_up(entry))

    @cached_property
    def rules(self) -> RuleWords:
        """Rules in words, in the figures of the case."""
        return RuleWords.of(self.problem, self.figures)

    def rule(self, rule: Rule) -> str:
        """A rule with its numbers."""
        return self.rules.rule(rule)

    def where(self, rule: Rule) -> str:
        """The field that a rule follows from; empty where there is none."""
        dotted = (".".join(map(str, loc)) for loc in rule.origins(self.desk.case))
        return next((at for at in dotted if at in self.fields), "")

    def asks(self, plan: Assessment) -> list[Ask]:
        """The open questions, each with the fields that its answer fills in."""
        return [self._ask(question) for question in plan.questions]

    def _ask(self, question: Question) -> Ask:
        at = (".".join(place) for place in question.places)
        fields = tuple(self.fields[one] for one in at if one in self.fields)
        told = "" if len(fields) == 1 else words.question(question)
        return Ask(_capital(words.where(question)), told, fields)

    @cached_property
    def fields(self) -> Mapping[str, Field]:
        """Every field of the form by its place."""
        data = self.desk.document.data
        groups = strip(data, self.figures)
        sites = cards(data, self.desk.catalogue, self.figures)
        every = chain(*(group.fields for group in groups), *((*card.fields, *card.room) for card in sites))
        return {field.at: field for field in every}

    def way(self, each: Strategy) -> tuple[str, str]:
        """A way out and how it stands."""
        return _capital(WAY[each.way]), STANDING[each.standing]

    def needs(self, each: Strategy) -> list[str]:
        """What a way would take."""
        closed = each.standing is Standing.CLOSED and not each.against
        told = ["Nothing in the catalogue can be fitted that way"] if closed else []
        told += [f"Breaks: {self.rule(rule)}" for rule in each.against]
        return told + [self.given_up(entry) for entry in each.needs]


def comparison(voice: Voice, plans: Sequence[Assessment]) -> list[tuple[str, list[str]]]:
    """Plans side by side: a row for each matter."""
    years = plans[0].aftercare.years if plans else 0
    return [
        ("Fitted", ["; ".join(f"{c.site.id}: {voice.fitted(c)}" for c in p.mix) or "nothing" for p in plans]),
        ("Cost of fitting", [voice.cost(p.cost) for p in plans]),
        (f"Cost over {years} years", [voice.cost(p.aftercare.cost) for p in plans]),
        ("Hold", [unbroken(f"{voice.span(p.low_n, p.high_n)} N") for p in plans]),
        ("Weakest pull", [_weakest(voice, p) for p in plans]),
        ("Moves", [words.LEVEL[p.level] for p in plans]),
        ("Least reach", [voice.number(min(r.reach for r in p.reaches), 2) for p in plans]),
        ("Questions", [str(len(p.questions)) for p in plans]),
        ("Given up", ["; ".join(map(voice.given_up, p.given_up)) or "nothing" for p in plans]),
    ]


def _weakest(voice: Voice, plan: Assessment) -> str:
    pull = plan.weakest
    return unbroken(f"{voice.number(pull.hold_n)} N {words.PULL[pull.name]}")


def unbroken(text: str) -> str:
    """A figure and its unit stay in one line."""
    return _BEFORE_UNIT.sub("\N{NO-BREAK SPACE}", text)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
