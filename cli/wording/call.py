"""What is said while a case is being told: where it stands, between which prices, and the next question."""

from __future__ import annotations

from collections.abc import Iterator

from cli.wording import words
from cli.wording.numbers import Figures
from cli.wording.places import capital, listed, small
from cli.wording.screen import VERDICT, MixWords, counted
from solver.assess.assessment import Status
from solver.case.provenance import Place
from solver.explore.beside import AGE, CAP, GRINDS, HAND, HOUSINGS, METALS, OPPOSING, PALATE, STATE, TAKES_OUT
from solver.explore.so_far import SoFar
from solver.fit.candidate import Question

WORK = {
    "send_out": "May work be sent to another laboratory?",
    "weld": "May something be welded to the bar?",
    "cut_bar": "May the bar be ground or drilled?",
    "bar_off": "May the bar come off for good?",
}

BESIDE: dict[Place, str] = {
    STATE: "Is the denture there, and whole?",
    HOUSINGS: "Are housings of the old parts still in it?",
    PALATE: "Does the denture cover the palate?",
    TAKES_OUT: "Who takes the denture out?",
    HAND: "How strong are the hands that take it out?",
    AGE: "How old is the patient, years?",
    GRINDS: "Does the patient grind?",
    OPPOSING: "What does it bite on?",
    METALS: "Known sensitivities to metals, e.g. nickel, cobalt",
    CAP: "Most that the whole may cost",
    **{("allowed", work): text for work, text in WORK.items()},
}
"""What is asked beside the measures."""

NO_MINUTES = "Parts alone: no minutes are counted until an hour has its price."
NOTHING_LEFT = "All that this plan needs has been asked; what follows may still change it, or add a caution."
ASKED_OF_SOME = {
    "connection": "yes, no, or the teeth where it is not",
    "mobility": "yes, no, or the teeth that are loose",
    "bone": "enough, little, or the teeth with little",
}
"""How to answer of several implants at once."""


class CallWords:
    """Says how a case stands that is half told."""

    def __init__(self, found: SoFar) -> None:
        self._found = found
        self._say = MixWords(found.problem, Figures.of(found.problem.case.locale))

    def standing(self) -> str:
        """Verdict and price in one sentence."""
        found, best = self._found, self._found.best
        tier = "stopgap" if best and found.status is Status.RELAXED else None
        verdict = capital(VERDICT[found.status].lower())
        if best is None or not best.mix:
            return f"{verdict}."
        count = counted(len(best.questions), "answer")
        told = f"{verdict.format(answers=count)}: {self._price()}"
        if tier and best.given_up:
            gravest = max(best.given_up, key=lambda entry: entry.weight)
            told += f"; {self._say.rules.given_up(gravest)}"
        return f"{told.rstrip('.')}."

    def plan(self) -> str:
        """What would be fitted."""
        best = self._found.best
        return f"So far: {self._say.parts(best.mix)}." if best and best.mix else ""

    def remarks(self) -> Iterator[str]:
        """What goes with the price."""
        money = self._found.problem.case.money
        if not money.bench_per_hour and not money.chair_per_hour:
            yield NO_MINUTES
        unknown = {entry.question for entry in self._found.unknown}
        if decisive := [question for question in self._found.decisive if question in unknown]:
            labels = listed([small(words.quantity(question.of)) for question in decisive])
            yield f"Nothing fits if what is not known comes out badly: {labels}."
        if self._found.best and not self._found.weighed:
            yield NOTHING_LEFT

    def question(self, asked: Question) -> str:
        """The question with what the plan needs, and what is at stake."""
        best = self._found.best
        text = self._say.asked(best, asked) if best else self._say.asking.question(asked)
        return f"{text} Otherwise nothing fits." if asked in self._found.decisive else text

    def each(self, asked: Question) -> str:
        """The order in which several figures may be given: `bar 43-41 and 41-33`."""
        sites = asked.sites
        return "in this order" if asked.places[0][0] == "supports" else self._say.places.sites(sites)

    def _price(self) -> str:
        """Between the cheapest and what one bad answer may make of it."""
        found, best, say = self._found, self._found.best, self._say
        if best is None or found.dearest is None:
            return ""
        low, high = say.whole(best.cost.low), say.whole(found.dearest)
        if found.dearest == best.cost.high or low == high:
            return f"about {say.said(best)}"
        return f"between {low} and {high} {say.rules.currency}"
