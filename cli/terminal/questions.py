"""What to ask, on the screen: cost against answers, the questions by their worth, and those that change nothing."""

from __future__ import annotations

from collections.abc import Iterator
from math import isinf

from rich.console import Console
from rich.text import Text

from cli.terminal.screen import bullets, heading, lines, table
from cli.wording import words
from cli.wording.words import mix
from solver.assess.assessment import Assessment
from solver.case.measure import Measure
from solver.choose.master import Outcome
from solver.explore.questions import Ask, Asked
from solver.explore.reply import Reply
from solver.fit.candidate import Question
from solver.fit.needs import Judgement

ODDS = (
    "Odds are an assumption: even, or the share of the error interval where the need holds. What an answer leads to "
    "is planned anew, all else being as it is, and holds for every value named."
)


def show_ask(page: Console, found: Ask) -> None:
    """The whole answer of `ask`."""
    page.print(Text(found.problem.case.case, style="bold") + Text(f": {verdict(found)}", style="not bold"))
    if found.curve:
        heading(page, "Cost against answers", "the cheapest plan that hangs on no more of them")
        cost = f">{found.problem.case.money.currency}{_over(found)}"
        table(page, (">answers", cost, "plan", "hangs on"), _curve(found))
    if found.asked:
        heading(page, "Ask or measure", "the most at stake first")
        for number, entry in enumerate(found.asked, 1):
            lines(page, [f"{number}. {words.question(entry.question)}"])
            bullets(page, told(found, entry))
        page.print()
        lines(page, [ODDS])
    if found.later:
        heading(page, "Later", "only after a bad answer, or for another plan")
        bullets(page, _together(found.later))
    if found.idle and found.curve:
        heading(page, "Not worth asking", "no answer by itself changes the plan")
        bullets(page, _together(found.idle))


def verdict(found: Ask) -> str:
    """The whole in one sentence."""
    if found.outcome is Outcome.UNDECIDED:
        return "undecided in the time given; what was found so far" if found.curve else "undecided in the time given"
    if not found.curve:
        return "nothing fits, whatever the answers; see `regrip what-if limits`"
    if not found.asked:
        return "no answer would change the plan"
    if found.certain is None:
        fewest = len(found.curve[0].questions)
        return f"every plan hangs on at least {fewest} answer{'s' if fewest > 1 else ''}"
    return f"something fits without any answer, for {_cost(found, found.certain)}"


def _curve(found: Ask) -> Iterator[tuple[str, str, str, str]]:
    digits = found.problem.purse.digits
    for plan in found.curve:
        on = "\n".join(map(words.asked, plan.questions)) or "nothing"
        yield (
            str(len(plan.questions)),
            words.cost(plan.paid(found.least), digits),
            mix(plan.mix).replace(", ", "\n"),
            on,
        )


def told(found: Ask, entry: Asked) -> Iterator[str]:
    """What hangs on an answer: what is known, what is at stake, and the plans either way."""
    for need in entry.needs:
        yield f"{_measured(need)}; needed: {need.want}{f' for {need.step}' if need.step else ''}"
    yield f"{_stake(found, entry)}; odds of a good answer: {entry.chance:.0%}"
    yield f"if it comes out well, {_meant(entry, entry.well)}: {_leads_to(found, entry.well)}"
    if entry.badly:
        yield f"if badly, {_meant(entry, entry.badly)}: {_leads_to(found, entry.badly)}"


def _stake(found: Ask, entry: Asked) -> str:
    stake = entry.stake(found.least)
    if isinf(stake):
        return "a bad answer leaves nothing that fits"
    if entry.badly is None:
        return "no answer goes against the plan"
    if not stake:
        return "a bad answer costs nothing more"
    money = words.money(round(stake), found.problem.purse.digits)
    return f"a bad answer costs {money} {found.problem.case.money.currency}{_over(found)} more"


def _measured(need: Judgement) -> str:
    known = isinstance(need.have, Measure) and need.have.known
    return f"measured: {words.have(need)}" if known else "not known"


def _leads_to(found: Ask, reply: Reply) -> str:
    if reply.plan is None:
        return "nothing fits without giving something up"
    told = f"{mix(reply.plan.mix)} for {_cost(found, reply.plan)}"
    if not (count := len(reply.plan.questions)):
        return f"{told}, and that is certain"
    told += f" (hangs on {count} other answer{'s' if count > 1 else ''})"
    if reply.certain is None:
        return told
    return f"{told}; for certain {mix(reply.certain.mix)} for {_cost(found, reply.certain)}"


def _meant(entry: Asked, reply: Reply) -> str:
    """The answers that this is planned for."""
    value, extent = reply.value, reply.extent
    if not isinstance(value, Measure) or extent is None:
        return str(value)
    low, high = (f"{end:.6g}" for end in (extent.low, extent.high))
    unit = words.unit(entry.question.of)
    if low == high:
        return f"{low} {unit}"
    if isinf(extent.low) and isinf(extent.high):
        return "whatever it is"
    if isinf(extent.high):
        return f"{low} {unit} or more" if extent.low_included else f"over {low} {unit}"
    until = f"up to {high} {unit}" if extent.high_included else f"under {high} {unit}"
    if isinf(extent.low):
        return until
    if not extent.low_included:
        return f"over {low} and {until}"
    return f"{low} to {high} {unit}" if extent.high_included else f"{low} to {until}"


def _together(questions: tuple[Question, ...]) -> list[str]:
    told: dict[str, list[str]] = {}
    for question in questions:
        told.setdefault(words.where(question), []).append(words.quantity(question.of))
    return [f"{where}: {', '.join(of)}" for where, of in told.items()]


def _cost(found: Ask, plan: Assessment) -> str:
    paid = words.cost(plan.paid(found.least), found.problem.purse.digits)
    return f"{paid} {found.problem.case.money.currency}{_over(found)}"


def _over(found: Ask) -> str:
    return words.over(found.least, found.problem.case.money.years)
