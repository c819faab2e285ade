"""Read YAML as data with the position of every value, and refuse what people write by accident.

Plain words keep their spelling (`no` stays a word, `1:30` is no number), keys may not stand twice, anchors
and aliases are not used. The size of a file, its depth and its number of values are bounded.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from math import inf, nan
from pathlib import Path
from typing import Any, TypeAlias

import yaml

from catalogue.mistakes import InputError, Mistake, Place

Loc: TypeAlias = tuple[str | int, ...]

MOST_BYTES = 1_000_000
MOST_VALUES = 50_000
MOST_DEPTH = 40

_PARSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)  # libyaml where PyYAML was built with it

_INT = re.compile(r"[-+]?(0|[1-9][0-9]*)")
_FLOAT = re.compile(r"[-+]?([0-9]+\.[0-9]*|\.[0-9]+|[0-9]+)([eE][-+]?[0-9]+)?")
_OCTAL_LOOK = re.compile(r"[-+]?0[0-9]")
_NOT_FINITE = {".inf": inf, "+.inf": inf, "-.inf": -inf, ".nan": nan}
_WORDS: Mapping[str, bool | None] = {
    "": None, "~": None, "null": None, "Null": None, "NULL": None,
    "true": True, "True": True, "TRUE": True, "false": False, "False": False, "FALSE": False,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Document:
    """A file read: its data, and where each value (`places`) and each key (`keys`) stands."""

    path: str
    data: Any
    places: Mapping[Loc, Place] = field(repr=False)
    keys: Mapping[Loc, Place] = field(repr=False)

    def place(self, loc: Loc) -> Place:
        """Position of the value at `loc`, or of the nearest value that encloses it."""
        while loc and loc not in self.places:
            loc = loc[:-1]
        return self.places.get(loc, Place(self.path))


def read_yaml(path: str | Path) -> Document:
    """Read one YAML document; raise `InputError` where it is not readable, too large or ambiguous."""
    return parse_yaml(read_text(path), str(path))


def parse_yaml(text: str, name: str) -> Document:
    """Read YAML from text; `name` stands for the file in every mistake."""
    reader = _Reader(name, text)
    try:
        data = reader.document()
    except yaml.MarkedYAMLError as error:
        raise _refused(_place(name, error.problem_mark), *_explain(error, text)) from None
    except yaml.YAMLError as error:
        raise _refused(Place(name), f"is not YAML text: {str(error).splitlines()[0]}") from None
    return Document(name, data, reader.places, reader.keys)


def read_raw(path: str | Path, kind: str = "YAML") -> bytes:
    """The bytes of a file, at most one more than are read; raise `InputError` where it is not readable."""
    path, name = Path(path), str(path)
    try:
        if path.is_dir():
            raise _refused(Place(name), "is a folder", f"name the {kind} file in it")
        with path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
    except OSError as error:
        raise _refused(Place(name), f"cannot be read: {(error.strerror or 'failed').lower()}") from None


def read_text(path: str | Path, kind: str = "YAML") -> str:
    """The text of a file of a `kind`; raise `InputError`."""
    return text_of(read_raw(path, kind), str(path))


def text_of(raw: bytes, name: str) -> str:
    """The text in the bytes of a file called `name`; raise `InputError` where it is too large or no UTF-8."""
    if len(raw) > MOST_BYTES:
        raise _refused(Place(name), f"is larger than {MOST_BYTES:,} bytes", "a case or catalogue file is far smaller")
    try:
        text = raw.decode("utf-8-sig")
        if _is_utf_16(raw):  # without a mark, and in plain letters
            raise _refused(Place(name), *_UTF_16)
        return text
    except UnicodeDecodeError as error:
        if _is_utf_16(raw):
            raise _refused(Place(name), *_UTF_16) from None
        line = raw[: error.start].count(b"\n") + 1
        raise _refused(Place(name, line), "is not UTF-8 text", "save the file as UTF-8") from None


_UTF_16 = "is UTF-16 text", "save the file as UTF-8"


def _is_utf_16(raw: bytes) -> bool:
    """True for its mark, or where every other byte is null, as in plain letters."""
    begins = raw[:400]
    return begins.startswith((b"\xff\xfe", b"\xfe\xff")) or (
        len(begins) > 3 and any(not any(begins[at::2]) and all(begins[1 - at :: 2]) for at in (0, 1))
    )


class _Reader:
    """Turns the parser's events into data and notes where each value stands."""

    def __init__(self, name: str, text: str) -> None:
        self.name, self.lines = name, text.splitlines()
        self.events: Iterator[yaml.Event] = yaml.parse(text, Loader=_PARSER)
        self.places: dict[Loc, Place] = {}
        self.keys: dict[Loc, Place] = {}

    def document(self) -> Any:
        next(self.events)
        if isinstance(next(self.events), yaml.StreamEndEvent):
            return {}
        data = self._value(next(self.events), ())
        next(self.events)
        following = next(self.events)
        if isinstance(following, yaml.DocumentStartEvent):
            raise self._refuse(following, "starts a second document (`---`)", "keep one document in a file")
        return data

    def _value(self, event: Any, loc: Loc) -> Any:
        if isinstance(event, yaml.AliasEvent) or event.anchor:
            raise self._refuse(
                event,
                "anchors (`&`) and aliases (`*`) are not used here",
                "write the value out, or quote the text",
            )
        if event.tag:
            raise self._refuse(event, f"tag `{event.tag}` is not used here", "remove the tag")
        self.places[loc] = _place(self.name, event.start_mark)
        if len(self.places) > MOST_VALUES:
            raise self._refuse(event, f"holds more than {MOST_VALUES:,} values")
        if len(loc) > MOST_DEPTH:
            raise self._refuse(event, f"is nested more than {MOST_DEPTH} levels deep")
        if isinstance(event, yaml.MappingStartEvent):
            return self._mapping(loc)
        if isinstance(event, yaml.SequenceStartEvent):
            return self._sequence(loc)
        return event.value if event.style else plain(event.value)

    def _sequence(self, loc: Loc) -> list[Any]:
        data: list[Any] = []
        while not isinstance(event := next(self.events), yaml.SequenceEndEvent):
            data.append(self._value(event, (*loc, len(data))))
        return data

    def _mapping(self, loc: Loc) -> dict[str, Any]:
        data: dict[str, Any] = {}
        while not isinstance(event := next(self.events), yaml.MappingEndEvent):
            if not isinstance(event, yaml.ScalarEvent):
                raise self._refuse(event, "a key must be a plain word")
            if not event.value and not event.style:
                raise self._no_key(event)
            key = event.value
            if key in data:
                first = self.keys[(*loc, key)]
                raise self._refuse(
                    event, f"`{key}` stands twice here (first in line {first.line})", "remove one of them"
                )
            self.keys[(*loc, key)] = _place(self.name, event.start_mark)
            data[key] = self._value(next(self.events), (*loc, key))
        return data

    def _no_key(self, event: yaml.ScalarEvent) -> InputError:
        """Only after a question mark can there be none; it stands before what is not there."""
        place = _place(self.name, event.start_mark)
        before = "".join(self.lines[place.line - 1 : place.line])[: place.column - 1].rstrip()
        return _refused(replace(place, column=max(len(before), 1)), *_QUESTION)

    def _refuse(self, event: yaml.Event, problem: str, advice: str = "") -> InputError:
        return _refused(_place(self.name, event.start_mark), problem, advice)


def plain(text: str) -> Any:
    """The value of an unquoted word: only what looks like a decimal number in every dialect is a number."""
    if text in _WORDS:
        return _WORDS[text]
    if _INT.fullmatch(text) and len(text) < 20:
        return int(text)
    if _FLOAT.fullmatch(text) and not _OCTAL_LOOK.match(text):
        return float(text)
    return _NOT_FINITE.get(text.lower(), text)


def _place(name: str, mark: Any) -> Place:
    return Place(name, mark.line + 1, mark.column + 1) if mark else Place(name)


def _refused(place: Place, problem: str, advice: str = "") -> InputError:
    return InputError((Mistake(place, "", problem, advice),))


_QUESTION = "`?` is no value in a file", "write `unknown`, or leave the key out"


def _explain(error: yaml.MarkedYAMLError, text: str) -> tuple[str, str]:
    problem = error.problem or "cannot be read"
    mark = error.problem_mark
    line = text.splitlines()[mark.line] if mark and mark.line < len(text.splitlines()) else ""
    if (mark and line[mark.column : mark.column + 1] == "\t") or line.startswith("\t"):
        return "a tab stands where YAML wants spaces", "indent with spaces"
    if mark and line[mark.column : mark.column + 1] == "?":
        return _QUESTION
    context = f" ({error.context})" if error.context else ""
    return f"is not YAML: {problem}{context}", "check the indentation and the quotes"
