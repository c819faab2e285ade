"""One text of a case worked out: each part when it is first asked for, and kept for the next job on the same text."""

from __future__ import annotations

from collections import OrderedDict
from functools import cached_property

from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from cli.exit import BadInput
from cli.files.desk import Desk, desk_of
from cli.files.proposal import checked, proposed
from cli.files.reading import catalogue_of
from cli.page.work.case_words import Voice
from cli.page.work.messages import Asked
from cli.page.work.scan_job import Bars
from solver.assess.assessment import Assessment
from solver.assess.oracle import Mechanics
from solver.assess.rejections import RuledOut, ruled_out
from solver.case.reading import read_case
from solver.choose.check import Checked
from solver.choose.plan import Answer, plan
from solver.choose.search import Options
from solver.explore.sensitivity import ENOUGH_S, Sensitivity, sensitivity
from solver.explore.strategies import Strategy, strategies

KEPT = 8
"""Texts whose answers are kept: undo, redo and several jobs on one text cost nothing again."""


class Worked:
    """One text worked out."""

    def __init__(self, text: str, name: str, catalogue: Catalogue) -> None:
        self.text, self.name = text, name
        document = parse_yaml(text, name)
        self.desk: Desk = desk_of(document, read_case(document), catalogue)

    @cached_property
    def answer(self) -> Answer:
        """The plan."""
        return plan(self.desk.case, self.desk.catalogue)

    @cached_property
    def answers(self) -> Answer:
        """The three best plans."""
        return plan(self.desk.case, self.desk.catalogue, Options(plans=3))

    @cached_property
    def voice(self) -> Voice:
        """The words."""
        return Voice.of(self.desk, self.answer.problem)

    @cached_property
    def out(self) -> tuple[RuledOut, ...]:
        """What is ruled out."""
        return tuple(ruled_out(self.answer.problem, Mechanics(self.answer.problem)))

    @cached_property
    def ways(self) -> tuple[Strategy, ...]:
        """The ways out side by side."""
        return strategies(self.answer.problem)

    @cached_property
    def hangs(self) -> Sensitivity:
        """What the choice hangs on."""
        return sensitivity(self.answer, Options(time_limit_s=ENOUGH_S))

    @cached_property
    def by_hand(self) -> Checked | BadInput | None:
        """The mix of the file judged; None where there is none, `BadInput` where it cannot be put there."""
        try:
            mix = proposed(self.desk)
            return checked(self.desk, mix) if mix else None
        except BadInput as error:
            return error
        except InputError as error:
            first = error.mistakes[0]
            return BadInput(f"{first.where}: {first.problem}", first.advice)

    @property
    def hand_plan(self) -> Assessment | None:
        """The mix of the file where it could be judged."""
        return self.by_hand.plan if isinstance(self.by_hand, Checked) else None


class Library:
    """The catalogue, loaded once, the texts worked out last, and the scan measured last."""

    def __init__(self, overlays: tuple[str, ...]) -> None:
        self.catalogue, self.bars = catalogue_of(overlays), Bars()
        self._worked: OrderedDict[tuple[str, str], Worked] = OrderedDict()

    def worked(self, asked: Asked) -> Worked:
        """The text of a job; raises `InputError` where it is no case."""
        key = (asked.text, asked.name)
        if key not in self._worked:
            self._worked[key] = Worked(asked.text, asked.name, self.catalogue)
            while len(self._worked) > KEPT:
                self._worked.popitem(last=False)
        self._worked.move_to_end(key)
        return self._worked[key]
