"""Overlays, and what a catalogue as a whole refuses. Texts and figures are invented."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError

Write = Callable[[str], Path]

WHOLE = """\
version: test
currency: EUR
sources:
  own: {kind: invented, text: invented for a test}
defaults:
  play: {mm: 0.02, deg: 0.1, source: own}
  acrylic_mm: {value: 2, source: own}
  tooth_mm: {value: 2.5, source: own}
  settling_mm: {lower: 0.3, upper: 0.4, source: own}
  hold_n: {value: 5, source: own}
  pull_n: {weak: 15, usual: 40, strong: 65, source: own}
  support_diameter_mm: {value: 4, source: own}
  thin_base: {up_to: 0.5, how: accept a thinner base, source: own}
  metals: {text: keep the metal out, source: own}
  loose: {text: nothing is built on it, source: own}
  scans: {up_to: 0, how: take the denture out, source: own}
  grinding: {up_to: 0, how: renew it often, source: own}
  tiers:
    stopgap:
      promise: stays in
      centre_n: {value: 1, source: own}
      front_n: {value: 1, source: own}
      sides_n: {value: 1, source: own}
    usual:
      promise: holds
      centre_n: {value: 1, source: own}
      front_n: {value: 1, source: own}
      sides_n: {value: 1, source: own}
      sides_many_n: {value: 1, source: own}
      many_supports: {value: 4, source: own}
      spread: {value: 1, source: own}
      even: {value: 1, source: own}
      until_renewal: true
    firm: {promise: holds most}
  preferences:
    alike_saves: {value: 1, source: own}
    whole_bar_saves: {value: 1, source: own}
    in_kind: {value: 1, source: own}
    about_nothing_n: {value: 1, source: own}
attachments:
  clip:
    kind: clip
    name: Clip
    at: [segment]
    steps: [thread]
    stack: {part: 1, source: own}
    movement: {hinge_deg: 20, source: own}
    retention_n: {low: 3, high: 6, source: own}
    price: {low: 10, high: 20, source: own}
    work: {bench: [5, 10], source: own}
    cautions: [first, second]
reworks:
  thread:
    name: Thread
    at: [segment]
    always_with: true
    price: {low: 0, high: 0, source: own}
    work: {source: own}
    source: own
"""


@pytest.fixture
def write(tmp_path: Path) -> Write:
    def _write(text: str, name: str = "mine.yaml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return _write


@pytest.fixture
def whole(tmp_path: Path) -> Path:
    path = tmp_path / "whole.yaml"
    path.write_text(WHOLE, encoding="utf-8")
    return path


def refused(*paths: Path) -> str:
    """The whole message, with the file names alone."""
    with pytest.raises(InputError) as caught:
        load_catalogue(paths, starter=False)
    return str(caught.value).replace(f"{paths[-1].parent}/", "")


def test_entries_know_their_own_key(whole: Path) -> None:
    catalogue = load_catalogue([whole], starter=False)

    assert "clip" == catalogue.attachments["clip"].id
    assert "thread" == catalogue.reworks["thread"].id


def test_part_of_an_entry_is_replaced_and_the_rest_stays(whole: Path, write: Write) -> None:
    before = load_catalogue([whole], starter=False).attachments["clip"]

    after = load_catalogue([whole, write("attachments: {clip: {price: {low: 7}}}\n")], starter=False).attachments[
        "clip"
    ]

    assert (7, 20, "own") == (after.price.low, after.price.high, after.price.source)
    assert before == after.model_copy(update={"price": before.price})


def test_a_list_is_replaced_as_a_whole(whole: Path, write: Write) -> None:
    overlay = write("attachments: {clip: {cautions: [third]}}\n")

    assert ("third",) == load_catalogue([whole, overlay], starter=False).attachments["clip"].cautions


def test_an_entry_is_added(whole: Path, write: Write) -> None:
    overlay = write(
        "sources: {shop: {kind: invented, text: invented too}}\n"
        "attachments:\n"
        "  stud: {kind: stud, name: Stud, at: [segment], stack: {part: 2, source: shop}, movement: {source: shop},\n"
        "    retention_n: {low: 3, high: 4, source: shop}, price: {low: 1, high: 2, source: own},\n"
        "    work: {source: own}}\n"
    )

    catalogue = load_catalogue([whole, overlay], starter=False)

    assert ["clip", "stud"] == list(catalogue.attachments)
    assert "shop" == catalogue.attachments["stud"].stack.source


def test_null_takes_an_entry_or_a_part_of_it_out(whole: Path, write: Write) -> None:
    overlay = write("attachments: {clip: {steps: null}}\nreworks: {thread: null}\n")

    catalogue = load_catalogue([whole, overlay], starter=False)

    assert {} == catalogue.reworks
    assert () == catalogue.attachments["clip"].steps


def test_the_last_overlay_has_the_last_word(whole: Path, tmp_path: Path) -> None:
    for name, low in (("a", 3), ("b", 4)):
        (tmp_path / f"{name}.yaml").write_text(f"attachments: {{clip: {{price: {{low: {low}}}}}}}\n")

    catalogue = load_catalogue([whole, tmp_path / "b.yaml", tmp_path / "a.yaml"], starter=False)

    assert 3 == catalogue.attachments["clip"].price.low


def test_an_overlay_lies_over_the_starter_catalogue(write: Write) -> None:
    starter = load_catalogue()

    catalogue = load_catalogue([write("version: ours\nattachments: {clip-round-polymer-5: null}\n")])

    assert "ours" == catalogue.version
    assert starter.attachments.keys() - {"clip-round-polymer-5"} == catalogue.attachments.keys()


@pytest.mark.parametrize(
    ("more", "harms"),
    [
        pytest.param("", False, id="asks for nothing"),
        pytest.param("permissions: [weld], ", True, id="welds"),
        pytest.param("permissions: [cut_bar], ", True, id="cuts"),
        pytest.param("permissions: [cut_bar], cuts_only_worn: true, ", False, id="cuts what is worn"),
    ],
)
def test_a_rework_as_it_was_written_before_is_read_and_harms_by_what_it_asks_for(
    whole: Path, write: Write, more: str, harms: bool
) -> None:
    old = "name: File, at: [segment], price: {low: 0, high: 0, source: own}, work: {source: own}, source: own"

    rework = load_catalogue([whole, write(f"reworks: {{file: {{{more}{old}}}}}\n")], starter=False).reworks["file"]

    assert (harms, "mouth", ()) == (rework.harms_bar, rework.where, rework.steps)


def test_an_empty_overlay_changes_nothing(whole: Path, write: Write) -> None:
    assert load_catalogue([whole], starter=False) == load_catalogue([whole, write("# nothing yet\n")], starter=False)


REFUSED = {
    "loose source": (
        "attachments: {clip: {price: {source: shop}}}\n",
        "mine.yaml:1:38: attachments.clip.price.source: no source is called 'shop'; add it under `sources`",
    ),
    "loose source of a default": (
        "defaults: {play: {source: shop}}\n",
        "mine.yaml:1:27: defaults.play.source: no source is called 'shop'; add it under `sources`",
    ),
    "unknown step": (
        "attachments:\n  clip:\n    steps: [thread, weld]\n",
        "mine.yaml:3:21: attachments.clip.steps.1: no rework is called 'weld'; add it under `reworks`",
    ),
    "a step named twice": (
        "attachments: {clip: {steps: [thread, thread]}}\n",
        "mine.yaml:1:38: attachments.clip.steps.1: the step 'thread' is named twice; a step is done once at a site; "
        "name it once",
    ),
    "a step taken away is missed where it is used": (
        "reworks: {thread: null}\n",
        "whole.yaml:45:13: attachments.clip.steps.0: no rework is called 'thread'; add it under `reworks`",
    ),
    "unknown step of a rework": (
        "reworks:\n  thread: {steps: [unscrew]}\n",
        "mine.yaml:2:20: reworks.thread.steps.0: no rework is called 'unscrew'; add it under `reworks`",
    ),
    "a step that has steps": (
        "reworks:\n  thread: {steps: [thread]}\n",
        "mine.yaml:2:20: reworks.thread.steps.0: 'thread' has steps of its own; "
        "name them here, before it, and take them out there",
    ),
    "no attachment left": (
        "attachments: {clip: null}\n",
        "mine.yaml:1:14: attachments: the catalogue holds no attachment; add at least one",
    ),
    "a slip in the id to take out": (
        "attachments: {clp: null}\n",
        "mine.yaml:1:20: attachments.clp: there is no 'clp' to take out; "
        "write its id as it stands, or leave the line out",
    ),
    "a slip in the key to take out": (
        "attachments: {clip: {step: null}}\n",
        "mine.yaml:1:28: attachments.clip.step: there is no 'step' to take out; "
        "write its key as it stands, or leave the line out",
    ),
    "a decimal comma in brackets": (
        "attachments: {clip: {price: {low: 3,5}}}\n",
        "mine.yaml:1:38: attachments.clip.price.5: there is no '5' to take out; write decimals with a point",
    ),
    "a list cut short is short where it was cut": (
        "attachments:\n  clip: {work: {bench: [5]}}\n",
        "mine.yaml:2:24: attachments.clip.work.bench: expected more values, got [5]; write them all, in brackets",
    ),
    "a word instead of what stood there": (
        "attachments:\n  clip: {price: dear}\n",
        "mine.yaml:2:17: attachments.clip.price: expected `key: value` lines, got 'dear'; "
        "indent its entries under the key",
    ),
    "unknown key of an entry": (
        "attachments:\n  clip:\n    prize: 3\n",
        "mine.yaml:3:5: attachments.clip.prize: `prize` is not known here; did you mean `price`?",
    ),
    "required part taken out": (
        "attachments:\n  clip: {price: null}\n",
        "mine.yaml:2:17: attachments.clip.price: `price` is missing; add it (`regrip schema` lists the keys)",
    ),
    "entry that is a number": (
        "attachments: {clip: 3}\n",
        "mine.yaml:1:21: attachments.clip: expected `key: value` lines, got 3; indent its entries under the key",
    ),
    "id with a capital": (
        "sources: {Shop: {kind: invented, text: x}}\n",
        "mine.yaml:1:17: sources.Shop: 'Shop' cannot stand here; "
        "write small letters, digits, `.` and `-`, 60 at most",
    ),
    "list where entries belong": (
        "- clip\n",
        "mine.yaml:1:1: expected `key: value` lines; start with `attachments:`",
    ),
    "bare number": (
        "5\n",
        "mine.yaml:1:1: expected `key: value` lines; start with `attachments:`",
    ),
    "every mistake is told, in order of line": (
        "currency: Euro\nattachments:\n  clip:\n    price: {low: 9, high: x}\n    most: 9\n",
        "mine.yaml:1:11: currency: 'Euro' cannot stand here; write the three capitals of ISO 4217, such as EUR\n"
        "mine.yaml:4:27: attachments.clip.price.high: expected a number, got 'x'; "
        "write a plain decimal number such as 1.8\n"
        "mine.yaml:5:11: attachments.clip.most: expected at most 6, got 9; check the unit",
    ),
}


@pytest.mark.parametrize(("text", "message"), REFUSED.values(), ids=REFUSED)
def test_an_overlay_is_refused(whole: Path, write: Write, text: str, message: str) -> None:
    assert message == refused(whole, write(text))


def test_nothing_at_all_is_no_catalogue() -> None:
    with pytest.raises(InputError) as caught:
        load_catalogue(starter=False)

    missing = ("attachments", "currency", "defaults", "sources", "version")
    assert [
        f"catalogue:1:1: {name}: `{name}` is missing; add it (`regrip schema` lists the keys)" for name in missing
    ] == str(caught.value).splitlines()


def test_a_catalogue_without_attachments_is_refused(write: Write) -> None:
    text = WHOLE[: WHOLE.index("attachments:")] + "attachments: {}\n"

    assert "mine.yaml:40:14: attachments: the catalogue holds no attachment; add at least one" == refused(write(text))
