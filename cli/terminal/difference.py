"""Two catalogues side by side on the screen, and the plans that differ between them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from rich.console import Console

from catalogue.difference import Changed, Difference, Figure, Value
from cli.terminal.catalogue_figures import span
from cli.terminal.screen import bullets, heading, lines, table
from cli.wording import words
from solver.choose.plan import Answer
from solver.explore.replan import is_altered
from solver.explore.what_if import Varied


def show_difference(page: Console, found: Difference) -> None:
    """Entries added and gone, then a line for every figure changed."""
    if found == Difference():
        lines(page, ["no figure differs"])
    for title, entries in (("Added", found.added), ("Gone", found.gone)):
        if entries:
            heading(page, title)
            bullets(page, entries)
    if found.changed:
        heading(page, "Changed")
        table(page, ("=entry", "figure", "before", "after", "source"), map(_row, found.changed))


def show_cases(page: Console, found: Mapping[str, Varied]) -> None:
    """The cases whose plan or cost differs, before and after; how many stay as they are."""
    altered = {name: both for name, both in found.items() if is_altered(both)}
    heading(page, "Plans", f"{len(altered)} of {len(found)} would be altered")
    for name, both in altered.items():
        bullets(page, [f"{name}: " + ("another choice" if both.flips else "the same choice at another cost")])
        lines(page, [f"  before: {_plan(both.before)}", f"  after: {_plan(both.after)}"])


def _row(changed: Changed) -> tuple[str, ...]:
    entry = changed.entry.removeprefix("attachments.")
    sources = dict.fromkeys(f.source for f in (changed.before, changed.after) if f and f.source)
    both = (_words(figure, changed.unit) for figure in (changed.before, changed.after))
    return entry, changed.figure, *both, " -> ".join(sources)


def _words(figure: Figure | None, unit: str) -> str:
    if figure is None or figure.value is None:
        return "-"
    return f"{_value(figure.value)} {unit}".strip() if not isinstance(figure.value, str) else figure.value


def _value(value: Value) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, tuple):
        numbers = [float(one) for one in value if isinstance(one, int | float)]
        band = len(numbers) == len(value) == 2
        return span(numbers[0], numbers[1]) if band else ", ".join(map(str, value))
    return f"{value:g}" if isinstance(value, int | float) else str(value)


def _plan(answer: Answer) -> str:
    return "; ".join(_clauses(answer))


def _clauses(answer: Answer) -> Iterator[str]:
    yield words.STATUS[answer.status]
    if answer.best:
        yield words.mix(answer.best.mix)
        digits, currency = answer.problem.purse.digits, answer.problem.case.money.currency
        yield f"{words.cost(answer.best.cost, digits)} {currency}"
