"""The answer as it is said on the telephone: what can be done, what it costs, why, what to ask, how it holds."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from cli.wording import words
from cli.wording.left_out import left_out
from cli.wording.numbers import Figures
from cli.wording.places import capital, listed
from cli.wording.screen import DECIDES, Drop, MixWords, Row
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut
from solver.choose.master import Outcome
from solver.choose.plan import Answer
from solver.choose.tiers import Step, Tiers
from solver.explore.sensitivity import Sensitivity
from solver.explore.strategies import Standing, Strategy, Way

MOST_REASONS = 3
_WAYS = {Way.KEEP: "keep the bar", Way.OFF: "bar off", Way.NEW: "new bar", Way.NONE: "no attachment"}


@dataclass(frozen=True, slots=True)
class Told:
    """All that the first screen of a plan draws on; what was not worked out is None or empty."""

    found: Answer
    out: Sequence[RuledOut] = ()
    ways: Sequence[Strategy] = ()
    tiers: Tiers | None = None
    hangs: Sensitivity | None = None


class FirstScreen:
    """Says the answer of `plan`."""

    def __init__(self, told: Told, figures: Figures) -> None:
        self._told, self._found, self._best = told, told.found, told.found.best
        self._say = MixWords(told.found.problem, figures)

    def head(self) -> str:
        """The jaw and what stands in it."""
        return self._say.places.head()

    def verdict(self) -> str:
        """The answer in plain words, with the gravest caution in it."""
        return self._say.verdict(self._found.status, self._found.tier, self._best)

    def money(self) -> str:
        """What it costs, rounded as people say it, and the cap."""
        return self._say.money(self._found.status, self._best)

    def rows(self) -> Iterator[Row]:
        """All that is worth saying, in order."""
        yield from self._say.teeth()
        if self._best is None:
            yield from self._reasons()
            yield from self._ways()
            yield Row("More", f"--full | what-if limits | why | ask     {DECIDES}")
            return
        yield from self._of_plan(self._best)
        yield from self._ways()
        yield from self._trust()
        yield Row("More", f"--full | ask | why | report     {DECIDES}")

    def _of_plan(self, best: Assessment) -> Iterator[Row]:
        say = self._say
        yield from say.fitted(best)
        yield from say.gives(best)
        yield from self._why(best)
        yield from self._reasons()
        yield from say.ask(best)
        if best.mix:
            yield Row("Hold", say.hold(best))
            yield Row("Moves", say.moves(best))
            yield Row("Cost", say.years(best))
        yield from self._steps(best)
        yield from say.risks(best)

    def _why(self, best: Assessment) -> Iterator[Row]:
        if self._found.proof.outcome is not Outcome.OPTIMAL or not best.mix:
            return
        if best.given_up:
            yield Row("Why", "No plan breaks fewer of your limits, or by less.")
        elif best.unpreferred:
            told = "; ".join(self._say.rules.chosen_without(rule) for rule in best.unpreferred)
            yield Row("Why", f"{capital(told)}.")
        else:
            yield Row("Why", "Nothing in the catalogue that holds and moves as asked costs less.")

    def _reasons(self) -> Iterator[Row]:
        problem = self._found.problem
        off = self._best.takes_bar_off if self._best else not problem.case.segments
        told = list(left_out(problem, self._told.out, bar_off=off))
        if told:
            yield Row("Why", f"Out: {listed(told[:MOST_REASONS])}.", Drop.REASONS)

    def _steps(self, best: Assessment) -> Iterator[Row]:
        tiers = self._told.tiers
        if tiers is None:
            return
        start = tiers.usual or tiers.stopgap
        if start and start.keys != best.keys:
            yield Row("Look", f"Within your limits, as a stopgap only: {self._plan(start)}.")
            return
        if tiers.steps and tiers.steps[0].worth_telling:
            yield Row("Look", f"{capital(self._step(tiers.steps[0]))}.")
        if len(tiers.steps) > 1:
            last = tiers.steps[-1]
            more = capital(self._more(sum(step.more for step in tiers.steps)))
            pull = self._say.newtons(last.weakest_n)
            yield Row("Look", f"{more}: the firmest that still comes out, weakest pull {pull}.", Drop.SECOND_LOOK)

    def _plan(self, plan: Assessment) -> str:
        say = self._say
        return f"{say.parts(plan.mix)}, about {say.said(plan)}; weakest pull {say.newtons(plan.weakest.hold_n)}"

    def _step(self, step: Step) -> str:
        say = self._say
        price = self._more(step.more)
        pulls = f"weakest pull {say.newtons(step.weakest_n)} instead of {say.newtons(step.weakest_before_n)}"
        return f"{price}: {say.parts(step.plan.mix)}; {pulls}"

    def _more(self, more: int) -> str:
        over = words.over(self._found.least, self._found.problem.case.money.years)
        return f"{self._say.amount(more)} more{over}" if more else "at the same price"

    def _ways(self) -> Iterator[Row]:
        others = [way for way in self._told.ways if self._is_other(way)]
        if not others:
            return
        beyond = [way.standing is not Standing.OPEN for way in others]
        mixed = not all(beyond)
        told = [
            f"{_WAYS[way.way]} {self._say.whole(way.cost.high)}{' (beyond your limits)' if over and mixed else ''}"
            for way, over in zip(others, beyond, strict=True)
            if way.cost
        ]
        every = "" if mixed else ", beyond your limits" if len(others) == 1 else "; none within limits"
        yield Row("Else", f"{capital(', '.join(told))} {self._say.rules.currency}{every}.", Drop.ELSE)

    def _is_other(self, way: Strategy) -> bool:
        same = way.plan and self._best and way.plan.keys == self._best.keys
        return way.cost is not None and way.standing is not Standing.CLOSED and not same

    def _trust(self) -> Iterator[Row]:
        hangs = self._told.hangs
        if hangs is None:
            return
        weak = len(hangs.hangs_on("invented", "memory"))
        told = "No guessed figure by itself changes this choice; the cost still moves."
        if weak:
            least = "" if hangs.complete else "at least "
            figures = "one guessed figure could" if weak == 1 else f"{weak} guessed figures could each"
            told = f"{capital(least + figures)} change this. Load your own prices."
        elif not hangs.complete:
            told = "Not all guessed figures could be tried in the time; load your own prices."
        yield Row("Trust", told, Drop.TRUST)


def screen_of(problem: Problem, told: Told) -> FirstScreen:
    """The first screen of an answer, in the figures of its case."""
    return FirstScreen(told, Figures.of(problem.case.locale))
