"""A case told as on the telephone: what is asked, what is said between, and that the file is what was told."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection, Mapping
from pathlib import Path
from typing import TypeVar

import pytest

import catalogue.load
from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from cli.files.case_text import case_text
from cli.interview.call import Plan, call
from cli.interview.prompts import Unusable
from solver.assess.assessment import Status
from solver.case.provenance import Place
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.explore.so_far import SoFar, so_far

T = TypeVar("T")
STARTER = Path(catalogue.load.__file__).parent / "starter"

MOST_TO_A_SPAN, MOST_TO_A_PLAN = 8, 15
"""Answers that a call on two implants may take (issue 21)."""

SPAN = re.compile(r"between [\d,]+ and [\d,]+ EUR|about [\d,]+ to [\d,]+ EUR")


class Practitioner:
    """Answers by what is asked; a list is used up, its last entry stays. Keeps what was asked and said."""

    def __init__(self, knows: Mapping[str, str | list[str]]) -> None:
        self._knows = {about: list(said) if isinstance(said, list) else [said] for about, said in knows.items()}
        self.asked: list[str] = []
        self.told: list[str] = []
        self._answers_before: list[int] = []

    def after_answers(self, said: re.Pattern[str]) -> int:
        """How many answers it took until something was said."""
        return next(many for many, line in zip(self._answers_before, self.told, strict=True) if said.search(line))

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        """As a person at a terminal, who is asked again where an answer cannot be taken."""
        while True:
            self.asked.append(question)
            assert len(self.asked) < 60, self.asked[-5:]
            try:
                return take(self._answer(question) or default or "")
            except Unusable as unusable:
                self.tell(str(unusable))

    def tell(self, said: str) -> None:
        self.told.append(said)
        self._answers_before.append(len(self.asked))

    def _answer(self, question: str) -> str:
        for about, answers in self._knows.items():
            if re.search(about, question):
                return answers.pop(0) if len(answers) > 1 else answers[0]
        return ""


@pytest.fixture(scope="module")
def starter() -> Catalogue:
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(catalogue.load, "STARTER", STARTER)
        return load_catalogue()


@pytest.fixture
def plans(starter: Catalogue) -> Plan:
    def planned(case: Case, passed: Collection[Place], before: SoFar | None) -> SoFar:
        return so_far(case, starter, passed=passed, before=before)

    return planned


RATES = {"hour at the bench": "50", "hour at the chair": "120"}
BAR = {"section has": "round", "ow wide is": "1.8", "undercut": "0.4", "gap": "2", "space is": "14", "top of": "5"}
LOWER_TWO = {"Which jaw": "lower", "Where are": "43 33", "left of the bar": "all", "run on": "no", **RATES, **BAR}
UPPER_FOUR = {
    "Which jaw": "upper", "Where are": "14 12 22 24", "left of the bar": "all", "run on": "no", **RATES, **BAR,
}  # fmt: skip
GIVEN_UP = {
    "Which jaw": "upper", "Where are": "14 12 22 24", "left of the bar": "none", **RATES, "make and size": "yes",
    "firm": "yes", "bone": "enough", "lean": "5 5 10 5", "room is": "12", "How wide can": "11",
}  # fmt: skip


def test_two_implants_with_a_bar_reach_a_span_and_a_plan_in_few_answers(plans: Plan) -> None:
    """The clip that the vignette 01 expects; a list of questions asked 33."""
    person = Practitioner(LOWER_TWO)

    told = call(person, "case", "EUR", plans)

    first = next(number for number, said in enumerate(person.told) if SPAN.search(said))
    assert "Too little known, six answers needed first: between" in person.told[first]
    spans = [line for line in person.told if SPAN.search(line)]
    assert told.found is not None
    assert told.found.best is not None
    assert Status.FITS is told.found.status
    assert ["A=clip-round-polymer-5"] == list(told.found.best.keys)
    assert MOST_TO_A_SPAN >= person.after_answers(SPAN)
    assert MOST_TO_A_PLAN >= person.after_answers(re.compile("Fits: about"))
    assert spans[-1].startswith("Fits: about")


def test_the_first_answer_comes_after_jaw_implants_and_bar(plans: Plan) -> None:
    person = Practitioner({**LOWER_TWO, "hour at the bench": "stop"})

    told = call(person, "case", "EUR", plans)

    assert 4 == told.answers <= MOST_TO_A_SPAN
    assert any(SPAN.search(line) for line in person.told)
    assert any(line.startswith("Parts alone") for line in person.told)


def test_the_first_measure_asked_is_one_that_all_hangs_on(plans: Plan) -> None:
    """Under 11 mm between the jaws nothing fits; the gap under the bar moves the price by a few euro."""
    person = Practitioner(LOWER_TWO)
    call(person, "case", "EUR", plans)
    measures = [question for question in person.asked if "Needed" in question]

    assert measures[0].endswith("Otherwise nothing fits. (round, ovoid, parallel, keyhole)") or (
        measures[0].endswith("Needed: at least 11 mm. Otherwise nothing fits.")
    )


@pytest.mark.parametrize("knows", [LOWER_TWO, UPPER_FOUR, GIVEN_UP], ids=["lower two", "upper four", "given up"])
def test_the_file_is_what_was_told(knows: Mapping[str, str], plans: Plan, starter: Catalogue) -> None:
    """It reads back, loads, and says nothing that was not said; a plan of it is the plan that was told."""
    told = call(Practitioner(knows), "case", "EUR", plans)

    document = parse_yaml(case_text(told.data), "case.yaml")
    assert told.data == document.data
    case = read_case(document)
    assert case == told.draft.case
    assert told.found is not None
    again = so_far(case, starter)
    assert again.best is not None
    assert told.found.best is not None
    assert again.best.keys == told.found.best.keys
    assert not set(_leaves(told.data)) - _said(knows) - {"case", "EUR", "lower", "upper"}


def _leaves(data: object) -> list[object]:
    if isinstance(data, dict):
        return [leaf for value in data.values() for leaf in _leaves(value)]
    return [leaf for value in data for leaf in _leaves(value)] if isinstance(data, list) else [data]


def _said(knows: Mapping[str, str]) -> set[object]:
    """Words and numbers of the answers, with what yes means of implants, and the names of implants."""
    words = {word for said in knows.values() for word in said.split()}
    numbers = {float(word) for word in words if re.fullmatch(r"[\d.]+", word)}
    return {*words, *numbers, *(f"i{word}" for word in words), "documented", "firm"}


def test_supports_may_differ(plans: Plan) -> None:
    """Tilts in the order of the question, and the teeth of those that are loose."""
    apart = call(Practitioner(GIVEN_UP), "case", "EUR", plans).draft.case.supports
    loose = call(Practitioner({**GIVEN_UP, "firm": "12 loose"}), "case", "EUR", plans).draft.case.supports

    assert [5, 5, 10, 5] == [support.tilt_deg.value for support in apart.values()]
    assert {"firm"} == {support.mobility for support in apart.values()}
    assert ["firm", "loose", "firm", "firm"] == [support.mobility for support in loose.values()]


def test_what_is_not_known_is_not_asked_again_and_stays_unknown(plans: Plan) -> None:
    person = Practitioner({**LOWER_TWO, "undercut": "?", "gap": "don't know"})

    told = call(person, "case", "EUR", plans)

    assert 1 == sum("undercut" in question for question in person.asked)
    assert {"section", "width_mm", "between"} == set(told.data["segments"]["A"])
    assert told.found is not None
    assert Status.FITS_IF is told.found.status


def test_what_is_skipped_is_asked_last_and_then_left(plans: Plan) -> None:
    person = Practitioner({**LOWER_TWO, "space is": ["skip", "14"], "ow wide is": "skip"})

    told = call(person, "case", "EUR", plans)

    asked = [re.sub(r"^\d+\. ", "", question)[:20] for question in person.asked]
    assert "How much space is be" in asked[-3:]
    assert 2 == asked.count("How wide is the bar?")
    assert {"space_mm": 14, "top_mm": 5} == told.data["room"]


def test_back_gives_an_answer_again(plans: Plan) -> None:
    """Also over the first answer of the program, to where nothing was said yet."""
    person = Practitioner(
        {**LOWER_TWO, "Which jaw": ["back", "upper", "lower"], "Where are": ["back", "43 33"], "hour at the bench": ["back", "50"], "run on": ["no", "both 8"]}  # noqa: E501
    )  # fmt: skip

    told = call(person, "case", "EUR", plans)

    assert "this is the first question" in person.told
    assert "lower" == told.data["arch"]
    assert {"E43": {"on": "i43", "length_mm": 8}, "E33": {"on": "i33", "length_mm": 8}} == {
        name: {key: end[key] for key in ("on", "length_mm")} for name, end in told.data["ends"].items()
    }


@pytest.mark.parametrize("word", ["stop", "skip"])
def test_a_case_needs_jaw_and_implants(word: str, plans: Plan) -> None:
    person = Practitioner({**LOWER_TWO, "Which jaw": [word, "lower"], "hour at the bench": "stop"})

    told = call(person, "case", "EUR", plans)

    assert any(said.startswith("a case needs jaw, implants and what is left of the bar") for said in person.told)
    assert {"i43", "i33"} == set(told.data["supports"])


BARS = {
    "all": ("all", [("i44", "i42"), ("i42", "i32"), ("i32", "i34")]),
    "none": ("none", []),
    "lost": ("lost", []),
    "runs": ("44-42, 32-34", [("i44", "i42"), ("i32", "i34")]),
    "a run over three": ("44-32", [("i44", "i42"), ("i42", "i32")]),
    "from left to right": ("34-32", [("i32", "i34")]),
}


@pytest.mark.parametrize(("said", "joined"), BARS.values(), ids=BARS)
def test_what_is_left_of_the_bar(said: str, joined: list[tuple[str, str]], plans: Plan) -> None:
    person = Practitioner(
        {"Which jaw": "lower", "Where are": "44 42 32 34", "left of the bar": said, "run on|hour": "stop"}
    )

    told = call(person, "case", "EUR", plans)

    assert joined == [segment.between for segment in told.draft.case.segments.values()]


BAD_ANSWERS = {
    "no implant there": ("left of the bar", "43-35", "no implant stands at 35; the implants are 43 33"),
    "no stretch": ("left of the bar", "most of it", "'most of it' names no stretch of bar"),
    "bar not known": ("left of the bar", "?", "this cannot be left open"),
    "no end there": ("run on", "42 8", "no bar ends at 42; it ends at 43 and 33"),
    "end without length": ("run on", "43", "'43' names no end with its length; write `no`, or e.g. `43 8`"),
    "end in inches": ("run on", "0.3 in", "'0.3 in' is in inches, and all here is in mm"),
    "inches": ("space is", "1/2 in", "'1/2 in' is in inches, and all here is in mm; it is 12.7 mm: write `12.7`"),
    "another unit": ("space is", "3 cm", "expected a number, got '3 cm'; 3 cm is 30 mm: write `30`"),
    "beyond any jaw": ("space is", "140", "140 is no space between the jaws, which is 0 to 45 mm; check the unit"),
    "no section": ("section has", "square", "'square' is not one of round, ovoid, parallel, keyhole"),
    "thousands": ("hour at the chair", "1,200", "'1,200' may be 1200 or 1.200"),
}


@pytest.mark.parametrize(("about", "said", "message"), BAD_ANSWERS.values(), ids=BAD_ANSWERS)
def test_a_bad_answer_is_explained_and_asked_again(about: str, said: str, message: str, plans: Plan) -> None:
    rest = {"hour at the bench": "stop"} if about in ("left of the bar", "run on") else {}
    again = LOWER_TWO[about] if rest else "stop"
    person = Practitioner({**LOWER_TWO, **rest, about: [said, again]})

    told = call(person, "case", "EUR", plans)

    assert any(line.startswith(message) for line in person.told), person.told
    assert 2 == sum(re.search(about, question) is not None for question in person.asked)
    assert {"A": ("i43", "i33")} == {name: each.between for name, each in told.draft.case.segments.items()}
    assert "ends" not in told.data
    assert said not in _leaves(told.data)


def test_where_nothing_keeps_the_limits_the_bar_may_come_off(plans: Plan) -> None:
    """A cap under everything on the bar leaves one more thing to ask."""
    person = Practitioner({**LOWER_TWO, "cap|Most that": "10", "come off": "no"})

    told = call(person, "case", "EUR", plans)

    assert any("May the bar come off for good?" in question for question in person.asked)
    assert told.found is not None
    assert Status.RELAXED is told.found.status
    assert any(said.startswith("Fits only if something is given up: about") for said in person.told)
    assert 10 == told.data["money"]["cap"]
    assert {"bar_off": False} == told.data["allowed"]
