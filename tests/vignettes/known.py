"""Vignettes on which regrip does not yet agree with practice, and why. A name goes when its test passes."""

from __future__ import annotations

from collections.abc import Mapping

KNOWN: Mapping[str, str] = {
    "57-phone-bar-lost": "nine questions are asked where a call has time for six",
    "63-lower4-one-loose": "mobility of a support is asked, not judged, so its ball stays in the plan",
    "65-lower4-cemented": "a bar that is cemented still takes a clip; nothing lines the denture over it",
    "66-lower4-screws-unknown": "the screws are asked, yet a clip is fitted before the answer",
    "70-lower2-low-bar": "a clip with arms shortened by hand counts as a waiver, so welding a stud goes before it",
    "71-story-three-implants": "two balls alone keep what most would deliver, so the clip between them is not bought",
}
