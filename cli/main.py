"""The `regrip` command: commands are loaded when called, and one place turns failures into messages and codes."""

from __future__ import annotations

import contextlib
import difflib
import gc
import importlib
import signal
import sys
from collections.abc import Iterator
from typing import Any

import click
from click.shell_completion import CompletionItem

from cli import legible
from cli.exit import EXIT_CODES, BadInput, guarded

COMMANDS = {
    "plan": "the cheapest mix that fits, moves and holds",
    "check": "judge a mix that you propose",
    "why": "why an attachment is in the plan or not, or all of them",
    "give": "what would have to give where nothing fits, or to pay less",
    "ask": "what to ask or measure next, and what each answer leads to",
    "vary": "what if a value of the case were another, or over a range",
    "trade": "what more hold costs: every mix worth choosing",
    "strategies": "keep the bar, take it off, or go another way",
    "report": "the case, the work order and the patient page as HTML or PDF",
    "draw": "the bar, what is fitted and how it moves, to scale",
    "order": "what to buy for several cases, at least cost together",
    "forecast": "which parts will be used, and how many to have",
    "batch": "thousands of cases planned, into one file of results",
    "summary": "what the results of a batch have in common",
    "catalogue": "check, list, reprice or compare what can be bought",
    "page": "the case as a form in the browser, answered while you type",
    "new": "write a case file by a short interview",
    "measure": "the bar of a case from a scan (STL, PLY, OBJ)",
    "sample": "invented cases at random, for trials",
    "schema": "JSON Schema of the files that you write, for editors",
    "completion": "shell completion for bash, zsh or fish",
}


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


class LazyGroup(click.Group):
    """Imports the module of a command only when it is called, so that `--help` stays instant."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """In the order in which one needs them."""
        return list(COMMANDS)

    def make_context(self, *arguments: Any, **more: Any) -> click.Context:
        """As click does, which prints the help here; a reader that has gone is no exit code of 1."""
        with ending_with_its_reader():
            return super().make_context(*arguments, **more)

    def invoke(self, ctx: click.Context) -> Any:
        """As click does; a reader that has gone is no exit code of 1."""
        with ending_with_its_reader():
            return super().invoke(ctx)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"cli.commands.{cmd_name}")
        command: click.Command = module.command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command meant; one that does not exist is answered with the nearest that does."""
        if not args[0].startswith("-") and args[0] not in COMMANDS:
            close = difflib.get_close_matches(args[0], COMMANDS, n=1)
            advice = f"did you mean `{close[0]}`?" if close else f"known: {', '.join(COMMANDS)}"
            raise BadInput(f"there is no command '{args[0]}'", advice)
        return super().resolve_command(ctx, args)

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Names and what they do, without importing the commands."""
        return [CompletionItem(name, help=text) for name, text in COMMANDS.items() if name.startswith(incomplete)]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(cls=LazyGroup, context_settings={"help_option_names": ["-h", "--help"]}, epilog=EXIT_CODES)
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
