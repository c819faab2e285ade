"""What if, on the screen: what another value changes, and the plan along a range."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from solver.assess.assessment import Assessment, Status
from solver.choose.plan import Answer
from solver.explore.what_if import Decision, Sweep, Varied, decision_of

CHART_WIDTH = 20
LETTERS = "abcdefghijklmnopqrstuvwxyz"


def show_varied(page: Console, found: Varied, settings: Sequence[str]) -> None:
    """Only what differs between the plan as it is and the plan with these values."""
    page.print(
        Text(found.before.problem.case.case, style="bold") + Text(f": with {', '.join(settings)}", style="not bold")
    )
    changed = [row for row in _rows(found) if row[1] != row[2]]
    if not changed:
        undecided = found.after.status is Status.UNDECIDED
        bullets(page, [words.STATUS[Status.UNDECIDED] if undecided else "nothing changes"])
        return
    heading(page, "Changes")
    table(page, ("", "as it is", "with it"), changed)


def show_sweep(page: Console, found: Sweep) -> None:
    """Cost and decision at every value, the decisions, and where they flip."""
    problem = found.points[0].answer.problem
    letters = dict(zip(found.decisions, _names(len(found.decisions)), strict=True))
    page.print(Text(problem.case.case, style="bold") + Text(f": {found.span.text}", style="not bold"))
    over = words.over(found.points[0].answer.least, problem.case.money.years)
    heading(page, "Along the range", f"bars show the high end of the cost{over}, {problem.case.money.currency}")
    table(page, (found.span.path, "plan", "status", ">cost", "="), _points(found, letters))
    heading(page, "Plans")
    bullets(page, (f"{letters[decision]}: {_decision(decision)}" for decision in found.decisions))
    heading(page, "Flips", f"each searched to {found.grain:f}")
    bullets(page, _flips(found, letters) or ["none between the ends of the range"])


def _rows(found: Varied) -> Iterator[tuple[str, str, str]]:
    before, after = found.before, found.after
    yield "status", words.STATUS[before.status], words.STATUS[after.status]
    yield "cost", _cost(before), _cost(after)
    if after.least == "years":
        yield words.over(after.least, after.problem.case.money.years).strip(), _years(before), _years(after)
    sites = dict.fromkeys((*before.problem.site_ids, *after.problem.site_ids))
    for site in sites:
        yield f"at {site}", _fitted(before, site), _fitted(after, site)
    yield "hold", _hold(before.best), _hold(after.best)
    yield from _reaches(before.best, after.best)
    yield "asks", _asks(before.best), _asks(after.best)
    yield "gives up", _gives_up(before), _gives_up(after)


def _cost(answer: Answer) -> str:
    best, problem = answer.best, answer.problem
    return f"{words.cost(best.cost, problem.purse.digits)} {problem.case.money.currency}" if best else "none"


def _years(answer: Answer) -> str:
    best, problem = answer.best, answer.problem
    return (
        f"{words.cost(best.aftercare.cost, problem.purse.digits)} {problem.case.money.currency}" if best else "none"
    )


def _fitted(answer: Answer, site: str) -> str:
    mix = answer.best.mix if answer.best else ()
    return next((candidate.label for candidate in mix if candidate.site.id == site), "empty")


def _hold(plan: Assessment | None) -> str:
    return f"{plan.low_n:.1f} to {plan.high_n:.1f} N" if plan else "none"


def _reaches(before: Assessment | None, after: Assessment | None) -> Iterator[tuple[str, str, str]]:
    one, other = ({r.demand: f"{r.reach:.2f}" for r in plan.reaches} if plan else {} for plan in (before, after))
    for demand in one | other:
        yield words.demand(demand), one.get(demand, "none"), other.get(demand, "none")


def _asks(plan: Assessment | None) -> str:
    return "\n".join(words.asked(q) for q in plan.questions) if plan and plan.questions else "-"


def _gives_up(answer: Answer) -> str:
    say = RuleWords.of(answer.problem)
    entries = answer.best.given_up if answer.best else ()
    return "\n".join(say.given_up(entry) for entry in entries) or "-"


def _points(found: Sweep, letters: dict[Decision, str]) -> Iterator[tuple[str, str, str, str, str]]:
    paid = [p.answer.best.paid(p.answer.least).high if p.answer.best else None for p in found.points]
    highest = max((cost for cost in paid if cost is not None), default=0) or 1
    for point, high in zip(found.points, paid, strict=True):
        cost = "-" if high is None else words.money(high, point.answer.problem.purse.digits)
        bar = "#" * round(CHART_WIDTH * (high or 0) / highest)
        yield f"{point.value:f}", letters[decision_of(point.answer)], point.answer.status.value, cost, bar


def _names(count: int) -> list[str]:
    """a to z, then a2 and so on."""
    size = len(LETTERS)
    return [LETTERS[n % size] + (str(n // size + 1) if n >= size else "") for n in range(count)]


def _decision(decision: Decision) -> str:
    mix = ", ".join(key.replace("=", " ", 1) for key in decision.mix) or "nothing fitted"
    rules = f"; gives up {', '.join(decision.given_up)}" if decision.given_up else ""
    return f"{words.STATUS[decision.status]}: {mix}{rules}"


def _flips(found: Sweep, letters: dict[Decision, str]) -> list[str]:
    return [
        f"{_between(flip.low, flip.high)}: {letters[flip.before]} gives way to {letters[flip.after]}"
        for flip in found.flips
    ]


def _between(low: Decimal, high: Decimal) -> str:
    return f"between {low.normalize():f} and {high.normalize():f}"
