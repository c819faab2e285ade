"""Vignettes on which regrip does not yet agree with practice, and why. A name goes when its test passes."""

from __future__ import annotations

from collections.abc import Mapping

KNOWN: Mapping[str, str] = {
    "57-phone-bar-lost": "nine questions are asked where a call has time for six",
    "70-lower2-low-bar": "a clip with arms shortened by hand counts as a waiver, so welding a stud goes before it",
    "71-story-three-implants": "two balls alone keep what most would deliver, so the clip between them is not bought",
}
