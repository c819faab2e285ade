"""A case with an answer filled in, as if it stood in the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple, TypeVar

from catalogue.sheet import Sheet
from solver.case.provenance import Place
from solver.case.schema import Case
from solver.case.sites import Fact
from solver.fit.candidate import Question

S = TypeVar("S", bound=Sheet)


class Answer(NamedTuple):
    """What a question is answered with, the same at all of its places."""

    question: Question
    value: Fact


def answered(case: Case, answer: Answer) -> Case:
    """The same case with an answer filled in."""
    for place in answer.question.places:
        case = _put(case, place, answer.value)
    return case


def entry_at(case: Case, place: Place) -> Any:
    """What a case says at a place."""
    here: Any = case
    for key in place:
        here = here[key] if isinstance(here, Mapping) else getattr(here, key)
    return here


def _put(sheet: S, place: Place, value: Fact) -> S:
    key, *rest = place
    inner = getattr(sheet, key)
    if not rest:
        return sheet.model_copy(update={key: value})
    if isinstance(inner, Mapping):
        name, *deeper = rest
        return sheet.model_copy(update={key: {**inner, name: _put(inner[name], tuple(deeper), value)}})
    return sheet.model_copy(update={key: _put(inner, tuple(rest), value)})
