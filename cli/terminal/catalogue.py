"""The catalogue on the screen: what it holds, entries in a list, one entry with all its figures."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from itertools import compress

from rich.console import Console
from rich.text import Text

from catalogue.blocks import Workplace
from catalogue.difference import Difference
from catalogue.find import KINDS, MOTIONS, Entry, kind_of, motions, source_keys, unused_sources
from catalogue.models import Attachment, Catalogue, Rework
from cli.terminal.catalogue_figures import NO_SOURCE, Line, attachment_lines, band, rework_lines, span
from cli.terminal.screen import bullets, heading, table
from cli.wording import words

WIDE = 80
"""Columns of a page that has room for everything."""


def show_checked(page: Console, catalogue: Catalogue, overlays: Sequence[str], changes: Difference) -> None:
    """How much a sound catalogue holds, and what the overlays did to the starter one."""
    laid = f" with {', '.join(overlays)}" if overlays else ""
    page.print(Text(f"Catalogue {catalogue.version}{laid}", style="bold") + Text(": sound", style="not bold"))
    kinds = Counter[str](kind_of(entry) for entry in catalogue.attachments.values())
    sources = Counter[str](source.kind for source in catalogue.sources.values())
    bullets(
        page,
        [
            _counted(len(catalogue.attachments), "attachment", kinds, KINDS),
            _counted(len(catalogue.reworks), "rework", Counter(), ()),
            _counted(len(catalogue.sources), "source", sources, words.SOURCE_KINDS),
            f"prices in {catalogue.currency}",
            *(f"no figure uses the source `{name}`" for name in unused_sources(catalogue)),
        ],
    )
    if overlays:
        heading(page, "Changes to the starter catalogue")
        bullets(page, _changes(changes))


def show_list(page: Console, catalogue: Catalogue, entries: Sequence[Entry]) -> None:
    """A table of entries; figures are bands from low to high. A narrow page leaves out what ids tell anyway."""
    columns = {"=id": 0, "=kind": WIDE, "=at": 0, ">N": 0, f">{catalogue.currency}": 0, "moves": WIDE}
    kept = [page.width >= least for least in columns.values()]
    rows = (tuple(compress(_row(entry), kept)) for entry in entries)
    table(page, tuple(compress(columns, kept)), rows)


def show_entry(page: Console, catalogue: Catalogue, entry: Entry) -> None:
    """Every figure with its source, then words without figures, then each source and how it is known."""
    head = Text(entry.id, style="bold") + Text(f": {entry.name}", style="not bold")
    page.print(head)
    bullets(page, _about(entry))
    heading(page, "Figures")
    kinds = {key: source.kind for key, source in catalogue.sources.items()} | {NO_SOURCE: ""}
    lines = _figures(entry, catalogue.currency)
    table(page, ("figure", "value", "source", "its kind"), ((*line, kinds[line.source]) for line in lines))
    if entry.cautions:
        heading(page, "Cautions")
        bullets(page, entry.cautions)
    heading(page, "Sources")
    bullets(page, (f"{key}: {words.source(catalogue.sources[key])}" for key in source_keys(entry)))


def _counted(number: int, word: str, of_kind: Counter[str], order: Sequence[str]) -> str:
    split = ", ".join(f"{of_kind[kind]} {kind}" for kind in order if of_kind[kind])
    return f"{number} {word}{'' if number == 1 else 's'}" + (f": {split}" if split else "")


def _changes(changes: Difference) -> Iterator[str]:
    if changes == Difference():
        yield "none: every figure is as it was"
    for word, names in (("adds", changes.added), ("changes", changes.altered), ("takes out", changes.gone)):
        if names:
            yield f"{word} {', '.join(names)}"


def _row(entry: Entry) -> tuple[str, ...]:
    hold, moves = "", ""
    if isinstance(entry, Attachment):
        free = motions(entry.movement)
        hold = span(entry.retention_n.low, entry.retention_n.high, digits=3)
        moves = "all" if free == MOTIONS else ", ".join(free)
    return entry.id, kind_of(entry), "\n".join(entry.at), hold, band(entry.price), moves


_WHERE: Mapping[Workplace, str] = {
    "mouth": "in the mouth",
    "bench": "at the bench, on a bar that is unscrewed",
    "denture": "on the denture",
}


def _about(entry: Entry) -> Iterator[str]:
    yield f"{kind_of(entry)}, goes on: {', '.join(entry.at)}"
    if isinstance(entry, Attachment):
        if entry.steps:
            yield f"always with: {', '.join(entry.steps)}"
        if entry.metals:
            yield f"metals: {', '.join(entry.metals)}"
        if entry.wears_by_grinding:
            yield "of elastomer or soft polymer: a grinder soon wears it out"
        if entry.magnetic:
            yield "magnetic"
        return
    yield from _about_rework(entry)


def _about_rework(entry: Rework) -> Iterator[str]:
    yield f"done {_WHERE[entry.where]}"
    if entry.steps:
        yield f"always after: {', '.join(entry.steps)}"
    if entry.harms_bar:
        yield "cuts a sound bar: it cannot be undone"
    if entry.permissions:
        yield f"asks for: {', '.join(words.PERMISSION[permission] for permission in entry.permissions)}"
    if entry.once:
        yield "paid once a case"
    if entry.always_with:
        yield "only where an attachment or another rework names it"
    if entry.check:
        yield f"when done: {entry.check}"


def _figures(entry: Entry, currency: str) -> Iterator[Line]:
    if isinstance(entry, Attachment):
        return attachment_lines(entry, currency)
    return rework_lines(entry, currency)
