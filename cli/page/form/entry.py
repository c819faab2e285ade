"""What a person types into a field, as a value of the file; and a value of the file as it is shown in the field."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, Literal, NamedTuple, TypeAlias

from babel.numbers import format_decimal

from cli.interview.prompts import Unusable, is_not_known
from cli.legible import legible
from cli.page.form.edit import Value
from cli.wording.numbers import Figures
from solver.case.measure import UNKNOWN_WORD, Measure

Kind: TypeAlias = Literal["measure", "number", "amount", "text", "word", "tick", "words", "place", "spot", "point"]

_DECIMAL = re.compile(r"[-+]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)")
_TWO_WAYS = re.compile(r"[-+]?[0-9]{1,3}[.,][0-9]{3}")
_BETWEEN = re.compile(r"\s*(?:\+-|\+/-|±)\s*")
_APART = re.compile(r"\s*;\s*|,\s+|\s+")
MOST_LETTERS = 4_000


class Said(NamedTuple):
    """The text of a field and of the small field for its error."""

    value: str
    error: str = ""


class Shown(NamedTuple):
    """A value as it stands in a field."""

    value: str = ""
    error: str = ""


EMPTY = Shown()


def read(kind: Kind, said: Said) -> Value | None:
    """The value meant, None to leave the key out; raises `Unusable` with what to write instead."""
    if len(said.value) > MOST_LETTERS or len(said.error) > MOST_LETTERS:
        raise Unusable(f"this is longer than {MOST_LETTERS} letters", "write less")
    return _READERS[kind](Said(said.value.strip(), said.error.strip()))


def shown(kind: Kind, value: Any, figures: Figures) -> Shown:
    """The other way round; numbers as the locale writes them."""
    match kind:
        case "measure":
            return _measure_shown(value, figures)
        case "tick":
            return Shown("yes" if value else "no")
        case "words":
            return Shown(", ".join(map(str, value or ())))
        case "place" | "spot" | "point" if isinstance(value, list):
            return Shown("; ".join(decimal_shown(one, figures) for one in value))
        case _ if isinstance(value, int | float):
            return Shown(str(value) if kind in ("place", "spot") else decimal_shown(value, figures))
        case _:
            return Shown("" if value is None else str(value))


def decimal(text: str) -> int | float:
    """A number with a point or a comma; raises `Unusable`."""
    plain = text.replace("\N{MINUS SIGN}", "-").replace("\N{NO-BREAK SPACE}", "").strip()
    if _DECIMAL.fullmatch(plain):
        plain = plain.replace(",", ".")
        return float(plain) if "." in plain else int(plain)
    if re.match(r"[-+]?[0-9]", plain):
        raise Unusable(f"'{_short(text)}' is more than a number", "write the number alone, without unit or spaces")
    raise Unusable(f"'{_short(text)}' is no number", "write for instance 1.8 or 1,8, or leave it empty")


def decimal_shown(value: float, figures: Figures) -> str:
    """A number for a field: as many decimals as it has, nothing between thousands."""
    return str(format_decimal(value, format="0.######", locale=figures.locale))


def _measure(said: Said) -> Value:
    parts = _BETWEEN.split(said.value, maxsplit=1)
    value, error = parts[0], parts[1] if len(parts) == 2 else said.error
    if not value or value.casefold() == UNKNOWN_WORD or is_not_known(value):
        return UNKNOWN_WORD
    number = decimal(value)
    if not error:
        return number
    spread = decimal(error)
    if spread < 0:
        raise Unusable("the error is negative", f"write {-spread:g}; it counts both ways")
    return f"{number} +- {spread}" if spread else number


def _measure_shown(value: Any, figures: Figures) -> Shown:
    try:
        measured = Measure() if value is None else Measure.read(value)
    except ValueError:
        return Shown(str(value))
    if measured.value is None:
        return EMPTY
    error = decimal_shown(measured.error, figures) if measured.error else ""
    return Shown(decimal_shown(measured.value, figures), error)


def _number(said: Said) -> Value | None:
    return decimal(said.value) if said.value else None


def _amount(said: Said) -> Value | None:
    """Money: three digits behind a point or comma may be thousands."""
    if _TWO_WAYS.fullmatch(said.value):
        digits = re.sub(r"[.,]", "", said.value)
        raise Unusable(f"'{said.value}' can be read in two ways", f"write {digits}, or two decimals")
    return _number(said)


def _text(said: Said) -> Value | None:
    return legible(said.value) or None


def _word(said: Said) -> Value | None:
    return said.value or None


def _tick(said: Said) -> Value:
    if said.value not in ("yes", "no"):
        raise Unusable(f"'{_short(said.value)}' is neither", "answer yes or no")
    return said.value == "yes"


def _words(said: Said) -> Value | None:
    return [legible(word.strip()) for word in said.value.split(",") if word.strip()] or None


def _place(said: Said) -> Value | None:
    return _tooth_or(said.value, 3, "x, y and z")


def _spot(said: Said) -> Value | None:
    return _tooth_or(said.value, 2, "x and y")


def _point(said: Said) -> Value | None:
    return _numbers(said.value, 3, "x, y and z") if said.value else None


def _tooth_or(text: str, count: int, names: str) -> Value | None:
    if not text:
        return None
    if re.fullmatch(r"[0-9]{1,4}", text):
        return int(text)
    return _numbers(text, count, f"an FDI tooth such as 43, or {names}")


def _numbers(text: str, count: int, names: str) -> list[Any]:
    parts = [part for part in _APART.split(text.strip("[]() ")) if part]
    if len(parts) != count:
        raise Unusable(f"'{_short(text)}' is not understood", f"write {names} in mm with blanks between")
    return [decimal(part) for part in parts]


def _short(text: str) -> str:
    return text if len(text) <= 40 else text[:39] + "\N{HORIZONTAL ELLIPSIS}"


_READERS: Mapping[Kind, Callable[[Said], Value | None]] = {
    "measure": _measure,
    "number": _number,
    "amount": _amount,
    "text": _text,
    "word": _word,
    "tick": _tick,
    "words": _words,
    "place": _place,
    "spot": _spot,
    "point": _point,
}
