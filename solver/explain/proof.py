"""Why nothing fits: the smallest set of rules that no mix keeps together, and how close a mix comes to the last."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from catalogue.yaml_text import Loc
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.rules import (
    Budget,
    Covered,
    Even,
    Held,
    LevelPull,
    Moves,
    NeedHolds,
    Peel,
    Pulls,
    Rule,
    Spread,
)
from solver.choose.goals import COST
from solver.choose.plan import verified
from solver.choose.search import LEAST_PULL
from solver.explain.algorithms import Verdict as Known
from solver.explain.algorithms import shrink, smallest_clash
from solver.explain.rule_switches import Switches
from solver.fit.candidate import Candidate
from solver.fit.needs import Judgement, Verdict


@dataclass(frozen=True, slots=True)
class Reason:
    """One rule of the clash.

    `places` are the keys of the case file that it follows from. `judgement` is the need behind it, of the candidate
    that misses it by least; `source` the key of a catalogue source, empty where the case itself says so.
    """

    rule: Rule
    places: tuple[Loc, ...]
    source: str = ""
    judgement: Judgement | None = None
    candidate: Candidate | None = None


@dataclass(frozen=True, slots=True)
class Proof:
    """The clash as a chain that ends in `reasons[-1]`.

    `closest` is the mix that keeps all but the last and comes nearest to it, where that is a matter of amount.
    `bare` are sites on the bar where nothing can be fitted that keeps the clash. `proved_minimal`: no smaller set of
    rules that can be given up clashes.
    """

    reasons: tuple[Reason, ...]
    closest: Assessment | None
    bare: tuple[str, ...]
    proved_minimal: bool


def prove(switches: Switches, corrections: Iterable[Sequence[Rule]] = ()) -> Proof | None:
    """The smallest clash among the rules that can be given up, with the physics that it needs; None if undecided.

    `corrections` are sets to give up that are known already: each clash has a rule in each of them.
    """
    hard = frozenset(switches.hard)
    soft = smallest_clash(switches.soft, lambda kept: switches.feasible(kept | hard), corrections=corrections)
    if isinstance(soft, Known):
        return None
    # Among physics a measured fact says more than that something must hold: that goes first.
    facts_first = sorted(switches.hard, key=lambda rule: isinstance(rule, Held))
    physics = shrink(facts_first, lambda kept: switches.feasible(kept | set(soft.members)))
    if isinstance(physics, Known):
        return None
    clash = sorted((*physics.members, *soft.members), key=_turn)
    reasons = tuple(_reason(switches.problem, rule) for rule in clash)
    proved = soft.proved_minimal and physics.proved_minimal
    return Proof(reasons, _closest(switches, clash), _bare(switches, clash), proved)


_LAST = (Peel, LevelPull, Pulls, Budget)


def _turn(rule: Rule) -> int:
    """Facts of sites first, then movement and work, and last what is a matter of amount."""
    if isinstance(rule, NeedHolds | Covered):
        return 0
    return 2 + _LAST.index(type(rule)) if isinstance(rule, _LAST) else 1


def _reason(problem: Problem, rule: Rule) -> Reason:
    case, defaults = problem.case, problem.catalogue.defaults
    places = rule.origins(case)
    match rule:
        case Pulls() | Peel() | Spread() | Even():
            return Reason(rule, places, rule.source)
        case Moves():
            return Reason(rule, places, "" if case.denture.settling_mm.known else defaults.settling_mm.source)
        case Covered():
            bare = problem.fit.at(rule.site).bare
            return Reason(rule, places, bare.source if bare else "", bare)
        case NeedHolds():
            misses = [
                (judgement.short_by, candidate.key, judgement, candidate)
                for candidate in problem.fit.at(rule.site).usable
                for judgement in candidate.judgements
                if (rule.site, rule.of) in candidate.waived
                and judgement.of == rule.of
                and judgement.verdict is Verdict.SHORT
            ]
            _, _, judgement, candidate = min(misses, key=lambda miss: miss[:2])
            return Reason(rule, places, judgement.source, judgement, candidate)
        case _:
            return Reason(rule, places)


def _closest(switches: Switches, clash: Sequence[Rule]) -> Assessment | None:
    """The mix that keeps all but the last rule and misses that by least."""
    goals = {Pulls: LEAST_PULL, Budget: COST.goal}
    if not clash or type(clash[-1]) not in goals:
        return None
    _, chosen = switches.best({*switches.hard, *clash[:-1]}, goals[type(clash[-1])])
    return verified(chosen) if chosen else None


def _bare(switches: Switches, clash: Sequence[Rule]) -> tuple[str, ...]:
    """Sites on the bar without any option that keeps the clash by itself."""
    kept = set(clash)
    filled = {
        option.site
        for option in switches.master.options
        if kept.isdisjoint(option.needs_waived) and not switches.mechanics.binds_alone(option, clash)
    }
    fits = switches.problem.fit.sites
    return tuple(f.site.id for f in fits if f.site.kind != "support" and f.site.id not in filled)
