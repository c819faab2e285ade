"""The ways out of a case side by side, on the screen."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from cli.wording.strategies import STANDING, WAY
from cli.wording.words import mix
from solver.assess.problem import Problem
from solver.explore.strategies import Standing, Strategy


def show_strategies(page: Console, problem: Problem, found: Sequence[Strategy]) -> None:
    """The table, then each way with its mix and its cautions; those of all ways stand last, once."""
    page.print(Text(problem.case.case, style="bold") + Text(": ways out side by side", style="not bold"))
    show_short(page, problem, found)
    every = [entry for entry in found[0].cautions if all(entry in each.cautions for each in found)]
    for each in found:
        own = [words.caution(entry) for entry in each.cautions if entry not in every]
        heading(page, WAY[each.way][:1].upper() + WAY[each.way][1:], STANDING[each.standing])
        bullets(page, (*_mix(each), *_why_not_open(problem, each), *own))
    if every:
        heading(page, "Every way")
        bullets(page, map(words.caution, every))


def show_short(page: Console, problem: Problem, found: Sequence[Strategy]) -> None:
    """One line a way, and what the ways that are not open would need."""
    currency, years = problem.case.money.currency, problem.case.money.years
    heading(page, "Ways out", "costs at the high end; what is not open, with what it would need")
    columns = ("=way", "=", f">{currency}", f">in {years} years", ">N", ">reach", ">cautions")
    table(page, columns, (_row(problem, each) for each in found))
    bullets(
        page, (f"{WAY[each.way]}: {needs}" for each in found if (needs := "; ".join(_why_not_open(problem, each))))
    )


def _row(problem: Problem, each: Strategy) -> tuple[str, ...]:
    digits = problem.purse.digits
    now, years = ("" if band is None else words.money(band.high, digits) for band in (each.cost, each.cost_years))
    held = f"{each.plan.low_n:.1f} to {each.plan.high_n:.1f}" if each.plan else ""
    reach = "" if each.reach is None else f"{each.reach:.2f}"
    return WAY[each.way], STANDING[each.standing], now, years, held, reach, str(len(each.cautions) or "")


def _why_not_open(problem: Problem, each: Strategy) -> Iterator[str]:
    if each.standing is Standing.CLOSED and not each.against:
        yield "nothing in the catalogue can be fitted that way"
    yield from _against(problem, each)
    yield from _needs(problem, each)


def _needs(problem: Problem, each: Strategy) -> Iterator[str]:
    return map(RuleWords.of(problem).given_up, each.needs)


def _against(problem: Problem, each: Strategy) -> Iterator[str]:
    say = RuleWords.of(problem)
    return (f"breaks: {say.rule(rule)}" for rule in each.against)


def _mix(each: Strategy) -> Iterator[str]:
    if each.plan and each.plan.mix:
        yield mix(each.plan.mix)
