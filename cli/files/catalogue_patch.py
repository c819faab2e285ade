"""A patch laid into the text of a catalogue file: comments, order and everything else stay as they are."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.nodes import ScalarNode
from ruamel.yaml.representer import RoundTripRepresenter
from ruamel.yaml.util import load_yaml_guess_indent

from catalogue.yaml_text import parse_yaml
from cli.files.yaml_editing import dumped, editor
from cli.files.yaml_tail import cut_tail, hang_tail
from solver.errors import InternalFault

_FLOW_DEPTH = 2
"""Entries stand on lines of their own, what is in them in braces."""


class _Words(RoundTripRepresenter):
    """Says `null` where something is taken out; an empty value would look like a slip."""

    def represent_none(self, data: None) -> ScalarNode:
        return self.represent_scalar("tag:yaml.org,2002:null", "null")


_Words.add_representer(type(None), _Words.represent_none)


def patched(text: str, patch: Mapping[str, Any], name: str) -> str:
    """The catalogue file `text` (empty for a new one) with `patch` laid over it, as an overlay would be.

    Lists of packs are changed pack by pack, so that their comments stay. Raises `InternalFault` where the text would
    not read back as the old data with the patch.
    """
    yaml, sheet = _opened(text)
    for key in reversed([key for key in patch if key not in sheet]):
        sheet.insert(0, key, CommentedMap())
    _lay(sheet, patch, 0)
    new = dumped(yaml, sheet)
    if parse_yaml(new, name).data != _laid(parse_yaml(text, name).data, patch):
        raise InternalFault(f"{name} would not read back as it should")
    return new.replace("\n", "\r\n") if "\r\n" in text else new


def _laid(below: Any, above: Any) -> Any:
    """Data with a patch over it, for comparison; entries that are taken out (`null`) stay so."""
    if not (isinstance(below, Mapping) and isinstance(above, Mapping)):
        return above
    return {**below, **{key: _laid(below.get(key), value) for key, value in above.items()}}


def _opened(text: str) -> tuple[YAML, CommentedMap]:
    """The editor set to the indents of the text, and the text in it."""
    yaml = editor()
    yaml.Representer = _Words
    yaml.explicit_start = bool(re.search(r"^---", text, re.MULTILINE))
    plain = text.replace("\r\n", "\n")
    step = re.search(r"^[^\s#][^\n]*:[^\n]*\n(?:\s*(?:#[^\n]*)?\n)*( +)[^\s#-]", plain, re.MULTILINE)
    _, _, dash = load_yaml_guess_indent(plain)
    mapping = len(step[1]) if step else 2
    offset = 2 if dash is None or not re.search(r"^ *- ", plain, re.MULTILINE) else dash
    yaml.indent(mapping=mapping, sequence=offset + 2, offset=offset)
    return yaml, yaml.load(plain) or CommentedMap()


def _lay(sheet: CommentedMap, patch: Mapping[str, Any], depth: int) -> None:
    for key, value in patch.items():
        old = sheet.get(key)
        if isinstance(value, Mapping) and isinstance(old, CommentedMap):
            _lay_into(sheet, key, value, depth + 1)
        elif isinstance(value, list) and isinstance(old, CommentedSeq):
            _lay_packs(sheet, key, value)
        else:
            sheet[key] = _written(value, depth + 1)


def _lay_into(sheet: CommentedMap, key: str, patch: Mapping[str, Any], depth: int) -> None:
    """Lay a patch into a mapping; new keys come before the comment that leads to what follows."""
    inner = sheet[key]
    if not inner:
        inner = sheet[key] = CommentedMap()
    grows = bool(inner) and not patch.keys() <= inner.keys()
    tail = cut_tail(sheet, key) if grows else ""
    _lay(inner, patch, depth)
    hang_tail(sheet, key, tail)


def _lay_packs(sheet: CommentedMap, key: str, packs: list[dict[str, Any]]) -> None:
    inner = sheet[key]
    tail = cut_tail(sheet, key) if len(packs) > len(inner) else ""
    for index, pack in enumerate(packs):
        if index < len(inner) and isinstance(inner[index], CommentedMap):
            _lay(inner[index], pack, _FLOW_DEPTH)
        else:
            inner.append(_written(pack, _FLOW_DEPTH + 1))
    hang_tail(sheet, key, tail)


def _written(value: Any, depth: int) -> Any:
    """Data as the file writes it: mappings in braces from a depth on."""
    if isinstance(value, Mapping):
        found = CommentedMap((key, _written(inner, depth + 1)) for key, inner in value.items())
        if depth > _FLOW_DEPTH or not any(isinstance(inner, list | Mapping) for inner in value.values()):
            found.fa.set_flow_style()
        return found
    if isinstance(value, list):
        return CommentedSeq(_written(inner, _FLOW_DEPTH + 1) for inner in value)
    return value
