"""What has to give, for machines. Money in minor units, forces in N."""

from __future__ import annotations

from typing import Any

from catalogue.yaml_text import Document
from cli.files.cite import lines_of
from cli.json_out import answer as json_answer
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.explain.proof import Proof, Reason
from solver.explain.waivers import Give, Way


def give(found: Give, document: Document) -> dict[str, Any]:
    """The plan that keeps every rule, or why there is none; the ways, and how far the list is known to be whole."""
    problem, best = found.problem, found.best
    return {
        "status": found.footing.value,
        "least": found.least,
        "plan": json_answer.plan(problem, best) if best else None,
        "ways": [_way(problem, way) for way in found.ways],
        "most": found.most,
        "list": found.ending.value,
        "clash": _proof(problem, found.proof, document) if found.proof else None,
    }


def _way(problem: Problem, way: Way) -> dict[str, Any]:
    return {
        "rules": [rule.code for rule in way.rules],
        "severity": way.severity,
        "weight": way.best.weight,
        "best": _offer(problem, way.best),
    }


def _offer(problem: Problem, offer: Assessment) -> dict[str, Any]:
    return {
        "mix": {c.site.id: json_answer.candidate(c) for c in offer.mix},
        "cost": {"low": offer.cost.low, "high": offer.cost.high},
        "cost_years": {"low": offer.cost_years.low, "high": offer.cost_years.high},
        "questions": [json_answer.question(q) for q in offer.questions],
        "relaxations": [json_answer.relaxation(problem, entry) for entry in offer.given_up],
    }


def _proof(problem: Problem, proof: Proof, document: Document) -> dict[str, Any]:
    return {
        "reasons": [_reason(problem, reason, document) for reason in proof.reasons],
        "closest": _offer(problem, proof.closest) if proof.closest else None,
        "bare": list(proof.bare),
        "proved_smallest": proof.proved_minimal,
    }


def _reason(problem: Problem, reason: Reason, document: Document) -> dict[str, Any]:
    return {
        "rule": reason.rule.code,
        "places": lines_of(document, reason.places),
        "source": reason.source or None,
        "attachment": reason.candidate.attachment.id if reason.candidate else None,
        "need": json_answer.judgement(reason.judgement, problem.catalogue) if reason.judgement else None,
    }
