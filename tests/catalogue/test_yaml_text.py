"""Reading YAML: what is refused, and that plain words keep their spelling."""

from __future__ import annotations

import itertools
import math
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

from catalogue.mistakes import InputError, Place
from catalogue.yaml_text import MOST_BYTES, MOST_DEPTH, MOST_VALUES, parse_yaml, read_yaml

NAME = "f.yaml"


def refused(text: str) -> str:
    with pytest.raises(InputError) as caught:
        parse_yaml(text, NAME)
    return str(caught.value)


def refused_file(path: Path) -> str:
    with pytest.raises(InputError) as caught:
        read_yaml(path)
    return str(caught.value).replace(f"{path.parent}/", "")


NO_ALIAS = "anchors (`&`) and aliases (`*`) are not used here; write the value out, or quote the text"
QUESTION = "`?` is no value in a file; write `unknown`, or leave the key out"
BROKEN = "check the indentation and the quotes"
REFUSED = {
    "key twice": ("a: 1\nb: 2\na: 3\n", "3:1: `a` stands twice here (first in line 1); remove one of them"),
    "key twice, deeper": ("x:\n  a: 1\n  a: 2\n", "3:3: `a` stands twice here (first in line 2); remove one of them"),
    "key twice, once quoted": ("a: 1\n'a': 2\n", "2:1: `a` stands twice here (first in line 1); remove one of them"),
    "tab under a key": ("a:\n\tb: 1\n", "2:1: a tab stands where YAML wants spaces; indent with spaces"),
    "tab after a value": ("a: 1\n\tb: 1\n", "2:1: a tab stands where YAML wants spaces; indent with spaces"),
    "anchor": ("a: &x 1\n", f"1:4: {NO_ALIAS}"),
    "alias": ("b: *x\n", f"1:4: {NO_ALIAS}"),
    "text that starts with a star": ("note: *see below\n", f"1:7: {NO_ALIAS}"),
    "tag that would run code": (
        "a: !!python/object/apply:os.system [ls]\n",
        "1:4: tag `tag:yaml.org,2002:python/object/apply:os.system` is not used here; remove the tag",
    ),
    "harmless tag": ("a: !!str 1\n", "1:4: tag `tag:yaml.org,2002:str` is not used here; remove the tag"),
    "tag of one's own": ("a: !clip 1\n", "1:4: tag `!clip` is not used here; remove the tag"),
    "second document": ("a: 1\n---\nb: 2\n", "2:1: starts a second document (`---`); keep one document in a file"),
    "key that is a list": ("? [1]\n: 2\n", "1:3: a key must be a plain word"),
    "key that is an alias": ("*x : 1\n", "1:1: a key must be a plain word"),
    "a question mark": ("a:\n  b: ?\n", f"2:6: {QUESTION}"),
    "a question mark with a remark": ("a: ? # ask\nb: 2\n", f"1:4: {QUESTION}"),
    "a question mark between braces": ("s: {a: ?, b: 1}\n", f"1:8: {QUESTION}"),
    "a question mark before a brace": ("s: {a: ?}\n", f"1:8: {QUESTION}"),
    "a question mark in a list": ("s: [1, ?]\n", f"1:8: {QUESTION}"),
    "a question mark for a key": ("s:\n  a: 1\n  ?  \n", f"3:3: {QUESTION}"),
    "a question mark alone": ("?\n", f"1:1: {QUESTION}"),
    "two colons": ("a: b: c\n", f"1:5: is not YAML: mapping values are not allowed in this context; {BROKEN}"),
    "line pushed in": (
        "a: 1\n b: 1\n",
        f"2:3: is not YAML: mapping values are not allowed in this context; {BROKEN}",
    ),
    "quote not closed": (
        'a: "x\n',
        f"2:1: is not YAML: found unexpected end of stream (while scanning a quoted scalar); {BROKEN}",
    ),
    "bracket not closed": (
        "a: [1, 2\n",
        f"2:1: is not YAML: did not find expected ',' or ']' (while parsing a flow sequence); {BROKEN}",
    ),
    "per cent sign first": (
        "a: %x\n",
        "1:4: is not YAML: found character that cannot start any token (while scanning for the next token); "
        + BROKEN,
    ),
    "control character": (
        "a: \x07\n",
        "1:1: is not YAML text: unacceptable character #x0007: control characters are not allowed",
    ),
    "nested too deep": (
        "[" * (MOST_DEPTH + 2) + "]" * (MOST_DEPTH + 2),
        f"1:{MOST_DEPTH + 2}: is nested more than 40 levels deep",
    ),
    "too many values": (
        "[" + "1," * MOST_VALUES + "]",
        f"1:{2 * MOST_VALUES}: holds more than 50,000 values",
    ),
}


@pytest.mark.parametrize(("text", "message"), REFUSED.values(), ids=REFUSED)
def test_text_is_refused(text: str, message: str) -> None:
    assert f"{NAME}:{message}" == refused(text)


def test_a_bomb_of_aliases_is_refused_at_its_first_anchor() -> None:
    doubled = (f"{b}: &{b} [*{a}, *{a}]\n" for a, b in itertools.pairwise("abcdefghi"))
    bomb = "a: &a [x, x]\n" + "".join(doubled)

    assert f"{NAME}:1:4: {NO_ALIAS}" == refused(bomb)


def test_brackets_without_end_are_refused_and_do_not_exhaust_the_stack() -> None:
    with pytest.raises(InputError) as caught:
        parse_yaml("[" * 100_000, NAME)

    assert 1 == len(caught.value.mistakes)


def test_the_deepest_nesting_and_the_most_values_are_still_read() -> None:
    deep = parse_yaml("[" * (MOST_DEPTH + 1) + "]" * (MOST_DEPTH + 1), NAME)
    wide = parse_yaml("[" + "1," * (MOST_VALUES - 1) + "]", NAME)

    assert MOST_DEPTH + 1 == len(deep.places)
    assert MOST_VALUES - 1 == len(wide.data)


# Words that YAML 1.1 readers turn into something else; the middle column is what PyYAML makes of them.
WORDS = {
    "no": (False, "no"),
    "yes": (True, "yes"),
    "on": (True, "on"),
    "off": (False, "off"),
    "1:30": (90, "1:30"),
    "010": (8, "010"),
    "0x1F": (31, "0x1F"),
    "1_000": (1000, "1_000"),
    "1e3": ("1e3", 1000.0),
}


@pytest.mark.parametrize(("word", "pyyaml", "ours"), [(w, *both) for w, both in WORDS.items()], ids=WORDS)
def test_plain_words_keep_their_spelling(word: str, pyyaml: object, ours: object) -> None:
    assert pyyaml == yaml.safe_load(word)
    assert ours == parse_yaml(f"a: {word}\n", NAME).data["a"]


PLAIN = {
    "1.8": 1.8, "-3": -3, "+2": 2, ".5": 0.5, "5.": 5.0, "0.10": 0.1, "0": 0, "1.8e-1": 0.18,
    "true": True, "False": False, "null": None, "~": None, '"no"': "no", "'1.8'": "1.8", '"null"': "null",
    "1,8": "1,8", "1.8 mm": "1.8 mm", "01.5": "01.5", "nan": "nan", "inf": "inf", "2020-01-01": "2020-01-01",
    "1.8 +- 0.1": "1.8 +- 0.1", "\N{ARABIC-INDIC DIGIT ONE}": "\N{ARABIC-INDIC DIGIT ONE}",
}  # fmt: skip


@pytest.mark.parametrize(("word", "value"), PLAIN.items(), ids=PLAIN)
def test_plain_values(word: str, value: object) -> None:
    read = parse_yaml(f"a: {word}\n", NAME).data["a"]

    assert (type(value), value) == (type(read), read)


@pytest.mark.parametrize("word", ["", "~", "null", "Null", "NULL", "true", "True", "TRUE", "false", "False", "FALSE"])
def test_every_spelling_of_nothing_and_of_yes_and_no_is_that_of_pyyaml(word: str) -> None:
    assert yaml.safe_load(f"a: {word}") == parse_yaml(f"a: {word}\n", NAME).data


@pytest.mark.parametrize(("kind", "digits"), [(int, 19), (float, 20)])
def test_a_number_longer_than_any_measure_is_read_as_one_with_a_point(kind: type[int | float], digits: int) -> None:
    read = parse_yaml("a: " + "9" * digits + "\n", NAME).data["a"]

    assert (kind, kind("9" * digits)) == (type(read), read)


def test_yaml_words_for_no_number_are_read_as_such() -> None:
    data = parse_yaml("a: .nan\nb: .inf\nc: -.inf\nd: 1e400\n", NAME).data

    assert math.isnan(data["a"])
    assert (math.inf, -math.inf, math.inf) == (data["b"], data["c"], data["d"])


@pytest.mark.parametrize("key", ["no", "1:30", "010", "null", "1"])
def test_keys_are_always_words(key: str) -> None:
    assert {key: 1} == parse_yaml(f"{key}: 1\n", NAME).data


@given(st.floats(allow_nan=False, allow_infinity=False) | st.integers(-(10**18), 10**18))
def test_numbers_survive_being_written_and_read(number: float) -> None:
    assert number == parse_yaml(f"a: {number!r}\n", NAME).data["a"]


@given(
    st.recursive(
        st.integers(-99, 99) | st.booleans() | st.none() | st.text("abc xyz#:-'\"\n", max_size=8),
        lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text("abc", min_size=1), inner, max_size=4),
        max_leaves=20,
    )
)
def test_what_pyyaml_writes_is_read_back(data: object) -> None:
    """PyYAML's own writer, without its aliases, is the outside check."""
    text = yaml.dump({"a": data}, Dumper=_Plain)

    assert {"a": data} == parse_yaml(text, NAME).data


class _Plain(yaml.SafeDumper):
    def ignore_aliases(self, data: object) -> bool:
        return True


def test_every_value_and_key_knows_its_place() -> None:
    document = parse_yaml("a: 1\nb:\n  - x: 2\n    y: three\n", NAME)

    assert Place(NAME, 1, 4) == document.place(("a",))
    assert Place(NAME, 4, 8) == document.place(("b", 0, "y"))
    assert Place(NAME, 4, 5) == document.keys["b", 0, "y"]
    assert Place(NAME, 3, 5) == document.place(("b", 0, "z", "deeper")), "the nearest value that encloses it"
    assert Place(NAME, 1, 1) == document.place(())


@pytest.mark.parametrize("text", ["", "# a comment alone\n"], ids=["empty", "comment"])
def test_an_empty_file_is_an_empty_mapping(text: str) -> None:
    assert {} == parse_yaml(text, NAME).data


def test_a_byte_order_mark_is_no_part_of_the_text(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"\xef\xbb\xbfa: 1\n")

    assert {"a": 1} == read_yaml(path).data


def test_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"a: 1\r\nb: 2\r\n")

    assert {"a": 1, "b": 2} == read_yaml(path).data


def test_a_file_of_10_mb_is_refused(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"a: 1 #\n" + b"#" * 10_000_000)

    assert f"{NAME}:1:1: is larger than 1,000,000 bytes; a case or catalogue file is far smaller" == refused_file(
        path
    )


def test_a_file_of_just_the_largest_size_is_read(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes(b"a: 1\n" + b"#" * (MOST_BYTES - 5))

    assert {"a": 1} == read_yaml(path).data


def test_a_missing_file_is_told(tmp_path: Path) -> None:
    assert f"{NAME}:1:1: cannot be read: no such file or directory" == refused_file(tmp_path / NAME)


def test_a_file_that_may_not_be_opened_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A root user may open anything, so the refusal of the system is played."""

    def locked(self: Path, *args: object, **kwargs: object) -> None:
        raise PermissionError(13, "Permission denied", str(self))

    monkeypatch.setattr(Path, "open", locked)

    assert f"{NAME}:1:1: cannot be read: permission denied" == refused_file(tmp_path / NAME)


def test_a_link_to_itself_is_told(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.symlink_to(path)

    assert f"{NAME}:1:1: cannot be read: too many levels of symbolic links" == refused_file(path)


def test_a_folder_is_told(tmp_path: Path) -> None:
    folder = tmp_path / "cases"
    folder.mkdir()

    assert "cases:1:1: is a folder; name the YAML file in it" == refused_file(folder)


@pytest.mark.parametrize("coding", ["utf-16", "utf-16-le", "utf-16-be"])
def test_text_in_utf_16_is_told_as_such(tmp_path: Path, coding: str) -> None:
    path = tmp_path / NAME
    path.write_bytes("case: Größe\n".encode(coding))

    assert f"{NAME}:1:1: is UTF-16 text; save the file as UTF-8" == refused_file(path)


def test_text_that_is_not_utf_8_is_told_with_its_line(tmp_path: Path) -> None:
    path = tmp_path / NAME
    path.write_bytes("a: 1\nname: Größe\n".encode("latin-1"))

    assert f"{NAME}:2:1: is not UTF-8 text; save the file as UTF-8" == refused_file(path)
