"""The answer as it is said on the telephone: what can be done, what it costs, why, what to ask, how it holds.

A row has a word and a text; whoever shows it lays it out. Twenty-five lines of eighty columns are enough.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from cli.figures import Figures
from cli.text import words
from cli.wording.places import NUMBERS, PlaceNames, listed, together
from cli.wording.rules import RuleWords, closed
from solver.assessment import Assessment, Status
from solver.cautions import Hazard
from solver.judge import Verdict
from solver.master import Outcome
from solver.movement_verdict import MovementVerdict
from solver.plan import Answer
from solver.problem import Problem
from solver.ruled_out import RuledOut
from solver.rules import Peel, Pulls
from solver.sensitivity import Sensitivity
from solver.strategy import Standing, Strategy, Way
from solver.tiers import Step, Tiers

MOST_ASKED, MOST_GIVEN_UP, MOST_REASONS = 3, 4, 3


class Row(NamedTuple):
    """A word at the margin and what is said."""

    label: str
    text: str


@dataclass(frozen=True, slots=True)
class Told:
    """All that a first screen draws on; what was not worked out is None or empty."""

    found: Answer
    out: Sequence[RuledOut] = ()
    ways: Sequence[Strategy] = ()
    tiers: Tiers | None = None
    hangs: Sensitivity | None = None


_VERDICT = {
    Status.FITS: "FITS",
    Status.FITS_IF: "SHOULD FIT, {answers} still needed",
    Status.TOO_LITTLE_KNOWN: "TOO LITTLE KNOWN, {answers} needed first",
    Status.RELAXED: "FITS ONLY IF something is given up",
    Status.NONE: "DOES NOT FIT",
    Status.UNDECIDED: "UNDECIDED in the time given",
}


class FirstScreen:
    """Says one answer."""

    def __init__(self, told: Told, figures: Figures | None = None) -> None:
        self.told, self.problem = told, told.found.problem
        self.figures = figures or Figures.of(None)
        self.rules = RuleWords.of(self.problem, self.figures)
        self.places = PlaceNames(self.problem.case)

    def head(self) -> str:
        """The jaw and what stands in it."""
        return self.places.head()

    def verdict(self) -> str:
        """The answer in plain words, with the gravest caution in it."""
        found, best = self.told.found, self.told.found.best
        if found.status is Status.RELAXED and found.tier == "stopgap":
            text = "STOPGAP ONLY: stays in at rest, not what most would deliver"
        else:
            answers = len(best.questions) if best else 0
            text = _VERDICT[found.status].format(answers=_counted(answers, "answer"))
        grave = self._grave(best) if best else ""
        return f"{text}; {grave}" if grave else text

    def money(self) -> str:
        """What it costs, rounded as people say it, and the cap."""
        best, cap = self.told.found.best, self.problem.case.money.cap
        limit = "" if cap is None else f", cap {self.figures.plain(cap)}"
        if best is None or not best.mix:
            return limit.lstrip(", ")
        between = "between" if self.told.found.status is Status.TOO_LITTLE_KNOWN else "about"
        return f"{between} {self._said(best)}{limit}"

    def rows(self) -> Iterator[Row]:
        """All that is worth saying, the gravest first."""
        best = self.told.found.best
        if best is None:
            yield from (Row("Why", text) for text in self._reasons())
            yield from self._ways()
            yield Row("More", "--full | give | why | ask       The licensed clinician decides.")
            return
        yield from self._fit(best)
        yield from self._given_up(best)
        yield from (Row("Why", text) for text in self._why(best))
        yield from (Row("Ask", text) for text in self._ask(best))
        if best.mix:
            yield from (Row("Hold", text) for text in self._hold(best))
            yield Row("Moves", self._moves(best))
            yield Row("Cost", self._years(best))
        yield from (Row("Look", text) for text in self._steps())
        yield from (Row("Risk", text) for text in self._risks(best))
        yield from self._ways()
        yield from self._trust()
        yield Row("More", "--full | ask | why | report        The licensed clinician decides.")

    def _grave(self, best: Assessment) -> str:
        if any(rule.code == "whole-bar" for rule in best.unpreferred):
            return "a sound bar is altered for good"
        if best.takes_bar_off and self.problem.case.segments:
            return "the bar comes off"
        if any(c.attachment.magnetic for c in best.mix):
            return "magnets and MRI do not go together"
        return ""

    def _fit(self, best: Assessment) -> Iterator[Row]:
        for group in together(best.mix):
            first = group[0]
            where = self.places.sites([candidate.site.id for candidate in group])
            count = f"{first.count} x " if first.count > 1 else ""
            steps = [step.name for step in first.reworks]
            then = "".join(f"{_lower(step)}, then " for step in steps)
            yield Row(
                "Fit", f"{where}: {then}{count}{_lower(first.attachment.name) if then else first.attachment.name}"
            )
        if not best.mix:
            yield Row("Fit", "nothing")
        elif empty := self._empty(best):
            yield Row("", f"Leave {empty} empty.")

    def _empty(self, best: Assessment) -> str:
        taken = {candidate.site.id for candidate in best.mix}
        sites = [
            fit.site.id
            for fit in self.problem.fit.sites
            if fit.site.id not in taken and (fit.site.kind == "support") == best.takes_bar_off
        ]
        return self.places.sites(sites) if sites else ""

    def _given_up(self, best: Assessment) -> Iterator[Row]:
        entries = sorted(best.given_up, key=lambda entry: -entry.weight)
        for entry in entries[:MOST_GIVEN_UP]:
            yield Row("Gives", self.rules.given_up(entry))
        if (more := len(entries) - MOST_GIVEN_UP) > 0:
            yield Row("", f"and {_counted(more, 'more limit')}: see --full.")

    def _why(self, best: Assessment) -> Iterator[str]:
        found = self.told.found
        if found.proof.outcome is Outcome.OPTIMAL and best.mix:
            if best.given_up:
                yield "No plan gives up less."
            elif best.unpreferred:
                yield _capital("; ".join(self.rules.without(rule) for rule in best.unpreferred)) + "."
            else:
                yield "Nothing in the catalogue that holds and moves as asked costs less."
        yield from self._reasons()

    def _reasons(self) -> Iterator[str]:
        """By what each kind of attachment is out on the bar, in one breath a kind."""
        by_kind: dict[str, Counter[str]] = {}
        off = self.told.found.best.takes_bar_off if self.told.found.best else not self.problem.case.segments
        for entry in self.told.out:
            if (entry.candidate.site.kind == "support") != off:
                continue
            kind = entry.candidate.attachment.kind
            by_kind.setdefault(kind, Counter())[_ground(entry)] += 1
        fitted = {c.attachment.kind for c in self.told.found.best.mix} if self.told.found.best else set()
        told = [
            f"{_KINDS[kind]} ({grounds.most_common(1)[0][0]})"
            for kind, grounds in by_kind.items()
            if kind in _KINDS and kind not in fitted
        ]
        if told:
            yield f"Out: {listed(told[:MOST_REASONS])}."

    def _ask(self, best: Assessment) -> Iterator[str]:
        for question in best.questions[:MOST_ASKED]:
            limits = dict.fromkeys(
                j.want
                for c in best.mix
                for j in c.judgements
                if j.verdict is Verdict.ASK and j.of == question.of and question in c.questions
            )
            needed = f" Needed: {listed(list(limits)[:2])}." if limits else ""
            yield f"{words.question(question)}{needed}"
        if more := max(0, len(best.questions) - MOST_ASKED):
            yield f"and {_counted(more, 'more question')}: see `regrip ask`."

    def _hold(self, best: Assessment) -> Iterator[str]:
        weakest = best.weakest
        asked = {r.pull: r for r in self.problem.rules if isinstance(r, Pulls)}
        rule = asked.get(weakest.name)
        limit = f" ({self._newtons(rule.least_n)} asked)" if rule else ""
        peel = next((r for r in self.problem.rules if isinstance(r, Peel)), None)
        hand = f"; the hand does {self._newtons(peel.most_n)}" if peel else ""
        worn = [r for r in asked.values() if r.condition.value == "worn"]
        until = " Holds what is asked until the first renewal." if worn and all(r.kept(best) for r in worn) else ""
        yield (
            f"Weakest pull {self._newtons(weakest.hold_n)} {words.PULL[weakest.name]}{limit}. "
            f"An edge lifts with {self._newtons(best.peel_n)} at most{hand}.{until}"
        )

    def _moves(self, best: Assessment) -> str:
        verdicts = best.verdicts
        if all(v.verdict is MovementVerdict.MOVES for v in verdicts):
            return "The base settles and rocks freely on the mucosa."
        if best.stands_throughout:
            return "The bar bears the denture in every bite; nothing gives."
        told = [
            f"{words.demand(v.demand)}: {self.rules.verdict(v)}"
            for v in verdicts
            if v.verdict is not MovementVerdict.MOVES
        ]
        rest = "" if len(told) == len(verdicts) else "; else it moves freely"
        return _capital("; ".join(told)) + rest + "."

    def _years(self, best: Assessment) -> str:
        years = self.problem.case.money.years
        return f"About {self._said(best, years=True)} over {_counted(years, 'year')} with renewals and visits."

    def _steps(self) -> Iterator[str]:
        tiers = self.told.tiers
        if tiers is None or not tiers.steps:
            return
        yield f"{_capital(self._step(tiers.steps[0]))}."
        if len(tiers.steps) > 1:
            last = tiers.steps[-1]
            base = self.told.found.best
            more = last.plan.cost.high - (base.cost.high if base else 0)
            yield (
                f"Firmest that can still be taken out: {self._amount(more)} more, weakest pull "
                f"{self._newtons(last.weakest_n)}."
            )

    def _step(self, step: Step) -> str:
        price = f"{self._amount(step.more)} more" if step.more > 0 else "at the same price"
        groups = (
            f"{_lower(group[0].attachment.name)} ({self.places.sites([c.site.id for c in group])})"
            for group in together(step.plan.mix)
        )
        return (
            f"{price}: {listed(list(groups))}; weakest pull {self._newtons(step.weakest_n)} "
            f"instead of {self._newtons(step.weakest_before_n)}"
        )

    def _risks(self, best: Assessment) -> Iterator[str]:
        shown = [c for c in best.cautions if c.hazard in _GRAVE]
        for caution in shown[:2]:
            yield words.caution(caution)

    def _ways(self) -> Iterator[Row]:
        told = []
        for way in self.told.ways:
            if way.cost is None or (way.plan and self.told.found.best and way.plan.keys == self.told.found.best.keys):
                continue
            name = _WAYS[way.way]
            closed = "" if way.standing is Standing.OPEN else " (only if limits give)"
            if way.standing is not Standing.CLOSED:
                told.append(f"{name} {self._whole(way.cost.high)}{closed}")
        if told:
            yield Row("Else", f"{_capital(', '.join(told))} {self.rules.currency}.")

    def _trust(self) -> Iterator[Row]:
        hangs = self.told.hangs
        if hangs is None:
            return
        weak = len(hangs.hangs_on("invented", "memory"))
        if weak:
            figures = "one guessed figure" if weak == 1 else f"{weak} guessed figures"
            yield Row("Trust", f"{_capital(figures)} could each change this. Load your own prices.")
        else:
            yield Row("Trust", "No guessed figure by itself changes this choice; the cost still moves.")

    def _said(self, best: Assessment, *, years: bool = False) -> str:
        band = best.cost_years if years else best.cost
        low, high = self._whole(band.low), self._whole(band.high)
        return f"{low if low == high else f'{low} to {high}'} {self.rules.currency}"

    def _whole(self, minor: int) -> str:
        return self.figures.said(minor, self.rules.digits)

    def _amount(self, minor: int) -> str:
        return f"{self._whole(minor)} {self.rules.currency}"

    def _newtons(self, value: float) -> str:
        return f"{self.figures.number(value)} N"


_KINDS = {"clip": "clips", "ball": "balls", "stud": "studs", "magnet": "magnets", "lining": "a lining"}
_WAYS = {Way.KEEP: "keep the bar", Way.OFF: "bar off", Way.NEW: "new bar", Way.NONE: "no attachment"}
_GRAVE = (Hazard.BAR_BENDS, Hazard.MAGNET_SCAN, Hazard.FEW_SUPPORTS, Hazard.BAR_OFF, Hazard.BAR_CUT, Hazard.BRUXISM)


def _ground(entry: RuledOut) -> str:
    if entry.judgements:
        worst = min(entry.judgements, key=lambda j: (-j.verdict, j.unit != "", -j.short_by))
        return f"{worst.label} {words.have(worst)}, needs {worst.want}"
    if entry.rules:
        need, have, _, _ = closed(entry.rules[0])
        return f"{need}: {have}"
    return "its own parts fight"


def _counted(number: int, noun: str) -> str:
    name = NUMBERS[number] if number < len(NUMBERS) else str(number)
    return f"{name} {noun}{'' if number == 1 else 's'}"


def _lower(text: str) -> str:
    return text[:1].lower() + text[1:]


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def screen_of(problem: Problem, told: Told) -> FirstScreen:
    """The first screen of an answer, in the figures of its case."""
    return FirstScreen(told, Figures.of(problem.case.locale))
