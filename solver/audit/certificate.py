"""A second look at every answer, without CP-SAT and without the code that found it.

Needs, limits and cost are derived again from the case and the catalogue; a demand is met when the twist that comes
with it respects every box and the mucosa, so no LP has to be trusted. A mismatch is an internal fault.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import Protocol

import numpy as np

from catalogue.blocks import Band, Need, Work
from catalogue.models import Rework
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.audit.certificate_bar import check_bar
from solver.audit.certificate_hold import check_pull, proved_peel_n, proved_pull_n, proved_sides_n
from solver.audit.certificate_motion import check_verdicts
from solver.audit.certificate_steps import check_steps
from solver.case.measure import Measure
from solver.case.retention import Condition
from solver.case.rules import (
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
    Peel,
    Pulls,
    Rule,
    Spread,
    Unsplint,
    waivable,
)
from solver.case.schema import Case
from solver.case.sites import Fact
from solver.errors import InternalFault
from solver.fit.candidate import Candidate
from solver.mechanics.movement import ASKED, Reach
from solver.mechanics.placement import FREE

LENGTH_SLACK_MM = 1e-5
"""An LP keeps its rows to about 1e-7; turns are scaled by ten millimetres and lever arms by some fifty."""


def verify(found: Assessment) -> None:
    """Raise `InternalFault` where an answer does not follow from the case and the catalogue."""
    problem, mix = found.problem, found.mix
    waived = {entry.rule for entry in found.given_up}
    _one_per_site(mix)
    for candidate in mix:
        _check_needs(problem, candidate, waived)
    again = _cost(problem, mix)
    if (found.cost.low, found.cost.high) != again:
        raise InternalFault(f"cost {found.cost} does not add up to {again}")
    for rule in problem.rules:
        may_break = rule in waived and waivable(rule)
        if not may_break and not _kept(rule, found, again[1]):
            raise InternalFault(f"the plan breaks {rule.code}")
    for reach in found.reaches:
        _check_twist(problem, mix, reach)
    check_verdicts(problem, mix, found.verdicts, problem.catalogue.defaults.preferences.in_kind.value)
    for pull in found.pulls:
        check_pull(problem, mix, pull, Condition.NEW)


def _one_per_site(mix: Sequence[Candidate]) -> None:
    sites = [candidate.site.id for candidate in mix]
    if len(set(sites)) != len(sites):
        raise InternalFault(f"more than one candidate at a site: {sites}")
    if len({candidate.site.kind == "support" for candidate in mix}) > 1:
        raise InternalFault("the mix needs the bar both on and off")


def _check_needs(problem: Problem, candidate: Candidate, waived: set[Rule]) -> None:
    """Every need of the attachment and of its reworks is not refuted by what is known, or is waived."""
    facts = dict(candidate.site.facts)
    for rework in candidate.reworks:
        for need in rework.needs:
            _check_need(candidate, need, facts, waived)
        _apply(facts, rework)
    for need in candidate.attachment.needs:
        _check_need(candidate, need, facts, waived)
    check_bar(problem.case, candidate, facts)
    _check_space(problem, candidate, facts, waived)
    _check_bearers(problem.case, candidate)
    _check_patient(problem.case, candidate, waived)
    if len(set(done := [rework.id for rework in candidate.reworks])) < len(done):
        raise InternalFault(f"{candidate.key} does a step twice: {done}")
    check_steps(problem.case, problem.catalogue, candidate)


def _check_need(candidate: Candidate, need: Need, facts: Mapping[str, Fact], waived: set[Rule]) -> None:
    fact = facts.get(need.of)
    if need.one_of:
        refuted = fact not in (*need.one_of, "unknown")
    elif isinstance(fact, Measure):
        refuted = (need.at_least is not None and fact.high < need.at_least - 1e-6) or (
            need.at_most is not None and fact.low > need.at_most + 1e-6
        )
    else:
        refuted = True
    accepted = NeedHolds(candidate.site.id, need.of) in waived and _may_be_waived(need, fact)
    if refuted and not accepted:
        raise InternalFault(f"{candidate.key}: need of {need.of} is refuted by {fact}")


def _may_be_waived(need: Need, fact: Fact | None) -> bool:
    """The catalogue says how to live with the shortfall, and the measured value is within its amount."""
    if need.waive is None or fact is None:
        return False
    if not isinstance(fact, Measure) or fact.value is None:
        return True
    below = need.at_least is not None and fact.value < need.at_least - need.waive.up_to - 1e-6
    above = need.at_most is not None and fact.value > need.at_most + need.waive.up_to + 1e-6
    return not (below or above)


def _check_space(problem: Problem, candidate: Candidate, facts: Mapping[str, Fact], waived: set[Rule]) -> None:
    attachment, denture, defaults = candidate.attachment, problem.case.denture, problem.catalogue.defaults
    if attachment.kind != "bare":
        acrylic = denture.acrylic_mm if denture.acrylic_mm is not None else defaults.acrylic_mm.value
        tooth = denture.tooth_mm if denture.tooth_mm is not None else defaults.tooth_mm.value
        stack = attachment.stack
        height_mm = stack.part + stack.housing + stack.spacer + acrylic + tooth
        thin = NeedHolds(candidate.site.id, "room_mm") in waived
        _at_least(candidate, "room_mm", height_mm, facts, defaults.thin_base.up_to if thin else 0.0)
    if attachment.length_mm is not None and candidate.site.kind != "support":
        gaps = (candidate.count - 1) * attachment.spacing_mm
        _at_least(candidate, "length_mm", candidate.count * attachment.length_mm + gaps, facts, 0.0)


def _at_least(candidate: Candidate, of: str, want_mm: float, facts: Mapping[str, Fact], waived_mm: float) -> None:
    fact = facts.get(of)
    if not isinstance(fact, Measure) or fact.value is None or fact.high >= want_mm - 1e-5:
        return
    if fact.value < want_mm - waived_mm - 1e-5 or not waived_mm:
        raise InternalFault(f"{candidate.key}: {of} {fact} is under {want_mm:g}")


def _check_bearers(case: Case, candidate: Candidate) -> None:
    segment, end = case.segments.get(candidate.site.id), case.ends.get(candidate.site.id)
    bearers = {candidate.site.id, *(segment.between if segment else ()), *((end.on,) if end else ())}
    loose = any(case.supports[one].mobility == "loose" for one in bearers & case.supports.keys())
    if loose and candidate.attachment.kind != "bare":
        raise InternalFault(f"{candidate.key} is built on an implant that moves")


def _check_patient(case: Case, candidate: Candidate, waived: set[Rule]) -> None:
    sensitive = {metal.lower() for metal in case.patient.sensitivities}
    if sensitive & {metal.lower() for metal in candidate.attachment.metals}:
        raise InternalFault(f"{candidate.key} puts a metal in the mouth that the patient is sensitive to")
    scans = case.patient.scans_expected == "yes" and candidate.attachment.magnetic
    if scans and NeedHolds(candidate.site.id, "scans") not in waived:
        raise InternalFault(f"{candidate.key} is magnetic and scans are expected")
    ground = case.patient.bruxism == "yes" and case.opposing in ("natural", "implants")
    worn_out = ground and candidate.attachment.wears_by_grinding
    if worn_out and NeedHolds(candidate.site.id, "grinding") not in waived:
        raise InternalFault(f"{candidate.key} is soon worn out by a grinder")


def _apply(facts: dict[str, Fact], rework: Rework) -> None:
    for of, made in rework.makes.items():
        facts[of] = made if isinstance(made, str) else Measure(made, rework.tolerance_mm)
    for of, by in rework.changes.items():
        fact = facts.get(of)
        if isinstance(fact, Measure) and fact.value is not None:
            facts[of] = Measure(fact.value + by, fact.error + rework.tolerance_mm)


class Priced(Protocol):
    """Anything in the catalogue with a price and minutes."""

    @property
    def price(self) -> Band: ...  # noqa: D102
    @property
    def work(self) -> Work: ...  # noqa: D102


@lru_cache(maxsize=1024)  # few figures, read again for every mix
def _exactly(figure: float) -> Fraction:
    """A figure as it is written."""
    return Fraction(str(figure))


def price_again(problem: Problem, item: Priced, end: int) -> int:
    """One end of what an entry of the catalogue costs, minor units, by exact fractions."""
    money, scale = problem.case.money, 10**problem.purse.digits
    foreign = money.exchange is not None and money.currency != problem.catalogue.currency
    rate = _exactly(money.exchange) if foreign else Fraction(1)

    def minor(amount: Fraction) -> int:
        return int(amount * scale + Fraction(1, 2))

    price = _exactly((item.price.low, item.price.high)[end]) * rate
    bench = _exactly(item.work.bench[end]) * _exactly(money.bench_per_hour)
    chair = _exactly(item.work.chair[end]) * _exactly(money.chair_per_hour)
    return minor(price) + minor((bench + chair) / 60)


def _cost(problem: Problem, mix: Sequence[Candidate]) -> tuple[int, int]:
    """Both ends of the cost."""
    once = {r.id: r for c in mix for r in c.reworks if r.once}
    ends = []
    for end in (0, 1):
        total = sum(price_again(problem, r, end) for r in once.values())
        for c in mix:
            total += c.count * price_again(problem, c.attachment, end)
            total += sum(price_again(problem, r, end) for r in c.reworks if not r.once)
        ends.append(total)
    return ends[0], ends[1]


def _kept(rule: Rule, found: Assessment, cost_high: int) -> bool:  # noqa: C901, PLR0911, PLR0912 - a branch for each rule
    """Whether a rule is kept, from the parts of the mix and the forces and motions that are checked beside this."""
    mix = found.mix
    bar_off = any(c.site.kind == "support" for c in mix)
    match rule:
        case Budget():
            return cost_high <= rule.cap
        case LevelPull():
            return sum(c.count * c.attachment.retention_n.low for c in mix) >= rule.least_n - 1e-3
        case Held():
            return max((c.attachment.retention_n.low for c in mix), default=0.0) > 0
        case Pulls():
            return proved_pull_n(found, rule.pull, rule.condition) >= rule.least_n - 1e-4
        case Peel():
            return proved_peel_n(found) <= rule.most_n + 1e-4
        case Spread():
            total = sum(c.count * c.attachment.retention_n.low for c in mix)
            return min(proved_sides_n(found)) >= rule.share * rule.best[bar_off] * total - 1e-4
        case Even():
            return min(proved_sides_n(found)) >= rule.share * max(proved_sides_n(found)) - 1e-4
        case Moves():
            return max((r.reach for r in found.reaches if r.demand == rule.demand), default=0.0) >= rule.share - 1e-5
        case NoFight():
            return not any(v.demand == rule.demand and v.verdict.value == "fights" for v in found.verdicts)
        case Borne():
            stands = bool(mix) and all(v.verdict.value == "stands" for v in found.verdicts)
            return not stands or (rule.splinted and not bar_off and rule.supports >= rule.enough)
        case EnoughSupports():
            return not bar_off or sum(1 for c in mix if c.site.kind == "support") >= rule.least
        case NotAllowed():
            return not any(rule.permission in r.permissions for c in mix for r in c.reworks)
        case Covered():
            return bar_off or any(c.site.id == rule.site for c in mix)
        case Unsplint():
            return not bar_off
        case LinedAlone():
            firm = any(c.attachment.kind not in ("lining", "bare") for c in mix)
            return not firm or all(c.attachment.kind != "lining" for c in mix)
        case FirmBar():
            return bar_off
        case NeedHolds():
            return True  # as `_check_needs` has seen, site by site


def _check_twist(problem: Problem, mix: Sequence[Candidate], reach: Reach) -> None:
    """The twist that comes with a reach moves every part within its box and the base as far as it says."""
    layout, settling = problem.layout, problem.settling_mm
    turn, shift = reach.twist[:3], reach.twist[3:]
    parts = [(candidate.key, part) for candidate in mix for part in problem.option_of[candidate.key].placements]
    corners = ("front", "left", "right")
    places = np.array([*(part.at for _, part in parts), *(getattr(layout.base, name) for name in corners)])
    moves = shift + np.cross(turn, places)
    axes = np.array([part.axes for _, part in parts]).reshape(-1, 3, 3)
    local = np.hstack([np.vecdot(axes, moves[: len(parts), np.newaxis]), 10.0 * axes @ turn])
    least, most = (np.array([getattr(part, end) for _, part in parts]).reshape(-1, 6) for end in ("least", "most"))
    # What is free may go any way, however far.
    low, high = (least > -FREE) & (local < least - LENGTH_SLACK_MM), (most < FREE) & (local > most + LENGTH_SLACK_MM)
    for (key, _), beyond in zip(parts, np.any(low | high, axis=1), strict=True):
        if beyond:
            raise InternalFault(f"{key} cannot follow the motion of demand {reach.demand}")
    for name, move in zip(corners, moves[len(parts) :], strict=True):
        sinks = -float(layout.out @ move)
        asked = reach.reach * settling if name in ASKED[reach.demand] else float("-inf")
        if not asked - LENGTH_SLACK_MM <= sinks <= settling + LENGTH_SLACK_MM:
            raise InternalFault(f"the base at the {name} sinks {sinks:g} mm under demand {reach.demand}")
