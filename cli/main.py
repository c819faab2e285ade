"""The `regrip` command: commands are loaded when called, and one place turns failures into messages and codes."""

from __future__ import annotations

import contextlib
import gc
import signal
import sys
from collections.abc import Iterator
from typing import Any

import click

from cli import legible
from cli.commands import batch, stock, what_if
from cli.commands.lazy import Entry, LazyGroup, Table
from cli.exit import EXIT_CODES, guarded

DAILY = {
    "new": Entry("new", "write a case file by a short interview"),
    "plan": Entry("plan", "the cheapest mix that fits, moves and holds"),
    "check": Entry("check", "judge a mix that you propose"),
    "why": Entry("why", "why an attachment is in the plan or not, or all of them"),
    "ask": Entry("ask", "what to ask or measure next, and what it changes"),
    "page": Entry("page", "the case as a form in the browser"),
    "report": Entry("report", "the case, the work order, the patient page or a drawing"),
}
SET_UP = {
    "example": Entry("example", "a worked example, invented, to try the commands on"),
    "measure": Entry("measure", "the bar of a case from a scan (STL, PLY, OBJ)"),
    "schema": Entry("schema", "JSON Schema of files and answers"),
    "completion": Entry("completion", "shell completion for bash, zsh or fish"),
}
CATALOGUE = {
    "check": Entry("", "sound or not, and what your files change"),
    "list": Entry("", "what can be bought or done, filtered"),
    "show": Entry("", "one entry: every figure and its source"),
    "prices": Entry("", "put a supplier's price list (CSV) into your file"),
    "diff": Entry("", "what differs between two files, and which plans it alters"),
}
GROUPS = {
    "what-if": Entry("what_if", "another limit, value, budget or way"),
    "stock": Entry("stock", "what to buy, what came in, how many to have"),
    "catalogue": Entry("catalogue", "check, list, reprice or compare what can be bought"),
    "batch": Entry("batch", "thousands of cases at once"),
}


def _inside(group: str, table: Table) -> Table:
    return {f"{group} {name}": entry for name, entry in table.items()}


HEADINGS = {
    "Every day": DAILY,
    "What if": _inside("what-if", what_if.TABLE),
    "Stock": _inside("stock", stock.TABLE),
    "Catalogue": _inside("catalogue", CATALOGUE),
    "Many cases": _inside("batch", batch.TABLE),
    "To begin, and to set up": SET_UP,
}
COMMANDS = DAILY | GROUPS | SET_UP
OLDER = {
    "give": "give",
    "vary": "vary",
    "trade": "trade",
    "strategies": "strategies",
    "draw": "draw",
    "order": "order",
    "forecast": "forecast",
    "summary": "summary",
    "sample": "sample",
}
"""Names of version 0.1, each with its module: they work for one release more, and no help shows them."""


@contextlib.contextmanager
def ending_with_its_reader() -> Iterator[None]:
    """End quietly when the reader of a pipe has seen enough, as `head` does; 1 would say that nothing fits.

    By the signal, as others do, but only now: were it not ignored before, a visitor of the page who hangs up, or a
    worker that dies, would end the command too.
    """
    try:
        yield
    except BrokenPipeError:
        if hasattr(signal, "SIGPIPE"):
            signal.signal(signal.SIGPIPE, signal.SIG_DFL)
            signal.raise_signal(signal.SIGPIPE)
        raise


class Regrip(LazyGroup):
    """All commands."""

    def make_context(self, *arguments: Any, **more: Any) -> click.Context:
        """As click does, which prints the help here; a reader that has gone is no exit code of 1."""
        with ending_with_its_reader():
            return super().make_context(*arguments, **more)

    def invoke(self, ctx: click.Context) -> Any:
        """As click does; a reader that has gone is no exit code of 1."""
        with ending_with_its_reader():
            return super().invoke(ctx)


@click.group(
    cls=Regrip,
    table=COMMANDS,
    headings=HEADINGS,
    older=OLDER,
    context_settings={"help_option_names": ["-h", "--help"]},
    epilog=EXIT_CODES,
)
@click.version_option(package_name="regrip", message="%(prog)s %(version)s")
def regrip() -> None:
    """Which attachments can still be fitted to an implant bar that is already in the mouth, and at what cost.

    \b
    regrip plan case.yaml              the cheapest mix, and why not the others
    regrip check case.yaml             the mix proposed in the file
    regrip why case.yaml A clip-...    one attachment at one site, against the plan

    regrip supports a decision and takes none: the makers' instructions, local rules and the licensed clinician go
    before it.
    """


def main(arguments: list[str] | None = None) -> None:
    """Entry point; never shows a traceback."""
    legible.replace_what_cannot_be_written(sys.argv[1:] if arguments is None else arguments)
    # Imports and plans leave hardly any cycles; to look for them as often as usual takes a tenth of a cold command.
    gc.set_threshold(50_000)
    with ending_with_its_reader():
        code = guarded(regrip, arguments)
    sys.exit(code)


if __name__ == "__main__":
    main()
