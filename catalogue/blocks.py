"""What entries of the catalogue are made of: figures, needs, movement, work, wear; each with its source.

Lengths in mm, forces in N, angles in degrees, prices in the catalogue's currency (major units in the file).
"""

from __future__ import annotations

import re
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import AfterValidator, Field, StringConstraints, WithJsonSchema, model_validator

from catalogue import names
from catalogue.quantities import QUANTITIES
from catalogue.sheet import Sheet

SourceKind: TypeAlias = Literal["published", "common-practice", "memory", "invented"]
AttachmentKind: TypeAlias = Literal["clip", "ball", "stud", "magnet", "lining", "bare"]
Permission: TypeAlias = Literal["send_out", "weld", "cut_bar", "bar_off", "new_bar"]
Workplace: TypeAlias = Literal["mouth", "bench", "denture"]


def _no_count(name: str) -> str:
    if re.search(r"x[1-9]$", name):
        raise ValueError(f"'{name}' would read as {name[-1]} of '{name[:-2]}'; let it end in another way")
    return name


Id: TypeAlias = Annotated[str, StringConstraints(pattern=names.ENTRY)]
AttachmentId: TypeAlias = Annotated[Id, AfterValidator(_no_count)]
SourceKey: TypeAlias = Annotated[Id, Field(description="key of the source under `sources`")]
Text: TypeAlias = Annotated[str, StringConstraints(min_length=1, max_length=600, strip_whitespace=True)]
Amount: TypeAlias = Annotated[float, Field(ge=0, le=1e6)]
Millimetres: TypeAlias = Annotated[float, Field(ge=0, le=100)]
Degrees: TypeAlias = Annotated[float, Field(ge=0, le=360)]


def _known_quantity(name: str) -> str:
    if name not in QUANTITIES:
        raise ValueError(f"'{name}' is no quantity of a site; known: {', '.join(QUANTITIES)}")
    return name


def wrong_word(of: str, word: str) -> str | None:
    """What is wrong with a word for a quantity, if anything."""
    words = QUANTITIES[of].words
    return None if word in words else f"`{of}` is never '{word}'; write one of {', '.join(words)}"


QuantityName: TypeAlias = Annotated[
    str, AfterValidator(_known_quantity), WithJsonSchema({"type": "string", "enum": list(QUANTITIES)})
]


class Source(Sheet):
    """Where a figure comes from. `known` tells how much of a publication was seen."""

    kind: SourceKind = Field(description="published, common-practice, memory or invented")
    text: Text = Field(description="full citation, or a sentence for the other kinds")
    known: Text | None = Field(default=None, description="how it is known, e.g. read in the abstract")

    @model_validator(mode="after")
    def _published_says_how(self) -> Self:
        if self.kind == "published" and self.known is None:
            raise ValueError("a published source says how it is `known`; e.g. `known: read in the abstract`")
        return self


class Figure(Sheet):
    """One number and its source."""

    value: float = Field(description="the number, in the unit that the key names")
    source: SourceKey


class Band(Sheet):
    """A low and a high value and their source."""

    low: Amount = Field(description="low end")
    high: Amount = Field(description="high end")
    source: SourceKey

    @model_validator(mode="after")
    def _low_is_lower(self) -> Self:
        if self.high < self.low:
            raise ValueError(f"high is below low: {self.high:g} < {self.low:g}")
        return self


class Waiver(Sheet):
    """How a person may live with a need that is short, and by how much at most."""

    up_to: Amount = Field(description="largest shortfall that may be waived, in the unit of the quantity")
    how: Text = Field(description="what is done in practice, as an instruction")
    source: SourceKey


class Need(Sheet):
    """One condition of an attachment or a rework on its site; without `waive` it is physics, never waived."""

    of: QuantityName = Field(description="the quantity of the site that is asked for")
    at_least: float | None = Field(default=None, description="least value, for a number")
    at_most: float | None = Field(default=None, description="largest value, for a number")
    one_of: tuple[Text, ...] = Field(default=(), description="the words that will do, for a word")
    source: SourceKey
    waive: Waiver | None = Field(default=None, description="how to live with it when short; left out = never")
    why: Text | None = Field(default=None, description="the reason in one clause")

    @model_validator(mode="after")
    def _asks_one_thing(self) -> Self:
        number = QUANTITIES[self.of].is_number
        bounded = self.at_least is not None or self.at_most is not None
        if number and (self.one_of or not bounded):
            raise ValueError(f"`{self.of}` is a number; give `at_least`, `at_most` or both")
        if not number and (bounded or not self.one_of):
            raise ValueError(f"`{self.of}` is a word; give `one_of: [...]`")
        if slips := [slip for word in self.one_of if (slip := wrong_word(self.of, word))]:
            raise ValueError(slips[0])
        if self.at_least is not None and self.at_most is not None and self.at_most < self.at_least:
            raise ValueError(f"at_most is below at_least: {self.at_most:g} < {self.at_least:g}")
        return self

    @property
    def want(self) -> str:
        """What is asked, in words: `1.7 to 1.9 mm`, `round or ovoid`."""
        if self.one_of:
            return " or ".join(self.one_of)
        unit = QUANTITIES[self.of].unit
        if self.at_least is None:
            return f"at most {self.at_most:g} {unit}"
        if self.at_most is None:
            return f"at least {self.at_least:g} {unit}"
        return f"{self.at_least:g} to {self.at_most:g} {unit}"


class Stack(Sheet):
    """Heights above the top of the bar, ball or platform, in mm; acrylic and tooth come on top."""

    part: Millimetres = Field(description="the attachment itself")
    housing: Millimetres = Field(default=0.0, description="metal housing round it")
    spacer: Millimetres = Field(default=0.0, description="room left for vertical movement")
    source: SourceKey

    @property
    def height_mm(self) -> float:
        """Part, housing and spacer together."""
        return self.part + self.housing + self.spacer


Reach: TypeAlias = Millimetres | Literal["free"] | None
Turn: TypeAlias = Degrees | Literal["free"] | None


class Movement(Sheet):
    """How far each of the six local components goes, to both sides unless said; left out = the small play."""

    slide_mm: Reach = Field(default=None, description="along the bar")
    sideways_mm: Reach = Field(default=None, description="across the bar")
    down_mm: Reach = Field(default=None, description="towards the mucosa: resilience")
    up_mm: Reach = Field(default=None, description="away from it before the retention grips")
    hinge_deg: Turn = Field(default=None, description="about the bar")
    tip_deg: Turn = Field(default=None, description="about the cross axis")
    turn_deg: Turn = Field(default=None, description="about the path of insertion")
    source: SourceKey


class Work(Sheet):
    """Minutes at bench and chair, from low to high, and their source."""

    bench: tuple[Amount, Amount] = Field(default=(0.0, 0.0), description="minutes at the bench, low and high")
    chair: tuple[Amount, Amount] = Field(default=(0.0, 0.0), description="minutes at the chair, low and high")
    source: SourceKey

    @model_validator(mode="after")
    def _low_first(self) -> Self:
        for name, (low, high) in (("bench", self.bench), ("chair", self.chair)):
            if high < low:
                raise ValueError(f"{name} minutes run from low to high: {low:g} > {high:g}")
        return self


def _sooner_first(months: tuple[int, int]) -> tuple[int, int]:
    if months[1] < months[0]:
        raise ValueError(f"months run from sooner to later: {months[0]} > {months[1]}")
    return months


MonthsApart: TypeAlias = Annotated[int, Field(ge=1, le=1200)]
Months: TypeAlias = Annotated[tuple[MonthsApart, MonthsApart], AfterValidator(_sooner_first)]
LossShare: TypeAlias = Annotated[float, Field(ge=-5, lt=1)]


class Wear(Sheet):
    """Share of retention lost (negative = gained) after a number of insertions."""

    loss: tuple[LossShare, LossShare] = Field(description="low and high share of the first retention")
    cycles: Annotated[int, Field(gt=0)] = Field(description="insertions after which it was measured")
    source: SourceKey

    @model_validator(mode="after")
    def _low_first(self) -> Self:
        if self.loss[1] < self.loss[0]:
            raise ValueError(f"loss runs from low to high: {self.loss[0]:g} > {self.loss[1]:g}")
        return self


class Service(Sheet):
    """What is renewed, how often (months, sooner and later), what the parts cost and how long it takes."""

    what: Text = Field(description="what is renewed")
    months: Months = Field(description="months between two services, sooner and later")
    price: Band = Field(description="price of the parts")
    work: Work = Field(description="minutes that a service takes")
    source: SourceKey


class Recall(Sheet):
    """A visit at which the denture is looked at, whatever is fitted."""

    months: Months = Field(description="months between two visits, sooner and later")
    price: Band = Field(description="fee or material of a visit, over and above the minutes")
    work: Work = Field(description="minutes that a visit takes")
    source: SourceKey


class WhatIf(Sheet):
    """A way out that is only priced, so that it can be set beside the plans: it fits nothing by itself."""

    name: Text = Field(description="what is done, in a clause")
    price: Band = Field(description="parts, material or fee")
    work: Work = Field(description="minutes that it takes")
    source: SourceKey
    cautions: tuple[Text, ...] = Field(default=(), description="what to beware of, a sentence each")


class Pack(Sheet):
    """A pack as sold; without a price it costs its pieces at the piece price."""

    pieces: Annotated[int, Field(gt=0, le=10_000)] = Field(description="pieces in the pack")
    price: Band | None = Field(default=None, description="price of the pack; left out = that of its pieces")


class Hole(Sheet):
    """A hole that a step leaves in the bar, from top to underside."""

    value: Annotated[float, Field(gt=0, le=10)] = Field(description="diameter, mm; of a thread the major one")
    source: SourceKey
