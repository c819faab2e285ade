"""Comments between two parts of a YAML file, moved so that they stay before the later part.

The library hangs what stands between two keys on the last value before it. Whatever is then added behind that value
would come after the comment; so the comment is cut off first and hung on the new last value.
"""

from __future__ import annotations

from typing import Any

from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.error import CommentMark
from ruamel.yaml.tokens import CommentToken

_BEHIND_KEY, _BEHIND_ITEM = 2, 0  # where the library keeps the comment behind a value


def cut_tail(parent: CommentedMap, key: str | int) -> str:
    """Take away, and return, the lines that follow the last value under `key`; what stands beside it stays."""
    token = _token(*_last(parent, key))
    if token is None:
        return ""
    beside, _, rest = token.value.partition("\n")
    token.value = f"{beside}\n"
    return str(rest)


def hang_tail(parent: CommentedMap, key: str | int, lines: str) -> None:
    """Put lines behind the last value under `key`."""
    if not lines:
        return
    place, last = _last(parent, key)
    token = _token(place, last)
    if token is not None:
        token.value = f"{token.value.rstrip(chr(10))}\n{lines}"
        return
    slots: list[Any] = [None] * 4
    slots[_behind(place)] = CommentToken(f"\n{lines}", CommentMark(0))
    place.ca.items[last] = slots


def _last(parent: Any, key: Any) -> tuple[Any, Any]:
    """The map or list, and the key in it, of the last value under `key`."""
    value = parent[key]
    if isinstance(value, CommentedMap | CommentedSeq) and value and not value.fa.flow_style():
        return _last(value, [*value][-1] if isinstance(value, CommentedMap) else len(value) - 1)
    return parent, key


def _behind(place: CommentedMap | CommentedSeq) -> int:
    return _BEHIND_KEY if isinstance(place, CommentedMap) else _BEHIND_ITEM


def _token(place: Any, last: Any) -> CommentToken | None:
    slots = place.ca.items.get(last)
    return slots[_behind(place)] if slots and len(slots) > _behind(place) else None
