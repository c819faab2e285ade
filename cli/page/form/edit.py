"""Values put into the text of a case file, at their place; all else stays, to the letter wherever that can be.

A value that stands in the file is exchanged in the text itself. What is added or taken away goes through the
round-trip library, which keeps comments and order.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any, TypeAlias

import yaml
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.scalarstring import DoubleQuotedScalarString

from catalogue.yaml_text import Loc, parse_yaml, plain
from cli.files.yaml_editing import dumped, editor, leaves
from cli.files.yaml_tail import cut_tail, hang_tail
from solver.case.schema import Case
from solver.errors import InternalFault

Value: TypeAlias = str | int | float | bool | list[Any] | dict[str, Any]

_PARSER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 ._+-]*[A-Za-z0-9.])?")
_ESCAPED = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_MISREAD = frozenset({"yes", "no", "on", "off", "y", "n", "true", "false", "null"})
"""Words that other readers of YAML take for truth values; they are put in quotes."""


def with_value(text: str, loc: Loc, value: Value) -> str:
    """The text with `value` at `loc`; maps that are missing on the way are made."""
    span = _span(text, loc)
    new = text[: span[1]] + _flow(value) + text[span[2] :] if span else _inserted(text, loc, value)
    _check_only(text, new, loc)
    return new


def renamed(text: str, loc: Loc, key: str, value: Value) -> str:
    """The text with `key: value` in place of what stands at `loc`, in the same map."""
    now = (*loc[:-1], key)
    span = _span(text, loc)
    if span is None:
        return without(with_value(text, now, value), loc)
    new = f"{text[: span[0]]}{key}: {_flow(value)}{text[span[2] :]}"
    _check_only(text, new, loc, now)
    return new


def without(text: str, loc: Loc) -> str:
    """The text without what stands at `loc`; a map that would be left empty goes too."""
    sheet = _load(text)
    parent, key = sheet, loc[-1]
    for step in loc[:-1]:
        parent = parent[step]
    if len(parent) == 1 and len(loc) > 1:
        return without(text, loc[:-1])
    _take_out(parent, key)
    new = dumped(editor(), sheet)
    _check_only(text, new, loc)
    return new


def changed(before: Any, now: Any) -> list[Loc]:
    """The places where two documents differ."""
    old, new = dict(leaves(before)), dict(leaves(now))
    return [loc for loc in {**old, **new} if old.get(loc) != new.get(loc) or (loc in old) != (loc in new)]


def _span(text: str, loc: Loc) -> tuple[int, int, int] | None:
    """Where a key begins, and its value begins and ends, where the value can be exchanged in place."""
    node, start = yaml.compose(text, Loader=_PARSER), 0
    for step in loc:
        pairs = node.value if isinstance(node, yaml.MappingNode) else ()
        start, node = next(((k.start_mark.index, v) for k, v in pairs if k.value == step), (0, None))
    whole = isinstance(node, yaml.SequenceNode) and node.flow_style
    if node is None or not (whole or (isinstance(node, yaml.ScalarNode) and node.style not in ("|", ">"))):
        return None
    value, stop = node.start_mark.index, node.end_mark.index
    return (start, value, stop) if value < stop else None


def _flow(value: Value) -> str:
    """One line of YAML that reads back as the value, in flow and in block alike."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {_flow(one)}" for key, one in value.items()) + "}"
    if isinstance(value, list):
        return f"[{', '.join(_flow(one) for one in value)}]"
    if isinstance(value, str):
        return value if _stands_plain(value) else _quoted(value)
    return json.dumps(value)


def _quoted(value: str) -> str:
    """In double quotes; what YAML would fold or forbid is escaped."""
    return _ESCAPED.sub(lambda found: f"\\u{ord(found[0]):04x}", json.dumps(value, ensure_ascii=False))


def _stands_plain(word: str) -> bool:
    return bool(_PLAIN.fullmatch(word)) and word.lower() not in _MISREAD and plain(word) == word


def _inserted(text: str, loc: Loc, value: Value) -> str:
    """With all that is missing on the way made at once, so that comments have something to hang on."""
    sheet = _load(text)
    parent, depth = sheet, 0
    while depth < len(loc) - 1 and isinstance(parent.get(loc[depth]), CommentedMap) and parent[loc[depth]]:
        parent, depth = parent[loc[depth]], depth + 1
    for step in reversed(loc[depth + 1 :]):
        value = {str(step): value}
    _append(parent, loc[depth], _rich(value), top=depth == 0)
    return dumped(editor(), sheet)


def _append(parent: CommentedMap, key: str | int, value: Any, *, top: bool) -> None:
    """A new key: at the top in the order of a case, deeper down last; comments that follow stay where they are."""
    if key in parent:
        parent[key] = value
        return
    place = _place(parent, str(key)) if top else len(parent)
    before = [*parent][place - 1] if place else None
    tail = cut_tail(parent, before) if before is not None else ""
    if isinstance(value, CommentedMap) and before is not None and _in_one_line(parent[before]):
        value.fa.set_flow_style()
    parent.insert(place, key, value)
    hang_tail(parent, key, tail)


def _in_one_line(value: Any) -> bool:
    return isinstance(value, CommentedMap) and bool(value.fa.flow_style())


def _place(sheet: Mapping[str, Any], key: str) -> int:
    order = list(Case.model_fields)
    later = [name for name in order[order.index(key) + 1 :] if name in sheet] if key in order else []
    return list(sheet).index(later[0]) if later else len(sheet)


def _take_out(parent: CommentedMap, key: str | int) -> None:
    keys = list(parent)
    place, tail = keys.index(key), cut_tail(parent, key)
    del parent[key]
    if not tail.strip():
        return
    if place:
        hang_tail(parent, keys[place - 1], cut_tail(parent, keys[place - 1]) + tail)
    elif len(keys) > 1:
        told = "\n".join(line.strip().removeprefix("#").strip() for line in tail.splitlines())
        parent.yaml_set_comment_before_after_key(keys[1], before=told)


def _rich(value: Value) -> Any:
    if isinstance(value, dict):
        return CommentedMap({key: _rich(one) for key, one in value.items()})
    if isinstance(value, list):
        line = CommentedSeq([_rich(one) for one in value])
        line.fa.set_flow_style()
        return line
    if isinstance(value, str) and not _stands_plain(value):
        return DoubleQuotedScalarString(value)
    return value


def _load(text: str) -> CommentedMap:
    sheet: CommentedMap = editor().load(text)
    return sheet


def _check_only(old: str, new: str, *locs: Loc) -> None:
    """Nothing but what stands at `locs` (or a map that one left empty) reads otherwise; else `InternalFault`."""
    before, now = (parse_yaml(text, "case").data for text in (old, new))
    for place in changed(before, now):
        if not any(place[: len(loc)] == loc or loc[: len(place)] == place for loc in locs):
            raise InternalFault(f"an edit of {_dotted(locs[0])} would change {_dotted(place)}")


def _dotted(loc: Loc) -> str:
    return ".".join(map(str, loc))
