"""The rules of a case in words: what each asks, how it closes a site, what giving it up means, how a demand binds."""

from __future__ import annotations

from cli.text.words import DEMAND, PERMISSION, PULL, money, newtons, quantity, stop
from solver.assessment import Assessment, GivenUp
from solver.movement import Reach
from solver.rules import (
    Budget,
    Covered,
    Held,
    HoldCeiling,
    HoldFloor,
    Moves,
    NeedHolds,
    NotAllowed,
    Pulls,
    Rule,
    Unsplint,
)


def rule(broken: Rule, digits: int, currency: str) -> str:  # noqa: C901 - a branch for each rule
    """A rule of the case as a sentence with its numbers."""
    match broken:
        case Budget():
            return f"the cost stays under the cap of {money(broken.cap, digits)} {currency}"
        case HoldFloor():
            return f"the denture holds at least {newtons(broken.least_n)}{_assumed(broken.assumed)}"
        case Held():
            return "something fitted must hold the denture"
        case HoldCeiling():
            return f"the patient pulls at most {newtons(broken.most_n)}{_assumed(broken.assumed)}"
        case Pulls():
            return f"a pull {PULL[broken.pull]} of at least {newtons(broken.least_n)} is taken"
        case Moves():
            return f"{DEMAND[broken.demand]}: {broken.share:.0%} of the settling is reached"
        case NotAllowed():
            return f"{PERMISSION[broken.permission]} is not allowed"
        case NeedHolds():
            return f"{broken.site}: {quantity(broken.of)} as the attachment needs it"
        case Covered():
            return f"{broken.site}: the bare end stands too high under the denture to be left as it is"
        case Unsplint():
            return f"the bar stays on and splints the implants; {_upper_jaw(broken)}"


def closed(found: NotAllowed | Unsplint) -> tuple[str, str, str, str]:
    """Need, have, want and amount of a rule that closes a site to an attachment."""
    if isinstance(found, Unsplint):
        return "splinting in the upper jaw", "bar off", "bar stays on", ""
    return PERMISSION[found.permission], "not allowed", "allowed", ""


def given_up(entry: GivenUp, digits: int, currency: str) -> str:  # noqa: C901 - a branch for each rule
    """What has to give, by how much, and how it is done."""
    match entry.rule:
        case Budget():
            return f"raise the cap by {money(round(entry.amount), digits)} {currency}"
        case HoldFloor():
            return f"accept a hold of {newtons(entry.have)} where {newtons(entry.want)} are asked"
        case Held():
            return "accept that nothing holds the denture"
        case HoldCeiling():
            return (
                f"check that the patient can pull {newtons(entry.have)} where {newtons(entry.want)} are taken as most"
            )
        case Pulls():
            pull = PULL[entry.rule.pull]
            return f"accept that a pull {pull} takes {newtons(entry.have)} where {newtons(entry.want)} are asked"
        case Moves():
            return f"{DEMAND[entry.rule.demand]}: accept {entry.have:.0%} of the settling; the bar carries the rest"
        case NotAllowed():
            return f"allow {PERMISSION[entry.rule.permission]}"
        case NeedHolds():
            by = f" by {entry.amount:.2f} {entry.unit}" if entry.amount else ""
            how = f": {entry.waiver.how}" if entry.waiver else ""
            return f"{entry.rule.site}: {quantity(entry.rule.of)} short{by}{how}"
        case Covered():
            return f"{entry.rule.site}: leave the bare end and accept a base {entry.amount:.2f} mm too thin over it"
        case Unsplint():
            why = _upper_jaw(entry.rule)
            return f"accept implants that no bar splints, once mobility and bone of each are checked; {why}"


def binds(moves: Moves, reach: Reach) -> str:
    """How a demand is bound, and by what."""
    stops = "; ".join(dict.fromkeys(stop(found) for found in reach.stops[:3]))
    return f"binds when {DEMAND[moves.demand]}: reach {reach.reach:.2f} of {moves.share:g} ({stops})"


def broken(found: Rule, plan: Assessment, digits: int, currency: str) -> str:
    """A rule that a mix breaks and that cannot be given up."""
    if isinstance(found, Moves):
        return binds(found, next(r for r in plan.reaches if r.demand == found.demand))
    return rule(found, digits, currency)


def _upper_jaw(found: Unsplint) -> str:
    dense = (
        "upper jaw: bone is commonly taken as about half as dense as in the lower jaw (common practice, no source)"
    )
    fewer = "with fewer than four implants about three times as many are lost (Kern et al. 2016, read in abstract)"
    return f"{dense}; {fewer}" if found.few else dense


def _assumed(yes: bool) -> str:
    return " (assumed; the case gives none)" if yes else ""
