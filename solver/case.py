"""The case file: one arch of one patient, as measured. The names in the file are the names here.

Coordinates: x to the patient's left, y forwards, z up, mm.
"""

from __future__ import annotations

from typing import Annotated, Literal, Self, TypeAlias

from pydantic import AfterValidator, Field, StringConstraints, model_validator

from catalogue.models import Section, Text
from catalogue.quantities import QUANTITIES
from catalogue.sheet import Sheet
from solver.measure import UNKNOWN, Measure

Arch: TypeAlias = Literal["lower", "upper"]
Alloy: TypeAlias = Literal["gold", "cobalt-chromium", "titanium", "titanium-alloy", "unknown"]
YesNo: TypeAlias = Literal["yes", "no", "unknown"]
DemandName: TypeAlias = Literal["whole", "front", "left", "right"]
DEMANDS: tuple[DemandName, ...] = ("whole", "front", "left", "right")

SiteId: TypeAlias = Annotated[str, StringConstraints(pattern=r"^[A-Za-z][A-Za-z0-9_-]{0,19}$")]
Coordinate: TypeAlias = Annotated[float, Field(ge=-80, le=80)]
Point: TypeAlias = tuple[Coordinate, Coordinate, Coordinate]
Spot: TypeAlias = int | tuple[Coordinate, Coordinate]
Amount: TypeAlias = Annotated[float, Field(ge=0, le=1e7)]
Share: TypeAlias = Annotated[float, Field(ge=0, le=1)]


def _within(name: str) -> AfterValidator:
    """Refuse a measure that no site can have: most likely another unit was meant."""
    quantity = QUANTITIES[name]

    def check(measure: Measure) -> Measure:
        if measure.value is not None and not quantity.least <= measure.value <= quantity.most:
            span = f"{quantity.least:g} to {quantity.most:g} {quantity.unit}"
            raise ValueError(f"{measure.value:g} is outside what a {quantity.label} can be, {span}; check the unit")
        return measure

    return AfterValidator(check)


class Room(Sheet):
    """Vertical room; a site's own figures go before those of the case. `room_mm` or `space_mm` with `top_mm`."""

    space_mm: Annotated[Measure, _within("space_mm")] = Field(
        default=UNKNOWN, description="crest of the ridge to the opposing teeth"
    )
    top_mm: Annotated[Measure, _within("room_mm")] = Field(
        default=UNKNOWN, description="crest of the ridge to the top of the bar, ball or platform"
    )
    room_mm: Annotated[Measure, _within("room_mm")] = Field(
        default=UNKNOWN, description="top of the bar, ball or platform to the opposing teeth"
    )
    breadth_mm: Annotated[Measure, _within("breadth_mm")] = Field(
        default=UNKNOWN, description="bucco-lingual breadth that the denture may have here"
    )


class Support(Room):
    """An implant or root that carries the bar; place it by `tooth` (FDI) or by `at_mm`."""

    tooth: int | None = Field(default=None, description="FDI position (ISO 3950)")
    at_mm: Point | None = Field(default=None, description="x, y, z")
    diameter_mm: Annotated[float, Field(gt=0.5, le=12)] | None = None
    tilt_deg: Annotated[Measure, _within("tilt_deg")] = UNKNOWN
    connection: Literal["documented", "unknown"] = "unknown"

    @model_validator(mode="after")
    def _placed_once(self) -> Self:
        if (self.tooth is None) == (self.at_mm is None):
            raise ValueError("a support has one position; give `tooth: 43` or `at_mm: [x, y, z]`")
        return self


class Segment(Room):
    """A straight stretch of bar between two supports."""

    between: tuple[SiteId, SiteId]
    section: Section | Literal["unknown"] = "unknown"
    width_mm: Annotated[Measure, _within("width_mm")] = UNKNOWN
    height_mm: Annotated[Measure, _within("height_mm")] = UNKNOWN
    undercut_mm: Annotated[Measure, _within("undercut_mm")] = UNKNOWN
    gap_mm: Annotated[Measure, _within("gap_mm")] = UNKNOWN
    length_mm: Annotated[Measure, _within("length_mm")] | None = Field(
        default=None, description="clear length; left out it follows from the supports"
    )
    alloy: Alloy = "unknown"


class End(Room):
    """A cantilever end of the bar, often with a ball; it runs on in line with the bar unless `at_mm` is given."""

    on: SiteId = Field(description="the support that carries it")
    length_mm: Annotated[float, Field(gt=0, le=40)] = Field(description="centre of the support to the ball")
    at_mm: Point | None = None
    ball_mm: Annotated[Measure, _within("ball_mm")] = UNKNOWN
    neck_mm: Annotated[Measure, _within("neck_mm")] = UNKNOWN
    out_of_round_mm: Annotated[Measure, _within("out_of_round_mm")] = UNKNOWN
    tilt_deg: Annotated[Measure, _within("tilt_deg")] = UNKNOWN
    gap_mm: Annotated[Measure, _within("gap_mm")] = UNKNOWN
    alloy: Alloy = "unknown"


class Denture(Sheet):
    """The base over the bar: where it bears, and what the mucosa lets it sink."""

    left: Spot | None = Field(default=None, description="end of the left saddle: FDI tooth or [x, y]")
    right: Spot | None = Field(default=None, description="end of the right saddle: FDI tooth or [x, y]")
    front: Spot | None = Field(default=None, description="front of the tooth line: FDI tooth or [x, y]")
    settling_mm: Annotated[Measure, _within("undercut_mm")] = Field(
        default=UNKNOWN, description="what the mucosa lets the base sink under load"
    )
    acrylic_mm: Annotated[float, Field(ge=0.5, le=10)] | None = None
    tooth_mm: Annotated[float, Field(ge=0, le=10)] | None = None


class Patient(Sheet):
    """What of the patient bears on the choice; `reference` is yours and left out of redacted reports."""

    reference: Text | None = None
    hand: Literal["weak", "usual", "strong", "unknown"] = "unknown"
    scans_expected: YesNo = Field(default="unknown", description="magnetic resonance imaging")
    sensitivities: tuple[Text, ...] = Field(default=(), description="metals, e.g. nickel")
    bruxism: YesNo = "unknown"


class Allowed(Sheet):
    """Work that may be done; what is not allowed can be waived by a person, and is then said."""

    send_out: bool = True
    weld: bool = True
    cut_bar: bool = True
    bar_off: bool = False


class Money(Sheet):
    """Cap and rates in the major unit of `currency`."""

    currency: Annotated[str, StringConstraints(pattern=r"^[A-Z]{3}$")] = Field(description="ISO 4217")
    cap: Amount | None = Field(default=None, description="most that the whole may cost, high end of the band")
    bench_per_hour: Amount
    chair_per_hour: Amount
    exchange: Annotated[float, Field(gt=0, le=1e6)] | None = Field(
        default=None, description="units of `currency` for one unit of the catalogue's currency"
    )


class Wanted(Sheet):
    """Limits on hold and movement; left out = the catalogue's defaults."""

    hold_n: Amount | None = Field(default=None, description="least hold of the whole denture, N")
    most_n: Amount | None = Field(default=None, description="most that the patient can pull, N")
    movement: dict[DemandName, Share] = Field(
        default={}, description="share of each demand that must be reached; left out = 1"
    )


class Case(Sheet):
    """One arch of one patient."""

    case: Text = Field(description="a short title")
    about: Text | None = None
    invented: bool = Field(default=False, description="true for examples")
    arch: Arch
    opposing: Literal["natural", "denture", "implants", "unknown"] = "unknown"
    room: Room = Room()
    supports: dict[SiteId, Support] = Field(min_length=1, max_length=12)
    segments: dict[SiteId, Segment] = Field(default={}, max_length=12)
    ends: dict[SiteId, End] = Field(default={}, max_length=4)
    denture: Denture = Denture()
    patient: Patient = Patient()
    allowed: Allowed = Allowed()
    money: Money
    wanted: Wanted = Wanted()
    mix: dict[SiteId, Text] = Field(default={}, description="a proposed mix: site to `attachment xN`")

    @property
    def site_ids(self) -> tuple[str, ...]:
        """Every site: segments, ends, supports, each in the order of the file."""
        return (*self.segments, *self.ends, *self.supports)
