"""Words of the trade for what is worked out: plain figures, and no minus before a nought."""

from __future__ import annotations

import pytest

from cli.wording.words import tipping
from solver.handbook.point import Point
from solver.mechanics.hold import TippingLine


@pytest.mark.parametrize(
    ("said", "line"),
    [
        ("comes straight out", None),
        ("a line across the jaw past (0, 4) mm", TippingLine(Point(-0.3, 4.2), Point(1, 0))),
        ("a line along the jaw past (-13, 0) mm", TippingLine(Point(-12.8, -0.0), Point(0.1, -0.995))),
    ],
    ids=["no line", "a hair to the right", "along"],
)
def test_the_line_that_a_denture_tips_about(said: str, line: TippingLine | None) -> None:
    assert said == tipping(line)
