"""A case told as on the telephone: a few facts, a first answer, and from then on the one thing that narrows most."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, replace
from itertools import chain
from typing import Any, TypeAlias

from cli.interview.draft import Draft
from cli.interview.led import Back, Led, Skip, Stop
from cli.interview.led_steps import asked_beside, measured
from cli.interview.opening import Step, opening, rates
from cli.interview.prompts import Asker
from cli.interview.talk import Talk
from cli.wording.call import CallWords
from solver.case.provenance import Place
from solver.case.schema import Case
from solver.explore.so_far import SoFar

LEADS = "`?` don't know, `back`, `skip`, `stop`; an empty answer takes what stands in brackets."
FIRST = "this is the first question"
NEEDED = "a case needs jaw, implants and what is left of the bar; Ctrl-C leaves without a file"

Plan: TypeAlias = Callable[[Case, Collection[Place], SoFar | None], SoFar]
"""Plans a case that is half told: what has been asked, and what was found before."""


@dataclass(frozen=True)
class Told:
    """What is told so far; `passed` has been asked, `put_off` was skipped once."""

    draft: Draft
    passed: frozenset[Place] = frozenset()
    put_off: frozenset[Place] = frozenset()
    found: SoFar | None = None
    answers: int = 0

    @property
    def data(self) -> dict[str, Any]:
        """The data of a case file."""
        return self.draft.data()

    def after(self, step: Step, draft: Draft) -> Told:
        """With one answer more."""
        return replace(self, draft=draft, passed=self.passed.union(step.settles), answers=self.answers + 1)

    def without(self, step: Step) -> Told:
        """With a question skipped: once it is put off, twice it is left."""
        if self.put_off.issuperset(step.settles):
            return replace(self, passed=self.passed.union(step.settles))
        return replace(self, put_off=self.put_off.union(step.settles))


@dataclass
class _Call:
    """One conversation."""

    asker: Led
    plan: Plan

    def step(self, now: Told, step: Step) -> Told:
        """Put one question; raises `Back` or `Stop`."""
        draft = now.draft.copy()
        try:
            step.ask(Talk(_Numbered(self.asker, now.answers + 1), draft))
        except Skip:
            if step.needed:
                self.asker.tell(NEEDED)
                return now
            return now.without(step)
        return self.planned(now.after(step, draft))

    def planned(self, now: Told) -> Told:
        """Where the case stands, said and kept, as soon as something can be said."""
        if not self._is_open(now):
            return now
        found = self.plan(now.draft.case, now.passed, now.found)
        before = () if now.found is None else _lines(now.found)
        for line in _lines(found):
            if line not in before:
                self.asker.tell(line)
        return replace(now, found=found)

    def _is_open(self, now: Told) -> bool:
        """True once jaw, implants and bar are told."""
        return not any(_left(now, opening(now.draft)))


def _lines(found: SoFar) -> tuple[str, ...]:
    """Where the case stands; what was said before is not said again."""
    words = CallWords(found)
    return tuple(filter(None, (words.standing(), *words.remarks(), words.plan())))


class _Numbered:
    """The asker with the number of the question before it."""

    def __init__(self, other: Led, number: int) -> None:
        self._other, self._number = other, number

    def ask(self, question: str, take: Callable[[str], Any], default: str | None = None) -> Any:
        """As the other does."""
        return self._other.ask(f"{self._number}. {question}", take, default)

    def tell(self, said: str) -> None:
        """As the other does."""
        self._other.tell(said)


def call(asker: Asker, title: str, currency: str, plan: Plan) -> Told:
    """All that was told, up to the last question worth asking or `stop`."""
    talk, now, before = _Call(Led(asker), plan), Told(Draft(title, currency)), list[Told]()
    asker.tell(LEADS)
    while step := next(_steps(now), None):
        try:
            after = talk.step(now, step)
        except Back:
            if before:
                now = before.pop()
            else:
                asker.tell(FIRST)
            continue
        except Stop:
            if not step.needed:
                break
            asker.tell(NEEDED)
            continue
        if after is not now:
            before.append(now)
        now = after
    return now


def _steps(now: Told) -> Iterator[Step]:
    """What is left to ask, in order; what was skipped once comes last."""
    every = list(opening(now.draft) if now.found is None else _after_the_opening(now, now.found))
    yield from _left(now, every, now.put_off)
    yield from _left(now, every)


def _after_the_opening(now: Told, found: SoFar) -> Iterator[Step]:
    return chain(opening(now.draft), rates(now.draft.case.money.currency), measured(found), asked_beside(found))


def _left(now: Told, steps: Iterator[Step] | list[Step], but: Collection[Place] = ()) -> Iterator[Step]:
    done = now.passed.union(but)
    return (step for step in steps if not done.issuperset(step.settles))
