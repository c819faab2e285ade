"""The catalogue: attachments, reworks, defaults, and the source of every figure.

Lengths in mm, forces in N, angles in degrees, prices in the catalogue's currency (major units in the file).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Self

from pydantic import Field, StringConstraints, model_validator
from pydantic.json_schema import SkipJsonSchema

from catalogue import names
from catalogue.blocks import (
    Amount,
    AttachmentId,
    AttachmentKind,
    Band,
    Figure,
    Hole,
    Id,
    Millimetres,
    Movement,
    Need,
    Pack,
    Permission,
    QuantityName,
    Recall,
    Service,
    Source,
    SourceKey,
    Stack,
    Text,
    Waiver,
    Wear,
    WhatIf,
    Work,
    Workplace,
    wrong_word,
)
from catalogue.quantities import QUANTITIES, SiteKind
from catalogue.sheet import Sheet
from catalogue.tiers import Preferences, Tiers


class Attachment(Sheet):
    """Something that can be bought and fitted at a site; kind `bare` makes a site safe without one."""

    id: SkipJsonSchema[str] = ""
    kind: AttachmentKind = Field(
        description="clip, ball, stud, magnet, lining, or bare for a site made safe without one"
    )
    name: Text = Field(description="generic name, never a brand")
    at: tuple[SiteKind, ...] = Field(min_length=1, description="kinds of site that can take it")
    needs: tuple[Need, ...] = Field(default=(), description="conditions on the site")
    steps: tuple[Id, ...] = Field(default=(), description="reworks that always go with it")
    length_mm: Millimetres | None = Field(default=None, description="length of bar that one takes")
    spacing_mm: Millimetres = Field(default=0.0, description="clear bar between two of them")
    most: Annotated[int, Field(ge=1, le=6)] = Field(default=1, description="most of them on one segment")
    stack: Stack = Field(description="height above the bar, ball or platform")
    movement: Movement = Field(description="how far it lets the denture move")
    retention_n: Band = Field(description="pull at which it lets go, N")
    price: Band = Field(description="price of one")
    work: Work = Field(description="minutes to fit one")
    wear: Wear | None = Field(default=None, description="how its hold changes with use")
    service: Service | None = Field(default=None, description="what is renewed and how often")
    packs: tuple[Pack, ...] = Field(default=(), description="how it is sold")
    metals: tuple[Text, ...] = Field(default=(), description="metals that touch the mouth, for sensitivities")
    wears_by_grinding: bool = Field(
        default=False, description="is what holds of elastomer or soft polymer, which a grinder soon wears out?"
    )
    magnetic: bool = Field(default=False, description="is it a magnet, or does it leave a keeper in the mouth?")
    cautions: tuple[Text, ...] = Field(default=(), description="what to beware of, a sentence each")


class Rework(Sheet):
    """A bench or chairside step that changes a site so that an attachment can sit on it."""

    id: SkipJsonSchema[str] = ""
    name: Text = Field(description="the step, as an instruction")
    at: tuple[SiteKind, ...] = Field(min_length=1, description="kinds of site that it can be done at")
    where: Workplace = Field(
        default="mouth", description="in the mouth, at the bench on a bar that is unscrewed, or on the denture"
    )
    needs: tuple[Need, ...] = Field(default=(), description="conditions on the site")
    steps: tuple[Id, ...] = Field(default=(), description="reworks that always go before it")
    makes: dict[QuantityName, float | Text] = Field(default={}, description="quantities set by the step")
    changes: dict[QuantityName, float] = Field(default={}, description="quantities raised or lowered by it")
    tolerance_mm: Millimetres = Field(default=0.0, description="error of what it makes or changes")
    hole_mm: Hole | None = Field(default=None, description="hole that it leaves in the bar, which weakens it")
    permissions: tuple[Permission, ...] = Field(default=(), description="what the case must allow")
    cuts_only_worn: bool = Field(
        default=False, description="does it cut away nothing but what is worn? Then it does a sound bar no harm"
    )
    once: bool = Field(default=False, description="paid once a case, however many sites use it")
    always_with: bool = Field(default=False, description="used only where an attachment's `steps` name it")
    price: Band = Field(description="material or fee")
    work: Work = Field(description="minutes that it takes")
    source: SourceKey
    cautions: tuple[Text, ...] = Field(default=(), description="what to beware of, a sentence each")
    check: Text | None = Field(default=None, description="what the bench measures when the step is done")

    @property
    def harms_bar(self) -> bool:
        """True where a sound bar is cut or welded to: neither can be undone."""
        return bool({"cut_bar", "weld"}.intersection(self.permissions)) and not self.cuts_only_worn

    @model_validator(mode="after")
    def _makes_numbers_of_numbers(self) -> Self:
        for name, made in self.makes.items():
            if QUANTITIES[name].is_number == isinstance(made, str):
                kind = "number" if QUANTITIES[name].is_number else "word"
                raise ValueError(f"`makes` sets `{name}`, which is a {kind}, to {made!r}; write a {kind}")
            if isinstance(made, str) and (slip := wrong_word(name, made)):
                raise ValueError(f"`makes` sets `{name}`: {slip}")
        if words := [name for name in self.changes if not QUANTITIES[name].is_number]:
            raise ValueError(f"`changes` raises `{words[0]}`, which is a word; set it under `makes`")
        return self


class Play(Sheet):
    """The small movement that is left where nothing is free."""

    mm: Annotated[float, Field(gt=0, le=1)] = Field(description="to each side, mm")
    deg: Annotated[float, Field(gt=0, le=5)] = Field(description="to each side, degrees")
    source: SourceKey


class Pull(Sheet):
    """The strongest pull that a hand of each band is taken to manage at 75 years, N."""

    weak: Amount = Field(description="a weak hand, N")
    usual: Amount = Field(description="a usual hand, N")
    strong: Amount = Field(description="a strong hand, N")
    source: SourceKey


class Jaws(Sheet):
    """A figure that differs between the jaws."""

    lower: Amount = Field(description="lower jaw")
    upper: Amount = Field(description="upper jaw")
    source: SourceKey


class Rule(Sheet):
    """A rule of the trade in one sentence."""

    text: Text = Field(description="the rule")
    source: SourceKey


class Defaults(Sheet):
    """What is taken where a case is silent; a plan that uses one says so."""

    play: Play = Field(description="the small movement where nothing is free")
    acrylic_mm: Figure = Field(description="least thickness of base over an attachment")
    tooth_mm: Figure = Field(description="least height of a denture tooth")
    settling_mm: Jaws = Field(description="what the mucosa lets the base sink")
    hold_n: Figure = Field(description="least hold of the whole denture, N")
    pull_n: Pull = Field(description="strongest pull of a hand, N")
    support_diameter_mm: Figure = Field(description="diameter of a collar")
    thin_base: Waiver = Field(description="how a base too thin over an attachment is lived with, and how far")
    metals: Rule = Field(description="why a sensitivity to a metal rules an attachment out")
    loose: Rule = Field(description="why nothing is built on a stretch or an end whose implant is loose")
    scans: Waiver = Field(description="how magnets are lived with where scans are expected")
    grinding: Waiver = Field(description="how elastomer and soft polymer are lived with under a grinder")
    new_bar: WhatIf | None = Field(default=None, description="a new bar with its attachments; left out = not shown")
    no_attachment: WhatIf | None = Field(default=None, description="a denture without; left out = not shown")
    recall: Recall | None = Field(default=None, description="the regular visit; left out = none is counted")
    denture: tuple[Service, ...] = Field(
        default=(), description="what the denture itself takes with the years, whatever holds it"
    )
    tiers: Tiers = Field(description="how much hold is enough: stopgap, usual, firm")
    preferences: Preferences = Field(description="what a plan must bring to be preferred")


class Catalogue(Sheet):
    """Everything that can be bought or done, as one whole after overlays."""

    version: Text = Field(description="a date or number that names this state of the catalogue")
    currency: Annotated[str, StringConstraints(pattern=names.CURRENCY)] = Field(description="ISO 4217")
    sources: dict[Id, Source] = Field(description="where figures come from, by a key of your own")
    attachments: dict[AttachmentId, Attachment] = Field(description="what can be bought, by id")
    reworks: dict[Id, Rework] = Field(default={}, description="steps at bench or chair, by id")
    defaults: Defaults = Field(description="what is taken where a case is silent")

    def iter_source_keys(self) -> Iterator[tuple[tuple[str | int, ...], str]]:
        """Every `source:` in the catalogue with where it stands."""
        for group in ("attachments", "reworks"):
            for name, entry in getattr(self, group).items():
                yield from sources_in(entry, (group, name))
        yield from sources_in(self.defaults, ("defaults",))


def sources_in(entry: object, loc: tuple[str | int, ...] = ()) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Every `source:` in an entry or a part of one, with where it stands below `loc`."""
    if isinstance(entry, tuple):
        for index, part in enumerate(entry):
            yield from sources_in(part, (*loc, index))
    elif isinstance(entry, Sheet):
        for name in type(entry).model_fields:
            value = getattr(entry, name)
            if name == "source":
                yield (*loc, "source"), value
            else:
                yield from sources_in(value, (*loc, name))
