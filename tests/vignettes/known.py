"""Vignettes on which regrip does not yet agree with practice, and why. A name goes when its test passes."""

from __future__ import annotations

from collections.abc import Mapping

KNOWN: Mapping[str, str] = {}
