"""The JSON Schemas: what the loader takes they take, what an editor can catch they catch; judged by `jsonschema`."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from catalogue.load import STARTER, load_catalogue
from catalogue.mistakes import InputError
from catalogue.yaml_text import parse_yaml, read_yaml
from cli.exit import BAD_INPUT, FITS
from cli.files.schema import case_schema, catalogue_schema
from solver.case.measure import Measure
from solver.case.reading import read_case
from tests.cli.ran import CASE, Run

OF_CASE = Draft202012Validator(case_schema())
OF_CATALOGUE = Draft202012Validator(catalogue_schema())
WIDTH = "width_mm: 1.8}\n  B"

FULL = """\
case: everything that a case may hold
about: invented for a test
invented: true
arch: upper
opposing: natural
room: {space_mm: 15 +- 1, top_mm: unknown, room_mm: 9, breadth_mm: 8}
supports:
  a: {at_mm: [-20, 10, 0], diameter_mm: 4, tilt_deg: 10 +/- 2, tilt_towards: 90, connection: documented}
  b: {tooth: 11}
  c: {tooth: 23, room_mm: 7}
segments:
  A:
    between: [a, b]
    section: keyhole
    width_mm: 1.8 +- 0.1
    height_mm: 3 \u00b1 0.2
    undercut_mm: unknown
    gap_mm: 1
    length_mm: 14.5
    alloy: cobalt-chromium
ends:
  E: {on: b, length_mm: 7, ball_mm: 2.2, neck_mm: unknown, out_of_round_mm: 0.02, tilt_deg: 5, gap_mm: 2, alloy: gold}
denture: {left: 26, right: [-30, 2], front: [0, 40], settling_mm: 0.3, acrylic_mm: 2, tooth_mm: 3}
bite: {force_n: 120 +- 20}
patient: {reference: "17", hand: weak, scans_expected: yes, sensitivities: [nickel], bruxism: no}
allowed: {send_out: false, weld: true, cut_bar: true, bar_off: true, new_bar: false}
money: {currency: EUR, cap: 900, bench_per_hour: 40, chair_per_hour: 100, exchange: 1.1, years: 7}
wanted: {hold_n: 5, level_n: 12, most_n: 30, movement: {whole: 1, front: 0.5}, insertions_per_day: 4}
mix: {A: clip-spring x2}
"""


def errors(validator: Draft202012Validator, text: str) -> list[str]:
    """Dotted places of what the schema refuses, e.g. `segments.A.width_mm`."""
    found = validator.iter_errors(parse_yaml(text, "x").data)
    return sorted(".".join(str(step) for step in error.absolute_path) for error in found)


@pytest.mark.parametrize("schema", [case_schema(), catalogue_schema()], ids=["case", "catalogue"])
def test_a_schema_is_one_of_its_own_dialect(schema: dict[str, Any]) -> None:
    Draft202012Validator.check_schema(schema)

    assert "https://json-schema.org/draft/2020-12/schema" == schema["$schema"]


@pytest.mark.parametrize("text", [CASE, FULL], ids=["short", "full"])
def test_a_sound_case_is_taken_by_loader_and_schema(text: str) -> None:
    read_case(parse_yaml(text, "case.yaml"))

    assert [] == errors(OF_CASE, text)


SLIPS = {
    "unknown key": (CASE.replace("width_mm", "widht_mm", 1), "segments.A"),
    "unit": (CASE.replace(WIDTH, "width_mm: 1.8 mm}\n  B"), "segments.A.width_mm"),
    "beyond any bar": (CASE.replace(WIDTH, "width_mm: 18}\n  B"), "segments.A.width_mm"),
    "other word": (CASE.replace("round", "rond", 1), "segments.A.section"),
    "missing key": (CASE.replace("arch: lower\n", ""), ""),
    "negative length": (CASE.replace("length_mm: 8", "length_mm: -8"), "ends.L.length_mm"),
    "name with a blank": (CASE.replace("  i43:", "  i 43:"), "supports"),
    "currency in words": (CASE.replace("EUR", "euro"), "money.currency"),
    "demand that is none": (CASE + "wanted: {movement: {back: 1}}\n", "wanted.movement"),
}


@pytest.mark.parametrize(("text", "place"), SLIPS.values(), ids=SLIPS)
def test_the_schema_catches_it_where_it_stands(text: str, place: str) -> None:
    with pytest.raises(InputError):
        read_case(parse_yaml(text, "case.yaml"))

    assert [place] == errors(OF_CASE, text)


numbers = st.floats(min_value=0.3, max_value=12)
written = st.one_of(
    numbers,
    st.integers(1, 12),
    st.builds("{} +- {}".format, numbers, numbers),
    st.builds("{:g}+/-{:g}".format, numbers, numbers),
    st.builds(" {:.3f} \u00b1 {:e} ".format, numbers, numbers),
    st.sampled_from(["unknown", "Unknown", " UNKNOWN "]),
    st.text(max_size=12),
    st.sampled_from(["1.8", "1,8", "1.8 mm", "1.8 +-", "+- 0.1", "", "1.8 +- 0.1 mm", None, True, [1.8]]),
)


@given(written)
def test_a_measure_is_taken_by_both_or_by_neither(width: object) -> None:
    """A schema that refuses a sound file drives people away from it."""
    data: dict[str, Any] = parse_yaml(CASE, "case.yaml").data
    data["segments"]["A"]["width_mm"] = width
    try:
        Measure.read(width)
    except ValueError:
        taken = False
    else:
        taken = True

    assert taken == OF_CASE.is_valid(data)


@pytest.mark.parametrize("path", sorted(STARTER.glob("*.yaml")), ids=lambda path: path.stem)
def test_the_starter_catalogue_follows_its_schema(path: Path) -> None:
    assert [] == [error.message for error in OF_CATALOGUE.iter_errors(read_yaml(path).data)]


OVERLAYS = {
    "nothing": "",
    "one price": "attachments: {clip-spring: {price: {low: 12}}}",
    "an entry taken out": "attachments: {clip-spring: null}",
    "a part taken out": "attachments: {clip-spring: {wear: null, service: null}}",
    "a default": "defaults: {hold_n: {value: 7}}",
    "movement without limit": "attachments: {ball-ring: {movement: {tip_deg: free, slide_mm: 0.5}}}",
}


@pytest.mark.parametrize("text", OVERLAYS.values(), ids=OVERLAYS)
def test_an_overlay_may_be_partial(tmp_path: Path, text: str) -> None:
    path = tmp_path / "our.yaml"
    path.write_text(text)
    load_catalogue([path])

    assert [] == errors(OF_CATALOGUE, text)


OVERLAY_SLIPS = {
    "unknown key": ("attachments: {a: {prise: {low: 1}}}", ["attachments.a"]),
    "word for a number": ("attachments: {a: {price: {low: x}}}", ["attachments.a.price.low"]),
    "other kind": ("attachments: {a: {kind: hook}}", ["attachments.a.kind"]),
    "quantity that is none": (
        "attachments: {a: {needs: [{of: widht_mm, at_least: 1, source: s}]}}",
        ["attachments.a.needs.0.of"],
    ),
    "an item of a list is never laid over": (
        "attachments: {a: {needs: [{of: width_mm, at_least: 1}]}}",
        ["attachments.a.needs.0"],
    ),
    "and is never taken out": ("attachments: {a: {needs: [null]}}", ["attachments.a.needs.0"]),
    "a part that no rework makes": ("reworks: {a: {makes: {colour: 1}}}", ["reworks.a.makes"]),
    "id with a capital": ("attachments: {A: {}}", ["attachments"]),
}


@pytest.mark.parametrize(("text", "places"), OVERLAY_SLIPS.values(), ids=OVERLAY_SLIPS)
def test_the_schema_catches_slips_in_an_overlay(text: str, places: list[str]) -> None:
    found = OF_CATALOGUE.iter_errors(parse_yaml(text, "x").data)

    assert places == sorted({_deepest(error) for error in found})


def _deepest(error: Any) -> str:
    """Follow a choice (a value, or null to take it out) down to where the value is wrong."""
    while error.context:
        error = max(error.context, key=lambda inner: len(inner.absolute_path))
    return ".".join(str(step) for step in error.absolute_path)


def properties(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for shape in (schema, *schema["$defs"].values()):
        yield from shape.get("properties", {}).items()


@pytest.mark.parametrize("schema", [case_schema(), catalogue_schema()], ids=["case", "catalogue"])
def test_every_key_is_described(schema: dict[str, Any]) -> None:
    assert [] == [name for name, shape in properties(schema) if not shape.get("description")]
    assert [] == [name for name, shape in schema["$defs"].items() if not shape.get("description")]


def test_a_default_is_what_one_would_write() -> None:
    width = case_schema()["$defs"]["Segment"]["properties"]["width_mm"]

    assert "unknown" == width["default"]
    assert {"type": "number", "minimum": 0.3, "maximum": 12} == width["anyOf"][0]
    assert "bar width, mm: calliper, bucco-lingual, at the widest place" == width["description"].partition(";")[0]


@pytest.mark.parametrize(
    ("of", "schema"), [("case", case_schema()), ("catalogue", catalogue_schema())], ids=["case", "catalogue"]
)
def test_the_command_prints_it(run: Run, of: str, schema: dict[str, Any]) -> None:
    ran = run("schema", of)

    assert (FITS, "") == (ran.code, ran.err)
    assert schema == ran.answer


def test_the_command_writes_it(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.schema.json"

    assert (FITS, "", f"regrip: wrote {path}\n") == run("schema", "case", "-o", path)
    assert case_schema() == json.loads(path.read_text())
    assert [path] == list(tmp_path.iterdir())


def test_a_folder_that_is_not_there(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "none" / "case.schema.json"

    message = f"regrip: {path} cannot be written; name a file in a folder that exists\n"
    assert (BAD_INPUT, "", message) == run("schema", "case", "-o", path)
