"""A price list as an overlay: exactly what it says, and no more."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from hypothesis import given, settings
from hypothesis import strategies as st

from catalogue.blocks import Pack
from catalogue.difference import Difference, Figure, difference
from catalogue.load import STARTER, load_catalogue
from catalogue.mistakes import Place
from catalogue.models import Catalogue
from catalogue.price_list import Quote
from catalogue.reprice import overlay_of
from catalogue.yaml_text import Document, read_yaml

CLIP = "clip-round-metal-5"
PLACE = Place("new.csv")


@cache
def read() -> tuple[Document, ...]:
    """The files of the starter catalogue, read once."""
    return tuple(read_yaml(path) for path in sorted(STARTER.glob("*.yaml")))


@cache
def starter() -> Catalogue:
    return load_catalogue(read(), starter=False)


def quote(attachment: str = CLIP, pieces: int = 1, low: float = 7, high: float = 8, source: str = "") -> Quote:
    return Quote(attachment, pieces, low, high, source, PLACE)


def laid(*quotes: Quote) -> Catalogue:
    over = Document("our.yaml", overlay_of(starter(), quotes, "a list"), {}, {})
    return load_catalogue([*read(), over], starter=False)


def test_a_price_and_its_source() -> None:
    assert {
        "sources": {"a-list": {"kind": "common-practice", "text": "a list"}},
        "attachments": {CLIP: {"price": {"low": 7, "high": 8.5, "source": "a-list"}}},
    } == overlay_of(starter(), [quote(high=8.5)], "a list")


def test_a_source_by_its_key_or_its_text_is_not_written_again() -> None:
    text = starter().sources["price"].text

    for source in ("price", text):
        assert {"attachments": {CLIP: {"price": {"low": 7, "high": 8, "source": "price"}}}} == overlay_of(
            starter(), [quote(source=source)], "a list"
        )


def test_two_sentences_with_one_key() -> None:
    found = overlay_of(starter(), [quote(source="List A!"), quote("clip-round-metal-3", source="list a")], "x")

    assert {"list-a": "List A!", "list-a-2": "list a"} == {k: v["text"] for k, v in found["sources"].items()}


def test_letters_that_no_key_may_have() -> None:
    assert ["prices"] == list(overlay_of(starter(), [quote(source="Ж")], "x")["sources"])


def test_prices_that_stand_already_lay_nothing() -> None:
    price = starter().attachments[CLIP].price

    assert {} == overlay_of(starter(), [quote(low=price.low, high=price.high, source=price.source)], "x")


def test_a_new_pack_takes_its_place_and_the_others_stay() -> None:
    before = starter().attachments[CLIP].packs
    after = laid(quote(pieces=500)).attachments[CLIP].packs

    assert before == after[:-1]
    assert (500, 7.0, 8.0) == (after[-1].pieces, after[-1].price and after[-1].price.low, 8.0)


def test_the_price_of_a_piece_adds_no_pack_of_one() -> None:
    """What comes in packs of more alone goes on doing so."""
    entry = starter().attachments[CLIP]
    packed = entry.model_copy(update={"packs": (Pack(pieces=10),)})
    found = overlay_of(starter().model_copy(update={"attachments": {CLIP: packed}}), [quote()], "price")

    assert {"price": {"low": 7, "high": 8, "source": "price"}} == found["attachments"][CLIP]


def test_what_is_sold_by_the_piece_stays_so() -> None:
    """Without packs an entry is sold by the piece; a first pack must not end that."""
    single = starter().attachments[CLIP].model_copy(update={"packs": ()})
    found = overlay_of(starter().model_copy(update={"attachments": {CLIP: single}}), [quote(pieces=6)], "price")

    assert [{"pieces": 1}, {"pieces": 6, "price": {"low": 7, "high": 8, "source": "price"}}] == found["attachments"][
        CLIP
    ]["packs"]


@st.composite
def price_lists(draw: st.DrawFn) -> tuple[Quote, ...]:
    """Rows for different packs of any attachments."""
    names = sorted(name for name, entry in starter().attachments.items() if entry.kind != "bare")
    packs = st.tuples(st.sampled_from(names), st.sampled_from([1, 2, 4, 10, 25]))
    keys = draw(st.lists(packs, unique=True, min_size=1, max_size=6))
    rows = []
    for name, pieces in keys:
        low = draw(st.integers(0, 100_000))
        high = low + draw(st.integers(0, 5_000))
        source = draw(st.sampled_from(["", "price", "list of a house", "List of a house."]))
        rows.append(replace(quote(name, pieces, low / 100, high / 100), source=source))
    return tuple(rows)


@settings(deadline=None, max_examples=20)
@given(price_lists())
def test_the_difference_is_what_the_list_says(rows: tuple[Quote, ...]) -> None:
    """Every row is found as it was written; every change is of a row, or is a pack that a row put in."""
    before, after = starter(), laid(*rows)
    found = difference(before, after)
    figures = {(c.entry, c.figure): c.after for c in found.changed}
    wanted = {}
    for row in rows:
        entry = before.attachments[row.attachment]
        own = {pack.pieces for pack in entry.packs}
        key = f"attachments.{row.attachment}"
        wanted[key, "price" if row.pieces == 1 else f"packs.{row.pieces}.price"] = (row.low, row.high)
        if row.pieces > 1:
            for pieces in {row.pieces, *(() if own else (1,))} - own:
                wanted[key, f"packs.{pieces}.pieces"] = pieces

    assert () == found.gone
    assert all(name.startswith("sources.") for name in found.added)
    assert figures.keys() <= wanted.keys()
    for (name, figure), value in wanted.items():
        entry = after.attachments[name.removeprefix("attachments.")]
        got = figures.get((name, figure))
        if got is None:  # as it was before, source and all
            band = entry.price if figure == "price" else next(
                pack.price for pack in entry.packs if f"packs.{pack.pieces}.price" == figure
            )  # fmt: skip
            assert band is not None
            got = Figure((band.low, band.high))
        assert value == got.value


@settings(deadline=None, max_examples=20)
@given(price_lists())
def test_the_list_laid_twice_changes_nothing_more(rows: tuple[Quote, ...]) -> None:
    after = laid(*rows)

    assert {} == overlay_of(after, rows, "a list")
    assert Difference() == difference(after, after)
