"""Vignettes on which regrip does not yet agree with practice, and why. A name goes when its test passes."""

from __future__ import annotations

from collections.abc import Mapping

SUM = "the floor is a sum of retentions, so one firm part passes though the sides take about nothing"
CUT = "slimming a bar to fit a clip is chair work for a few euro and counts as no harm"
SETTLING = "what does not sink as far as the mucosa is refused, so that hinge clips, sleeves and studs are out"
NO_BAR = "where no bar stands, its removal must still be allowed and is paid for"
UPPER = "unsplinted upper implants may be used by twos"
ASKED = "bone, mobility, screws and the like are not in the case, so nobody asks for them"
PER_SITE = "one question a stretch and fact instead of one for the bar"
NO_PEEL = "the pull at an edge is not told"

KNOWN: Mapping[str, str] = {
    "02-lower4-balls": SUM,
    "04-upper4-no-undercut": f"{SUM}; {CUT}",
    "05-milled-parallel": SETTLING,
    "08-brux-natural": f"{SUM}; grinding is a caution and no rule",
    "09-divergent25": SETTLING,
    "11-fixed-lower5": f"cheaper balls go before studs; {ASKED}",
    "14-nickel": SUM,
    "17-phone5": PER_SITE,
    "32-lower2-long-ends": f"{SUM}; the length of an end is no rule",
    "33-lower2-short-ends": SUM,
    "34-lower4-weak-hand": f"{SUM}; {NO_PEEL}",
    "35-lower4-carer": f"{SUM}; who takes the denture out is not in the case",
    "36-upper4-grinder": SUM,
    "37-upper4-no-grinder": SUM,
    "38-lower4-palladium": SUM,
    "41-magnets-failing": NO_BAR,
    "42-lower4-room-10": f"{SUM}; {SETTLING}",
    "43-lower4-room-14": SUM,
    "44-upper4-room-10": f"{SUM}; {SETTLING}; {UPPER}",
    "45-lower4-cap-120": SUM,
    "46-lower4-cap-250": SUM,
    "47-lower4-broken-end": SUM,
    "49-lower4-worn-balls": SUM,
    "50-lower4-thin-necks": f"{SUM}; the neck of a ball is no need",
    "54-lower2-keyhole": SETTLING,
    "56-phone-upper4": PER_SITE,
    "57-phone-bar-lost": f"{NO_BAR}; with that nothing is left to ask",
    "58-bar-lost-make-unknown": f"{NO_BAR}; with that nothing is left to ask",
    "59-bar-lost-make-known": NO_BAR,
    "60-fixed-upper4": f"{UPPER}; {NO_BAR}; {ASKED}",
    "61-fixed-upper6": f"{UPPER}; {ASKED}",
    "62-fixed-lower5-backs-15": f"{NO_BAR}; cheaper balls go before studs; {ASKED}",
    "63-lower4-one-loose": f"{ASKED}; {SUM}",
    "64-lower2-cracked-base": f"{SETTLING}, even one polymer clip on one bar",
    "65-lower4-cemented": f"{CUT}; nothing tells a cemented bar; nothing lines the denture over it",
    "66-lower4-screws-unknown": f"{CUT}; {ASKED}",
    "67-lower4-milled-slim": SETTLING,
    "68-lower4-milled-weak-hand": f"{SETTLING}; {NO_PEEL}",
    "70-lower2-low-bar": "a clip with arms shortened by hand counts as a waiver, so welding a keeper goes before it",
    "71-story-three-implants": SUM,
    "72-story-half-the-cap": SUM,
    "73-story-upper-four": SUM,
}
