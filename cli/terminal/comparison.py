"""Options against the plan on the screen: what each costs more, or what stands against it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.text import Text

from cli.terminal.answer import show_ruled_out, verdict
from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from cli.wording.words import mix
from solver.assess.assessment import Assessment
from solver.case.rules import Budget, Moves, NoFight, Peel, Pulls
from solver.choose.plan import Answer
from solver.explain.comparison import Fate, Obstacle, SiteWhy, WhyNot


def show_sites(page: Console, answer: Answer, sites: Sequence[SiteWhy], *, every_reason: bool = False) -> None:
    """Every site and attachment: in the plan, what it costs more, what is against it, or by what it is ruled out."""
    verdict(page, answer.problem, answer.status, answer.best, "")
    if answer.least == "years":
        bullets(page, [f"costs compared are those{_over(answer)}"])
    for site in sites:
        heading(page, f"{site.fit.site.kind.capitalize()} {site.fit.site.id}", _headline(answer, site))
        bullets(page, _otherwise(answer, site))
        if rows := [*_rows(answer, site)]:
            table(page, ("=attachment", "with it", "in the plan as it stands"), rows)
    out = [entry.ruled_out for site in sites for entry in site.entries if entry.ruled_out]
    show_ruled_out(page, out, every_reason=every_reason)


def show_against(page: Console, answer: Answer, entry: WhyNot) -> None:
    """One attachment that may be used, against the plan."""
    if entry.fate is Fate.RULED_OUT:
        return
    best = answer.best
    paid = best.paid(answer.least) if best else None
    note = f"{words.cost(paid, answer.problem.purse.digits)}{_over(answer)}" if paid else "there is none"
    heading(page, "Against the plan", note)
    bullets(page, sentences(answer, entry))


def sentences(answer: Answer, entry: WhyNot) -> list[str]:
    """The fate of an attachment in full."""
    label = entry.candidate.label if entry.candidate else "it"
    lines = list(_fate_lines(answer, entry, f"with {label}"))
    lines += [f"put into the plan as it stands: {obstacle(answer, entry, found)}" for found in entry.obstacles]
    return lines


def obstacle(answer: Answer, entry: WhyNot, found: Obstacle) -> str:
    """One thing that breaks when the candidate is put into the plan."""
    say, digits, currency = (
        RuleWords.of(answer.problem),
        answer.problem.purse.digits,
        answer.problem.case.money.currency,
    )
    others = ", ".join(candidate.site.id for candidate in found.among)
    match found.rule:
        case None:
            off = entry.candidate is not None and entry.candidate.takes_bar_off
            return f"wants the bar {'off' if off else 'on'}, {others} {'on' if off else 'off'}"
        case Budget():
            return f"over the cap by {words.money(round(found.have) - found.rule.cap, digits)} {currency}"
        case Peel():
            return f"an edge comes up at {words.newtons(found.have)}, over {words.newtons(found.rule.most_n)}"
        case NoFight():
            return f"fights {others or 'with the rest'} when {words.demand(found.rule.demand)}"
        case Pulls():
            pull = words.PULL[found.rule.pull]
            return f"holds {words.newtons(found.have)} {pull}, under {words.newtons(found.rule.least_n)}"
        case Moves() if found.reach:
            bound = say.binds(found.rule, found.reach)
            return bound.replace("binds", f"binds with {others}", 1) if others else bound
        case _:
            return f"breaks: {say.rule(found.rule)}"


def _headline(answer: Answer, site: SiteWhy) -> str:
    if answer.best is None:
        return "there is no plan to compare with"
    return f"in the plan: {site.planned.label}" if site.planned else "left empty in the plan"


def _otherwise(answer: Answer, site: SiteWhy) -> list[str]:
    """What it would take to fill an empty site, or to leave a filled one empty."""
    entry = site.otherwise
    if entry is None:
        return ["nothing in the catalogue fits here without giving something up"]
    kind = "without anything here" if site.planned else "with anything here"
    return [*_fate_lines(answer, entry, kind)]


def _fate_lines(answer: Answer, entry: WhyNot, kind: str) -> Iterator[str]:
    digits, currency = answer.problem.purse.digits, answer.problem.case.money.currency
    match entry.fate:
        case Fate.IN_PLAN:
            yield "it is in the plan"
        case Fate.UNDECIDED:
            yield "undecided in the time given"
        case Fate.DEARER if entry.instead and answer.best:
            extra = _more(answer.best, entry, f"{words.money(abs(entry.more), digits)} {currency}")
            yield f"the cheapest plan {kind} costs {extra}{_over(answer)}: {mix(entry.instead.mix)}"
            if entry.instead.given_up:
                yield f"it gives up: {_given_up(answer, entry.instead)}"
        case _:
            clash = entry.clash.members if entry.clash else ()
            kept = "; ".join(RuleWords.of(answer.problem).rule(rule) for rule in clash)
            yield f"no plan {kind} keeps {'all of this' if len(clash) > 1 else 'this'}: {kept}"
            if entry.instead:
                cost = f"{words.cost(entry.instead.paid(answer.least), digits)} {currency}{_over(answer)}"
                yield f"to have it: {_given_up(answer, entry.instead)} ({mix(entry.instead.mix)}; {cost})"


def _over(answer: Answer) -> str:
    return words.over(answer.least, answer.problem.case.money.years)


def _more(best: Assessment, entry: WhyNot, amount: str) -> str:
    """`66.00 EUR more`, or why a plan at the same cost is not the plan."""
    other = entry.instead
    if entry.more or other is None:
        return f"{amount} {'more' if entry.more > 0 else 'less'}"
    if asks := len(other.questions) - len(best.questions):
        return f"the same and hangs on {asks} more question{'s' if asks > 1 else ''}"
    if parts := sum(c.parts for c in other.mix) - sum(c.parts for c in best.mix):
        return f"the same and takes {parts} more part{'s' if parts > 1 else ''}"
    return "the same; only the order of names decides"


def _rows(answer: Answer, site: SiteWhy) -> Iterator[tuple[str, str, str]]:
    for entry in site.entries:
        if entry.candidate and entry.fate is not Fate.RULED_OUT:
            stands = "; ".join(obstacle(answer, entry, found) for found in entry.obstacles)
            yield entry.candidate.label.replace(" + ", "\n+ "), _short(answer, entry), stands


def _short(answer: Answer, entry: WhyNot) -> str:
    digits = answer.problem.purse.digits
    match entry.fate:
        case Fate.IN_PLAN:
            return "in the plan"
        case Fate.UNDECIDED:
            return "undecided in the time given"
        case Fate.DEARER if answer.best:
            return _more(answer.best, entry, words.money(abs(entry.more), digits))
        case _ if entry.instead:
            return f"only if: {_given_up(answer, entry.instead)}"
        case _:
            clash = entry.clash.members if entry.clash else ()
            return f"never: {'; '.join(RuleWords.of(answer.problem).rule(rule) for rule in clash)}"


def _given_up(answer: Answer, plan: Assessment) -> str:
    return "; ".join(map(RuleWords.of(answer.problem).given_up, plan.given_up))


def undecided(page: Console) -> None:
    """A last line where time ran out."""
    page.print(Text("Some questions are undecided in the time given; raise --time-limit.", style="dim"))
