"""A proposed mix on its first screen: the verdict, how it holds and moves, which parts fight, what it breaks."""

from __future__ import annotations

from collections.abc import Iterator

from cli.wording.numbers import Figures
from cli.wording.places import capital
from cli.wording.screen import DECIDES, MixWords, Row
from cli.wording.words import have
from solver.case.rules import NoFight, waivable
from solver.choose.check import Checked


class CheckScreen:
    """Says the answer of `check`: the verdict on a mix that somebody proposes, and what it breaks."""

    def __init__(self, found: Checked, figures: Figures) -> None:
        self._found = found
        self._say = MixWords(found.problem, figures)

    def head(self) -> str:
        """The jaw and what stands in it."""
        return self._say.places.head()

    def verdict(self) -> str:
        """The answer in plain words, with the gravest caution in it."""
        return self._say.verdict(self._found.status, self._found.answer.tier, self._found.plan)

    def money(self) -> str:
        """What it costs, rounded as people say it, and the cap."""
        return self._say.money(self._found.status, self._found.plan)

    def rows(self) -> Iterator[Row]:
        """Fit, hold, movement, what it breaks, what it asks."""
        say, plan = self._say, self._found.plan
        yield from say.teeth()
        yield from say.fitted(plan)
        for refusal in self._found.refusals:
            judged, where = refusal.judgement, say.places.site(refusal.candidate.site.id)
            yield Row("Cannot", f"{where}: {judged.label} {have(judged)}, needs {judged.want}.")
        if plan.mix:
            yield Row("Hold", say.hold(plan))
            yield Row("Moves", say.moves(plan))
        for rule in self._found.broken:
            if not waivable(rule) and not isinstance(rule, NoFight):  # the movement names the fight
                yield Row("Breaks", f"{capital(say.rules.rule(rule))}.")
        yield from say.gives(plan)
        yield from say.ask(plan)
        if plan.mix:
            yield Row("Cost", say.years(plan))
        yield from say.risks(plan)
        yield Row("More", f"--full | plan | why | report     {DECIDES}")
