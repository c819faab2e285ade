"""How the second opinion stands to the plan, in a sentence."""

from __future__ import annotations

from cli.wording import words
from solver.assess.problem import Problem
from solver.case.money import Cost
from solver.explore.agreement import Accord, Agreement, Side


def sentence(found: Agreement, problem: Problem) -> str:
    """Taken or not, and what it found."""
    opinion = found.opinion
    if not opinion.taken:
        return f"Second opinion: not taken, {opinion.mixes:,} mixes are more than the {opinion.most:,} that it tries."
    if found.accord is Accord.NOT_TAKEN:
        return "Second opinion: nothing to compare it with, the plan was not decided in time."
    if found.accord is Accord.DIFFERS:
        return f"the second opinion disagrees: {_both(found, problem)}"
    return f"Second opinion: agrees, {_agreed(found, problem)}; all {opinion.mixes:,} mixes tried by other code."


def _agreed(found: Agreement, problem: Problem) -> str:
    if found.ours is None:
        return "physics is against every mix"
    best = f"none is better than {_side(found.ours, problem)}"
    return best if found.fits else f"nothing fits as it is, nothing gives up less, and with the same given up {best}"


def _both(found: Agreement, problem: Problem) -> str:
    if found.fits is not (found.opinion.fits is not None):
        ours, theirs = ("fits", "does not") if found.fits else ("does not fit", "does")
        return f"the plan {ours} as it is, by the second opinion it {theirs}"
    told = [_side(side, problem) if side else "nothing" for side in (found.ours, found.theirs)]
    if told[0] == told[1]:
        told = [f"{side} {_terms(of)}" for side, of in zip(told, (found.ours, found.theirs), strict=True)]
    return f"the plan found {told[0]}, the second opinion {told[1]}"


def _side(side: Side, problem: Problem) -> str:
    cost, questions, parts = side.rank
    money = f"{words.cost(Cost(cost, cost), problem.purse.digits)} {problem.case.money.currency}"
    return f"{money} with {_counted(questions, 'open question')} and {_counted(parts, 'part')}"


def _terms(side: Side | None) -> str:
    """What tells sides apart that cost and ask the same."""
    without = f", without {' and '.join(sorted(side.without))}" if side and side.without else ""
    return f"(given up: {side.weight if side else 0}{without})"


def _counted(number: int, of: str) -> str:
    return f"{number or 'no'} {of}{'' if number == 1 else 's'}"
