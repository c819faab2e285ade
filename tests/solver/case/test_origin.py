"""The keys of a case file that a measured fact of a site follows from."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.yaml_text import Loc
from solver.case.origins import fact_origins
from tests.solver.small import small_case

CASES: dict[str, tuple[dict[str, Any], tuple[str, str], tuple[Loc, ...]]] = {
    "a measure": ({}, ("B", "undercut_mm"), (("segments", "B", "undercut_mm"),)),
    "scans": ({}, ("B", "scans"), (("patient", "scans_expected"),)),
    "metals": ({}, ("B", "metals"), (("patient", "sensitivities"),)),
    "grinding": ({}, ("B", "grinding"), (("patient", "bruxism"), ("opposing",))),
    "how the bar sits": ({}, ("B", "fixing"), (("bar", "fixing"),)),
    "room of the case by difference": ({}, ("B", "room_mm"), (("room", "space_mm"), ("room", "top_mm"))),
    "room of the case": ({"room": {"room_mm": 9}}, ("B", "room_mm"), (("room", "room_mm"),)),
    "room of the site": (
        {"segments": {"B": {"room_mm": 9}}}, ("B", "room_mm"), (("segments", "B", "room_mm"),),
    ),
    "room of an end by its own height": (
        {"room": {"room_mm": 9}, "ends": {"E": {"top_mm": 5}}}, ("E", "room_mm"),
        (("room", "space_mm"), ("ends", "E", "top_mm")),
    ),
    "breadth of the case": ({}, ("E", "breadth_mm"), (("room", "breadth_mm"),)),
}  # fmt: skip


@pytest.mark.parametrize(("changes", "fact", "expected"), CASES.values(), ids=CASES)
def test_a_fact_is_traced_to_its_keys(
    changes: dict[str, Any], fact: tuple[str, str], expected: tuple[Loc, ...]
) -> None:
    assert expected == fact_origins(small_case(**changes), *fact)
