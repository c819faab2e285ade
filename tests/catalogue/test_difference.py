"""Two catalogues compared figure by figure."""

from __future__ import annotations

from itertools import combinations
from typing import Any, TypeAlias

import pytest

from catalogue.blocks import Movement
from catalogue.difference import Changed, Difference, Figure, difference
from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml

CLIP = "clip-round-metal-5"


@pytest.fixture(scope="module")
def starter() -> Catalogue:
    return load_catalogue()


def over(text: str) -> Catalogue:
    return load_catalogue([parse_yaml(text, "our.yaml")])


def test_a_catalogue_differs_in_nothing_from_itself(starter: Catalogue) -> None:
    assert Difference() == difference(starter, load_catalogue())


Row: TypeAlias = tuple[str, str, Any, Any, str]
"""Entry, figure, value before and after, unit."""


def changed(text: str, starter: Catalogue) -> list[Row]:
    """Entry, figure, value before and after, unit."""
    return [
        (c.entry, c.figure, c.before and c.before.value, c.after and c.after.value, c.unit)
        for c in difference(starter, over(text)).changed
    ]


A = f"attachments.{CLIP}"
CASES: dict[str, tuple[str, list[Row]]] = {
    "price": (
        f"attachments: {{{CLIP}: {{price: {{low: 1, high: 99}}}}}}",
        [(A, "price", "was", (1.0, 99.0), "EUR")],
    ),
    "hold": (
        f"attachments: {{{CLIP}: {{retention_n: {{low: 1, high: 99}}}}}}",
        [(A, "retention_n", "was", (1.0, 99.0), "N")],
    ),
    "movement": (
        f"attachments: {{{CLIP}: {{movement: {{turn_deg: free, up_mm: 0.25}}}}}}",
        [(A, "movement.up_mm", None, 0.25, "mm"), (A, "movement.turn_deg", None, "free", "deg")],
    ),
    "height": (f"attachments: {{{CLIP}: {{stack: {{part: 9}}}}}}", [(A, "stack.part", "was", 9.0, "mm")]),
    "minutes": (
        f"attachments: {{{CLIP}: {{work: {{bench: [1, 99]}}}}}}",
        [(A, "work.bench", "was", (1.0, 99.0), "min")],
    ),
    "size": (f"attachments: {{{CLIP}: {{length_mm: 5.5}}}}", [(A, "length_mm", 5.0, 5.5, "mm")]),
    "words": (f"attachments: {{{CLIP}: {{name: Other}}}}", [(A, "name", "was", "Other", "")]),
    "step": ("reworks: {cap-ball-2.2: {price: {low: 1, high: 999}}}",
             [("reworks.cap-ball-2.2", "price", "was", (1.0, 999.0), "EUR")]),
    "default": ("defaults: {hold_n: {value: 7}}", [("defaults.hold_n", "value", "was", 7.0, "N")]),
    "default in mm": ("defaults: {thin_base: {up_to: 0.4}}", [("defaults.thin_base", "up_to", 0.5, 0.4, "mm")]),
    "version": ("version: ours 2", [("version", "", "starter 1", "ours 2", "")]),
}  # fmt: skip


@pytest.mark.parametrize(("text", "found"), CASES.values(), ids=CASES)
def test_each_figure_with_its_unit(starter: Catalogue, text: str, found: list[Row]) -> None:
    """`was` stands for whatever the starter catalogue says today."""
    got = changed(text, starter)

    assert all(after != before for _, _, before, after, _ in got)
    assert found == [
        (entry, figure, "was" if want[2] == "was" else before, after, unit)
        for want, (entry, figure, before, after, unit) in zip(found, got, strict=True)
    ]


NEEDS = """\
attachments:
  clip-round-metal-5:
    needs:
      - {of: width_mm, at_least: 1.6, at_most: 1.95, source: round-head}
      - {of: width_mm, at_least: 1.0, source: round-head}
    packs: [{pieces: 1}, {pieces: 25, price: {low: 1, high: 2, source: price}}]
"""


def test_needs_go_by_their_quantity_and_packs_by_their_pieces(starter: Catalogue) -> None:
    found = {c.figure: c for c in difference(starter, over(NEEDS)).changed}

    assert Figure(1.6, "round-head") == found["needs.width_mm.at_least"].after
    assert "mm" == found["needs.width_mm.at_least"].unit
    assert Figure(1.0, "round-head") == found["needs.width_mm (2).at_least"].after
    assert (None, Figure(25, "")) == (found["packs.25.pieces"].before, found["packs.25.pieces"].after)
    assert (Figure((1.0, 2.0), "price"), "EUR") == (found["packs.25.price"].after, found["packs.25.price"].unit)


def test_another_source_alone_is_a_change(starter: Catalogue) -> None:
    value = starter.attachments[CLIP].price.low, starter.attachments[CLIP].price.high
    text = f"sources: {{ours: {{kind: memory, text: x}}}}\nattachments: {{{CLIP}: {{price: {{source: ours}}}}}}"

    assert Difference(
        added=("sources.ours",),
        changed=(Changed(A, "price", Figure(value, "price"), Figure(value, "ours"), "EUR"),),
    ) == difference(starter, over(text))


def test_the_source_of_what_has_no_figures(starter: Catalogue) -> None:
    """An attachment that moves nowhere still says who says so."""
    clip = starter.attachments[CLIP]
    before, after = (
        starter.model_copy(update={"attachments": {CLIP: clip.model_copy(update={"movement": Movement(source=key)})}})
        for key in ("price", "minutes")
    )

    assert (Changed(A, "movement", Figure(None, "price"), Figure(None, "minutes"), ""),) == difference(
        before, after
    ).changed


def test_what_came_and_went(starter: Catalogue) -> None:
    after = over(f"attachments: {{{CLIP}: null}}\ndefaults: {{recall: null}}")

    assert Difference(gone=(A, "defaults.recall")) == difference(starter, after)
    assert Difference(added=(A, "defaults.recall")) == difference(after, starter)


@pytest.mark.parametrize("group", ["attachments", "reworks", "sources"])
def test_no_figure_of_an_entry_goes_unseen(starter: Catalogue, group: str) -> None:
    """Each entry under the name of each other of its kind: equal figures or a change is named."""
    entries = list(getattr(starter, group).values())
    for one, other in combinations(entries, 2):
        before, after = (starter.model_copy(update={group: {"same": entry}}) for entry in (one, other))
        same = one.model_dump(exclude={"id"}) == other.model_dump(exclude={"id"})

        assert same == (Difference() == difference(before, after))
