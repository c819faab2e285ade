"""A points file says names and places; every mistake is placed."""

from __future__ import annotations

import pytest

from catalogue.mistakes import InputError
from catalogue.yaml_text import parse_yaml
from solver.scan.to_case.points import in_mm, read_points

GOOD = """\
out: [0, 0, 1]
supports:
  S1: {at: [-17, -6, 0], tooth: 43}
  S2: {at: [17, -6, 0]}
segments: {A: [S1, S2]}
ends: {R: {at: [-22, -10, 0], on: S1}}
"""


def test_points_are_in_the_unit_of_the_scan() -> None:
    hints = in_mm(read_points(parse_yaml(GOOD, "points.yaml"), "lower"), 25.4)

    assert [-17 * 25.4, -6 * 25.4, 0.0] == pytest.approx(hints.supports["S1"])
    assert [(-431.8, -152.4, 0.0), (431.8, -152.4, 0.0)] == [pytest.approx(point) for point in (hints.spans or [])[0]]
    assert 2 == len(hints.spans or [])


def test_without_segments_they_are_looked_for() -> None:
    assert in_mm(read_points(parse_yaml("forwards: [0, 1, 0]", "points.yaml"), "lower"), 1.0).spans is None


WRONG = {
    "no mapping": ("- 1", "1:1: expected `key: value` lines"),
    "unknown support": (GOOD.replace("[S1, S2]", "[S1, S3]"), "5:20: segments.A.1: no support is called 'S3'"),
    "to itself": (GOOD.replace("[S1, S2]", "[S1, S1]"), "5:15: segments.A: runs from a support to itself"),
    "end on nothing": (GOOD.replace("on: S1", "on: S9"), "6:35: ends.R.on: no support is called 'S9'"),
    "one name, two things": (GOOD.replace("{A:", "{S2:"), "5:16: segments.S2: `S2` names two things"),
    "tooth of the other jaw": (GOOD.replace("43", "13"), "3:33: supports.S1.tooth: 13 is no FDI tooth of the lower"),
    "no tooth": (GOOD.replace("43", "99"), "3:33: supports.S1.tooth: 99 is no FDI tooth"),
    "not finite": (GOOD.replace("-17", ".nan"), "supports.S1.at.0: expected a finite number"),
    "two numbers": (GOOD.replace("[-17, -6, 0]", "[-17, -6]"), "3:12: supports.S1.at: expected more values"),
    "unknown key": (GOOD + "teeth: 3\n", "7:1: teeth: `teeth` is not known here"),
}


@pytest.mark.parametrize(("text", "says"), WRONG.values(), ids=WRONG)
def test_a_mistake_is_told_where_it_stands(text: str, says: str) -> None:
    with pytest.raises(InputError) as caught:
        read_points(parse_yaml(text, "points.yaml"), "lower")

    assert says in str(caught.value)
