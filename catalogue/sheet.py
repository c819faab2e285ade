"""The border between files and models: a pydantic base, and its complaints turned into placed `Mistake`s."""

from __future__ import annotations

import difflib
import json
import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any, NamedTuple, TypeVar, get_args

from pydantic import BaseModel, ConfigDict, ValidationError
from pydantic_core import ErrorDetails

from catalogue.mistakes import InputError, Mistake
from catalogue.names import SAYS
from catalogue.numerals import OWN_UNITS, in_mm, meant, unit_of
from catalogue.yaml_text import Document, Loc


class Sheet(BaseModel):
    """Base of everything read from a file: frozen, no unknown keys, no silent conversion, no infinities."""

    model_config = ConfigDict(frozen=True, extra="forbid", strict=True, allow_inf_nan=False)


S = TypeVar("S", bound=Sheet)


def read_sheet(model: type[S], document: Document) -> S:
    """Validate a document; raise `InputError` with every mistake, each at its line and column."""
    try:
        # JSON mode: lists fill tuples and words fill enums, yet "4" is still no number.
        return model.model_validate_json(json.dumps(document.data))
    except ValidationError as error:
        raise InputError(tuple(_mistake(model, document, detail) for detail in _telling(error.errors()))) from None


def _telling(details: Iterable[ErrorDetails]) -> Iterator[ErrorDetails]:
    """Where a number, a word or a list may stand, only the complaint that fits what was written."""
    for detail in details:
        branch, is_word = str(detail["loc"][-1:]), isinstance(detail["input"], str)
        off_branch = (
            ("literal[" in branch and not is_word)
            or ("constrained-float" in branch and is_word)
            or (re.search(r"\bint\b", branch) and isinstance(detail["input"], list))
            or ("tuple[" in branch and is_word)
        )
        if not off_branch:
            yield detail


def _mistake(model: type[BaseModel], document: Document, detail: ErrorDetails) -> Mistake:
    loc = _loc_in(document, detail["loc"])
    place = document.place(loc)
    if detail["type"] == "extra_forbidden":
        place = document.keys.get(loc, place)
    problem, advice = _say(model, detail)
    missing = detail["type"] == "missing" and isinstance(detail["loc"][-1], str)
    return Mistake(place, _dotted(detail["loc"] if missing else loc), problem, advice)


def _loc_in(document: Document, loc: Loc) -> Loc:
    """The part of pydantic's location that is written in the document (tags of unions are not)."""
    found: Loc = ()
    for step in loc:
        if (*found, step) in document.places:
            found = (*found, step)
    return found


def _dotted(loc: Iterable[str | int]) -> str:
    return ".".join(str(step) for step in loc if not str(step).endswith("]"))


COMMA = "a comma between braces ends an entry; write decimals with a point, e.g. `13.5`"

_EXPECTED = {
    "finite_number": ("a finite number", "write the measured value"),
    "bool_type": ("true or false", "write `true` or `false`"),
    "tuple_type": ("a list", "put it in brackets: `[...]`"),
    "string_type": ("text", "put it in quotes"),
    **dict.fromkeys(("int_type", "int_from_float"), ("a whole number", "write it without quotes and point")),
    **dict.fromkeys(("model_type", "dict_type"), ("`key: value` lines", "indent its entries under the key")),
}


def _say(model: type[BaseModel], detail: ErrorDetails) -> tuple[str, str]:
    """What is wrong and what to write instead, in the voice of the project."""
    got, name = _shown(detail["input"]), detail["loc"][-1] if detail["loc"] else ""
    if expected := _EXPECTED.get(detail["type"]):
        return f"expected {expected[0]}, got {got}", expected[1]
    match detail["type"]:
        case "missing" if isinstance(name, int):
            return f"expected more values, got {got}", "write them all, in brackets"
        case "missing":
            return f"`{name}` is missing", "add it (`regrip schema` lists the keys)"
        case "too_long" | "too_short":
            most, least = detail["ctx"].get("max_length"), detail["ctx"].get("min_length")
            return f"expected {f'at least {least}' if most is None else f'at most {most}'} in the list, got {got}", ""
        case "extra_forbidden":
            comma = str(name).isdigit() and detail["input"] is None
            meant = COMMA if comma else _meant(str(name), _keys(model, detail["loc"]))
            return f"`{name}` is not known here", meant
        case "float_type":
            return f"expected a number, got {got}", _number_advice(detail["input"], name)
        case "literal_error":
            return _not_a_word(detail)
        case "greater_than_equal" | "greater_than" | "less_than_equal" | "less_than":
            return f"expected {_bound(detail)}, got {got}", "check the unit"
        case "string_pattern_mismatch":
            return f"{got} cannot stand here", SAYS[detail["ctx"]["pattern"]]
        case _:
            own = detail["type"] == "value_error"
            problem, _, advice = str(detail["ctx"]["error"] if own else detail["msg"]).partition("; ")
            return (problem if own else problem[:1].lower() + problem[1:]), advice


def _not_a_word(detail: ErrorDetails) -> tuple[str, str]:
    """A word that is none of those allowed; in a choice a number may stand there as well."""
    got = _shown(detail["input"])
    words = str(detail["ctx"]["expected"]).replace(" or ", ", ").replace("'", "").split(", ")
    if "literal[" in str(detail["loc"][-1]):
        return f"expected a number or `{'`, `'.join(words)}`, got {got}", _number_advice(detail["input"])
    close = difflib.get_close_matches(str(detail["input"]), words, n=1)
    return f"{got} is not one of {', '.join(words)}", f"did you mean `{close[0]}`?" if close else ""


def _bound(detail: ErrorDetails) -> str:
    """`more than 0`, `at most 40`."""
    words = {"gt": "more than", "ge": "at least", "lt": "less than", "le": "at most"}
    return next(f"{words[key]} {value:g}" for key, value in detail["ctx"].items() if key in words)


def _number_advice(given: object, name: object = "") -> str:
    """What to write instead, in the field of this name."""
    plainly = "write a plain decimal number such as 1.8"
    if not isinstance(given, str) or (number := meant(given)) is None:
        return plainly
    if re.search(r"[^\d.,' \s+-]", given):
        return _unit_advice(given, number, str(name)) or plainly
    if given.strip() == number:
        return f"write `{number}` without quotes"
    return f"write `{number}`" + (", with a point" if "." in number else "")


def _unit_advice(given: str, number: str, name: str) -> str:
    """What to write for a number with a unit behind it; empty where no unit stands there."""
    unit = unit_of(given)
    if name.endswith("_mm") and (mm := in_mm(given)) is not None:
        return f"{given.strip()} is {mm} mm: write `{mm}`"
    if unit in OWN_UNITS:
        return f"write the number without its unit: `{number}`"
    return "convert it to the unit that is asked for, and write the number alone" if unit[:1].isalpha() else ""


def _shown(value: object) -> str:
    text = json.dumps(value, ensure_ascii=False) if not isinstance(value, str) else f"'{value}'"
    return text if len(text) <= 60 else text[:57] + "..."


def _meant(word: str, known: Iterable[str]) -> str:
    known = list(known)
    close = difflib.get_close_matches(word, known, n=1)
    listed = f"known: {', '.join(known)}" if known else ""
    return f"did you mean `{close[0]}`?" if close else listed


def _keys(model: type[BaseModel], loc: Loc) -> list[str]:
    """The keys allowed beside an unknown one."""
    here: type[BaseModel] | None = model
    for step in loc[:-1]:
        if here is not None and isinstance(step, str) and step in here.model_fields:
            here = _inner(here.model_fields[step].annotation)
    return list(here.model_fields) if here else []


def _inner(annotation: Any) -> type[BaseModel] | None:
    """The model that a field holds, itself or inside a tuple, mapping or optional."""
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        return annotation
    return next((found for part in get_args(annotation) if (found := _inner(part))), None)


class Finding(NamedTuple):
    """A mistake that no single field can know of, before its place is looked up."""

    problem: str
    advice: str = ""


def refuse(document: Document, findings: Mapping[Loc, Finding]) -> None:
    """Raise `InputError` for the findings, each at its place; do nothing when there are none."""
    if findings:
        raise InputError(
            tuple(
                Mistake(document.place(loc), _dotted(loc), finding.problem, finding.advice)
                for loc, finding in findings.items()
            )
        )
