"""A batch on the screen: how the cases came out, and what went wrong with which."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.text import Text

from cli.batch.row import EXIT
from cli.batch.run import Ran
from cli.terminal.screen import bullets, heading, lines, table
from cli.wording import words

OUTCOME = {status.value: text for status, text in words.STATUS.items()} | {
    "bad-file": "the file cannot be used",
    "fault": "fault of regrip, or of the machine",
}
MOST_ERRORS = 10


@dataclass(frozen=True, slots=True)
class Told:
    """What is told at the end of a batch."""

    output: Path
    outcomes: Mapping[str, int]
    ran: Ran
    errors: tuple[str, ...]

    def as_json(self) -> dict[str, Any]:
        """The same for machines."""
        return {
            "results": str(self.output),
            "cases": sum(self.outcomes.values()),
            "outcomes": {outcome: count for outcome in EXIT if (count := self.outcomes.get(outcome, 0))},
            "planned": self.ran.planned,
            "kept": self.ran.kept,
            "cpu_ms_per_case": self.ran.ms_per_case,
            "errors": list(self.errors),
        }


def show_batch(page: Console, told: Told) -> None:
    """The outcomes, what was kept, and the first of the errors."""
    total = sum(told.outcomes.values())
    page.print(Text(cases(total), style="bold") + Text(f" in {told.output}", style="not bold"))
    page.print()
    table(page, (">cases", ">share", "outcome"), _outcomes(told.outcomes, total))
    if told.errors:
        heading(page, "Not planned", f"the first {MOST_ERRORS}" if len(told.errors) > MOST_ERRORS else "")
        lines(page, told.errors[:MOST_ERRORS])
    heading(page, "Done")
    bullets(page, _done(told.ran))


def cases(count: int) -> str:
    """`1 case`, `12,000 cases`."""
    return f"{count:,} case{'' if count == 1 else 's'}"


def stopped(ran: Ran, total: int) -> str:
    """How far it came, and how to go on."""
    done = ran.planned + ran.kept
    return (
        f"stopped with {done:,} of {cases(total)} planned; nothing is lost, and the same command goes on from there"
    )


def _outcomes(outcomes: Mapping[str, int], total: int) -> Iterator[tuple[str, str, str]]:
    for outcome in EXIT:
        if count := outcomes.get(outcome, 0):
            yield f"{count:,}", f"{count / total:.1%}", OUTCOME[outcome]


def _done(ran: Ran) -> Iterator[str]:
    if ran.planned:
        yield f"{cases(ran.planned)} planned, {ran.ms_per_case:.0f} ms of processor time each"
    if ran.kept:
        yield f"{cases(ran.kept)} kept from an earlier run: file, catalogue, options and version are the same"
