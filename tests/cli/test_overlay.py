"""A patch laid into a catalogue file: what a person wrote stays as it stands."""

from __future__ import annotations

import re
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.yaml_text import parse_yaml
from cli.files.catalogue_patch import patched

OURS = """\
# Our prices, kept by hand.
version: 'ours 3'   # raised in spring

sources:
  ours: {kind: memory, text: our own list}   # asked on the phone
  # more to come

# What we buy.
attachments:
  clip-spring: {price: {low: 22, high: 24.50, source: ours}}  # dear
  # the stud is not for us
  stud-thread: null
  ball-ring:
    # by the piece
    price:
      low: 20   # was 19
      high: 30
      source: ours
    packs:
      - {pieces: 1}   # one
      - pieces: 4
        price: {low: 70, high: 110, source: ours}   # four
    # nothing more of the ring

# to be asked: the steps
reworks: {}
"""

NEW = {"low": 5, "high": 6, "source": "list"}

FOUR = {"pieces": 4, "price": {"low": 70, "high": 110, "source": "ours"}}

EDITS: dict[str, tuple[dict[str, Any], dict[str, str]]] = {
    "a price in braces": (
        {"attachments": {"clip-spring": {"price": NEW}}},
        {"{low: 22, high: 24.50, source: ours}}  # dear": "{low: 5, high: 6, source: list}} # dear"},
    ),
    "a price in lines": (
        {"attachments": {"ball-ring": {"price": NEW}}},
        {"low: 20 ": "low: 5 ", "high: 30": "high: 6", "      source: ours": "      source: list"},
    ),
    "a pack": (
        {"attachments": {"ball-ring": {"packs": [{"pieces": 1}, {"pieces": 4, "price": NEW}]}}},
        {"{low: 70, high: 110, source: ours}   # four": "{low: 5, high: 6, source: list}   # four"},
    ),
    "one more pack": (
        {"attachments": {"ball-ring": {"packs": [{"pieces": 1}, FOUR, {"pieces": 9, "price": NEW}]}}},
        {"    # nothing more": "      - {pieces: 9, price: {low: 5, high: 6, source: list}}\n    # nothing more"},
    ),
    "one more source": (
        {"sources": {"list": {"kind": "common-practice", "text": "a list: of ours"}}},
        {"  # more to come": "  list: {kind: common-practice, text: 'a list: of ours'}\n  # more to come"},
    ),
    "one more entry": (
        {"attachments": {"clip-new": {"price": NEW, "packs": [{"pieces": 1}, {"pieces": 2, "price": NEW}]}}},
        {"    # nothing more": (
            "  clip-new:\n    price: {low: 5, high: 6, source: list}\n    packs:\n      - {pieces: 1}\n"
            "      - {pieces: 2, price: {low: 5, high: 6, source: list}}\n    # nothing more"
        )},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("patch", "edits"), EDITS.values(), ids=EDITS)
def test_all_else_stays_as_it_stands(patch: dict[str, Any], edits: dict[str, str]) -> None:
    expected = OURS
    for old, new in edits.items():
        assert 1 == expected.count(old)
        expected = expected.replace(old, new)

    assert evened(expected) == evened(patched(OURS, patch, "our.yaml"))


def evened(text: str) -> str:
    """One space before a comment: the library keeps its column where it can."""
    return re.sub(r" +#", " #", text)


def test_an_empty_patch_changes_no_letter() -> None:
    assert OURS == patched(OURS, {}, "our.yaml")


def test_a_new_file() -> None:
    patch = {
        "sources": {"list": {"kind": "common-practice", "text": "a list"}},
        "attachments": {"clip-spring": {"price": NEW}, "ball-ring": {"packs": [{"pieces": 1}]}},
    }

    assert """\
sources:
  list: {kind: common-practice, text: a list}
attachments:
  clip-spring:
    price: {low: 5, high: 6, source: list}
  ball-ring:
    packs:
      - {pieces: 1}
""" == patched("", patch, "our.yaml")


LAYOUTS = {
    "four spaces": "attachments:\n    clip:\n        price:\n            low: 1\n            high: 2\n",
    "dashes under the key": "attachments:\n  clip:\n    price: {low: 1, high: 2}\n    packs:\n    - {pieces: 1}\n",
    "start of document": "---\nattachments:\n  clip:\n    price: {low: 1, high: 2}\n",
    "CRLF": "# ours\r\nattachments:\r\n  clip:\r\n    price: {low: 1, high: 2}\r\n",
    "words that look like others": "version: no\nx: 1:30\nattachments:\n  clip: {price: {low: 1, high: 2}}\n",
    "a folded text": "attachments:\n  clip:\n    name: >-\n      one\n      two\n    price: {low: 1, high: 2}\n",
}


@pytest.mark.parametrize("text", LAYOUTS.values(), ids=LAYOUTS)
def test_the_layout_of_a_person_is_kept(text: str) -> None:
    expected = text.replace("low: 1", "low: 5").replace("high: 2", "high: 6")

    assert expected == patched(text, {"attachments": {"clip": {"price": {"low": 5, "high": 6}}}}, "our.yaml")


PRICES = st.fixed_dictionaries({"low": st.integers(0, 99), "source": st.just("ours")})
NAMES = st.sampled_from(["clip-spring", "ball-ring", "clip-new"])


@given(st.dictionaries(NAMES, st.fixed_dictionaries({"price": PRICES}), min_size=1), st.booleans())
def test_comments_and_keys_outlive_any_patch(prices: dict[str, Any], source: bool) -> None:
    """Every comment is there, in its order, and the data are the old ones with the patch."""
    patch: dict[str, Any] = {"attachments": prices}
    if source:
        patch["sources"] = {"list": {"kind": "memory", "text": "x"}}
    new = patched(OURS, patch, "our.yaml")

    def comments(text: str) -> list[str]:
        return [line.partition("#")[2] for line in text.splitlines() if "#" in line]

    assert comments(OURS) == comments(new)
    attachments = parse_yaml(new, "our.yaml").data["attachments"]
    assert all(attachments[name]["price"].items() >= entry["price"].items() for name, entry in prices.items())
    assert ["clip-spring", "stud-thread", "ball-ring"] == list(attachments)[:3]
