"""The `regrip` command: commands are loaded when called, and one place turns failures into messages and codes."""

from __future__ import annotations

import importlib
import sys

import click

from cli.exit import EXIT_CODES, guarded

COMMANDS = {
    "plan": "the cheapest mix that fits, moves and holds",
    "check": "judge a mix that you propose",
    "why": "every need of one attachment at one site",
    "catalogue": "check, list or show what can be bought",
    "new": "write a case file by a short interview",
    "schema": "JSON Schema of a case or catalogue file, for editors",
    "completion": "shell completion for bash, zsh or fish",
}


class LazyGroup(click.Group):
    """Imports the module of a command only when it is called, so that `--help` stays instant."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """In the order in which one needs them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now."""
        if cmd_name not in COMMANDS:
            return None
        module = importlib.import_module(f"cli.commands.{cmd_name}")
        command: click.Command = module.command
        return command

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
    regrip why case.yaml A clip-...    one attachment at one site

    regrip supports a decision and takes none: the makers' instructions, local rules and the licensed clinician go
    before it.
    """


def main(arguments: list[str] | None = None) -> None:
    """Entry point; never shows a traceback."""
    sys.exit(guarded(regrip, arguments))


if __name__ == "__main__":
    main()
