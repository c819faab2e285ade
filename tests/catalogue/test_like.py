"""Entries told by what differs: the same as written out in full, and clear errors where that leads nowhere."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.like import written_out
from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.models import Attachment
from catalogue.yaml_text import Document, parse_yaml

STARTER = load_catalogue()


def overlay(text: str) -> Document:
    return parse_yaml(text, "ours.yaml")


def attachments(text: str, *more: str) -> dict[str, Attachment]:
    return load_catalogue([overlay(text), *map(overlay, more)]).attachments


def told(entry: Attachment) -> dict[str, Any]:
    """All that an entry says, but its id and name."""
    return entry.model_dump(exclude={"id", "name"})


def test_an_entry_like_another_is_the_other_but_for_its_lines() -> None:
    found = attachments("attachments: {ours: {like: clip-round-metal-5, name: Ours, retention_n: {high: 20}}}")

    other, ours = STARTER.attachments["clip-round-metal-5"], found["ours"]
    assert ("ours", "Ours", 9, 20) == (ours.id, ours.name, ours.retention_n.low, ours.retention_n.high)
    assert told(other) | {"retention_n": told(ours)["retention_n"]} == told(ours)
    assert other == found["clip-round-metal-5"]


def test_a_need_replaces_that_of_the_same_quantity_and_a_new_one_comes_first() -> None:
    found = attachments("""\
attachments:
  ours:
    like: clip-round-metal-5
    needs:
      - {of: gap_mm, at_least: 2, source: clip-arms}
      - {of: breadth_mm, at_least: 8, source: lee-agar-2006}
""")

    asked = {need.of: need.at_least for need in found["ours"].needs}
    others = [need.of for need in STARTER.attachments["clip-round-metal-5"].needs]
    assert ["breadth_mm", *others] == list(asked)
    assert (8, 2) == (asked["breadth_mm"], asked["gap_mm"])


def test_what_is_null_is_taken_out() -> None:
    ours = attachments("attachments: {ours: {like: clip-round-polymer-5, wear: null, packs: []}}")["ours"]

    assert (None, ()) == (ours.wear, ours.packs)


def test_a_chain_and_the_order_of_lines_do_not_matter() -> None:
    found = attachments("""\
attachments:
  third: {like: second, most: 1}
  second: {like: first, name: Second}
  first: {like: clip-round-metal-5, length_mm: 6}
""")

    assert (6, "Second", 1) == (found["third"].length_mm, found["third"].name, found["third"].most)
    assert ["third", "second", "first"] == list(found)[-3:]


def test_it_starts_from_the_other_as_its_own_file_leaves_it() -> None:
    """A price list that is laid over both later changes only what it names, as before there was `like`."""
    ours = """\
attachments:
  clip-round-metal-5: {price: {low: 1, high: 2}}
  ours: {like: clip-round-metal-5}
"""
    later = "attachments: {clip-round-metal-5: {price: {low: 8, high: 9}}}"

    found = attachments(ours, later)

    assert [(8, 9), (1, 2)] == [
        (found[name].price.low, found[name].price.high) for name in ("clip-round-metal-5", "ours")
    ]


def test_prices_laid_over_one_of_the_starter_family_change_that_one_alone() -> None:
    found = attachments("attachments: {ball-ring-1.8: {price: {low: 1, high: 2}}}")

    changed = [name for name, entry in found.items() if entry != STARTER.attachments[name]]
    assert ["ball-ring-1.8"] == changed


def test_an_entry_that_was_there_starts_afresh() -> None:
    """Else what the old one had and the other has not would shine through."""
    found = attachments("attachments: {clip-round-polymer-5: {like: clip-round-metal-3}}")

    assert told(STARTER.attachments["clip-round-metal-3"]) == told(found["clip-round-polymer-5"])


def test_reworks_too() -> None:
    found = load_catalogue([overlay("reworks: {ours: {like: relieve-acrylic, price: {low: 1, high: 2}}}")]).reworks

    other = found["relieve-acrylic"]
    assert other.model_copy(update={"id": "ours", "price": found["ours"].price}) == found["ours"]


FAMILY = """\
attachments:
  ours:
    like: ball-ring-2.5
    name: Ring on a {size} mm ball
    price: {low: 10, high: 20}
    sizes:
      3: {needs: [{of: ball_mm, at_least: 2.95, at_most: 3.05, source: ball-match}]}
      3.5: {needs: [{of: ball_mm, at_least: 3.45, at_most: 3.55, source: ball-match}], price: {high: 30}}
"""


def test_a_family_is_one_entry_of_every_size() -> None:
    found = attachments(FAMILY)

    assert ["ours-3", "ours-3.5"] == [name for name in found if name.startswith("ours")]
    assert ["Ring on a 3 mm ball", "Ring on a 3.5 mm ball"] == [found[name].name for name in ("ours-3", "ours-3.5")]
    assert [(10, 20), (10, 30)] == [(found[n].price.low, found[n].price.high) for n in ("ours-3", "ours-3.5")]
    other = STARTER.attachments["ball-ring-2.5"]
    for name, least in (("ours-3", 2.95), ("ours-3.5", 3.45)):
        assert least == found[name].needs[0].at_least
        assert other.needs[1:] == found[name].needs[1:]


def test_what_is_said_of_one_size_by_itself_comes_last() -> None:
    """So a price list can be written into the file of a family."""
    found = attachments(FAMILY + "  ours-3: {price: {low: 5, high: 6}}\n")

    assert (5, 6) == (found["ours-3"].price.low, found["ours-3"].price.high)
    assert 10 == found["ours-3.5"].price.low


SIZES_OF_BALLS = {"1.8": 1.8, "2.2": 2.2, "2.25": 2.25, "2.5": 2.5}


@pytest.mark.parametrize("family", ["ball-ring", "ball-flex", "ball-metal"])
def test_the_balls_of_the_starter_catalogue_differ_by_what_their_size_makes(family: str) -> None:
    """A female is made for one diameter, 0.05 mm either way; force and wear were measured by size for one of them."""
    found = {size: STARTER.attachments[f"{family}-{size}"] for size in SIZES_OF_BALLS}

    for size, diameter in SIZES_OF_BALLS.items():
        need = found[size].needs[0]
        assert "ball_mm" == need.of
        assert pytest.approx([diameter - 0.05, diameter + 0.05]) == [need.at_least, need.at_most]
        assert f"on a {size} mm ball" in found[size].name
    by_size = {"id", "name", "needs", "retention_n", "wear"}
    assert 1 == len({repr(entry.model_dump(exclude=by_size)) for entry in found.values()})


def test_the_clip_with_shortened_arms_is_the_other_but_for_its_arms() -> None:
    long, short = (STARTER.attachments[f"clip-round-metal-5{end}"] for end in ("", "-short"))

    differs = {key for key, value in short.model_dump().items() if value != long.model_dump()[key]}
    assert {"id", "name", "steps", "needs", "retention_n", "cautions"} == differs
    assert ["gap_mm"] == [a.of for a, b in zip(long.needs, short.needs, strict=True) if a != b]


BAD = {
    "no such entry": (
        "attachments:\n  ours: {like: clip-round-metal-6}\n",
        "ours.yaml:2:16: attachments.ours.like: no entry of `attachments` is called 'clip-round-metal-6'; "
        "did you mean `clip-round-metal-8`?",
    ),
    "of another group": (
        "attachments:\n  ours: {like: relieve-acrylic}\n",
        "ours.yaml:2:16: attachments.ours.like: no entry of `attachments` is called 'relieve-acrylic'; "
        "name one of this file or below it",
    ),
    "itself": (
        "attachments:\n  ours: {like: ours}\n",
        "ours.yaml:2:16: attachments.ours.like: leads back to itself: ours -> ours; write one of them in full",
    ),
    "a cycle": (
        "attachments:\n  a: {like: b}\n  b: {like: c}\n  c: {like: a}\n",
        "ours.yaml:4:13: attachments.c.like: leads back to itself: a -> b -> c -> a; write one of them in full",
    ),
    "a cycle farther on": (
        "attachments:\n  a: {like: b}\n  b: {like: c}\n  c: {like: b}\n",
        "ours.yaml:4:13: attachments.c.like: leads back to itself: b -> c -> b; write one of them in full",
    ),
    "no id": (
        "attachments:\n  ours: {like: [a]}\n",
        "ours.yaml:2:16: attachments.ours.like: names no entry; write the id of the other, e.g. `like: ID`",
    ),
    "an idle null": (
        "attachments:\n  ours: {like: clip-round-metal-5, service: {prise: null}}\n",
        "ours.yaml:2:53: attachments.ours.service.prise: there is no 'prise' to take out; leave the line out",
    ),
    "a slip": (
        "attachments:\n  ours:\n    like: clip-round-metal-5\n    prise: 3\n",
        "ours.yaml:4:5: attachments.ours.prise: `prise` is not known here; did you mean `price`?",
    ),
    "a slip in a need that ends up at another place": (
        "attachments:\n  ours:\n    like: clip-round-metal-5\n    needs:\n      - {of: gap_mm, at_leest: 3}\n",
        "ours.yaml:5:22: attachments.ours.needs.3.at_leest: `at_leest` is not known here; did you mean `at_least`?",
    ),
    "sizes that are none": (
        "attachments:\n  ours: {like: ball-ring-2.5, sizes: [3]}\n",
        "ours.yaml:2:38: attachments.ours.sizes: holds no sizes, or too many; "
        "write `SIZE: {what differs}` lines under it, 100 at most",
    ),
    "a size that says nothing": (
        "attachments:\n  ours: {like: ball-ring-2.5, sizes: {3: x}}\n",
        "ours.yaml:2:42: attachments.ours.sizes.3: says not what differs; write `{}` for nothing",
    ),
    "a slip in a size": (
        "attachments:\n  ours:\n    like: ball-ring-2.5\n    sizes:\n      3: {prise: 3}\n",
        "ours.yaml:5:11: attachments.ours-3.prise: `prise` is not known here; did you mean `price`?",
    ),
    "told twice": (
        "attachments:\n  a: {like: ball-ring-2.5, sizes: {3: {}}}\n  a-3: {like: ball-ring-1.8}\n",
        "ours.yaml:3:8: attachments.a-3: 'a-3' is told twice; name one of them otherwise",
    ),
}


@pytest.mark.parametrize(("text", "message"), BAD.values(), ids=BAD)
def test_what_leads_nowhere_is_told_with_its_place(text: str, message: str) -> None:
    with pytest.raises(InputError) as refused:
        load_catalogue([overlay(text)])

    assert message in str(refused.value).splitlines()


figures = st.dictionaries(st.sampled_from("abcde"), st.integers(0, 3) | st.none(), max_size=4)


@given(figures, figures)
def test_like_is_what_an_overlay_of_the_other_would_be(base: dict[str, Any], differs: dict[str, Any]) -> None:
    """Lines over another entry make what the same lines would make of it in a file laid over it."""
    full = {key: value for key, value in base.items() if value is not None}
    lines = {key: value for key, value in differs.items() if value is not None or key in full}
    document = Document("x", {"attachments": {"other": full, "ours": {"like": "other", **lines}}}, {}, {})

    found, fresh = written_out(document, {})

    assert {**full, **lines} == {
        **found.data["attachments"]["ours"],
        **{k: None for k, v in lines.items() if v is None},
    }
    assert full == found.data["attachments"]["other"]
    assert {("attachments", "ours")} == fresh


def test_a_file_without_either_is_left_as_it_is() -> None:
    document = overlay("attachments: {clip-round-metal-5: {price: {low: 1, high: 2}}}")

    assert (document, frozenset()) == written_out(document, {})
