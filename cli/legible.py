"""Text from files as it may stand in a page, a drawing or a terminal: no controls, nothing that runs away."""

from __future__ import annotations

import codecs
import io
import json
import re
import sys
import unicodedata
from collections.abc import Sequence

# Characters that XML 1.0 (section 2.2) does not allow and those that steer a terminal (ECMA-48, C0 and C1), and the
# invisible ones that turn the direction of what follows.
_FORBIDDEN = re.compile("[^\t\n\r\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_TURNING = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def legible(text: str) -> str:
    """The text with every forbidden character replaced by U+FFFD and marks that turn the direction taken out."""
    return _TURNING.sub("", _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text))


def harmless(text: str) -> str:
    """The text as a terminal may have it: as `legible`, but of the same length."""
    return _TURNING.sub("\N{REPLACEMENT CHARACTER}", _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text))


def replace_what_cannot_be_written(arguments: Sequence[str]) -> None:
    """From now on a character that the encoding of the output lacks is a question mark, in JSON its escape."""
    codecs.register_error(_IN_JSON, _escaped)
    as_json = "--json" in arguments or arguments[:1] == ["schema"]
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors=_IN_JSON if as_json else "replace")


_IN_JSON = "regrip-in-json"


def _escaped(error: UnicodeError) -> tuple[str, int]:
    """As JSON writes it: of what lies beyond 16 bits two halves."""
    if not isinstance(error, UnicodeEncodeError):
        raise error
    lacking = error.object[error.start : error.end]
    return json.dumps(lacking)[1:-1], error.end


def shortened(text: str, most: int) -> str:
    """At most `most` characters, the last an ellipsis where something is left out."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "\N{HORIZONTAL ELLIPSIS}"


def width_em(text: str, *, bold: bool = False) -> float:
    """About how wide a text is in a plain sans-serif face, in units of its size; on the large side."""
    return sum(_em(character) for character in text) * (_BOLD if bold else 1.0)


_BOLD = 1.14


# Rounded up from the advance widths of DejaVu Sans.
_BY_WIDTH = {
    0.33: "ijl'|",
    0.42: " .,:;!ftrI()[]-/\\",
    0.58: "ckszvxyJ?",
    0.78: "wABCDEGHKNORUVXYZ+=\u00b1",
    1.0: "mMWQ%@",
}
_EM = {character: width for width, characters in _BY_WIDTH.items() for character in characters}


def _em(character: str) -> float:
    if unicodedata.east_asian_width(character) in "WF":
        return 1.05
    return _EM.get(character, 0.66)
