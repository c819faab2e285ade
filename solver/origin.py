"""Where in a case file a rule or a fact of a site comes from: the keys that settle it."""

from __future__ import annotations

from catalogue.quantities import OF_THE_BAR
from catalogue.yaml_text import Loc
from solver.case import Case
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


def origins(case: Case, rule: Rule) -> tuple[Loc, ...]:
    """The keys that a rule follows from, whether or not they stand in the file."""
    match rule:
        case Budget():
            return (("money", "cap"),)
        case HoldFloor() | Held():
            return (("wanted", "hold_n"),)
        case HoldCeiling():
            return (("patient", "hand"),) if rule.assumed else (("wanted", "most_n"),)
        case Pulls():
            return (("wanted", "pull_n", rule.pull),)
        case Moves():
            return (("wanted", "movement", rule.demand), ("denture", "settling_mm"))
        case NotAllowed():
            return (("allowed", rule.permission),)
        case NeedHolds():
            return fact_origins(case, rule.site, rule.of)
        case Unsplint():
            return (("arch",),)
        case Covered():
            return fact_origins(case, rule.site, "room_mm")


def fact_origins(case: Case, site: str, of: str) -> tuple[Loc, ...]:
    """The keys of a measured fact of a site; room and space may come from the case as a whole."""
    if of in ("scans", "metals"):
        return (("patient", "scans_expected" if of == "scans" else "sensitivities"),)
    if of == "grinding":
        return (("patient", "bruxism"), ("opposing",))
    if of in OF_THE_BAR:
        return (("bar", of),)
    group = next(name for name in ("segments", "ends", "supports") if site in getattr(case, name))
    own, shared = getattr(case, group)[site], case.room
    here: Loc = (group, site)
    if of == "room_mm" and not own.room_mm.known and (own.top_mm.known or not shared.room_mm.known):
        return tuple((*here, name) if getattr(own, name).known else ("room", name) for name in ("space_mm", "top_mm"))
    if of in ("room_mm", "space_mm", "breadth_mm") and not getattr(own, of).known:
        return (("room", of),)
    return ((*here, of),)
