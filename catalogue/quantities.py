"""What can be known of a site, and so what a need can ask for: one entry a quantity.

`least` and `most` bound what a person can mean; outside them the unit is wrong. They are our own sanity
limits (value from memory), no limits of fit.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, TypeAlias, get_args

SiteKind: TypeAlias = Literal["segment", "end", "support"]
Section: TypeAlias = Literal["round", "ovoid", "parallel", "keyhole"]
Alloy: TypeAlias = Literal["gold", "cobalt-chromium", "titanium", "titanium-alloy"]
Connection: TypeAlias = Literal["documented", "undocumented"]
Mobility: TypeAlias = Literal["firm", "loose"]
Bone: TypeAlias = Literal["enough", "little"]
Fixing: TypeAlias = Literal["screwed", "cemented"]
Screws: TypeAlias = Literal["tight", "loose", "stuck"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A measurable or nameable property of a site. A word, such as the section, has `words` and no `unit`."""

    name: str
    label: str
    unit: str
    least: float = 0.0
    most: float = 0.0
    how: str = ""
    words: tuple[str, ...] = ()

    @property
    def is_number(self) -> bool:
        """True for a measured number, false for a word."""
        return bool(self.unit)


_ALL = (
    Quantity(
        "section", "bar section", "", words=get_args(Section),
        how="look along the bar: round, ovoid, parallel-sided or keyhole",
    ),
    Quantity("alloy", "bar alloy", "", words=get_args(Alloy), how="ask the laboratory that made the bar"),
    Quantity(
        "connection", "implant connection", "", words=get_args(Connection),
        how="ask the surgeon, or look for the implant card",
    ),
    Quantity(
        "mobility", "mobility of the implant", "", words=get_args(Mobility),
        how="with the bar off, tap it and try to move it with two instrument handles; a loose one is no support",
    ),
    Quantity(
        "bone", "bone around the implant", "", words=get_args(Bone),
        how="look at a radiograph no older than a year; enough is half the length of the implant or more",
    ),
    Quantity(
        "fixing", "fixing of the bar", "", words=get_args(Fixing),
        how="look for screw heads or filled screw holes along the bar, or ask the laboratory that made it",
    ),
    Quantity(
        "screws", "screws of the bar", "", words=get_args(Screws),
        how="try each with its driver, by hand: a stuck one does not turn, or turns without end",
    ),
    Quantity(
        "proof_mpa", "proof stress of the alloy", "MPa", 50, 1500,
        "0.2 % proof stress on the data sheet of the alloy; ask the laboratory that made the bar",
    ),
    Quantity("width_mm", "bar width", "mm", 0.3, 12, "calliper, bucco-lingual, at the widest place"),
    Quantity("height_mm", "bar height", "mm", 0.3, 15, "calliper, top to underside"),
    Quantity("undercut_mm", "undercut", "mm", 0, 2, "undercut gauge on both sides of the bar; take the lesser"),
    Quantity("gap_mm", "gap under the bar", "mm", 0, 15, "gauge between underside and mucosa"),
    Quantity("length_mm", "clear length", "mm", 0.5, 60, "calliper, between the collars of the supports"),
    Quantity("room_mm", "room above the bar", "mm", 0, 40, "top of the bar to the opposing teeth, at the bite"),
    Quantity("space_mm", "space between the jaws", "mm", 0, 45, "crest of the ridge to the opposing teeth"),
    Quantity("breadth_mm", "breadth of the denture", "mm", 2, 30, "bucco-lingual room for the denture base"),
    Quantity("ball_mm", "ball diameter", "mm", 0.5, 8, "micrometer, three directions; take the least"),
    Quantity("neck_mm", "neck diameter", "mm", 0.4, 7, "calliper, below the ball"),
    Quantity("out_of_round_mm", "out of round", "mm", 0, 1.5, "largest less least of three diameters"),
    Quantity("tilt_deg", "tilt", "deg", 0, 90, "angle to the path of insertion"),
)  # fmt: skip

QUANTITIES: dict[str, Quantity] = {quantity.name: quantity for quantity in _ALL}
OF_THE_BAR = frozenset({"fixing", "screws"})
"""Quantities of which there is one for the whole bar, the same at each of its sites."""

WORDS: tuple[str, ...] = tuple(q.name for q in _ALL if not q.is_number)
