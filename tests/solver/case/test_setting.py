"""Reading `path=value` and laying it into a case: what is set, and what is refused with which advice."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest

from catalogue.yaml_text import read_yaml
from solver.case.measure import Measure
from solver.case.overrides import BadSetting, Setting, Span, changed_case, read_setting

CASE = Path(__file__).parents[2] / "cli" / "data" / "against" / "case.yaml"


@pytest.mark.parametrize(
    ("text", "loc", "value"),
    [
        ("segments.B.width_mm=4.0", ("segments", "B", "width_mm"), 4.0),
        ("segments.B.width_mm = unknown", ("segments", "B", "width_mm"), "unknown"),
        ("segments.B.width_mm=1.8 +- 0.1", ("segments", "B", "width_mm"), "1.8 +- 0.1"),
        ("supports.i44.tooth=43", ("supports", "i44", "tooth"), 43),
        ("segments.A.between.1=i34", ("segments", "A", "between", 1), "i34"),
        ("allowed.cut_bar=false", ("allowed", "cut_bar"), False),
        ("patient.sensitivities=[nickel]", ("patient", "sensitivities"), ["nickel"]),
    ],
)
def test_a_setting_is_read(text: str, loc: tuple[str | int, ...], value: object) -> None:
    assert Setting(loc, value, text) == read_setting(text)


@pytest.mark.parametrize(
    ("text", "values", "error"),
    [
        ("x=0..0.6/0.2", ["0", "0.2", "0.4", "0.6"], None),
        ("x=0..0.5/0.2", ["0", "0.2", "0.4", "0.5"], None),
        ("x= -1 .. 1 / 1", ["-1", "0", "1"], None),
        ("x=1..2/0.5 +- 0.05", ["1", "1.5", "2"], "0.05"),
    ],
)
def test_a_range_is_read(text: str, values: list[str], error: str | None) -> None:
    found = read_setting(text)

    assert isinstance(found, Span)
    assert [Decimal(v) for v in values] == list(found.values)
    assert (Decimal(error) if error else None) == found.error


def test_a_range_without_a_step_has_eleven_values() -> None:
    found = read_setting("x=1..2")

    assert isinstance(found, Span)
    assert [Decimal(n) / 10 for n in range(10, 21)] == list(found.values)


def test_a_key_that_the_file_leaves_out_can_be_set() -> None:
    case = changed_case(read_yaml(CASE), [Setting(("denture", "settling_mm"), "0.2 +- 0.1", "")])

    assert Measure(0.2, 0.1) == case.denture.settling_mm


REFUSED = [
    ("segments.A", "sets nothing; write `path=value`, e.g. `segments.B.width_mm=4.0`"),
    ("segments..A=1", "sets nothing; write `path=value`, e.g. `segments.B.width_mm=4.0`"),
    ("room.room_mm=", "sets nothing; write `path=value`, e.g. `segments.B.width_mm=4.0`"),
    ("room.room_mm=[", "is not YAML: did not find expected node content (while parsing a flow node)"),
    ("room.room_mm=1..", "'1..' is no range; write `low..high/step`, e.g. `0..0.6/0.1`"),
    ("room.room_mm=3..1", "the range ends at 1, where it starts or below; write the lower end first"),
    ("room.room_mm=1..3/0", "a step of 0 leads nowhere; write a step above 0, e.g. `0..0.6/0.1`"),
    ("room.room_mm=1..3/0.001", "more than 200 values; write a larger step; flips are found in between"),
    ("segmets.A.width_mm=2", "`segmets` is not known here; did you mean `segments`?"),
    ("segments.C.width_mm=2", "no segment is called 'C'; known: A, B"),
    ("supports.i43.tooth=43", "no support is called 'i43'; did you mean `i44`?"),
    ("segments.A.widht_mm=2", "`widht_mm` is not known here; did you mean `width_mm`?"),
    ("segments.A.width_mm=40", "40 is no bar width, which is 0.3 to 12 mm; check the unit"),
    ("segments.A.between.2=i34", "`segments.A.between` has no entry 2; its entries are 0 to 1"),
    ("segments.A.between.1=i35", "no support is called 'i35'; did you mean `i34`?"),
    ("case.title=x", "`case` holds 'Bent bar' and no further keys; end the path there"),
    ("patient.hand=wek", "'wek' is not one of weak, usual, strong, unknown; did you mean `weak`?"),
    ("supports.i41.tooth=44", "`supports.i41`: stands in the same place as `i44`; check the positions"),
]


def lay_in(text: str) -> None:
    found = read_setting(text)
    changed_case(read_yaml(CASE), [found.at(found.values[0]) if isinstance(found, Span) else found])


@pytest.mark.parametrize(("text", "said"), REFUSED, ids=[text for text, _ in REFUSED])
def test_a_setting_that_leads_nowhere_is_refused(text: str, said: str) -> None:
    with pytest.raises(BadSetting) as refused:
        lay_in(text)

    assert str(refused.value).startswith(f"--set '{text}': {said}")


def test_of_several_settings_the_one_at_fault_is_named() -> None:
    settings = [read_setting("room.room_mm=10"), read_setting("segments.A.width_mm=40")]

    with pytest.raises(BadSetting) as refused:
        changed_case(read_yaml(CASE), [s for s in settings if isinstance(s, Setting)])

    assert "segments.A.width_mm=40" == refused.value.text
