"""The rules of a case in words: what each asks, what giving it up means, how parts fight. Each sentence stands once.

Numbers are written as the figures that are passed in write them; what is a patient's own may be left out.
"""

from __future__ import annotations

from dataclasses import dataclass

from cli.wording.numbers import Figures
from cli.wording.places import PlaceNames
from cli.wording.words import DEMAND, MOTION, PERMISSION, PULL, quantity, stop
from solver.assess.assessment import GivenUp
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.case.retention import Condition
from solver.case.rules import (
    Alike,
    Borne,
    Budget,
    Covered,
    EnoughSupports,
    Even,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NeedHolds,
    NoFight,
    NotAllowed,
    OneKind,
    Peel,
    Preference,
    Pulls,
    Rule,
    Spread,
    ThreePoints,
    Unsplint,
    WholeBar,
)
from solver.mechanics.movement import Reach
from solver.mechanics.verdicts import DemandVerdict, MovementVerdict

_OF_THE_PATIENT = ("metals", "scans", "grinding")

VERDICT = {
    MovementVerdict.MOVES: "moves",
    MovementVerdict.BOTTOMS: "bottoms",
    MovementVerdict.STANDS: "stands",
    MovementVerdict.FIGHTS: "fights",
}


@dataclass(frozen=True, slots=True)
class RuleWords:
    """Rules in words; with `redacted` what tells of the patient is left out."""

    figures: Figures
    currency: str
    digits: int
    redacted: bool = False
    places: PlaceNames | None = None

    @classmethod
    def of(
        cls,
        problem: Problem,
        figures: Figures | None = None,
        *,
        redacted: bool = False,
        places: PlaceNames | None = None,
    ) -> RuleWords:
        """Words for a case, in English figures where no others are given; sites by id unless `places` names them."""
        return cls(figures or Figures.of(None), problem.case.money.currency, problem.purse.digits, redacted, places)

    def rule(self, found: Rule) -> str:  # noqa: C901, PLR0911, PLR0912 - a branch for each rule
        """What a rule asks, with its numbers."""
        match found:
            case Budget():
                return f"the cost stays under the cap of {self._money(found.cap)}"
            case Pulls():
                until = " until the first renewal is due" if found.condition is Condition.WORN else ""
                tier = f" ({found.tier} tier)" if found.tier else ""
                return f"a pull {PULL[found.pull]} takes at least {self._newtons(found.least_n)}{until}{tier}"
            case LevelPull():
                return f"a level pull in a test rig takes at least {self._newtons(found.least_n)}"
            case Held():
                return "something that is fitted holds the denture"
            case Peel():
                hand = " (taken from the strength of the hand)" if found.assumed and not self.redacted else ""
                return f"the patient lifts one edge with {self._newtons(found.most_n)} at most{hand}"
            case Spread():
                on_bar, bar_off = (found.least(bar_off=off) for off in (False, True))
                least = self.figures.share(on_bar or bar_off)
                return f"the weaker side takes at least {least} of all retention"
            case Even():
                return f"the weaker side takes at least {self.figures.share(found.share)} of what the stronger takes"
            case Moves():
                return f"{DEMAND[found.demand]}: {self.figures.share(found.share)} of the settling is reached"
            case NoFight():
                return f"{DEMAND[found.demand]}: no part stops what another gives"
            case Borne():
                return f"the mucosa helps to bear the denture, unless {found.enough} splinted implants do"
            case EnoughSupports():
                return f"single attachments stand on at least {found.least} implants"
            case NotAllowed():
                return f"{PERMISSION[found.permission]} is not allowed"
            case NeedHolds():
                return f"{self._site(found.site)}: {self._quantity(found.of)} as the attachment needs it"
            case Covered():
                return f"{self._site(found.site)}: the bare end stands too high under the denture to be left as it is"
            case Unsplint():
                return f"the bar stays on and splints the implants; {_upper_jaw(found)}"
            case FirmBar():
                return "every implant under the bar stands firm"
            case LinedAlone():
                return "a lining is fitted by itself, with no firm part beside it"

    def given_up(self, entry: GivenUp) -> str:  # noqa: C901, PLR0911, PLR0912 - a branch for each rule
        """What has to give, by how much, and how it is done."""
        rule = entry.rule
        have_n, want_n = (f"{newtons} N" for newtons in self.figures.number_beside(entry.have, entry.want))
        have, want = self.figures.share_beside(entry.have, entry.want)
        match rule:
            case Budget():
                return f"raise the cap by {self._money(round(entry.amount))}"
            case Pulls():
                when = " when the first renewal is due" if rule.condition is Condition.WORN else ""
                return f"accept that a pull {PULL[rule.pull]} takes {have_n}{when} where {want_n} are asked"
            case LevelPull():
                return f"accept a level pull of {have_n} where {want_n} are asked"
            case Held():
                return "accept that nothing holds the denture"
            case Peel():
                limit = "" if self.redacted else f"; {want_n} are taken as most"
                return f"check that the patient can lift an edge with {have_n}{limit}"
            case Spread():
                return f"accept that the weaker side takes {have} of all retention where {want} are asked"
            case Even():
                return f"accept that the weaker side takes {have} of what the stronger takes where {want} are asked"
            case Moves():
                return (
                    f"{DEMAND[rule.demand]}: accept {have} of the settling; the bar then takes the rest of the bite"
                )
            case NoFight():
                return f"{DEMAND[rule.demand]}: parts fight each other"
            case Borne():
                return (
                    f"accept that {rule.supports} implants bear the denture by themselves; "
                    f"{rule.enough} splinted ones are wanted for that"
                )
            case EnoughSupports():
                return (
                    f"accept single attachments on {entry.have:.0f} implant{'s' if entry.have != 1 else ''} "
                    f"where {rule.least} are wanted"
                )
            case NotAllowed():
                return f"allow {PERMISSION[rule.permission]}"
            case NeedHolds():
                return self._need(rule, entry)
            case Covered():
                return (
                    f"{self._site(rule.site)}: leave the end bare; the base over it is then "
                    f"{self.figures.number(entry.amount, 2)} mm under the minimum"
                )
            case Unsplint():
                why = _upper_jaw(rule)
                return f"accept implants that no bar splints, once mobility and bone of each are checked; {why}"
            case LinedAlone():
                return "accept a lining beside firm parts; see early whether it holds at its edge"
            case FirmBar():
                where = " and ".join(self._site(name) for name in rule.loose)
                return (
                    f"work on a bar with a loose implant ({where}): unscrew the bar and look at it first; if the "
                    "implant goes, the bar is cut short beside it and the rest of the plan stands"
                )

    def _need(self, rule: NeedHolds, entry: GivenUp) -> str:
        if self.redacted and rule.of in _OF_THE_PATIENT:
            return f"{self._site(rule.site)}: a need of the patient that is left out here"
        by = f" by {self.figures.number(entry.amount, 2)} {entry.unit}" if entry.amount else ""
        how = f": {entry.waiver.how}" if entry.waiver else ""
        return f"{self._site(rule.site)}: {self._quantity(rule.of)} short{by}{how}"

    def without(self, found: Preference) -> str:
        """What a plan does that goes without a preference."""
        match found:
            case Alike():
                return "the two sides differ"
            case OneKind():
                return "more than one kind of part"
            case ThreePoints():
                return "hold does not stand on three points"
            case WholeBar():
                return "a sound bar is cut, which cannot be undone"

    def chosen_without(self, found: Preference) -> str:
        """The same of a plan that was found the best: it saves so much that the preference is given up."""
        return f"{self.without(found)}; {self._kept(found)} would cost over {self.figures.share(found.saves)} more"

    @staticmethod
    def _kept(found: Preference) -> str:
        match found:
            case Alike():
                return "any plan alike on both sides"
            case OneKind():
                return "any plan with one kind"
            case ThreePoints():
                return "any plan with the balls and a part between the implants"
            case WholeBar():
                return "any plan that leaves it whole"

    def verdict(self, found: DemandVerdict) -> str:
        """How the base moves in one demand."""
        match found.verdict:
            case MovementVerdict.MOVES:
                return "moves as far as the mucosa gives"
            case MovementVerdict.BOTTOMS:
                what = f", then {MOTION[found.end.component]} of {found.end.part.site} ends" if found.end else ""
                return (
                    f"bottoms: moves {self.figures.share(found.reach)} of the way{what}; from there the bar carries"
                )
            case MovementVerdict.STANDS:
                return "stands: no part gives, the bar bears it"
            case MovementVerdict.FIGHTS:
                return self.fight(found)

    def fight(self, found: DemandVerdict) -> str:
        """Which two parts fight, and in which direction."""
        if found.fight is None:
            return "parts fight"
        one, other, motion = found.fight.stops, found.fight.gives, MOTION[found.fight.component]
        if one == other or one.site == other.site:
            return f"fights: the parts on {one.site} wedge each other in {motion}"
        return f"fights: {one.site} ({one.label}) stops {motion}, {other.site} ({other.label}) gives"

    def binds(self, rule: Moves | NoFight, reach: Reach) -> str:
        """How an attachment by itself binds a demand, and by what."""
        stops = "; ".join(dict.fromkeys(stop(found) for found in reach.stops[:3]))
        if isinstance(rule, NoFight):
            return f"its own parts fight when {DEMAND[rule.demand]}: {stops}"
        share = self.figures.number(reach.reach, 2)
        return f"binds when {DEMAND[rule.demand]}: reach {share} of {self.figures.plain(rule.share)} ({stops})"

    def broken(self, found: Rule, verdicts: tuple[DemandVerdict, ...], reaches: tuple[Reach, ...]) -> str:
        """A rule that a mix breaks and that nobody may give up."""
        if isinstance(found, Moves):
            return self.binds(found, next(r for r in reaches if r.demand == found.demand))
        if isinstance(found, NoFight):
            verdict = next(v for v in verdicts if v.demand == found.demand)
            return f"{DEMAND[found.demand]}: {self.fight(verdict)}"
        return self.rule(found)

    def _site(self, name: str) -> str:
        return self.places.site(name) if self.places else name

    def _newtons(self, value: float) -> str:
        return f"{self.figures.number(value)} N"

    def _money(self, minor: int) -> str:
        return self.figures.plain_cost(Cost(minor, minor), self.currency, self.digits)

    def _quantity(self, of: str) -> str:
        return quantity(of)


def closed(found: NotAllowed | Unsplint) -> tuple[str, str, str, str]:
    """Need, have, want and amount of a rule that closes a site to an attachment."""
    if isinstance(found, Unsplint):
        return "splinting in the upper jaw", "bar off", "bar stays on", ""
    return PERMISSION[found.permission], "not allowed", "allowed", ""


def _upper_jaw(found: Unsplint) -> str:
    dense = (
        "upper jaw: bone is commonly taken as about half as dense as in the lower jaw (common practice, no source)"
    )
    fewer = "with fewer than four implants about three times as many are lost (Kern et al. 2016, read in abstract)"
    return f"{dense}; {fewer}" if found.few else dense
