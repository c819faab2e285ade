"""A case that is being written: sound after every answer, because the loader itself judges each one."""

from __future__ import annotations

from collections.abc import Mapping
from copy import copy, deepcopy
from typing import Any

from catalogue.mistakes import InputError
from catalogue.yaml_text import Document, Loc
from cli.interview.prompts import Unusable
from solver.case.reading import read_case
from solver.case.schema import Case

# What no answer has replaced yet; a case without supports and money is none.
_SEED = {
    "arch": "lower",
    "supports": {"seed": {"at_mm": [0, 0, 0]}},
    "money": {"bench_per_hour": 0, "chair_per_hour": 0},
}


class Draft:
    """The data of a case file under way."""

    def __init__(self, title: str, currency: str) -> None:
        self._data: dict[str, Any] = deepcopy(_SEED)
        self._data["case"] = title
        self._data["money"]["currency"] = currency
        self.case = _judged(self._data)

    def put(self, loc: Loc, value: Any) -> None:
        """Set what stands at `loc`; raises `Unusable`, and changes nothing, where the loader would refuse it."""
        self.put_all({loc: value})

    def put_all(self, values: Mapping[Loc, Any]) -> None:
        """Set several at once: all of them, or none where the loader would refuse one."""
        data = deepcopy(self._data)
        for loc, value in values.items():
            place: Any = data
            for step in loc[:-1]:
                place = place.setdefault(step, {})
            place[loc[-1]] = value
        self.case = _judged(data)
        self._data = data

    def copy(self) -> Draft:
        """The same so far; what is put into one is not in the other."""
        other = copy(self)
        other._data = deepcopy(self._data)
        return other

    def data(self) -> dict[str, Any]:
        """Everything answered, in the order of the model."""
        return {key: deepcopy(self._data[key]) for key in Case.model_fields if key in self._data}


def _judged(data: dict[str, Any]) -> Case:
    try:
        return read_case(Document("answers", data, {}, {}))
    except InputError as error:
        first = error.mistakes[0]
        raise Unusable(first.problem, first.advice) from None
