"""Whole answers for machines, put together of what was worked out: those of `plan` and of `why`."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from cli.json_out import answer as json_answer
from cli.json_out import sensitivity as json_sensitivity
from cli.json_out import strategy as json_strategy
from cli.json_out import why_not as json_why_not
from solver.assess.rejections import RuledOut
from solver.choose.plan import Answer
from solver.choose.tiers import Tiers
from solver.explain.comparison import SiteWhy, WhyNot
from solver.explain.needs import Why
from solver.explore.agreement import Agreement
from solver.explore.sensitivity import Sensitivity
from solver.explore.strategies import Strategy


def planned(
    found: Answer,
    out: Sequence[RuledOut],
    ways: Sequence[Strategy],
    levels: Tiers,
    hangs: Sensitivity | None = None,
    opinion: Agreement | None = None,
) -> dict[str, Any]:
    """The plan, what was ruled out, the other ways and tiers; what it hangs on and a second opinion where wanted."""
    problem = found.problem
    whole = json_answer.answer(found, out) | {"strategies": json_strategy.strategies(problem, ways)}
    whole |= json_answer.tiers(problem, levels)
    if opinion is not None:
        whole["second_opinion"] = json_answer.second_opinion(opinion)
    if hangs is not None:
        whole["sensitivity"] = json_sensitivity.sensitivity(hangs, problem)
    return whole


def reasons(found: Why, answer: Answer | None = None, entry: WhyNot | None = None) -> dict[str, Any]:
    """The needs of one candidate, and how a plan with it stands to the plan; null where that was not compared."""
    against = json_why_not.why_not(answer, entry) if answer and entry else None
    return json_answer.reasons(found) | {"against_plan": against}


def compared(answer: Answer, sites: Sequence[SiteWhy], left: Sequence[str] = ()) -> dict[str, Any]:
    """The fate of everything at some sites, and the sites that were not reached."""
    return json_why_not.sites(answer, sites) | {"not_compared": list(left)}
