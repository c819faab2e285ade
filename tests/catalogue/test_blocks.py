"""What an entry of the catalogue may say: each limit holds at its border and refuses what lies past it."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import TypeAdapter, ValidationError

from catalogue.blocks import (
    Amount,
    AttachmentId,
    Degrees,
    Hole,
    Millimetres,
    Months,
    Need,
    Pack,
    Stack,
    Text,
    Wear,
)

WEAR = {"loss": (0.0, 0.5), "cycles": 1, "source": "s"}
LEAST, MOST = {"of": "width_mm", "at_least": 1.7, "source": "s"}, {"of": "width_mm", "at_most": 1.7, "source": "s"}
BORDERS: dict[str, tuple[Any, list[Any], list[Any]]] = {
    "amounts": (Amount, [0, 1e6], [-1e-9, 1e6 + 1]),
    "lengths": (Millimetres, [0, 100], [-1e-9, 100.1]),
    "angles": (Degrees, [0, 360], [-1e-9, 360.1]),
    "texts": (Text, ["x", "x" * 600], ["", "  ", "x" * 601]),
    "months between two services": (Months, [(1, 1), (1, 1200)], [(0, 1), (1, 1201), (2, 1)]),
    "wear: a gain, and no loss of all": (
        Wear, [WEAR | {"loss": (-5.0, 0.999)}, WEAR | {"loss": (0.2, 0.2)}],
        [WEAR | {"loss": (-5.1, 0.0)}, WEAR | {"loss": (0.0, 1.0)}, WEAR | {"loss": (0.2, 0.1)}],
    ),
    "wear: after some insertions": (Wear, [WEAR], [WEAR | {"cycles": 0}]),
    "packs": (Pack, [{"pieces": 1}, {"pieces": 10_000}], [{"pieces": 0}, {"pieces": 10_001}]),
    "holes": (
        Hole, [{"value": 0.1, "source": "s"}, {"value": 10, "source": "s"}],
        [{"value": 0, "source": "s"}, {"value": 10.1, "source": "s"}],
    ),
    "needs: a band may be one value": (Need, [LEAST | MOST, LEAST, MOST], [LEAST | {"at_most": 1.6}]),
    "ids: what ends in a count would read as one": (
        AttachmentId, ["clip", "clip-x10", "clip-x0"], ["clip-x1", "clip-x9"],
    ),
}  # fmt: skip


@pytest.mark.parametrize(("kind", "good", "bad"), BORDERS.values(), ids=BORDERS)
def test_borders(kind: Any, good: list[Any], bad: list[Any]) -> None:
    adapter: TypeAdapter[Any] = TypeAdapter(kind)

    for value in good:
        adapter.validate_python(value)
    for value in bad:
        with pytest.raises(ValidationError):
            adapter.validate_python(value)


def test_space_round_a_text_is_not_part_of_it() -> None:
    assert "two words" == TypeAdapter(Text).validate_python("  two words\n")


def test_an_id_that_ends_in_a_count_is_told_how_it_would_read() -> None:
    with pytest.raises(ValidationError, match="'clip-x2' would read as 2 of 'clip-'"):
        TypeAdapter(AttachmentId).validate_python("clip-x2")


@pytest.mark.parametrize(
    ("expected", "heights"), [(2.0, {}), (3.5, {"housing": 1.5}), (2.25, {"spacer": 0.25}), (3.75, None)]
)
def test_a_stack_is_as_high_as_its_parts_of_which_some_may_be_left_out(
    expected: float, heights: dict[str, float] | None
) -> None:
    given = {"housing": 1.5, "spacer": 0.25} if heights is None else heights

    assert expected == Stack(part=2.0, source="s", **given).height_mm
