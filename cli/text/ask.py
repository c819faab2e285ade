"""What to ask, on the screen: cost against answers, the questions by their worth, and those that change nothing."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from cli.text import words
from cli.text.page import bullets, heading, lines, table
from cli.text.words import mix
from solver.ask import Ask, Asked
from solver.assessment import Assessment
from solver.candidate import Question
from solver.judge import Judgement
from solver.master import Outcome
from solver.measure import Measure

ODDS = (
    "Odds are an assumption: even, or the share of the error interval where the need holds, each answer by itself. "
    "If the answer is no, every plan that needs it falls away."
)


def show_ask(page: Console, found: Ask) -> None:
    """The whole answer of `ask`."""
    page.print(Text(found.problem.case.case, style="bold") + Text(f": {verdict(found)}", style="not bold"))
    if found.curve:
        heading(page, "Cost against answers", "the cheapest plan that hangs on no more of them")
        cost = f">{found.problem.case.money.currency}{_over(found)}"
        table(page, (">answers", cost, "plan", "hangs on"), _curve(found))
    if found.asked:
        heading(page, "Ask or measure", "the most worth first")
        for number, entry in enumerate(found.asked, 1):
            lines(page, [f"{number}. {words.question(entry.question)}"])
            bullets(page, told(found, entry))
        page.print()
        lines(page, [ODDS])
    if found.idle and found.curve:
        heading(page, "Not worth asking", "no answer changes the plan")
        bullets(page, _together(found.idle))


def verdict(found: Ask) -> str:
    """The whole in one sentence."""
    if found.outcome is Outcome.UNDECIDED:
        return "undecided in the time given; what was found so far" if found.curve else "undecided in the time given"
    if not found.curve:
        return "nothing fits, whatever the answers; see `regrip give`"
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
    """What an answer is worth: what is known, the odds, and the plans either way."""
    for need in entry.needs:
        yield f"{_measured(need)}; needed: {need.want}{f' for {need.step}' if need.step else ''}"
    yield f"odds of a good answer, as assumed: {entry.chance:.0%}"
    if entry.saving >= 0.5:
        money = words.money(round(entry.saving), found.problem.purse.digits)
        yield f"saves {money} {found.problem.case.money.currency}{_over(found)} on average"
    if entry.rescue > 0:
        yield f"helps to settle whether anything fits at all ({entry.rescue:.0%} likelier)"
    yield f"if it comes out well: {_well(found, entry)}"
    yield f"if badly: {_badly(found, entry)}"


def _measured(need: Judgement) -> str:
    known = isinstance(need.have, Measure) and need.have.known
    return f"measured: {words.have(need)}" if known else "not known"


def _well(found: Ask, entry: Asked) -> str:
    well, certain = entry.well, found.certain
    if well is None:
        return "not enough on its own; other answers are needed too"
    if certain and well.paid(found.least).high == certain.paid(found.least).high:
        return "not enough on its own; see the other questions"
    return f"{mix(well.mix)} for {_cost(found, well)}, and that is certain"


def _badly(found: Ask, entry: Asked) -> str:
    if entry.badly is None:
        return "nothing fits without giving something up"
    count = len(entry.badly.questions)
    hangs = f" (hangs on {count} other answer{'s' if count > 1 else ''})" if count else ""
    return f"{mix(entry.badly.mix)} for {_cost(found, entry.badly)}{hangs}"


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
