"""The years after fitting, on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console

from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.assess.years import Aftercare, HeldAt


def show_aftercare(page: Console, problem: Problem, plan: Assessment) -> None:
    """Hold year by year, when it falls under the floor, renewals and visits, and the cost of all of it."""
    found, digits = plan.aftercare, problem.purse.digits
    heading(page, f"Over {_years(found.years)}", _insertions(found))
    if plan.mix:
        bullets(page, (*_hold(found), *_unknown(found)))
    rows = [(due.site, due.what, _times(*due.times), words.cost(due.cost, digits)) for due in found.renewals]
    rows += [
        ("", due.what, _times(*due.times), words.cost(due.cost, digits)) for due in found.denture if due.times[1]
    ]
    if found.visits[1]:
        rows.append(("", "regular visit", _times(*found.visits), words.cost(found.visits_cost, digits)))
    if rows:
        table(page, ("site", "what", ">times", f">{problem.case.money.currency}"), rows)
    bullets(page, [_total(problem, plan)])


def _insertions(found: Aftercare) -> str:
    low, high = found.insertions_per_day
    span = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return f"{span} insertions a day{' (assumed; studies differ)' if found.assumed else ''}"


def _hold(found: Aftercare) -> Iterator[str]:
    """What wear leaves, when that is under what is asked, and what renewing does about it."""
    start, *years = found.yearly
    left = "; ".join(f"{_years(held.month // 12)} {_newtons(held)}" for held in _some(years))
    yield f"hold if nothing is renewed: {_newtons(start)} N at fitting; after {left}"
    floor, (soonest, latest) = words.newtons(found.floor_n), found.under_floor
    if soonest is not None:
        throughout = f"for all {found.years} years" if found.years > 1 else "for the whole year"
        later = (
            f"may also stay above it {throughout}" if latest is None else f"does so {_month(latest)} at the latest"
        )
        yield f"may drop below {floor} {_month(soonest)}; {later}"
    if found.renewals:
        sooner, later_n = (words.newtons(n) for n in found.renewed_n)
        span = later_n if sooner == later_n else f"{later_n} (renewed late) to {sooner} (renewed early)"
        short = found.renewed_n[1] < found.floor_n - 1e-6
        when = f", below {floor}; renew when the patient notices" if short else ""
        yield f"with renewals on schedule {span} at worst{when}"


def _newtons(held: HeldAt) -> str:
    return f"{held.low_n:.1f} to {held.high_n:.1f}"


def _some(years: Sequence[HeldAt]) -> list[HeldAt]:
    """The first two and the last year."""
    return [held for held in years if held.month <= 24 or held is years[-1]]


def _unknown(found: Aftercare) -> Iterator[str]:
    if found.unknown:
        yield f"no figure of wear for {', '.join(found.unknown)}: counted as keeping its hold"


def _total(problem: Problem, plan: Assessment) -> str:
    found, digits = plan.aftercare, problem.purse.digits
    parts = f"fitting {words.cost(plan.cost, digits)}, renewals {words.cost(found.renewals_cost, digits)}"
    visits = f", visits {words.cost(found.visits_cost, digits)}" if found.visits[1] else ""
    if found.denture_cost.high:
        visits = f", the denture {words.cost(found.denture_cost, digits)}{visits}"
    total = f"{words.cost(found.cost, digits)} {problem.case.money.currency}"
    return f"cost over {_years(found.years)}: {total} ({parts}{visits})"


def _month(month: int) -> str:
    return "from the start" if not month else f"after {month} month{'s' if month > 1 else ''}"


def _years(years: int) -> str:
    return f"{years} year{'s' if years > 1 else ''}"


def _times(fewest: int, most: int) -> str:
    return f"{most}" if fewest == most else f"{fewest} to {most}"
