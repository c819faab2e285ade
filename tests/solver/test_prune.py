"""What one option must have, or lack, to stand for another in every mix."""

from __future__ import annotations

from typing import Any

import pytest

from solver.option import Option
from solver.prune import replaces, undominated
from tests.solver.small import FREE, band, need, part, small_problem, step, stock, waive

STEPS = (
    step("send", "segment", always_with=True, once=True),
    step("cut", "segment", always_with=True, once=True),
    step("bend", "segment", always_with=True),
)
PLAIN: dict[str, Any] = {
    "price": band(10, 10),
    "steps": ["send"],
    "retention_n": band(5, 8),
    "movement": {**FREE, "down_mm": 0.3, "up_mm": 0.3, "hinge_deg": 5},
    "needs": [need("gap_mm", at_least=1), need("undercut_mm", at_least=0.4, waive=waive(0.2))],
}


def moving(**changes: Any) -> dict[str, Any]:
    return {"movement": {**PLAIN["movement"], **changes}}


def options(*changes: dict[str, Any]) -> list[Option]:
    """Options for the same bar that differ from a plain one in these things, in this order."""
    parts = (part(f"p{number}", **{**PLAIN, **each}) for number, each in enumerate(changes))
    return list(small_problem(stock(*parts, steps=STEPS)).options)


ANYWHERE, FREELY, NEVER = (True, True), (False, True), (False, False)
CASES: dict[str, tuple[tuple[bool, bool], dict[str, Any]]] = {
    "alike": (ANYWHERE, {}),
    "a cent cheaper": (ANYWHERE, {"price": band(9.99, 9.99)}),
    "a cent dearer": (NEVER, {"price": band(10, 10.01)}),
    "the low end of the price does not count": (ANYWHERE, {"price": band(0, 10)}),
    "grips more": (ANYWHERE, {"retention_n": band(6, 8)}),
    "grips less": (NEVER, {"retention_n": band(4.9, 8)}),
    "may grip harder": (FREELY, {"retention_n": band(5, 8.1)}),
    "grips less hard at most": (ANYWHERE, {"retention_n": band(5, 7)}),
    "hangs on nothing": (ANYWHERE, {"needs": PLAIN["needs"][1:]}),
    "hangs on one answer more": (NEVER, {"needs": [*PLAIN["needs"], need("height_mm", at_least=1)]}),
    "hangs on another": (NEVER, {"needs": [need("height_mm", at_least=1), *PLAIN["needs"][1:]]}),
    "lacks nothing": (ANYWHERE, {"needs": PLAIN["needs"][:1]}),
    "lacks one thing more": (
        NEVER, {"needs": [*PLAIN["needs"], need("width_mm", at_least=2.0, waive=waive(1))]},
    ),
    "pays nothing once": (ANYWHERE, {"steps": []}),
    "pays one thing more once": (NEVER, {"steps": ["send", "cut"]}),
    "pays another": (NEVER, {"steps": ["cut"]}),
    "has a step that is paid each time": (ANYWHERE, {"steps": ["send", "bend"]}),
    "gives more downwards": (ANYWHERE, moving(down_mm=0.4)),
    "gives less downwards": (NEVER, moving(down_mm=0.2)),
    "gives more upwards": (ANYWHERE, moving(up_mm=0.4)),
    "gives less upwards": (NEVER, moving(up_mm=0.2)),
    "turns more": (ANYWHERE, moving(hinge_deg="free")),
    "turns less": (NEVER, moving(hinge_deg=4)),
    "gives more one way and less the other": (NEVER, moving(down_mm=0.4, up_mm=0.2)),
}  # fmt: skip


@pytest.mark.parametrize(("expected", "changes"), CASES.values(), ids=CASES)
def test_replaces(expected: tuple[bool, bool], changes: dict[str, Any]) -> None:
    """Where a case limits the hold, and where none does."""
    plain, other = options({}, changes)

    assert expected == (replaces(other, plain), replaces(other, plain, ceiling=False))


def test_parts_in_other_places_replace_nothing() -> None:
    """A second clip, further apart: more hold and less room between, at no cost."""
    one, two = small_problem(stock(part("clip", price=band(0, 0), length_mm=4, most=2))).options

    assert not replaces(two, one)
    assert not replaces(one, two)


def names(found: list[Option]) -> list[str]:
    return [option.candidate.attachment.id for option in found]


DEAR, CHEAP, HARD = {"price": band(12, 12)}, {"price": band(8, 8)}, {"retention_n": band(6, 9)}


@pytest.mark.parametrize(
    ("expected", "changes", "wanted", "ceiling"),
    [
        (["p2"], ({}, DEAR, CHEAP), [], True),
        (["p0"], ({}, {}, {}), [], True),
        (["p0", "p1"], (HARD, {}), [], True),
        (["p0"], (HARD, {}), [], False),
        (["p0", "p1"], ({}, CHEAP), [["B=p0"]], True),
        (["p1"], ({}, CHEAP), [["B=p0", "B=p1"]], True),
        (["p1"], ({}, CHEAP), [["B=p1"]], True),
        (["p0", "p2"], ({}, DEAR, CHEAP), [["B=p0", "B=p1"]], True),
        (["p0", "p1"], ({}, CHEAP), [["B=p0", "B=p1"], ["B=p0"]], True),
    ],
    ids=[
        "the cheapest", "of equals the first", "in order", "without a ceiling the stronger", "a wanted one stays",
        "both will do", "only the cheap one will", "the best of the wanted", "wanted twice",
    ],
)  # fmt: skip
def test_what_another_replaces_goes(
    expected: list[str], changes: tuple[dict[str, Any], ...], wanted: list[list[str]], ceiling: bool
) -> None:
    assert expected == names(undominated(options(*changes), wanted, ceiling=ceiling))


def test_an_option_at_another_site_replaces_nothing() -> None:
    """A clip on each of two bars alike but for the price."""
    asked = small_problem(
        stock(part("clip")),
        supports={"M": {"at_mm": [0, 20, 0]}},
        segments={"B": {"between": ["R", "M"]}, "C": {"between": ["M", "L"], "section": "round"}},
    )

    assert ["B", "C"] == [option.site for option in undominated(asked.options)]
