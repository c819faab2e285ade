"""Reading a case: what no single field can know of is refused at its line, with the whole message."""

from __future__ import annotations

import pytest

from catalogue.mistakes import InputError
from catalogue.yaml_text import parse_yaml
from solver.case.measure import UNKNOWN, Measure
from solver.case.reading import read_case
from solver.case.schema import Case

TEXT = """\
case: three
arch: lower
supports:
  R: {at_mm: [-10, 20, 0]}
  L: {at_mm: [10, 20, 0]}
  M: {tooth: 36}
segments:
  B: {between: [R, L], width_mm: 1.8 +- 0.1}
ends:
  E: {on: L, length_mm: 8}
money: {currency: EUR, cap: 99.5, bench_per_hour: 60, chair_per_hour: 120}
"""


def read(*changes: tuple[str, str]) -> Case:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return read_case(parse_yaml(text, "c.yaml"))


def test_reads_a_case() -> None:
    case = read()

    assert ("B", "E", "R", "L", "M") == case.site_ids
    assert Measure(1.8, 0.1) == case.segments["B"].width_mm
    assert UNKNOWN == case.segments["B"].undercut_mm == case.denture.settling_mm


U26 = " by FDI; if 26 is a Universal number, write `42` (lower right lateral incisor)"
ONE_POSITION = "a support has one position; give `tooth: 43` or `at_mm: [x, y, z]`"


@pytest.mark.parametrize(
    ("message", "old", "new"),
    [
        pytest.param(f"4:6: supports.R: {ONE_POSITION}", "0]}", "0], tooth: 43}", id="two positions"),
        pytest.param(f"6:6: supports.M: {ONE_POSITION}", "tooth: 36", "tilt_deg: 3", id="no position"),
        pytest.param(
            "4:14: supports.R.at_mm: expected more values, got [-10, 20]; write them all, in brackets",
            "[-10, 20, 0]",
            "[-10, 20]",
            id="two coordinates",
        ),
        pytest.param(
            "4:15: supports.R.at_mm.0: expected at least -80, got -100; check the unit",
            "[-10,",
            "[-100,",
            id="outside any jaw",
        ),
        pytest.param(
            "5:6: supports.L: stands in the same place as `R`; check the positions",
            "[10, 20",
            "[-9.5, 20",
            id="twice",
        ),
        pytest.param(
            "8:17: segments.B.between.0: no support is called 'RR'; did you mean `R`?", "[R, L]", "[RR, L]", id="near"
        ),
        pytest.param(
            "8:17: segments.B.between.0: no support is called 'Q'; known: R, L, M", "[R, L]", "[Q, L]", id="unknown"
        ),
        pytest.param(
            "8:16: segments.B.between: runs from a support to itself; name two supports",
            "[R, L]",
            "[L, L]",
            id="to itself",
        ),
        pytest.param(
            "10:11: ends.E.on: no support is called 'Q'; known: R, L, M", "on: L", "on: Q", id="end on none"
        ),
        pytest.param(
            "10:6: ends.E: no segment ends at `M`, so its direction is not known; give `at_mm: [x, y, z]`",
            "on: L",
            "on: M",
            id="end without direction",
        ),
        pytest.param(
            "10:6: ends.B: `B` is also in `segments`; give every site its own name", "  E:", "  B:", id="name twice"
        ),
        pytest.param(
            "12:10: mix.C: no site is called 'C'; known: B, E, R, L, M", "120}\n", "120}\nmix: {C: clip}\n", id="mix"
        ),
        pytest.param(
            "6:14: supports.M.tooth: 26 is not in the lower jaw; lower teeth are 31 to 48" + U26,
            "36",
            "26",
            id="wrong jaw",
        ),
        pytest.param(
            "6:14: supports.M.tooth: 39 is no FDI tooth; lower teeth are 31 to 48", "36", "39", id="no tooth"
        ),
        pytest.param(
            "2:17: denture.left: 26 is not in the lower jaw; lower teeth are 31 to 48" + U26,
            "arch: lower",
            "denture: {left: 26}\narch: lower",
            id="saddle of the other jaw",
        ),
        pytest.param(
            "2:22: denture.heel_left: 26 is not in the lower jaw; lower teeth are 31 to 48" + U26,
            "arch: lower",
            "denture: {heel_left: 26}\narch: lower",
            id="heel of the other jaw",
        ),
        pytest.param(
            "2:34: denture.heel_right: lies in front of `right`; name a tooth or point farther back or leave it out",
            "arch: lower",
            "denture: {right: 46, heel_right: 45}\narch: lower",
            id="base ends in front of its last tooth",
        ),
        pytest.param(
            "2:24: denture.bitten_left: lies off the base; name a tooth or point on it or leave it out",
            "arch: lower",
            "denture: {bitten_left: [40, 0]}\narch: lower",
            id="bitten beside the base",
        ),
        pytest.param(
            "9:6: segments.C: crosses segment `B`; check `between` and the positions",
            "0.1}\n",
            "0.1}\n  C: {between: [L, R]}\n",
            id="same two supports",
        ),
        pytest.param(
            "8:34: segments.B.width_mm: expected a number, got '1,8'; write `1.8`, or `1.8 +- 0.1` with its error",
            "width_mm: 1.8 +- 0.1",
            "width_mm: '1,8'",
            id="decimal comma",
        ),
        pytest.param(
            "11:19: money.currency: 'EUQ' is no currency of ISO 4217 in use; did you mean `EUR`?",
            "EUR",
            "EUQ",
            id="currency",
        ),
        pytest.param("11:29: money.cap: EUR has 2 decimals; write 99.56", "99.5", "99.555", id="three decimals"),
        pytest.param("11:29: money.cap: JPY has 0 decimals; write 99", "EUR, cap: 99.5", "JPY, cap: 99.4", id="yen"),
        pytest.param(
            "11:29: money.cap: KWD has 3 decimals; write 99.556", "EUR, cap: 99.5", "KWD, cap: 99.5556", id="dinar"
        ),
    ],
)
def test_refuses_at_its_place(message: str, old: str, new: str) -> None:
    with pytest.raises(InputError) as caught:
        read((old, new))

    assert f"c.yaml:{message}" == str(caught.value)


SETTLES = "120}\ndenture: {settling_mm: 3}\n"


@pytest.mark.parametrize(
    ("message", "old", "new"),
    [
        pytest.param(
            "8:34: segments.B.width_mm: 18 is no bar width, which is 0.3 to 12 mm; check the unit",
            "1.8 +- 0.1",
            "18 +- 1",
            id="tenths taken for mm",
        ),
        pytest.param(
            "12:24: denture.settling_mm: 3 is no settling of the mucosa, which is 0 to 2 mm; check the unit",
            "120}\n",
            SETTLES,
            id="settling",
        ),
        pytest.param(
            "12:24: denture.settling_mm: an error of 1e+09 mm is more than all that settling of the mucosa can be, "
            "0 to 2 mm; check it, or write `unknown`",
            "120}\n",
            "120}\ndenture: {settling_mm: 1.89 +- 1e9}\n",
            id="an error beyond all measure",
        ),
        pytest.param(
            "12:17: bite.force_n: an error of 1e+06 N is more than all that bite force can be, 1 to 1500 N; "
            "check it, or write `unknown`",
            "120}\n",
            "120}\nbite: {force_n: 100 +- 1e6}\n",
            id="an error of the bite",
        ),
        pytest.param(
            "8:34: segments.B.width_mm: an error of 12 mm is more than all that bar width can be, 0.3 to 12 mm; "
            "check it, or write `unknown`",
            "1.8 +- 0.1",
            "1.8 +- 12",
            id="an error as large as the largest value",
        ),
        pytest.param(
            "12:22: denture.front.1: expected at most 80, got 90; check the unit",
            "120}\n",
            "120}\ndenture: {front: [0, 90]}\n",
            id="a list where a tooth may stand",
        ),
    ],
)
def test_refuses_what_no_mouth_has(message: str, old: str, new: str) -> None:
    with pytest.raises(InputError) as caught:
        read((old, new))

    assert f"c.yaml:{message}" == str(caught.value)


def test_an_error_may_span_all_that_there_is() -> None:
    assert Measure(1.8, 11.7) == read(("1.8 +- 0.1", "1.8 +- 11.7")).segments["B"].width_mm


LEFT, RIGHT = "denture.left", "denture.right"
SWAPPED = "the left saddle ends on the right of the right one; x runs to the patient's left: swap `left` and `right`"
ONE_PLACE = "the two saddles end {} mm apart; give the end of each, e.g. `left: 36` and `right: 46`"
NOT_AHEAD = (
    "the front of the tooth line does not lie ahead of the saddles; "
    "y runs forwards: check `left`, `right` and `front`"
)


@pytest.mark.parametrize(
    ("told", "denture"),
    [
        pytest.param([(17, LEFT, "46 is a tooth of the right; teeth of the lower left are 31 to 38")],
                     "left: 46", id="tooth of the other side"),
        pytest.param([(17, LEFT, "46 is a tooth of the right; teeth of the lower left are 31 to 38"),
                      (28, RIGHT, "36 is a tooth of the left; teeth of the lower right are 41 to 48")],
                     "left: 46, right: 36", id="teeth swapped"),
        pytest.param([(17, LEFT, SWAPPED), (34, RIGHT, SWAPPED)],
                     "left: [-24, 4], right: [24, 4]", id="swapped"),
        pytest.param([(17, LEFT, ONE_PLACE.format(0)), (32, RIGHT, ONE_PLACE.format(0))],
                     "left: [0, 5], right: [0, 5], front: [0, 5]", id="three in one place"),
        pytest.param([(17, LEFT, ONE_PLACE.format(9.5)), (32, RIGHT, ONE_PLACE.format(9.5))],
                     "left: [9, 4], right: [-0.5, 4]", id="as good as one place"),
        pytest.param([(50, "denture.front", NOT_AHEAD)],
                     "left: [24, 4], right: [-24, 4], front: [0, 4]", id="all in a line"),
        pytest.param([(17, LEFT, NOT_AHEAD)], "left: [24, 60]", id="a saddle before the front"),
    ],
)  # fmt: skip
def test_a_base_that_is_none_is_refused(told: list[tuple[int, str, str]], denture: str) -> None:
    with pytest.raises(InputError) as caught:
        read(("120}\n", f"120}}\ndenture: {{{denture}}}\n"))

    assert [f"c.yaml:12:{column}: {where}: {words}" for column, where, words in told] == str(caught.value).split("\n")


def test_a_base_may_lean_and_stand_anywhere() -> None:
    case = read(("120}\n", "120}\ndenture: {left: [4, 9], right: [-44, 0], front: [-20, 12]}\n"))

    assert (-44, 0) == case.denture.right


@pytest.mark.parametrize(
    ("crosses", "x", "y"),
    [(True, 0, 10), (False, 0, 21), (True, 20.0, 20.0), (False, 20.0, 19.0)],
    ids=["across", "stops short", "on top, beyond the support", "beside it"],
)
def test_segments_that_cross_are_refused(crosses: bool, x: float, y: float) -> None:
    """A second segment from R or from above the bar to (x, y)."""
    start = "R" if y >= 19 and x else "M"
    changes = (
        ("M: {tooth: 36}", f"M: {{at_mm: [0, 30, 0]}}\n  N: {{at_mm: [{x}, {y}, 0]}}"),
        ("0.1}\n", f"0.1}}\n  C: {{between: [{start}, N]}}\n"),
    )
    if not crosses:
        assert ("B", "C") == tuple(read(*changes).segments)
        return
    with pytest.raises(InputError) as caught:
        read(*changes)
    assert "c.yaml:10:6: segments.C: crosses segment `B`; check `between` and the positions" == str(caught.value)


def test_every_mistake_is_told_at_once_in_order_of_line() -> None:
    with pytest.raises(InputError) as caught:
        read(("tooth: 36", "tooth: 26"), ("[R, L]", "[Q, L]"), ("EUR", "QQQ"))

    assert ["supports.M.tooth", "segments.B.between.0", "money.currency"] == [m.where for m in caught.value.mistakes]


def test_a_file_that_is_no_mapping_is_refused() -> None:
    with pytest.raises(InputError) as caught:
        read_case(parse_yaml("- 1\n", "c.yaml"))

    assert "c.yaml:1:1: expected `key: value` lines; see `regrip schema case`" == str(caught.value)
