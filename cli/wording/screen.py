"""What is said of one mix on a first screen: a word at the margin and a text beside it, row by row.

Whoever shows a row lays it out. Twenty-five lines of eighty columns are enough; `within` drops what matters least.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from enum import IntEnum
from textwrap import wrap
from typing import NamedTuple, Protocol

from catalogue.quantities import QUANTITIES
from cli.wording import words
from cli.wording.hazards import first_of_all, hazards
from cli.wording.motion import motion
from cli.wording.numbers import Figures
from cli.wording.places import NUMBERS, PlaceNames, listed, small, together
from cli.wording.questions import SAYS_WHAT_IS_NEEDED, Asking
from cli.wording.rules import RuleWords
from cli.wording.teeth import told_apart
from solver.assess.assessment import Assessment, GivenUp, Status
from solver.assess.cautions import Hazard
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.rules import Peel, Pulls, Rule
from solver.case.schema import PullName
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import Verdict

MARGIN = 7
"""Columns of the word at the margin."""

MOST_LINES, WIDTH = 25, 80
MOST_ASKED, MOST_GIVEN_UP = 3, 4


class Drop(IntEnum):
    """What goes first where a screen is too long; NEVER stays."""

    NEVER = 0
    TRUST = 1
    ELSE = 2
    REASONS = 3
    SECOND_RISK = 4
    SECOND_LOOK = 5


class Row(NamedTuple):
    """A word at the margin and what is said."""

    label: str
    text: str
    drop: Drop = Drop.NEVER

    def lines(self, width: int = WIDTH) -> list[str]:
        """The text, wrapped beside the margin."""
        return wrap(self.text, width - MARGIN, break_long_words=False, break_on_hyphens=False) or [""]


def within(rows: Iterable[Row], most: int, width: int = WIDTH) -> tuple[Row, ...]:
    """The rows that fit into `most` lines: whole ranks go, those that matter least first."""
    kept = tuple(rows)
    for rank in sorted(Drop, reverse=True)[:-1]:
        if sum(len(row.lines(width)) for row in kept) <= most:
            break
        kept = tuple(row for row in kept if row.drop is not rank)
    return kept


VERDICT = {
    Status.FITS: "FITS",
    Status.FITS_IF: "SHOULD FIT, {answers} still needed",
    Status.TOO_LITTLE_KNOWN: "TOO LITTLE KNOWN, {answers} needed first",
    Status.RELAXED: "FITS ONLY IF something is given up",
    Status.NONE: "DOES NOT FIT",
    Status.UNDECIDED: "UNDECIDED in the time given",
}
DECIDES = "The licensed clinician decides."
STOPGAP = "STOPGAP ONLY: stays in at rest, not what most would deliver"


class Screen(Protocol):
    """What a first screen says."""

    def head(self) -> str:
        """The jaw and what stands in it."""

    def verdict(self) -> str:
        """The answer in plain words."""

    def money(self) -> str:
        """What it costs, and the cap."""

    def rows(self) -> Iterator[Row]:
        """All that is worth saying, in order."""


class MixWords:
    """Says one mix of one case."""

    def __init__(self, problem: Problem, figures: Figures) -> None:
        self.problem, self.figures = problem, figures
        self.places = PlaceNames(problem.case)
        self.rules = RuleWords.of(problem, figures, places=self.places)
        self.asking = Asking(self.places, problem.catalogue)

    def verdict(self, status: Status, tier: str | None, best: Assessment | None) -> str:
        """The answer in plain words, with the gravest caution in it."""
        text = STOPGAP
        if status is not Status.RELAXED or tier != "stopgap":
            text = VERDICT[status].format(answers=counted(len(best.questions) if best else 0, "answer"))
        grave = self._grave(best) if best else ""
        return f"{text}; {grave}" if grave else text

    def money(self, status: Status, best: Assessment | None) -> str:
        """What it costs, rounded as people say it, and the cap."""
        cap = self.problem.case.money.cap
        limit = "" if cap is None else f"cap {self.figures.plain(cap)} {self.rules.currency}"
        if best is None or not best.mix:
            return limit
        told = self._between(best) if status is Status.TOO_LITTLE_KNOWN else f"about {self.said(best)}"
        return f"{told}, cap {self.figures.plain(cap)}" if cap is not None else told

    def teeth(self) -> Iterator[Row]:
        """The teeth by name, where their numbers could be meant in another system."""
        if told := told_apart(self.problem.case):
            yield Row("Teeth", told)

    def fitted(self, best: Assessment) -> Iterator[Row]:
        """What goes where, what stays empty, and the work that is paid once."""
        for group in together(best.mix):
            where = self.places.sites([candidate.site.id for candidate in group])
            yield Row("Fit", f"{where}: {self.part(group[0])}")
        if not best.mix:
            yield Row("Fit", "nothing")
        elif empty := self._empty(best):
            yield Row("", f"Leave {empty} empty.")
        for text in first_of_all(best):
            yield Row("First", text)
        for name in dict.fromkeys(charge for candidate in best.mix for charge in candidate.charges):
            yield Row("First", f"{self.problem.catalogue.reworks[name].name}.")

    def part(self, candidate: Candidate) -> str:
        """The steps, then the part: `re-round the ball, then 2 x metal clip on a round bar`."""
        steps = [small(step.name) for step in candidate.extra_reworks if not step.once]
        count = f"{candidate.count} x " if candidate.count > 1 else ""
        return "".join(f"{step}, then " for step in steps) + count + small(candidate.attachment.name)

    def parts(self, mix: Sequence[Candidate]) -> str:
        """All that is fitted, in one breath."""
        return listed(
            [f"{self.part(group[0])} ({self.places.sites([c.site.id for c in group])})" for group in together(mix)]
        )

    def gives(self, best: Assessment) -> Iterator[Row]:
        """What has to give, the gravest first; a pull that falls short at once is not told again for later."""
        at_once = _short_pulls(best.given_up, Condition.NEW)
        later = _short_pulls(best.given_up, Condition.WORN)
        entries = [e for e in best.given_up if e.rule not in later or later[e.rule] not in at_once.values()]
        entries.sort(key=lambda entry: -entry.weight)
        for entry in entries[:MOST_GIVEN_UP]:
            yield Row("Gives", self.rules.given_up(entry))
        if (more := len(entries) - MOST_GIVEN_UP) > 0:
            yield Row("Gives", f"and {counted(more, 'more limit')}: see --full.")

    def ask(self, best: Assessment) -> Iterator[Row]:
        """The questions that it hangs on, each with what is needed."""
        for question in best.questions[:MOST_ASKED]:
            yield Row("Ask", self.asked(best, question))
        if (more := len(best.questions) - MOST_ASKED) > 0:
            yield Row("Ask", f"and {counted(more, 'more question')}: see `regrip ask`.")

    def asked(self, best: Assessment, question: Question) -> str:
        """One question with what the plan needs."""
        needed = listed(self._needed(best, question)[:2])
        told = f" Needed: {needed}." if needed and question.of not in SAYS_WHAT_IS_NEEDED else ""
        return self.asking.question(question) + told

    def hold(self, best: Assessment) -> str:
        """The weakest pull against what is asked, the peel against the hand, and how long it lasts."""
        weakest, pulls = best.weakest, [r for r in self.problem.rules if isinstance(r, Pulls)]
        asked = [r for r in pulls if r.pull == weakest.name]
        limit = ""
        if asked:
            rule = max(asked, key=lambda r: (not r.kept(best), r.least_n))
            until = " until the first renewal" if rule.condition is Condition.WORN and not rule.kept(best) else ""
            limit = f" ({self._asked(rule.least_n)} asked{until}{'' if rule.kept(best) else ', not met'})"
        peel = next((r for r in self.problem.rules if isinstance(r, Peel)), None)
        hand = f" (the hand does {self._asked(peel.most_n)})" if peel else ""
        worn = [r for r in pulls if r.condition is Condition.WORN]
        lasts = " Lasts until the first renewal." if worn and all(r.kept(best) for r in pulls) else ""
        where = words.PULL[weakest.name]
        edge = f"One edge lifts with {self.newtons(best.peel_n)} at most{hand}."
        return f"Weakest pull {self.newtons(weakest.hold_n)} {where}{limit}. {edge}{lasts}"

    def moves(self, best: Assessment) -> str:
        """How the base moves, and which parts fight."""
        return " ".join(motion(best, self.places, self.figures))

    def years(self, best: Assessment) -> str:
        """The cost over the years of the case."""
        years = counted(self.problem.case.money.years, "year")
        money = self.problem.case.money
        parts_alone = "" if money.bench_per_hour or money.chair_per_hour else " Minutes are not counted: no rates."
        return f"About {self.said(best, years=True)} over {years} with renewals and visits.{parts_alone}"

    def risks(self, best: Assessment) -> Iterator[Row]:
        """The two gravest hazards."""
        for text, drop in zip(hazards(best, self.places), (Drop.NEVER, Drop.SECOND_RISK), strict=False):
            yield Row("Risk", text, drop)

    def said(self, best: Assessment, *, years: bool = False) -> str:
        """A cost as people say it."""
        low, high = self._ends(best, years=years)
        return f"{low if low == high else f'{low} to {high}'} {self.rules.currency}"

    def amount(self, minor: int) -> str:
        """An amount as people say it."""
        return f"{self.whole(minor)} {self.rules.currency}"

    def whole(self, minor: int) -> str:
        """An amount without its currency."""
        return self.figures.said(minor, self.rules.digits)

    def newtons(self, value: float) -> str:
        """A force with one decimal."""
        return f"{self.figures.number(value)} N"

    def _asked(self, value: float) -> str:
        return f"{self.figures.plain(value)} N"

    def _between(self, best: Assessment) -> str:
        low, high = self._ends(best)
        ends = f"about {low}" if low == high else f"between {low} and {high}"
        return f"{ends} {self.rules.currency}"

    def _ends(self, best: Assessment, *, years: bool = False) -> tuple[str, str]:
        band = best.cost_years if years else best.cost
        return self.whole(band.low), self.whole(band.high)

    def _grave(self, best: Assessment) -> str:
        if any(caution.hazard is Hazard.BAR_BENDS for caution in best.cautions):
            return "the bar would likely bend"
        if any(rule.code == "whole-bar" for rule in best.unpreferred):
            return "a sound bar is altered for good"
        if best.takes_bar_off and self.problem.case.segments:
            return "the bar comes off"
        if any(c.attachment.magnetic for c in best.mix):
            return "magnets and MRI do not go together"
        return ""

    def _empty(self, best: Assessment) -> str:
        taken = {candidate.site.id for candidate in best.mix}
        sites = [
            fit.site.id
            for fit in self.problem.fit.sites
            if fit.site.id not in taken and (fit.site.kind == "support") == best.takes_bar_off
        ]
        return self.places.sites(sites) if sites else ""

    def _needed(self, best: Assessment, question: Question) -> list[str]:
        wants = (
            judged.want if judged.of == question.of else f"{judged.label}, {judged.want}"
            for candidate in best.mix
            for judged in candidate.judgements
            if judged.verdict is Verdict.ASK and question in candidate.asked_by(judged)
        )
        anything = " or ".join(QUANTITIES[question.of].words) if question.of in QUANTITIES else ""
        return [want for want in dict.fromkeys(wants) if want != anything]


def _short_pulls(given_up: Iterable[GivenUp], condition: Condition) -> dict[Rule, PullName]:
    rules = (entry.rule for entry in given_up)
    return {rule: rule.pull for rule in rules if isinstance(rule, Pulls) and rule.condition is condition}


def counted(number: int, noun: str) -> str:
    """`one answer`, `two answers`."""
    name = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{name} {noun}{'' if number == 1 else 's'}"
