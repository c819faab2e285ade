"""What is said beside a plan: each remark where its ground is there, and not otherwise."""

from __future__ import annotations

from typing import Any

import pytest

from solver.assess.problem import problem_of
from solver.assess.remarks import (
    DisputedSpace,
    LeaningPair,
    MagnetBeside,
    MagnetScanned,
    NarrowGap,
    Remark,
    TightSpace,
    WeldedBar,
    WornBall,
    remarks,
)
from solver.handbook.hygiene_gap import GapVerdict
from solver.handbook.joints import WeldedMetal
from solver.handbook.restorative_space import Prosthesis, SpaceClass
from tests.solver.small import need, part, small_case, step, stock

CATALOGUE = stock(
    part("clip"),
    part("magnet", "magnet", magnetic=True),
    part("welded", "stud", steps=["weld"]),
    part("ring", "ball", "end", needs=[need("ball_mm", at_least=2.2, at_most=2.3)]),
    part("stud", "stud", "support"),
    steps=(step("weld", "segment", always_with=True, permissions=["weld"]),),
)
FREE_OF_ALL = {"segments": {"B": {"gap_mm": 2}}, "ends": {"E": {"ball_mm": 2.25}}}
LEANING = {"supports": {"R": {"tilt_deg": 25}, "L": {"tilt_deg": 15}}, "allowed": {"bar_off": True, "weld": True}}


def said(keys: list[str], **changes: Any) -> tuple[Remark, ...]:
    case = small_case(**(FREE_OF_ALL | changes))
    fit = problem_of(case, CATALOGUE).fit
    usable = {c.key: c for c in fit.usable}
    return remarks(case, CATALOGUE, [usable[key] for key in keys], [found.site for found in fit.sites])


MAGNET = MagnetBeside(("B",), 0.5, 0.827)


@pytest.mark.parametrize(
    ("expected", "keys", "changes"),
    [
        pytest.param([], ["B=clip"], {}, id="nothing to say"),
        pytest.param(
            [NarrowGap("B", 1, GapVerdict.PLAQUE)], [], {"segments": {"B": {"gap_mm": 1}}}, id="plaque under the bar"
        ),
        pytest.param(
            [NarrowGap("B", 1.5, GapVerdict.CAUTION)],
            [],
            {"segments": {"B": {"gap_mm": 1.5}}},
            id="between the published gaps",
        ),
        pytest.param([WornBall(("E",), 2.0, 2.25)], [], {"ends": {"E": {"ball_mm": 2.0}}}, id="a worn ball"),
        pytest.param([], [], {"ends": {"E": {"ball_mm": 2.22}}}, id="lost no more than on record"),
        pytest.param([], [], {"ends": {"E": {"ball_mm": 2.4}}}, id="larger than any female"),
        pytest.param([], [], {"ends": {"E": {"ball_mm": "unknown"}}}, id="a ball not measured"),
        pytest.param(
            [TightSpace(10.5, SpaceClass.III, Prosthesis.BAR)], [], {"room": {"space_mm": 10.5}}, id="low for a bar"
        ),
        pytest.param(
            [DisputedSpace(12.5, Prosthesis.BAR)], [], {"room": {"space_mm": 12.5}}, id="one authority asks more"
        ),
        pytest.param([], [], {"room": {"space_mm": 14}}, id="as much as any asks"),
        pytest.param(
            [DisputedSpace(8, Prosthesis.UNSPLINTED)],
            ["R=stud"],
            {"room": {"space_mm": 8}} | LEANING,
            id="one asks more without a bar",
        ),
        pytest.param([], ["R=stud"], {"room": {"space_mm": 10.5}} | LEANING, id="enough without a bar"),
        pytest.param([MAGNET], ["B=magnet"], {}, id="a magnet where no scan is expected"),
        pytest.param(
            [MAGNET, MagnetScanned(("B",), 0.34, 0.92)],
            ["B=magnet"],
            {"patient": {"scans_expected": "unknown"}},
            id="a magnet where nobody asked about scans",
        ),
        pytest.param(
            [WeldedBar("B", WeldedMetal.TITANIUM, gains_by_voltage=False)],
            ["B=welded"],
            LEANING | {"segments": {"B": {"gap_mm": 2, "alloy": "titanium"}}},
            id="a weld on titanium",
        ),
        pytest.param([], ["B=welded"], LEANING, id="no weld of that metal was tested"),
        pytest.param([LeaningPair(("R", "L"), 40.0)], ["R=stud", "L=stud"], LEANING, id="studs that lean apart"),
        pytest.param([], ["R=stud"], LEANING, id="one stud alone"),
    ],
)
def test_remarks(expected: list[Remark], keys: list[str], changes: dict[str, Any]) -> None:
    assert expected == list(said(keys, **changes))
