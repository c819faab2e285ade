"""Answers for machines: the same facts as on the screen, under fixed names. Units: mm, N, minor units."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from catalogue.models import Catalogue
from cli.json_out import aftercare as json_aftercare
from cli.json_out.load import load
from cli.wording import rules as rule_words
from cli.wording import words
from cli.wording.remarks import remark
from cli.wording.rules import RuleWords
from solver.assess.assessment import Assessment, GivenUp
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut
from solver.case.measure import Measure
from solver.case.rules import Moves
from solver.choose.check import Checked
from solver.choose.plan import Answer
from solver.choose.tiers import Tiers
from solver.explain.needs import Why
from solver.explore.agreement import Agreement, Side
from solver.fit.candidate import Candidate, Question
from solver.fit.needs import Judgement
from solver.mechanics.insertion import Insertion
from solver.mechanics.verdicts import DemandVerdict


def answer(found: Answer, out: Sequence[RuledOut]) -> dict[str, Any]:
    """A plan with its alternatives, what was ruled out, and the proof."""
    problem, best = found.problem, found.best
    whole: dict[str, Any] = {"status": found.status.value, "tier": found.tier}
    if best:
        whole |= plan(problem, best)
    whole["alternatives"] = [plan(problem, other) for other in found.plans[1:]]
    whole["ruled_out"] = [line for entry in out for line in ruled_out(entry, problem.catalogue)]
    least = best.paid(found.least).high if best else None
    whole["proof"] = {
        "outcome": found.proof.outcome.value,
        "least": found.least,
        "bound": least if found.proof.outcome.value == "optimal" else None,
        "rounds": found.proof.rounds,
        "cuts": found.proof.cuts,
    }
    return whole


def plan(problem: Problem, found: Assessment) -> dict[str, Any]:
    """One mix worked out."""
    currency = problem.case.money.currency
    return {
        "mix": {c.site.id: candidate(c) for c in found.mix},
        "cost": {
            "low": found.cost.low,
            "high": found.cost.high,
            "currency": currency,
            "digits": problem.purse.digits,
        },
        "movement": {v.demand: movement(v) for v in found.verdicts},
        "reach": {r.demand: round(r.reach, 6) for r in found.reaches},
        "stops": {r.demand: [words.stop(s) for s in r.stops] for r in found.reaches if r.reach < 1 - 1e-6},
        "level": int(found.level),
        "hold": {
            "sum_low_n": round(found.low_n, 3),
            "sum_high_n": round(found.high_n, 3),
            **{pull.name: round(pull.hold_n, 4) for pull in found.pulls},
            "weakest": found.weakest.name if found.mix else None,
            "peel_n": round(found.peel_n, 4),
            "peel": found.mechanics.peel(found.options).name,
        },
        "load": load(found.loads),
        "freedom": [
            {"site": f.site, "component": f.component, "unit": f.unit, "own": _span(f.own), "left": _span(f.left)}
            for f in found.freedoms
        ],
        "insertion": insertion(found.insertion),
        "aftercare": json_aftercare.aftercare(found.aftercare),
        "questions": [question(q) for q in found.questions],
        "preferences": [
            {"rule": p.code, "saves": p.saves, "how": RuleWords.of(problem).without(p)} for p in found.unpreferred
        ],
        "relaxations": [relaxation(problem, entry) for entry in found.given_up],
        "remarks": [remark(each) for each in found.remarks],
        "cautions": [words.caution(c) for c in found.cautions],
    }


def tiers(problem: Problem, found: Tiers) -> dict[str, Any]:
    """The plan of each tier in short, and what each next step of money buys."""

    def short(mix: Assessment | None) -> dict[str, Any] | None:
        if mix is None:
            return None
        return {
            "mix": {c.site.id: candidate(c) for c in mix.mix},
            "cost": {"low": mix.cost.low, "high": mix.cost.high, "currency": problem.case.money.currency},
            "weakest": {"pull": mix.weakest.name, "n": round(mix.weakest.hold_n, 4)},
            "peel_n": round(mix.peel_n, 4),
        }

    return {
        "tiers": {"stopgap": short(found.stopgap), "usual": short(found.usual), "firm": short(found.firm)},
        "steps": [
            {
                "more": step.more,
                "weakest_n": round(step.weakest_n, 4),
                "weakest_before_n": round(step.weakest_before_n, 4),
                "plan": short(step.plan),
            }
            for step in found.steps
        ],
        "steps_complete": found.complete,
    }


def movement(found: DemandVerdict) -> dict[str, Any]:
    """The verdict on one demand; `pair` names the part that stops and the one that gives where they fight."""
    pair = [{"site": part.site, "label": part.label} for part in found.pair] if found.pair else None
    end = found.end
    return {
        "verdict": found.verdict.value,
        "reach": round(found.reach, 6),
        "in_kind": round(found.in_kind, 6),
        "pair": pair,
        "component": found.component,
        "ends": {"site": end.part.site, "component": end.component, "limit": end.limit, "unit": end.unit}
        if end
        else None,
    }


def question(found: Question) -> dict[str, Any]:
    """What to find out: the entries of the case that the answer fills in, and the same in words."""
    return {"at": [".".join(place) for place in found.places], "of": found.of, "ask": words.question(found)}


def insertion(found: Insertion | None) -> dict[str, Any] | None:
    """The common path of insertion, degrees; null where nothing that is fitted asks for one."""
    if found is None:
        return None
    return {
        "spare_deg": round(found.spare_deg, 3),
        "straight_deg": round(found.straight_deg, 3),
        "lean_deg": round(found.lean_deg, 3),
        "towards_deg": round(found.towards_deg, 1),
        "against": list(found.against),
        "direction_unknown": list(found.any_way),
        "tilt_unknown": list(found.unknown),
    }


def second_opinion(found: Agreement) -> dict[str, Any]:
    """How the decision made a second time stands to the plan."""

    def ranked(side: Side | None) -> dict[str, int] | None:
        return dict(zip(("cost", "questions", "parts"), side.rank, strict=True)) if side else None

    return {
        "accord": found.accord.value,
        "mixes": found.opinion.mixes,
        "most": found.opinion.most,
        "given_up": list(found.given_up) if found.ours else None,
        "plan": ranked(found.ours),
        "second": ranked(found.theirs),
    }


def checked(found: Checked) -> dict[str, Any]:
    """A proposed mix judged."""
    refused = [
        {"site": r.candidate.site.id, "attachment": r.candidate.attachment.id}
        | judgement(r.judgement, found.problem.catalogue)
        for r in found.refusals
    ]
    return (
        {"status": found.status.value}
        | plan(found.problem, found.plan)
        | {
            "refused": refused,
            "broken": [rule.code for rule in found.broken],
        }
    )


def reasons(found: Why) -> dict[str, Any]:
    """Every need of one candidate."""
    catalogue = found.problem.catalogue
    return {
        "site": found.candidate.site.id,
        "attachment": found.candidate.attachment.id,
        "count": found.candidate.count,
        "verdict": str(found.candidate.verdict),
        "needs": [judgement(j, catalogue) for j in found.candidate.judgements],
        "not_allowed": [rule.permission for rule in found.closed],
        "binds": RuleWords.of(found.problem).binds(*found.binds) if found.binds else None,
        "would_change": [candidate(r.candidate) for r in found.remedies],
    }


def candidate(found: Candidate) -> dict[str, Any]:
    """What goes on one site."""
    return {
        "attachment": found.attachment.id,
        "count": found.count,
        "reworks": [r.id for r in found.reworks],
        "cost": {"low": found.cost.low, "high": found.cost.high},
        "verdict": str(found.verdict),
    }


def relaxation(problem: Problem, entry: GivenUp) -> dict[str, Any]:
    """One thing given up, with its amount."""
    sentence = RuleWords.of(problem).given_up(entry)
    return {"rule": entry.rule.code, "amount": entry.amount, "unit": entry.unit, "how": sentence}


def ruled_out(entry: RuledOut, catalogue: Catalogue) -> list[dict[str, Any]]:
    """One line per reason."""
    head = {"site": entry.candidate.site.id, "attachment": entry.candidate.attachment.id}
    lines = [head | judgement(j, catalogue) for j in entry.judgements]
    lines += [
        head
        | {
            "need": rule.code,
            "have": rule_words.closed(rule)[1],
            "want": rule_words.closed(rule)[2],
            "unit": "",
            "source": "case",
        }
        for rule in entry.rules
    ]
    if entry.binds:
        rule, reach = entry.binds
        stops = "; ".join(words.stop(s) for s in reach.stops[:2])
        lines.append(
            head
            | {
                "need": rule.code,
                "have": round(reach.reach, 4),
                "want": rule.share if isinstance(rule, Moves) else None,
                "unit": "share",
                "source": "mechanics",
            }
            | {"stops": stops}
        )
    return lines


def judgement(found: Judgement, catalogue: Catalogue) -> dict[str, Any]:
    """A need judged: have, want and source."""
    measured = found.have
    source = catalogue.sources[found.source]
    return {
        "need": found.of,
        "step": found.step or None,
        "have": measured.value if isinstance(measured, Measure) else measured,
        "error": measured.error if isinstance(measured, Measure) else None,
        "want": found.want,
        "unit": found.unit,
        "verdict": str(found.verdict),
        "short_by": found.short_by,
        "source": found.source,
        "source_kind": source.kind,
    }


def _span(span: tuple[float, float]) -> Mapping[str, float]:
    return {"least": round(span[0], 4), "most": round(span[1], 4)}
