"""Figures as people say them: with a decimal comma, with their unit, and never in inches."""

from __future__ import annotations

import re
from fractions import Fraction
from typing import Any

from catalogue.yaml_text import plain
from cli.interview.prompts import Unusable

_INCH_MM = 25.4
_WHOLE_OR_DECIMAL = r"\d+(?:[.,]\d+)?"
_COMMA = re.compile(r"(?<![\d.,])(\d+),(\d+)(?![\d.,])")
_FRACTION = re.compile(r"\s*(?:(\d+)\s+)?(\d+)\s*/\s*(\d+)\s*(.*)", re.DOTALL)
_INCHES = re.compile(rf"\s*({_WHOLE_OR_DECIMAL})\s*(?:in|inch|inches|\"|\N{{DOUBLE PRIME}})\s*", re.IGNORECASE)
_INCH_WORDS = frozenset({"in", "inch", "inches", '"', "\N{DOUBLE PRIME}"})

UNITS = {
    "mm": ("mm", "millimetre", "millimetres", "millimeter", "millimeters"),
    "deg": ("degrees", "degree", "deg", "\N{DEGREE SIGN}"),
    "N": ("newtons", "newton", "n"),
    "MPa": ("mpa",),
    "years": ("years", "year", "y"),
}
"""Ways to say the unit that is asked for; the longest first."""


def figure(text: str, unit: str) -> Any:
    """The figure of an answer, without its unit and with a decimal point; raises `Unusable` for inches and fractions.

    What is no figure comes back as it is, for the one who judges it.

    >>> figure("3 mm", "mm"), figure("1,8 +- 0,1 mm", "mm"), figure("unknown", "mm")
    (3, '1.8 +- 0.1', 'unknown')
    """
    _refuse_inches(text)
    own = "|".join(map(re.escape, UNITS.get(unit, (unit,))))
    bare = re.sub(rf"(?<=[\d.])\s*(?:{own})(?![a-z])", "", text.strip(), flags=re.IGNORECASE)
    return plain(_COMMA.sub(r"\1.\2", bare))


def amount(text: str, currency: str) -> Any:
    """A sum of money, without its currency; raises `Unusable` where a comma may stand between thousands."""
    bare = re.sub(rf"^\s*{currency}\s*|\s*{currency}\s*$", "", text.strip(), flags=re.IGNORECASE)
    if found := re.fullmatch(r"(\d{1,3}),(\d{3})", bare):
        raise Unusable(
            f"'{text}' may be {''.join(found.groups())} or {found[1]}.{found[2]}",
            "leave the comma between thousands out",
        )
    return plain(_COMMA.sub(r"\1.\2", bare))


def _refuse_inches(text: str) -> None:
    if found := _FRACTION.fullmatch(text):
        whole, over, under, rest = found.groups()
        if int(under):
            value = int(whole or 0) + float(Fraction(int(over), int(under)))
            if rest.strip().casefold() in _INCH_WORDS:
                raise _inches(text, value)
            if not rest.strip() or rest.strip().casefold() in UNITS["mm"]:
                raise Unusable(f"'{text.strip()}' is a fraction", f"write it as a decimal: `{value:.4g}`")
    elif found := _INCHES.fullmatch(text):
        raise _inches(text, float(found[1].replace(",", ".")))


def _inches(text: str, value: float) -> Unusable:
    mm = f"{value * _INCH_MM:.4g}"
    return Unusable(f"'{text.strip()}' is in inches, and all here is in mm", f"it is {mm} mm: write `{mm}`")
