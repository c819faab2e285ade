"""Remarks as sentences: the figure of the case, the published one, and how that is known."""

from __future__ import annotations

import pytest

from cli.wording.remarks import remark
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
)
from solver.handbook.hygiene_gap import GapVerdict
from solver.handbook.joints import WeldedMetal
from solver.handbook.restorative_space import Prosthesis, SpaceClass

SENTENCES = {
    "gap": (NarrowGap("A", 0.8, GapVerdict.PLAQUE), "A: 0.8 mm under the bar, plaque and calculus build up", "p. 18"),
    "ball": (
        WornBall(("L", "R"), 2.0, 2.2),
        "L, R: measure again: 200 um of wear is far beyond the 30 um reported",
        "memory",
    ),
    "space": (
        TightSpace(10, SpaceClass.III, Prosthesis.BAR),
        "10 mm between ridge and opposing teeth are under the 11",
        "III",
    ),
    "disputed space": (
        DisputedSpace(12.5, Prosthesis.BAR),
        "12.5 mm between ridge and opposing teeth: authorities differ on the least for this kind of denture, bar "
        "overdenture: 11 mm (published: Carpentieri",
        "or 12 to 14 mm (published: continuing education course 612",
    ),
    "beside": (MagnetBeside(("R",), 0.5, 0.827), "R: 0.5 mm beside its keeper a magnet holds 83% of its", "Wigianto"),
    "scan": (
        MagnetScanned(("R",), 0.34, 0.92),
        "R: a scanner of 1.5 T that works against a magnet leaves 34% to",
        "3 T",
    ),
    "weld": (
        WeldedBar("A", WeldedMetal.TITANIUM, False),
        "A: laser welds of titanium grew weaker with more",
        "thesis",
    ),
    "lean": (
        LeaningPair(("S1", "S2"), 45),
        "S1 and S2 lean up to 45 deg apart, beyond the published 20",
        "makers' data",
    ),
}


@pytest.mark.parametrize(("found", "start", "known"), SENTENCES.values(), ids=SENTENCES)
def test_a_sentence_ends_in_how_it_is_known(found: Remark, start: str, known: str) -> None:
    sentence = remark(found)

    assert sentence.startswith(start)
    assert known in sentence
    assert sentence.endswith(".")
