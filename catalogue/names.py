"""How names are written in a file: patterns, and what to say where a name does not follow its own."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

CURRENCY = r"^[A-Z]{3}$"
ENTRY = r"^[a-z0-9][a-z0-9.-]{0,59}$"
SITE = r"^[A-Za-z][A-Za-z0-9_-]{0,19}$"

SAYS: Mapping[str, str] = MappingProxyType(
    {
        CURRENCY: "write the three capitals of ISO 4217, such as EUR",
        ENTRY: "write small letters, digits, `.` and `-`, 60 at most",
        SITE: "write a letter, then letters, digits, `-` or `_`, 20 at most",
    }
)
"""Pattern to advice."""
