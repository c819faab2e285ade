"""A checked mix on the screen."""

from __future__ import annotations

from rich.console import Console

from cli.terminal.answer import show_notes, show_plan, verdict
from cli.terminal.screen import bullets, heading, table
from cli.wording import words
from cli.wording.rules import RuleWords
from solver.case.rules import waivable
from solver.choose.check import Checked


def show_check(page: Console, found: Checked) -> None:
    """Verdict, what fails and what is broken, then the mix as worked out."""
    problem, plan = found.problem, found.plan
    verdict(page, problem, found.status, plan, "")
    say = RuleWords.of(problem)
    if found.refusals:
        heading(page, "Cannot be")
        rows = [
            (
                r.candidate.site.id,
                r.candidate.attachment.id,
                r.judgement.label,
                words.have(r.judgement),
                r.judgement.want,
            )
            for r in found.refusals
        ]
        table(page, ("site", "attachment", "need", "have", "want"), rows)
    if firm := [rule for rule in found.broken if not waivable(rule)]:
        heading(page, "Breaks")
        bullets(page, (say.broken(rule, plan.verdicts, plan.reaches) for rule in firm))
    show_plan(page, problem, plan)
    show_notes(page, problem, plan)
