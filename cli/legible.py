"""Text from files as it may stand in a page or a drawing: nothing that XML forbids, nothing that runs away."""

from __future__ import annotations

import re
import unicodedata

# Characters that XML 1.0 (section 2.2) does not allow, and the invisible ones that turn the direction of what follows.
_FORBIDDEN = re.compile("[^\t\n\r\x20-\x7e\x85\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_TURNING = re.compile("[\u200e\u200f\u202a-\u202e\u2066-\u2069]")


def legible(text: str) -> str:
    """The text with every forbidden character replaced by U+FFFD and marks that turn the direction taken out."""
    return _TURNING.sub("", _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", text))


def shortened(text: str, most: int) -> str:
    """At most `most` characters, the last an ellipsis where something is left out."""
    return text if len(text) <= most else text[: most - 1].rstrip() + "\N{HORIZONTAL ELLIPSIS}"


def width_em(text: str) -> float:
    """About how wide a text is in a plain sans-serif face, in units of its size; on the large side."""
    return sum(_EM.get(unicodedata.east_asian_width(character), 0.62) for character in text)


_EM = {"W": 1.05, "F": 1.05, "A": 0.85}
