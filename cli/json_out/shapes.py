"""The shapes of the answers for machines, as models: `regrip schema answer` publishes them, tests hold to them.

Lengths are in mm, forces in N, shares of one. An amount of money is a whole number of the unit that `money` names at
the head of the answer. A key may be added within a format; none goes or changes its meaning.
"""

from __future__ import annotations

from typing import Any, Literal, TypeAlias

from pydantic import BaseModel, ConfigDict, Field, TypeAdapter
from pydantic.json_schema import GenerateJsonSchema

from solver.assess.assessment import Status

Number: TypeAlias = float
Amount: TypeAlias = int
Least: TypeAlias = Literal["now", "years"]


class Shape(BaseModel):
    """Base of every shape: no key beside those named."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True)


class Money(Shape):
    """What amounts are counted in: 12583 with the unit `0.01 EUR` is 125.83 EUR."""

    currency: str = Field(description="ISO 4217")
    digits: int = Field(description="decimals of the currency")
    unit: str = Field(description="one of an amount, e.g. `0.01 EUR`")


class Head(Shape):
    """What stands at the head of every answer."""

    format: Literal[1] = Field(description="of the answers; raised where a key goes or changes its meaning")
    program: str = Field(description="regrip and its version")
    own_catalogue: str | None = Field(default=None, description="the practice's own catalogue, where there is one")


class Paid(Head):
    """The head of an answer with amounts."""

    money: Money


class Band(Shape):
    """Least and most; null where there is no end."""

    low: Number | None
    high: Number | None


class Span(Shape):
    """Least and most of a freedom."""

    least: Number
    most: Number


class Cost(Shape):
    """A band of money."""

    low: Amount
    high: Amount


class PricedCost(Cost):
    """A band of money with its currency once more."""

    currency: str
    digits: int | None = None


class Fitted(Shape):
    """What goes on one site."""

    attachment: str
    count: int
    reworks: list[str]
    cost: Cost
    verdict: str


Mix: TypeAlias = dict[str, Fitted]


class Question(Shape):
    """What to find out."""

    at: list[str] = Field(description="entries of the case that the answer fills in")
    of: str = Field(description="the quantity or fact")
    ask: str = Field(description="the question in words")


class Relaxation(Shape):
    """One limit given up."""

    rule: str
    amount: Number
    unit: str
    how: str


class Judged(Shape):
    """A need judged, or a rule that stands against it."""

    site: str | None = None
    attachment: str | None = None
    need: str
    step: str | None = None
    have: Number | str | None
    error: Number | None = None
    want: Number | str | None
    unit: str
    verdict: str | None = None
    short_by: Number | None = None
    source: str
    source_kind: str | None = None
    stops: str | None = None


class PartLabel(Shape):
    """A part in its place."""

    site: str
    label: str


class Ends(Shape):
    """Where a movement ends."""

    site: str
    component: str
    limit: Number
    unit: str


class Movement(Shape):
    """The verdict on one demand; reaches are shares of what the mucosa gives."""

    verdict: Literal["moves", "bottoms", "stands", "fights"]
    reach: Number
    in_kind: Number
    pair: list[PartLabel] | None
    component: str | None
    ends: Ends | None


class Hold(Shape):
    """Pulls in N that the denture takes; the sum is that of a test bench and no pull."""

    sum_low_n: Number
    sum_high_n: Number
    centre: Number
    left: Number
    right: Number
    front: Number
    behind: Number
    weakest: str | None
    peel_n: Number = Field(description="with which the easiest edge lifts")
    peel: str


class Freedom(Shape):
    """The play of a part by itself, and with the others fitted."""

    site: str
    component: str
    unit: str
    own: Span
    left: Span


class Preference(Shape):
    """A preference that the plan does not keep, and what that saves."""

    rule: str
    saves: Number = Field(description="what a plan without it must save at least, as a share of the cost")
    how: str


class Worked(Shape):
    """One mix worked out."""

    mix: Mix
    cost: PricedCost
    movement: dict[str, Movement]
    reach: dict[str, Number]
    stops: dict[str, list[str]]
    level: int
    hold: Hold
    load: dict[str, Any] = Field(description="the bite on every support and stretch, N, N mm, MPa and mm")
    freedom: list[Freedom]
    insertion: dict[str, Any] | None = Field(description="the common path of insertion, degrees")
    aftercare: dict[str, Any] = Field(description="hold, renewals, visits and cost over the years")
    questions: list[Question]
    preferences: list[Preference]
    relaxations: list[Relaxation]
    remarks: list[str]
    cautions: list[str]


class Proof(Shape):
    """How far it is proved that nothing is better."""

    outcome: str
    least: Least
    bound: Amount | None
    rounds: int
    cuts: int


class ShortPull(Shape):
    """The weakest pull."""

    pull: str
    n: Number


class InShort(Shape):
    """The plan of a tier."""

    mix: Mix
    cost: PricedCost
    weakest: ShortPull
    peel_n: Number


class Tiers(Shape):
    """The plan of each tier; null where there is none."""

    stopgap: InShort | None
    usual: InShort | None
    firm: InShort | None


class Step(Shape):
    """What a little more money buys."""

    more: Amount
    weakest_n: Number
    weakest_before_n: Number
    plan: InShort


class TwoSums(Shape):
    """Sums of retention, N."""

    sum_low_n: Number
    sum_high_n: Number


class WayOut(Shape):
    """Keep the bar, take it off, a new bar, or no attachment."""

    way: str
    standing: str
    cost: Cost | None
    cost_years: Cost | None
    currency: str
    hold: TwoSums | None
    reach: Number | None
    mix: Mix | None
    needs: list[Relaxation]
    against: list[str]
    cautions: list[str]


class PlanAnswer(Paid):
    """`regrip plan`: where a plan is there, what it is; the keys of a mix are missing where there is none."""

    answer: Literal["plan"]
    status: Status
    tier: str | None
    mix: Mix | None = None
    cost: PricedCost | None = None
    movement: dict[str, Movement] | None = None
    reach: dict[str, Number] | None = None
    stops: dict[str, list[str]] | None = None
    level: int | None = None
    hold: Hold | None = None
    load: dict[str, Any] | None = None
    freedom: list[Freedom] | None = None
    insertion: dict[str, Any] | None = None
    aftercare: dict[str, Any] | None = None
    questions: list[Question] | None = None
    preferences: list[Preference] | None = None
    relaxations: list[Relaxation] | None = None
    remarks: list[str] | None = None
    cautions: list[str] | None = None
    alternatives: list[Worked]
    ruled_out: list[Judged]
    proof: Proof
    strategies: list[WayOut]
    tiers: Tiers
    steps: list[Step]
    steps_complete: bool
    second_opinion: dict[str, Any] | None = None
    sensitivity: dict[str, Any] | None = None


class CheckAnswer(Paid, Worked):
    """`regrip check`."""

    answer: Literal["check"]
    status: Status
    refused: list[Judged]
    broken: list[str]


class Obstacle(Shape):
    """A rule that an attachment does not keep with what else is fitted."""

    rule: str
    among: list[str]
    have: Number


class Instead(Shape):
    """The best plan with an attachment in it."""

    mix: Mix
    cost: Cost
    cost_years: Cost
    relaxations: list[Relaxation]


class Fate(Shape):
    """One attachment against the plan."""

    candidate: Fitted | None
    fate: str
    more: Amount | None
    instead: Instead | None
    clash: list[str] | None
    clash_proved_smallest: bool | None
    obstacles: list[Obstacle]
    ruled_out: list[Judged]


class WhyAnswer(Paid):
    """`regrip why CASE SITE ATTACHMENT`."""

    answer: Literal["why"]
    site: str
    attachment: str
    count: int
    verdict: str
    needs: list[Judged]
    not_allowed: list[str]
    binds: str | None
    would_change: list[Fitted]
    against_plan: Fate | None


class SiteFates(Shape):
    """Everything at one site."""

    in_plan: Fitted | None
    otherwise: Fate | None
    attachments: list[Fate]


class WhySitesAnswer(Paid):
    """`regrip why CASE [SITE]`."""

    answer: Literal["why-sites"]
    status: Status
    cost_high: Amount | None
    least: Least
    paid_high: Amount | None
    sites: dict[str, SiteFates]
    not_compared: list[str]


class PlanOfAnswers(Shape):
    """A plan that hangs on some answers."""

    answers: int
    questions: list[Question]
    cost: Cost
    cost_years: Cost
    mix: Mix


class Reply(Shape):
    """What an answer leads to; `from` and `to` are null where the answers that are meant have no end."""

    answer: Number | str | None
    from_: Number | None = Field(alias="from")
    from_included: bool | None
    to: Number | None
    to_included: bool | None
    plan: PlanOfAnswers | None
    certain: PlanOfAnswers | None


class AskedQuestion(Question):
    """A question, its worth, and what a good and a bad answer lead to."""

    needs: list[Judged]
    chance: Number
    costs_more: Amount | None
    well: Reply
    badly: Reply | None


class AskAnswer(Paid):
    """`regrip ask`."""

    answer: Literal["ask"]
    outcome: str
    least: Least
    curve: list[PlanOfAnswers]
    ask: list[AskedQuestion]
    later: list[Question]
    not_worth_asking: list[Question]


class Offer(Shape):
    """A plan that something given up opens."""

    mix: Mix
    cost: Cost
    cost_years: Cost
    questions: list[Question]
    relaxations: list[Relaxation]


class Concession(Shape):
    """A smallest set of rules to give up."""

    rules: list[str]
    severity: Number
    weight: Number
    best: Offer


class LimitsAnswer(Paid):
    """`regrip what-if limits`."""

    answer: Literal["limits"]
    status: str
    least: Least
    plan: Worked | None
    ways: list[Concession]
    most: int
    list_: str = Field(alias="list", description="how far the list is known to be whole")
    clash: dict[str, Any] | None


class Decision(Shape):
    """Status, what goes where, and what is given up."""

    status: Status
    mix: list[Any]
    gives_up: list[Any]


class Planned(Decision):
    """A decision with its plan."""

    plan: Worked | None


class ValuesAnswer(Paid):
    """`regrip what-if values` with single values."""

    answer: Literal["values"]
    flips: bool
    before: Planned
    after: Planned


class Point(Planned):
    """The plan at one value of a range; values are text, so that no digit is lost."""

    value: str


class Flip(Shape):
    """Between which values the decision flips."""

    low: str
    high: str
    before: Decision
    after: Decision


class RangeAnswer(Paid):
    """`regrip what-if values` over a range."""

    answer: Literal["values-range"]
    path: str
    error: str | None
    tolerance: str
    points: list[Point]
    flips: list[Flip]


class TradePoint(Shape):
    """A mix worth choosing, by the two respects that were weighed."""

    cost: Amount | None = None
    hold: Number | None = None
    years: Amount | None = None
    plan: Worked


class TradeOffAnswer(Paid):
    """`regrip what-if trade-off`."""

    answer: Literal["trade-off"]
    between: list[str]
    currency: str
    complete: bool
    knee: int | None
    points: list[TradePoint]


class WaysAnswer(Paid):
    """`regrip what-if ways`."""

    answer: Literal["ways"]
    strategies: list[WayOut]


class MistakeShape(Shape):
    """One thing wrong in a file."""

    file: str
    line: int
    column: int
    where: str
    problem: str
    advice: str


class Failure(Head):
    """Any command that gives no answer."""

    answer: Literal["failure"]
    status: Literal["error"]
    kind: Literal["input", "usage", "file", "interrupted", "internal"]
    message: str
    exit: int
    mistakes: list[MistakeShape] | None = None


AnyAnswer: TypeAlias = (
    PlanAnswer
    | CheckAnswer
    | WhyAnswer
    | WhySitesAnswer
    | AskAnswer
    | LimitsAnswer
    | ValuesAnswer
    | RangeAnswer
    | TradeOffAnswer
    | WaysAnswer
    | Failure
)


class _Written(GenerateJsonSchema):
    """Without titles that repeat the key."""

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False


def answer_schema() -> dict[str, Any]:
    """The JSON Schema of all answers; `answer` tells which of them one is."""
    adapter: TypeAdapter[AnyAnswer] = TypeAdapter(AnyAnswer)
    about = "What the commands print with `--json`. Amounts are whole numbers of the unit that `money` names."
    return {
        "$schema": GenerateJsonSchema.schema_dialect,
        "title": "An answer of regrip",
        "description": about,
        **adapter.json_schema(by_alias=True, schema_generator=_Written),
    }
