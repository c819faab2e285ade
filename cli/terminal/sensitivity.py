"""What a choice hangs on, on the screen."""

from __future__ import annotations

from rich.console import Console

from cli.terminal.screen import bullets, heading
from cli.wording.sensitivity import bandless, flips
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.explore.sensitivity import Sensitivity


def show_sensitivity(page: Console, found: Sensitivity, problem: Problem, plan: Assessment | None) -> None:
    """Every other choice with the figures that lead to it."""
    if not found.flips:
        return
    heading(page, "Would change if", "one figure at a time, at the end of its band")
    bullets(page, flips(found, problem, plan))
    if note := bandless(found):
        page.print(f" {note}")
