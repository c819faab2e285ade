"""The catalogue: attachments, reworks, defaults, and the source of every figure.

Lengths in mm, forces in N, angles in degrees, prices in the catalogue's currency (major units in the file).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import AfterValidator, Field, StringConstraints, model_validator
from pydantic.json_schema import SkipJsonSchema

from catalogue.quantities import QUANTITIES, SiteKind
from catalogue.sheet import Sheet

SourceKind: TypeAlias = Literal["published", "common-practice", "memory", "invented"]
AttachmentKind: TypeAlias = Literal["clip", "ball", "stud", "magnet", "bare"]
Permission: TypeAlias = Literal["send_out", "weld", "cut_bar", "bar_off"]
Section: TypeAlias = Literal["round", "ovoid", "parallel", "keyhole"]

Id: TypeAlias = Annotated[str, StringConstraints(pattern=r"^[a-z0-9][a-z0-9.-]{0,59}$")]
Text: TypeAlias = Annotated[str, StringConstraints(min_length=1, max_length=600, strip_whitespace=True)]
Amount: TypeAlias = Annotated[float, Field(ge=0, le=1e6)]
Millimetres: TypeAlias = Annotated[float, Field(ge=0, le=100)]
Degrees: TypeAlias = Annotated[float, Field(ge=0, le=360)]


def _known_quantity(name: str) -> str:
    if name not in QUANTITIES:
        raise ValueError(f"'{name}' is no quantity of a site; known: {', '.join(QUANTITIES)}")
    return name


QuantityName: TypeAlias = Annotated[str, AfterValidator(_known_quantity)]


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

    value: float
    source: Id


class Band(Sheet):
    """A low and a high value and their source."""

    low: Amount
    high: Amount
    source: Id

    @model_validator(mode="after")
    def _low_is_lower(self) -> Self:
        if self.high < self.low:
            raise ValueError(f"high is below low: {self.high:g} < {self.low:g}")
        return self


class Waiver(Sheet):
    """How a person may live with a need that is short, and by how much at most."""

    up_to: Amount = Field(description="largest shortfall that may be waived, in the unit of the quantity")
    how: Text = Field(description="what is done in practice, as an instruction")
    source: Id


class Need(Sheet):
    """One condition of an attachment or a rework on its site; without `waive` it is physics, never waived."""

    of: QuantityName
    at_least: float | None = None
    at_most: float | None = None
    one_of: tuple[Text, ...] = ()
    source: Id
    waive: Waiver | None = None
    why: Text | None = Field(default=None, description="the reason in one clause")

    @model_validator(mode="after")
    def _asks_one_thing(self) -> Self:
        number = QUANTITIES[self.of].is_number
        bounded = self.at_least is not None or self.at_most is not None
        if number and (self.one_of or not bounded):
            raise ValueError(f"`{self.of}` is a number; give `at_least`, `at_most` or both")
        if not number and (bounded or not self.one_of):
            raise ValueError(f"`{self.of}` is a word; give `one_of: [...]`")
        if self.at_least is not None and self.at_most is not None and self.at_most < self.at_least:
            raise ValueError(f"at_most is below at_least: {self.at_most:g} < {self.at_least:g}")
        return self


class Stack(Sheet):
    """Heights above the top of the bar, ball or platform, in mm; acrylic and tooth come on top."""

    part: Millimetres = Field(description="the attachment itself")
    housing: Millimetres = Field(default=0.0, description="metal housing round it")
    spacer: Millimetres = Field(default=0.0, description="room left for vertical movement")
    source: Id

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
    source: Id


class Work(Sheet):
    """Minutes at bench and chair, from low to high, and their source."""

    bench: tuple[Amount, Amount] = (0.0, 0.0)
    chair: tuple[Amount, Amount] = (0.0, 0.0)
    source: Id

    @model_validator(mode="after")
    def _low_first(self) -> Self:
        for name, (low, high) in (("bench", self.bench), ("chair", self.chair)):
            if high < low:
                raise ValueError(f"{name} minutes run from low to high: {low:g} > {high:g}")
        return self


class Wear(Sheet):
    """Share of retention lost (negative = gained) after a number of insertions."""

    loss: tuple[float, float] = Field(description="low and high share of the first retention")
    cycles: Annotated[int, Field(gt=0)]
    source: Id


class Service(Sheet):
    """What is renewed, how often (months, sooner and later), what the parts cost and how long it takes."""

    what: Text
    months: tuple[Amount, Amount]
    price: Band
    work: Work
    source: Id


class Pack(Sheet):
    """A pack as sold; without a price it costs its pieces at the piece price."""

    pieces: Annotated[int, Field(gt=0, le=10_000)]
    price: Band | None = None


class Attachment(Sheet):
    """Something that can be bought and fitted at a site; kind `bare` makes a site safe without one."""

    id: SkipJsonSchema[str] = ""
    kind: AttachmentKind
    name: Text
    at: tuple[SiteKind, ...] = Field(min_length=1, description="kinds of site that can take it")
    needs: tuple[Need, ...] = ()
    steps: tuple[Id, ...] = Field(default=(), description="reworks that always go with it")
    length_mm: Millimetres | None = Field(default=None, description="length of bar that one takes")
    spacing_mm: Millimetres = Field(default=0.0, description="clear bar between two of them")
    most: Annotated[int, Field(ge=1, le=6)] = Field(default=1, description="most of them on one segment")
    stack: Stack
    movement: Movement
    retention_n: Band
    price: Band
    work: Work
    wear: Wear | None = None
    service: Service | None = None
    packs: tuple[Pack, ...] = ()
    metals: tuple[Text, ...] = Field(default=(), description="metals that touch the mouth, for sensitivities")
    magnetic: bool = False
    cautions: tuple[Text, ...] = ()


class Rework(Sheet):
    """A bench or chairside step that changes a site so that an attachment can sit on it."""

    id: SkipJsonSchema[str] = ""
    name: Text
    at: tuple[SiteKind, ...] = Field(min_length=1)
    needs: tuple[Need, ...] = ()
    makes: dict[QuantityName, float | Text] = Field(default={}, description="quantities set by the step")
    changes: dict[QuantityName, float] = Field(default={}, description="quantities raised or lowered by it")
    tolerance_mm: Millimetres = Field(default=0.0, description="error of what it makes")
    permissions: tuple[Permission, ...] = Field(default=(), description="what the case must allow")
    once: bool = Field(default=False, description="paid once a case, however many sites use it")
    always_with: bool = Field(default=False, description="used only where an attachment's `steps` name it")
    price: Band
    work: Work
    source: Id
    cautions: tuple[Text, ...] = ()
    check: Text | None = Field(default=None, description="what the bench measures when the step is done")

    @model_validator(mode="after")
    def _makes_numbers_of_numbers(self) -> Self:
        for name, made in self.makes.items():
            if QUANTITIES[name].is_number == isinstance(made, str):
                kind = "number" if QUANTITIES[name].is_number else "word"
                raise ValueError(f"`makes` sets `{name}`, which is a {kind}, to {made!r}; write a {kind}")
        if words := [name for name in self.changes if not QUANTITIES[name].is_number]:
            raise ValueError(f"`changes` raises `{words[0]}`, which is a word; set it under `makes`")
        return self


class Play(Sheet):
    """The small movement that is left where nothing is free."""

    mm: Annotated[float, Field(gt=0, le=1)]
    deg: Annotated[float, Field(gt=0, le=5)]
    source: Id


class Pull(Sheet):
    """The strongest retention a hand of each band is taken to manage, N. No published figure exists."""

    weak: Amount
    usual: Amount
    strong: Amount
    source: Id


class Jaws(Sheet):
    """A figure that differs between the jaws."""

    lower: Amount
    upper: Amount
    source: Id


class Rule(Sheet):
    """A rule of the trade in one sentence."""

    text: Text
    source: Id


class Defaults(Sheet):
    """What is taken where a case is silent; a plan that uses one says so."""

    play: Play
    acrylic_mm: Figure
    tooth_mm: Figure
    settling_mm: Jaws
    hold_n: Figure
    pull_n: Pull
    support_diameter_mm: Figure
    thin_base: Waiver = Field(description="how a base too thin over an attachment is lived with, and how far")
    metals: Rule = Field(description="why a sensitivity to a metal rules an attachment out")
    scans: Waiver = Field(description="how magnets are lived with where scans are expected")


class Catalogue(Sheet):
    """Everything that can be bought or done, as one whole after overlays."""

    version: Text = Field(description="a date or number that names this state of the catalogue")
    currency: Annotated[str, StringConstraints(pattern="^[A-Z]{3}$")] = Field(description="ISO 4217")
    sources: dict[Id, Source]
    attachments: dict[Id, Attachment]
    reworks: dict[Id, Rework] = Field(default={})
    defaults: Defaults

    def iter_source_keys(self) -> Iterator[tuple[tuple[str | int, ...], str]]:
        """Every `source:` in the catalogue with where it stands."""
        for group in ("attachments", "reworks"):
            for name, entry in getattr(self, group).items():
                yield from _sources_in(entry, (group, name))
        yield from _sources_in(self.defaults, ("defaults",))

    @property
    def source_of(self) -> Mapping[str, Source]:
        """The sources by key, read-only."""
        return MappingProxyType(self.sources)


def _sources_in(entry: object, loc: tuple[str | int, ...]) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if isinstance(entry, tuple):
        for index, part in enumerate(entry):
            yield from _sources_in(part, (*loc, index))
    elif isinstance(entry, Sheet):
        for name in type(entry).model_fields:
            value = getattr(entry, name)
            if name == "source":
                yield (*loc, "source"), value
            else:
                yield from _sources_in(value, (*loc, name))
