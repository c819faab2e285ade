"""What a person reads after a slip: line and column, what is wrong, what to write instead."""

from __future__ import annotations

from typing import Literal

import pytest
from pydantic import Field

from catalogue.blocks import Band, Movement, Need, Pack, Source, Work
from catalogue.mistakes import InputError, Mistake, Place
from catalogue.models import Rework
from catalogue.quantities import QUANTITIES
from catalogue.sheet import Finding, Sheet, read_sheet, refuse
from catalogue.yaml_text import parse_yaml

NAME = "f.yaml"


class Part(Sheet):
    name: str
    colour: Literal["red", "green"] = "red"
    loose: bool = False
    count: int = 1


class Gauge(Sheet):
    bore_mm: float


class Box(Sheet):
    parts: dict[str, Part] = Field(default={})
    rows: tuple[Part, ...] = ()
    pair: tuple[float, float] = (0, 0)


class Shelf(Sheet):
    boxes: dict[str, Box] = Field(default={})


def refused(model: type[Sheet], text: str) -> list[str]:
    with pytest.raises(InputError) as caught:
        read_sheet(model, parse_yaml(text, NAME))
    return [str(mistake).removeprefix(f"{NAME}:") for mistake in caught.value.mistakes]


ADD = "add it (`regrip schema` lists the keys)"
WHOLE = "write it without quotes and point"
INDENT = "indent its entries under the key"
NEED = "of: width_mm\nat_least: 1.7\nsource: s\n"
REWORK = "name: x\nat: [end]\nprice: {low: 0, high: 0, source: s}\nwork: {source: s}\nsource: s\n"

REFUSED = {
    # Keys
    "missing, told at the entry it misses from": (
        Box, "parts:\n  a: {loose: true}\n", [f"2:6: parts.a.name: `name` is missing; {ADD}"]),
    "missing in a list": (Box, "rows:\n  - count: 2\n", [f"2:5: rows.0.name: `name` is missing; {ADD}"]),
    "unknown, told at the key": (
        Need, NEED + "at_mots: 2\n", ["4:1: at_mots: `at_mots` is not known here; did you mean `at_most`?"]),
    "unknown, far from any": (
        Part, "name: x\nzzz: 2\n", ["2:1: zzz: `zzz` is not known here; known: name, colour, loose, count"]),
    "unknown, deep inside": (
        Box, "parts:\n  a: {name: x, colr: red}\n",
        ["2:16: parts.a.colr: `colr` is not known here; did you mean `colour`?"]),
    "unknown, deeper still": (
        Shelf, "boxes:\n  b:\n    parts:\n      a: {name: x, colr: red}\n",
        ["4:20: boxes.b.parts.a.colr: `colr` is not known here; did you mean `colour`?"]),
    "a value as long as is shown whole": (
        Need, NEED + "at_most: " + "x" * 58 + "\n",
        [f"4:10: at_most: expected a number, got '{'x' * 58}'; write a plain decimal number such as 1.8"]),
    "a value too long to be shown whole": (
        Need, NEED + "at_most: " + "x" * 59 + "\n",
        [f"4:10: at_most: expected a number, got '{'x' * 56}...; write a plain decimal number such as 1.8"]),
    "unknown, in a list": (
        Box, "rows:\n  - name: x\n    losse: true\n",
        ["3:5: rows.0.losse: `losse` is not known here; did you mean `loose`?"]),
    # Numbers and units
    "decimal comma": (
        Need, NEED + "at_most: 1,95\n",
        ["4:10: at_most: expected a number, got '1,95'; write `1.95`, with a point"]),
    "thousands": (
        Need, NEED + "at_most: 1.000,00\n",
        ["4:10: at_most: expected a number, got '1.000,00'; write `1000.00`, with a point"]),
    "thousands in the other way": (
        Need, NEED + "at_most: 1,000.5\n",
        ["4:10: at_most: expected a number, got '1,000.5'; write `1000.5`, with a point"]),
    "millions": (
        Need, NEED + "at_most: 1,000,000\n",
        ["4:10: at_most: expected a number, got '1,000,000'; write `1000000`"]),
    "thousands set apart by blanks": (
        Need, NEED + "at_most: 1 000\n",
        ["4:10: at_most: expected a number, got '1 000'; write `1000`"]),
    "decimal comma between braces": (
        Rework, REWORK.replace("low: 0", "low: 13,5"),
        ["3:17: price.5: `5` is not known here; "
         "a comma between braces ends an entry; write decimals with a point, e.g. `13.5`"]),
    "number in quotes": (
        Need, NEED + "at_most: '1.95'\n",
        ["4:10: at_most: expected a number, got '1.95'; write `1.95` without quotes"]),
    "number with its unit": (
        Need, NEED + "at_most: 1.95 mm\n",
        ["4:10: at_most: expected a number, got '1.95 mm'; write the number without its unit: `1.95`"]),
    "number in another unit": (
        Need, NEED + "at_most: 3 kg\n",
        ["4:10: at_most: expected a number, got '3 kg'; "
         "convert it to the unit that is asked for, and write the number alone"]),
    "inches where mm are asked for": (
        Gauge, "bore_mm: 0.07 inch\n",
        ["1:10: bore_mm: expected a number, got '0.07 inch'; 0.07 inch is 1.778 mm: write `1.778`"]),
    "word for a number": (
        Need, NEED + "at_most: wide\n",
        ["4:10: at_most: expected a number, got 'wide'; write a plain decimal number such as 1.8"]),
    "true for a number": (
        Need, NEED + "at_most: true\n",
        ["4:10: at_most: expected a number, got true; write a plain decimal number such as 1.8"]),
    "time of day for a number": (
        Need, NEED + "at_most: 1:30\n",
        ["4:10: at_most: expected a number, got '1:30'; write a plain decimal number such as 1.8"]),
    "not a number": (
        Need, NEED + "at_most: .nan\n",
        ["4:10: at_most: expected a finite number, got NaN; write the measured value"]),
    "infinite": (
        Need, NEED + "at_most: -.inf\n",
        ["4:10: at_most: expected a finite number, got -Infinity; write the measured value"]),
    "so large that it is infinite": (
        Need, NEED + "at_most: 1e400\n",
        ["4:10: at_most: expected a finite number, got Infinity; write the measured value"]),
    "below the least": (
        Pack, "pieces: 0\n", ["1:9: pieces: expected more than 0, got 0; check the unit"]),
    "above the most": (
        Movement, "hinge_deg: 400\nsource: s\n",
        ["1:12: hinge_deg: expected at most 360, got 400; check the unit"]),
    "whole number with a point": (Pack, "pieces: 2.5\n", [f"1:9: pieces: expected a whole number, got 2.5; {WHOLE}"]),
    "whole number in quotes": (Pack, "pieces: '2'\n", [f"1:9: pieces: expected a whole number, got '2'; {WHOLE}"]),
    "whole number as a word": (Pack, "pieces: two\n", [f"1:9: pieces: expected a whole number, got 'two'; {WHOLE}"]),
    # Words
    "slip in a word": (
        Part, "name: x\ncolour: gren\n", ["2:9: colour: 'gren' is not one of red, green; did you mean `green`?"]),
    "another word": (
        Part, "name: x\ncolour: blue\n", ["2:9: colour: 'blue' is not one of red, green"]),
    "number for a word": (
        Part, "name: x\ncolour: 3\n", ["2:9: colour: 3 is not one of red, green"]),
    "no stays a word": (
        Part, "name: x\nloose: no\n", ["2:8: loose: expected true or false, got 'no'; write `true` or `false`"]),
    "1 is not true": (
        Part, "name: x\nloose: 1\n", ["2:8: loose: expected true or false, got 1; write `true` or `false`"]),
    "number for text": (Part, "name: 5\n", ["1:7: name: expected text, got 5; put it in quotes"]),
    "slip where a number or a word may stand": (
        Movement, "hinge_deg: fre\nsource: s\n",
        ["1:12: hinge_deg: expected a number or `free`, got 'fre'; write a plain decimal number such as 1.8"]),
    "number in quotes where a number or a word may stand": (
        Movement, "hinge_deg: '5'\nsource: s\n",
        ["1:12: hinge_deg: expected a number or `free`, got '5'; write `5` without quotes"]),
    "quantity that no site has": (
        Need, "of: widht_mm\nat_least: 1\nsource: s\n",
        [f"1:5: of: 'widht_mm' is no quantity of a site; known: {', '.join(QUANTITIES)}"]),
    "text too long": (
        Source, f"kind: memory\ntext: {'x' * 601}\n", ["2:7: text: string should have at most 600 characters"]),
    # Lists and entries
    "value for a list": (
        Work, "chair: 5\nsource: s\n", ["1:8: chair: expected a list, got 5; put it in brackets: `[...]`"]),
    "one value too few": (
        Work, "chair: [5]\nsource: s\n",
        ["1:8: chair: expected more values, got [5]; write them all, in brackets"]),
    "one value too many": (
        Work, "chair: [5, 6, 7]\nsource: s\n", ["1:8: chair: expected at most 2 in the list, got [5, 6, 7]"]),
    "no value at all": (
        Rework, REWORK.replace("[end]", "[]"), ["2:5: at: expected at least 1 in the list, got []"]),
    "value for an entry": (
        Need, NEED + "waive: 3\n", [f"4:8: waive: expected `key: value` lines, got 3; {INDENT}"]),
    "list for a whole file": (Need, "[1, 2]\n", [f"1:1: expected `key: value` lines, got [1, 2]; {INDENT}"]),
    "long values are cut": (
        Part, f"name: x\ncount: {'9' * 10} {'y' * 90}\n",
        [f"2:8: count: expected a whole number, got '9999999999 {'y' * 45}...; {WHOLE}"]),
    # What only the entry as a whole can know
    "low above high": (Band, "low: 5\nhigh: 2\nsource: s\n", ["1:1: high is below low: 2 < 5"]),
    "minutes from high to low": (
        Work, "chair: [9, 5]\nsource: s\n", ["1:1: chair minutes run from low to high: 9 > 5"]),
    "bounds crossed": (Need, NEED + "at_most: 1.6\n", ["1:1: at_most is below at_least: 1.6 < 1.7"]),
    "word list for a number": (
        Need, NEED + "one_of: [round]\n", ["1:1: `width_mm` is a number; give `at_least`, `at_most` or both"]),
    "number without a bound": (
        Need, "of: width_mm\nsource: s\n", ["1:1: `width_mm` is a number; give `at_least`, `at_most` or both"]),
    "bound for a word": (
        Need, "of: section\nat_least: 1\nsource: s\n", ["1:1: `section` is a word; give `one_of: [...]`"]),
    "published and nothing known of it": (
        Source, "kind: published\ntext: x\n",
        ["1:1: a published source says how it is `known`; e.g. `known: read in the abstract`"]),
    "number made of a word": (
        Rework, REWORK + "makes: {section: 1.8}\n",
        ["1:1: `makes` sets `section`, which is a word, to 1.8; write a word"]),
    "a word that the quantity never is": (
        Need, "of: section\none_of: [round, square]\nsource: s\n",
        ["1:1: `section` is never 'square'; write one of round, ovoid, parallel, keyhole"]),
    "a step to a word that the quantity never is": (
        Rework, REWORK + "makes: {section: square}\n",
        ["1:1: `makes` sets `section`: `section` is never 'square'; write one of round, ovoid, parallel, keyhole"]),
    "word made of a number": (
        Rework, REWORK + "makes: {ball_mm: round}\n",
        ["1:1: `makes` sets `ball_mm`, which is a number, to 'round'; write a number"]),
    "word raised": (
        Rework, REWORK + "changes: {section: 1}\n",
        ["1:1: `changes` raises `section`, which is a word; set it under `makes`"]),
}  # fmt: skip


@pytest.mark.parametrize(("model", "text", "messages"), REFUSED.values(), ids=REFUSED)
def test_a_slip_is_told_with_its_place(model: type[Sheet], text: str, messages: list[str]) -> None:
    assert messages == refused(model, text)


def test_every_slip_is_told_at_once_in_order_of_line() -> None:
    assert [
        "1:7: name: expected text, got 5; put it in quotes",
        "2:9: colour: 'gren' is not one of red, green; did you mean `green`?",
        f"3:8: count: expected a whole number, got 'a'; {WHOLE}",
    ] == refused(Part, "name: 5\ncolour: gren\ncount: a\n")


def test_what_is_read_is_frozen_and_of_the_right_types() -> None:
    box = read_sheet(Box, parse_yaml("parts: {a: {name: x}}\npair: [1, 2.5]\n", NAME))

    assert Box(parts={"a": Part(name="x")}, pair=(1.0, 2.5)) == box
    with pytest.raises(ValueError, match="frozen"):
        box.pair = (3, 4)  # type: ignore[misc]


def test_findings_are_raised_at_their_places() -> None:
    document = parse_yaml("a: 1\nb:\n  - x\n  - y\n", NAME)

    with pytest.raises(InputError) as caught:
        refuse(document, {("b", 1): Finding("is too much", "take it away"), ("a",): Finding("is too little")})

    assert (
        Mistake(Place(NAME, 1, 4), "a", "is too little"),
        Mistake(Place(NAME, 4, 5), "b.1", "is too much", "take it away"),
    ) == caught.value.mistakes
    assert "f.yaml:1:4: a: is too little\nf.yaml:4:5: b.1: is too much; take it away" == str(caught.value)


def test_no_finding_no_refusal() -> None:
    refuse(parse_yaml("a: 1\n", NAME), {})


@pytest.mark.parametrize(
    ("mistake", "text"),
    [
        (Mistake(Place(NAME), "", "is empty"), "f.yaml:1:1: is empty"),
        (Mistake(Place(NAME, 3, 2), "a.b", "is empty"), "f.yaml:3:2: a.b: is empty"),
        (Mistake(Place(NAME, 3, 2), "a.b", "is empty", "fill it"), "f.yaml:3:2: a.b: is empty; fill it"),
    ],
    ids=["file", "value", "with advice"],
)
def test_a_mistake_is_one_line(mistake: Mistake, text: str) -> None:
    assert text == str(mistake)
