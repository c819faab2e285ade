"""A measured number: a value with an error, or not known."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from math import inf, isfinite
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from catalogue.numerals import OWN_UNITS, in_mm, meant, unit_of

NUMBER = r"[-+]?(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+]?[0-9]+)?"
"""A decimal number; one way to read each text, so that a very long one is refused in no time."""

_WITH_ERROR = re.compile(rf"\s*({NUMBER})\s*(?:\+-|\+/-|±)\s*({NUMBER})\s*")
UNKNOWN_WORD = "unknown"
LONGEST = 200
"""Characters of a measure; a longer text is a slip, and is not repeated in the message."""


@dataclass(frozen=True, slots=True)
class Measure:
    """`value` with a symmetric `error` (same unit); `value` None means not known.

    In a file: `1.8`, `1.8 +- 0.1` or `unknown`.

    >>> Measure.read("1.8 +- 0.1")
    Measure(value=1.8, error=0.1)
    >>> str(Measure.read("unknown"))
    'unknown'
    """

    value: float | None = None
    error: float = 0.0

    @classmethod
    def read(cls, given: object) -> Measure:
        """From what stands in a file; ValueError says what to write instead."""
        if isinstance(given, Measure):
            return given
        if isinstance(given, bool) or not isinstance(given, int | float | str):
            raise ValueError(
                f"expected a number, got {json.dumps(given, default=str)}; write `1.8`, `1.8 +- 0.1` or `unknown`"
            )
        if isinstance(given, str):
            return cls._from_text(given)
        return cls(_finite(given))

    @classmethod
    def _from_text(cls, given: str) -> Measure:
        if len(given) > LONGEST:
            raise ValueError(
                f"expected a number, got {len(given)} characters; write `1.8`, `1.8 +- 0.1` or `unknown`"
            )
        if given.strip().lower() == UNKNOWN_WORD:
            return cls()
        if found := _WITH_ERROR.fullmatch(given):
            value, error = _finite(found[1]), _finite(found[2])
            if error < 0:
                raise ValueError(f"the error of '{given}' is negative; write `{value:g} +- {-error:g}`")
            return cls(value, error)
        raise ValueError(f"expected a number, got '{given}'; {_advice(given)}")

    @property
    def known(self) -> bool:
        """True where a value was measured."""
        return self.value is not None

    @property
    def low(self) -> float:
        """Least value within the error; minus infinity where not known."""
        return float("-inf") if self.value is None else self.value - self.error

    @property
    def high(self) -> float:
        """Largest value within the error; infinity where not known."""
        return float("inf") if self.value is None else self.value + self.error

    def shifted(self, by: float, error: float = 0.0) -> Measure:
        """The same measure raised by an amount that may have an error of its own (worst case: they add up)."""
        return self if self.value is None else Measure(self.value + by, self.error + error)

    def less(self, other: Measure) -> Measure:
        """Difference; the errors add up (worst case)."""
        if self.value is None or other.value is None:
            return Measure()
        return Measure(self.value - other.value, self.error + other.error)

    def __str__(self) -> str:
        if self.value is None:
            return UNKNOWN_WORD
        value = f"{self.value:.4g}"
        return f"{value} +- {self.error:.2g}" if self.error else value

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_plain_validator_function(
            cls.read, serialization=core_schema.plain_serializer_function_ser_schema(_written)
        )

    @classmethod
    def __get_pydantic_json_schema__(cls, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        with_error = {"type": "string", "pattern": rf"^\s*{NUMBER}\s*(\+-|\+/-|±)\s*{NUMBER}\s*$"}
        letters = "".join(f"[{letter.upper()}{letter}]" for letter in UNKNOWN_WORD)
        in_capitals = {"type": "string", "pattern": rf"^\s*{letters}\s*$"}
        return {
            "description": "a number, a number with its error (`1.8 +- 0.1`), or `unknown`",
            "anyOf": [{"type": "number"}, {"const": UNKNOWN_WORD}, with_error, in_capitals],
        }


def _finite(given: float | str) -> float:
    try:
        number = float(given)
    except OverflowError:  # a whole number of hundreds of digits
        number = inf
    if not isfinite(number):
        raise ValueError("expected a finite number; write the measured value or `unknown`")
    return number


def _written(measure: Measure) -> float | str:
    if measure.value is None:
        return UNKNOWN_WORD
    return f"{measure.value!r} +- {measure.error!r}" if measure.error else measure.value


def _advice(given: str) -> str:
    number = meant(given)
    if number is None:
        return "write `1.8`, `1.8 +- 0.1` or `unknown`"
    if (mm := in_mm(given)) is not None:
        return f"{given.strip()} is {mm} mm: write `{mm}`"
    unit = unit_of(given)
    if unit in OWN_UNITS:
        return f"write the number without its unit: `{number}`"
    if unit[:1].isalpha():
        return "convert it to the unit that is asked for, and write the number alone"
    return f"write `{number}`, or `{number} +- 0.1` with its error"


UNKNOWN = Measure()
