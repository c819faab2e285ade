"""The case file: one arch of one patient, as measured. The names in the file are the names here.

Coordinates: x to the patient's left, y forwards, z up, mm.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Annotated, Any, Literal, Self, TypeAlias

from babel import Locale, UnknownLocaleError
from pydantic import (
    AfterValidator,
    BeforeValidator,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    StringConstraints,
    model_validator,
)
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, core_schema

from catalogue import names
from catalogue.blocks import Text
from catalogue.quantities import QUANTITIES, Alloy, Bone, Connection, Fixing, Mobility, Quantity, Screws, Section
from catalogue.sheet import Sheet
from solver.case.measure import UNKNOWN, Measure

Arch: TypeAlias = Literal["lower", "upper"]
YesNo: TypeAlias = Literal["yes", "no", "unknown"]
DemandName: TypeAlias = Literal["whole", "front", "left", "right"]
DEMANDS: tuple[DemandName, ...] = ("whole", "front", "left", "right")
PullName: TypeAlias = Literal["centre", "left", "right", "front", "behind"]
PULLS: tuple[PullName, ...] = ("centre", "left", "right", "front", "behind")


def _locale(name: str) -> str:
    """Refuse a locale that CLDR does not know."""
    try:
        Locale.parse(name)
    except (ValueError, UnknownLocaleError) as error:
        raise ValueError(f"'{name}' is no locale; write language and country, e.g. `de_DE`") from error
    return name


FDI = (
    "write its FDI number: the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right), then its place "
    "from the midline, e.g. `43`"
)


def _tooth(given: object) -> object:
    """Refuse a word where a tooth is named; numbers are left to the type, and to the jaw."""
    if isinstance(given, str):
        word = given if len(given) <= 40 else given[:37] + "..."
        advice = f"write `{word}` without quotes" if re.fullmatch(r"[1-4][1-8]", given) else FDI
        raise ValueError(f"expected the number of a tooth, got '{word}'; {advice}")
    return given


SiteId: TypeAlias = Annotated[str, StringConstraints(pattern=names.SITE)]
Coordinate: TypeAlias = Annotated[float, Field(ge=-80, le=80)]
Point: TypeAlias = tuple[Coordinate, Coordinate, Coordinate]
ToothNumber: TypeAlias = Annotated[int, BeforeValidator(_tooth)]
Spot: TypeAlias = ToothNumber | tuple[Coordinate, Coordinate]
Amount: TypeAlias = Annotated[float, Field(ge=0, le=1e7)]
LocaleName: TypeAlias = Annotated[str, StringConstraints(max_length=40), AfterValidator(_locale)]
Azimuth: TypeAlias = Annotated[float, Field(ge=0, lt=360)]
Share: TypeAlias = Annotated[float, Field(ge=0, le=1)]


@dataclass(frozen=True, slots=True)
class _Within:
    """Refuses a measure that no site can have: most likely another unit was meant."""

    of: str | Quantity
    called: str = ""

    @property
    def quantity(self) -> Quantity:
        """What is measured, with its bounds."""
        return self.of if isinstance(self.of, Quantity) else QUANTITIES[self.of]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.no_info_after_validator_function(self._check, handler(source))

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> JsonSchemaValue:
        quantity, shape = self.quantity, handler(schema)
        shape["anyOf"][0] |= {"minimum": quantity.least, "maximum": quantity.most}
        shape["description"] = f"{quantity.label}, {quantity.unit}: {quantity.how}; {shape['description']}"
        return shape

    def _check(self, measure: Measure) -> Measure:
        quantity, called = self.quantity, self.called or self.quantity.label
        span = f"{quantity.least:g} to {quantity.most:g} {quantity.unit}"
        if measure.value is not None and not quantity.least <= measure.value <= quantity.most:
            raise ValueError(f"{measure.value:g} is no {called}, which is {span}; check the unit")
        if measure.error > quantity.most - quantity.least:
            error = f"an error of {measure.error:g} {quantity.unit}"
            raise ValueError(f"{error} is more than all that {called} can be, {span}; check it, or write `unknown`")
        return measure


class Room(Sheet):
    """Vertical room; a site's own figures go before those of the case. `room_mm` or `space_mm` with `top_mm`."""

    space_mm: Annotated[Measure, _Within("space_mm")] = Field(
        default=UNKNOWN, description="crest of the ridge to the opposing teeth"
    )
    top_mm: Annotated[Measure, _Within("room_mm", "height of the bar above the ridge")] = Field(
        default=UNKNOWN, description="crest of the ridge to the top of the bar, ball or platform"
    )
    room_mm: Annotated[Measure, _Within("room_mm")] = Field(
        default=UNKNOWN, description="top of the bar, ball or platform to the opposing teeth"
    )
    breadth_mm: Annotated[Measure, _Within("breadth_mm")] = Field(
        default=UNKNOWN, description="bucco-lingual breadth that the denture may have here"
    )


class Support(Room):
    """An implant or root that carries the bar; place it by `tooth` (FDI) or by `at_mm`."""

    tooth: ToothNumber | None = Field(default=None, description="FDI position (ISO 3950)")
    at_mm: Point | None = Field(default=None, description="x, y, z")
    diameter_mm: Annotated[float, Field(gt=0.5, le=12)] | None = Field(
        default=None, description="diameter of the collar or platform"
    )
    tilt_deg: Annotated[Measure, _Within("tilt_deg")] = UNKNOWN
    tilt_towards: Azimuth | None = Field(
        default=None,
        description="where its free end leans to, degrees: 0 forwards, 90 to the patient's left; left out = unknown",
    )
    connection: Literal[Connection, "unknown"] = Field(
        default="unknown", description="is the kind of implant known, so that parts can be ordered for it?"
    )
    mobility: Literal[Mobility, "unknown"] = Field(default="unknown", description="does it stand firm?")
    bone: Literal[Bone, "unknown"] = Field(default="unknown", description="is half of it or more in bone?")

    @model_validator(mode="after")
    def _placed_once(self) -> Self:
        if (self.tooth is None) == (self.at_mm is None):
            raise ValueError("a support has one position; give `tooth: 43` or `at_mm: [x, y, z]`")
        return self


class Segment(Room):
    """A straight stretch of bar between two supports."""

    between: tuple[SiteId, SiteId] = Field(description="the two supports that it joins")
    section: Literal[Section, "unknown"] = Field(default="unknown", description="shape of the bar, seen along it")
    width_mm: Annotated[Measure, _Within("width_mm")] = UNKNOWN
    height_mm: Annotated[Measure, _Within("height_mm")] = UNKNOWN
    undercut_mm: Annotated[Measure, _Within("undercut_mm")] = UNKNOWN
    gap_mm: Annotated[Measure, _Within("gap_mm")] = UNKNOWN
    length_mm: Annotated[Measure, _Within("length_mm")] | None = Field(
        default=None, description="clear length; left out it follows from the supports"
    )
    alloy: Literal[Alloy, "unknown"] = Field(default="unknown", description="what the bar is made of")
    proof_mpa: Annotated[Measure, _Within("proof_mpa")] = Field(
        default=UNKNOWN, description="left out it lies within what is on record for the alloy"
    )


class End(Room):
    """A cantilever end of the bar, often with a ball; it runs on in line with the bar unless `at_mm` is given."""

    on: SiteId = Field(description="the support that carries it")
    length_mm: Annotated[float, Field(gt=0, le=40)] = Field(description="centre of the support to the ball")
    at_mm: Point | None = Field(default=None, description="x, y, z of the ball, where it is off the line of the bar")
    ball_mm: Annotated[Measure, _Within("ball_mm")] = UNKNOWN
    neck_mm: Annotated[Measure, _Within("neck_mm")] = UNKNOWN
    out_of_round_mm: Annotated[Measure, _Within("out_of_round_mm")] = UNKNOWN
    tilt_deg: Annotated[Measure, _Within("tilt_deg")] = UNKNOWN
    tilt_towards: Azimuth | None = Field(
        default=None,
        description="where its free end leans to, degrees: 0 forwards, 90 to the patient's left; left out = unknown",
    )
    gap_mm: Annotated[Measure, _Within("gap_mm")] = UNKNOWN
    alloy: Literal[Alloy, "unknown"] = Field(default="unknown", description="what the bar is made of")


class Bar(Sheet):
    """How the bar sits on its supports: what is done to it at the bench hangs on whether it comes off."""

    fixing: Literal[Fixing, "unknown"] = Field(default="unknown", description="is it screwed or cemented?")
    screws: Literal[Screws, "unknown"] = Field(default="unknown", description="do its screws turn?")


class Denture(Sheet):
    """The base over the bar: its teeth, where it is bitten, where it ends, and what the mucosa lets it sink."""

    state: Literal["present", "cracked", "lost", "none", "unknown"] = Field(
        default="unknown", description="is it there, and whole? none: there was none yet"
    )
    housings: YesNo = Field(default="unknown", description="are housings of the old parts still in it?")
    palate: Literal["covered", "open", "unknown"] = Field(
        default="unknown", description="upper jaw: does it cover the palate?"
    )
    left: Spot | None = Field(default=None, description="last tooth on the left: FDI tooth or [x, y]")
    right: Spot | None = Field(default=None, description="last tooth on the right: FDI tooth or [x, y]")
    front: Spot | None = Field(default=None, description="front of the tooth line: FDI tooth or [x, y]")
    bitten_left: Spot | None = Field(default=None, description="where the left is bitten; else teeth 5 and 6")
    bitten_right: Spot | None = Field(default=None, description="where the right is bitten; else teeth 5 and 6")
    heel_left: Spot | None = Field(default=None, description="where the left ends; else 10 mm behind tooth 7")
    heel_right: Spot | None = Field(default=None, description="where the right ends; else 10 mm behind tooth 7")
    settling_mm: Annotated[Measure, _Within("undercut_mm", "settling of the mucosa")] = Field(
        default=UNKNOWN, description="what the mucosa lets the base sink under load"
    )
    acrylic_mm: Annotated[float, Field(ge=0.5, le=10)] | None = Field(
        default=None, description="least thickness of base over an attachment; left out = the catalogue's default"
    )
    tooth_mm: Annotated[float, Field(ge=0, le=10)] | None = Field(
        default=None, description="least height of a denture tooth; left out = the catalogue's default"
    )


BITE = Quantity("bite_n", "bite force", "N", 1, 1500, "bite fork between the first molars of one side")
"""No quantity of a site; bounds from memory: no bite on record is far above 1000 N."""


class Bite(Sheet):
    """How hard the patient bites; left out it follows from what the denture bites on."""

    force_n: Annotated[Measure, _Within(BITE)] = Field(default=UNKNOWN, description="working bite on one side")


class Patient(Sheet):
    """What of the patient bears on the choice; `reference` is yours and left out of redacted reports."""

    reference: Text | None = Field(default=None, description="your own name for the patient's file")
    hand: Literal["weak", "usual", "strong", "unknown"] = Field(
        default="unknown", description="how strong the hands are that take the denture out"
    )
    takes_out: Literal["patient", "carer", "unknown"] = Field(
        default="unknown", description="who takes the denture out; a carer's hands are usual unless `hand` says more"
    )
    age: Annotated[int, Field(ge=10, le=120)] | None = Field(default=None, description="age, years; left out = old")
    scans_expected: YesNo = Field(default="unknown", description="magnetic resonance imaging")
    sensitivities: tuple[Text, ...] = Field(default=(), description="metals, e.g. nickel")
    bruxism: YesNo = Field(default="unknown", description="does the patient grind?")


class Allowed(Sheet):
    """Work that may be done; what is not allowed can be waived by a person, and is then said."""

    send_out: bool = Field(default=True, description="work may go to another laboratory")
    weld: bool = Field(default=True, description="something may be welded to the bar")
    cut_bar: bool = Field(default=True, description="the bar may be ground or drilled")
    bar_off: bool = Field(default=False, description="the bar may be taken off for good")
    new_bar: bool = Field(default=False, description="a new bar may be made")


class Money(Sheet):
    """Cap and rates in the major unit of `currency`."""

    currency: Annotated[str, StringConstraints(pattern=names.CURRENCY)] = Field(description="ISO 4217")
    cap: Amount | None = Field(default=None, description="most that the whole may cost, high end of the band")
    bench_per_hour: Amount = Field(description="what an hour at the bench costs")
    chair_per_hour: Amount = Field(description="what an hour at the chair costs")
    exchange: Annotated[float, Field(gt=0, le=1e6)] | None = Field(
        default=None, description="units of `currency` for one unit of the catalogue's currency"
    )
    years: Annotated[int, Field(ge=1, le=40)] = Field(
        default=5, description="years over which renewals and recalls are counted"
    )


class Wanted(Sheet):
    """Limits on hold and movement; left out = the catalogue's defaults."""

    hold_n: Amount | None = Field(
        default=None, description="least pull that the denture takes at its centre, N; left out = what its tier asks"
    )
    level_n: Amount | None = Field(
        default=None, description="least level pull in a test rig, N: the retentions together, for figures of a bench"
    )
    most_n: Amount | None = Field(
        default=None, description="most that it may take to lift one edge, N; left out = what the hand can do"
    )
    pull_n: dict[PullName, Amount] = Field(
        default={},
        description="least pull that must be taken at a point of the base, N; left out = what its tier asks",
    )
    movement: dict[DemandName, Share] = Field(
        default={}, description="share of each demand that must be reached; left out = not asked"
    )
    insertions_per_day: Annotated[float, Field(gt=0, le=50)] | None = Field(
        default=None, description="times a day that the denture is put in; left out = 3 to 5, as studies differ"
    )


Waivable: TypeAlias = Literal[
    "budget", "allowed", "allowed:send_out", "allowed:weld", "allowed:cut_bar", "allowed:bar_off",
    "allowed:new_bar", "hold", "pull", "peel", "pulls", "level", "spread", "even", "need", "cover", "borne",
    "supports", "moves", "unsplint",
    "firm-bar", "lined",
]  # fmt: skip
"""What a case may weigh: a kind of rule, or one kind of work; `hold`, `pull` are older names of `pulls`, `peel`."""


class Case(Sheet):
    """One arch of one patient."""

    case: Text = Field(description="a short title")
    about: Text | None = Field(default=None, description="the story in a sentence or two")
    invented: bool = Field(default=False, description="true for examples")
    arch: Arch = Field(description="the jaw that carries the bar")
    opposing: Literal["natural", "denture", "implants", "unknown"] = Field(
        default="unknown", description="what the denture bites on"
    )
    room: Room = Field(default=Room(), description="vertical room of the whole case; a site's own goes before it")
    supports: dict[SiteId, Support] = Field(
        min_length=1, max_length=12, description="implants or roots that carry the bar, by a name of your own"
    )
    segments: dict[SiteId, Segment] = Field(
        default={}, max_length=12, description="stretches of bar between two supports, by a name of your own"
    )
    ends: dict[SiteId, End] = Field(
        default={}, max_length=4, description="free ends of the bar, by a name of your own"
    )
    bar: Bar = Field(default=Bar(), description="how the bar sits on its supports")
    denture: Denture = Field(default=Denture(), description="the base over the bar")
    bite: Bite = Field(default=Bite(), description="force of the bite")
    patient: Patient = Field(default=Patient(), description="what of the patient bears on the choice")
    allowed: Allowed = Field(default=Allowed(), description="work that may be done")
    money: Money = Field(description="currency, rates and cap")
    wanted: Wanted = Field(default=Wanted(), description="limits on hold and movement")
    severity: dict[Waivable, Annotated[int, Field(ge=1, le=100)]] = Field(
        default={}, description="how hard each kind of rule is to give up, 1 the easiest; left out = our own order"
    )
    mix: dict[SiteId, Text] = Field(default={}, description="a proposed mix: site to `attachment xN + rework`")
    locale: LocaleName | None = Field(
        default=None, description="how reports write numbers, dates and money, e.g. de_DE; left out = English"
    )

    @property
    def site_ids(self) -> tuple[str, ...]:
        """Every site: segments, ends, supports, each in the order of the file."""
        return (*self.segments, *self.ends, *self.supports)
