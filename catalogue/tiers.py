"""How much hold a plan promises, tier by tier, and what a plan is preferred for.

Every number is a user's to set; what is asked of a mix with them stands in the solver.
"""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from catalogue.blocks import Amount, Figure, Text
from catalogue.sheet import Sheet


class Newtons(Figure):
    """A force and its source."""

    value: Amount = Field(description="the force, N")


class Share(Figure):
    """A share of one and its source."""

    value: Annotated[float, Field(ge=0, le=1)] = Field(description="the share, 0 to 1")


class Count(Figure):
    """A number of pieces and its source."""

    value: Annotated[int, Field(ge=1, le=100)] = Field(description="the number")


class Firm(Sheet):
    """The best least pull that the patient can still overcome; it asks for no figure."""

    promise: Text = Field(description="what the tier promises, in a clause")


class Stopgap(Firm):
    """Least pulls of a denture that is worn until more is possible."""

    centre_n: Newtons = Field(description="least pull taken at the centre, N")
    front_n: Newtons = Field(description="least pull taken at the front, N")
    sides_n: Newtons = Field(description="least pull taken at either side, N")


class Usual(Stopgap):
    """What most would deliver: the plan that is recommended."""

    sides_many_n: Newtons = Field(description="least pull taken at either side on many supports, N")
    many_supports: Count = Field(description="so many supports, or more, are many")
    spread: Share = Field(
        description="least share of all retention that the weaker side takes, of the best that the places allow"
    )
    even: Share = Field(description="least pull of the weaker side, as a share of the stronger side's")
    until_renewal: bool = Field(description="is all of it kept until the first renewal is due?")


class Tiers(Sheet):
    """Three answers to how much hold is enough, from the least to the most."""

    stopgap: Stopgap = Field(description="stays in at rest")
    usual: Usual = Field(description="what most would deliver")
    firm: Firm = Field(description="the strongest that can still be taken out")


class Preferences(Sheet):
    """What a plan must bring to be preferred, and from where on a figure counts for nothing."""

    alike_saves: Share = Field(
        description="a plan that is unlike on mirror sites must save more than this share of the cost of one alike"
    )
    whole_bar_saves: Share = Field(
        description="a plan that cuts a sound bar must save more than this share of the cost of one that does not"
    )
    three_points_saves: Share | None = Field(
        default=None,
        description="on a bar with free ends a plan must save more than this share of the cost of one on three "
        "points, an end and a part between the supports among them; without it that is not asked",
    )
    in_kind: Share = Field(
        description="a demand reached less than this in kind, where free travel is unlimited, does not move"
    )
    about_nothing_n: Newtons = Field(description="a pull below this is about nothing, N")
