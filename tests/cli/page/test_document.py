"""The open case: sound after every edit, undone and redone whole, and never written over unseen."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Literal, get_args, get_origin

import pytest
from pydantic import BaseModel

from cli.page.document.document import Conflict, Refused, Taken
from cli.page.form.entry import Said, Shown
from cli.page.form.fields import LEFT_TO_THE_FILE
from cli.page.form.form import GROUPS, NoSuchField, cards, field_at, strip
from solver.case.rule_set import RENAMED
from solver.case.schema import Case
from tests.cli.page.cases import TEXT, opened

WIDTH = "segments.A.width_mm"


def test_an_edit_is_taken_and_numbered() -> None:
    case = opened()

    assert Taken() == case.put(WIDTH, Said("2,1"), 0, "one")
    assert 1 == case.revision
    assert 2.1 == case.case.segments["A"].width_mm.value


@pytest.mark.parametrize(
    ("at", "value", "problem", "advice"),
    [
        (WIDTH, "99", "99 is no bar width, which is 0.3 to 12 mm", "check the unit"),
        ("supports.S2.place", "43", "stands in the same place as `S1`", "check the positions"),
        ("supports.S1.place", "13", "supports.S1.tooth: 13 is not in the lower jaw", "lower teeth are 31 to 48"),
        ("money.currency", "EURO", "'EURO' cannot stand here", "write the three capitals of ISO 4217, such as EUR"),
        ("money.currency", "XXQ", "'XXQ' is no currency of ISO 4217 in use", "e.g. EUR"),
        ("case", "", "`case` is missing", "add it (`regrip schema` lists the keys)"),
        ("locale", "xx_YY", "'xx_YY' is no locale", "write language and country, e.g. `de_DE`"),
        (
            "mix.A", "Clip!", "'Clip!' is no proposal",
            "write `attachment`, `attachment x2` or `attachment + rework`",
        ),
    ],
    ids=["bounds", "crowded", "jaw", "currency", "no-currency", "needed", "locale", "mix"],
)  # fmt: skip
def test_an_edit_that_cannot_stand_changes_nothing(at: str, value: str, problem: str, advice: str) -> None:
    case = opened()

    refused = case.put(at, Said(value), 0, "one")

    assert isinstance(refused, Refused)
    assert (problem, advice) == (refused.problem.removeprefix("supports.S2: "), refused.advice)
    assert (TEXT, 0) == (case.text, case.revision)


@pytest.mark.parametrize(
    "at",
    [
        "", "x", "supports", "supports.S1", "supports.S9.place", "supports.S1.tooth", "segments.A.between", "mix",
        "mix.Q", "case.x", "wanted.pull_n", "wanted.pull_n.x", "invented", "room", "room.space_mm.x", "severity",
        "severity.safety", "supports.S1.at_mm", "ends",
    ],
)  # fmt: skip
def test_only_fields_can_be_edited(at: str) -> None:
    case = opened()

    with pytest.raises(NoSuchField):
        case.put(at, Said("1"), 0, "one")


def test_every_field_of_the_form_can_be_edited() -> None:
    case = opened()
    groups = strip(case.data, case.figures)
    sites = cards(case.data, case.catalogue, case.figures)

    fields = [field for group in groups for field in group.fields]
    fields += [field for card in sites for field in (*card.fields, *card.room)]

    assert [field.kind for field in fields] == [field_at(field.at, case.data)[1] for field in fields]
    assert 70 < len(fields)
    assert [] == [field.label for field in fields if "_" in field.label or not field.label]


def places(model: type[BaseModel], at: str = "") -> Iterator[str]:
    """Every place of a value in a case file, walked through the models; `*` stands for the name of a site."""
    for name, info in model.model_fields.items():
        if get_origin(info.annotation) is not dict:
            yield from _within(info.annotation, f"{at}{name}")
            continue
        key, value = get_args(info.annotation)
        for one in get_args(key) if get_origin(key) is Literal else ("*",):
            yield from _within(value, f"{at}{name}.{one}")


def _within(annotation: Any, at: str) -> Iterator[str]:
    if isinstance(annotation, type) and issubclass(annotation, BaseModel):
        yield from places(annotation, f"{at}.")
    else:
        yield at


def test_every_value_of_a_case_has_a_field_or_a_reason_for_none() -> None:
    """The models are walked, so that a field that a case gets later cannot be forgotten here."""
    case = opened()
    case.add("ends", "E1", {"on": "S1", "length_mm": 8}, "one")
    groups = strip(case.data, case.figures)
    sites = cards(case.data, case.catalogue, case.figures)

    shown = {field.at for group in groups for field in group.fields} | {"mix.*"}
    for card in sites:
        shown |= {field.at.replace(f".{card.name}.", ".*.") for field in (*card.fields, *card.room)}
    shown |= {"supports.*.tooth", "supports.*.at_mm"} if "supports.*.place" in shown else set()
    older = {f"severity.{name}" for name in RENAMED}
    every = set(places(Case))

    assert older <= every - shown
    assert {f"severity.{name}" for name in RENAMED.values()} <= shown
    assert set(LEFT_TO_THE_FILE) == {at.rpartition(".")[2] for at in every - shown - older}
    assert {"supports.*.place"} == shown - every


def test_how_hard_a_rule_is_to_give_up_can_be_said() -> None:
    """By its kind and by one kind of work; empty again it is our own order, and the file is as it was."""
    case = opened()

    assert Taken() == case.put("severity.budget", Said("7"), 0, "one")
    assert Taken() == case.put("severity.allowed:weld", Said("9"), 1, "one")
    assert {"budget": 7, "allowed:weld": 9} == case.case.severity
    assert isinstance(case.put("severity.hold", Said("101"), 2, "one"), Refused)
    case.put("severity.budget", Said(""), 3, "one")
    case.put("severity.allowed:weld", Said(""), 4, "one")

    assert TEXT == case.text


def test_undo_goes_back_to_the_letter_and_redo_forward() -> None:
    case = opened()
    case.put(WIDTH, Said("2"), 0, "one")
    case.put("patient.hand", Said("weak"), 1, "one")
    case.add("segments", "B", {"between": ["S1", "S2"]}, "one")
    edited = case.text

    while case.can_undo:
        case.undo("one")
    back = case.text
    while case.can_redo:
        case.redo("one")

    assert (TEXT, edited) == (back, case.text)


def test_typing_in_one_field_is_one_step() -> None:
    """`2`, `2.`, `2.1` in a row are undone at once; another field begins another step."""
    case = opened()
    for text in ("2", "2.", "2.1"):
        case.put(WIDTH, Said(text), 0, "one")
    case.put("segments.A.height_mm", Said("2"), 0, "one")

    case.undo("one")
    case.undo("one")

    assert TEXT == case.text
    assert not case.can_undo


class TestTwoTabs:
    """Two tabs on one case."""

    def test_edits_of_different_fields_both_stand(self) -> None:
        case = opened()
        case.put(WIDTH, Said("2"), 0, "one")

        assert Taken() == case.put("segments.A.height_mm", Said("2.2"), 0, "two")
        assert (2, 2.2) == (case.case.segments["A"].width_mm.value, case.case.segments["A"].height_mm.value)

    def test_an_edit_of_the_same_field_is_a_conflict_that_shows_what_is_there(self) -> None:
        case = opened()
        case.put(WIDTH, Said("2", "0.1"), 0, "one")

        assert Conflict(Shown("2", "0.1")) == case.put(WIDTH, Said("2.5"), 0, "two")
        assert 2 == case.case.segments["A"].width_mm.value

    def test_once_seen_it_can_be_changed(self) -> None:
        case = opened()
        case.put(WIDTH, Said("2"), 0, "one")

        assert Taken() == case.put(WIDTH, Said("2.5"), 1, "two")

    def test_a_tab_does_not_overtake_itself(self) -> None:
        case = opened()
        case.put(WIDTH, Said("2"), 0, "one")

        assert Taken() == case.put(WIDTH, Said("2.5"), 0, "one")

    def test_an_undo_counts_as_a_change_of_what_it_brings_back(self) -> None:
        case = opened()
        case.put("supports.S1.place", Said("44"), 0, "one")
        case.undo("one")

        assert isinstance(case.put("supports.S1.place", Said("42"), 1, "two"), Conflict)


def test_a_support_moves_from_a_tooth_to_a_point_and_back() -> None:
    case = opened()

    case.put("supports.S1.place", Said("-16; 17; 0"), 0, "one")
    assert (None, (-16, 17, 0)) == (case.case.supports["S1"].tooth, case.case.supports["S1"].at_mm)
    case.put("supports.S1.place", Said("43"), 0, "one")

    assert TEXT == case.text


def test_what_others_hang_on_is_not_taken_out() -> None:
    case = opened()

    assert Refused("A hang on S1", "take them out first") == case.remove("supports", "S1", "one")


def test_a_site_goes_with_what_was_put_there() -> None:
    case = opened()
    case.put("mix.A", Said("clip-round-metal-5"), 0, "one")
    case.remove("segments", "A", "one")

    assert ({}, {}) == (case.case.segments, case.case.mix)
    assert all(name in GROUPS for name in ("segments", "ends", "supports"))
