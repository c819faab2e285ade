"""The needs of one candidate on the screen."""

from __future__ import annotations

from rich.console import Console
from rich.text import Text

from catalogue.models import Catalogue
from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from solver.explain.needs import Why
from solver.fit.needs import Judgement


def show_why(page: Console, found: Why) -> None:
    """Verdict, every need, what stands in the way beside the needs, what would change it, sources."""
    candidate, problem = found.candidate, found.problem
    digits, currency = problem.purse.digits, problem.case.money.currency
    page.print(
        Text(f"{candidate.attachment.name} at {words.site_name(candidate)}", style="bold")
        + Text(
            f": {words.JUDGED[candidate.verdict]}, {words.cost(candidate.cost, digits)} {currency}", style="not bold"
        )
    )
    heading(page, "Needs")
    table(page, ("need", "have", "want", "verdict", ">short"), (_row(j) for j in candidate.judgements))
    if found.closed or found.binds:
        heading(page, "Stands in the way")
        lines = [RuleWords.of(found.problem).rule(rule) for rule in found.closed]
        if found.binds:
            lines.append(RuleWords.of(found.problem).binds(*found.binds))
        bullets(page, lines)
    if changes := [*_reworks(found), *words.remeasure(candidate)]:
        heading(page, "Would change it")
        bullets(page, changes)
    heading(page, "Sources")
    bullets(page, _sources(problem.catalogue, candidate.judgements))


def _row(found: Judgement) -> tuple[str, str, str, str, str]:
    label = f"{found.label} (for {found.step})" if found.step else found.label
    return label, words.have(found), found.want, str(found.verdict), words.short(found)


def _reworks(found: Why) -> list[str]:
    digits, currency = found.problem.purse.digits, found.problem.case.money.currency
    return [
        f"{' and '.join(r.name for r in remedy.candidate.extra_reworks)}: {words.JUDGED[remedy.candidate.verdict]}, "
        f"{words.cost(remedy.candidate.cost, digits)} {currency}"
        for remedy in found.remedies
    ]


def _sources(catalogue: Catalogue, judgements: tuple[Judgement, ...]) -> list[str]:
    lines = []
    for key in dict.fromkeys(j.source for j in judgements):
        labels = ", ".join(dict.fromkeys(j.label for j in judgements if j.source == key))
        lines.append(f"{labels}: {words.source(catalogue.sources[key])}")
    return lines
