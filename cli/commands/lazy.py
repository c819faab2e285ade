"""Commands that are imported when they are called, in groups with a heading each, so that `--help` stays instant."""

from __future__ import annotations

import difflib
import importlib
from collections.abc import Mapping
from typing import Any, NamedTuple, TypeAlias

import click
from click.shell_completion import CompletionItem

from cli.exit import BadInput


class Entry(NamedTuple):
    """The module of `cli.commands` that has a command, and what the command does."""

    module: str
    does: str


Table: TypeAlias = Mapping[str, Entry]


class LazyGroup(click.Group):
    """A group that knows its commands by a table and imports the module of one only when it is called.

    `headings`: for a group of many commands, what stands over which of their names in the help. Names of the commands
    in a group of its own stand there with it, `stock order`. `older`: names that are no longer shown and still work.
    `usual`: the command meant where none is named.
    """

    def __init__(
        self,
        *arguments: Any,
        table: Table,
        headings: Mapping[str, Table] | None = None,
        older: Mapping[str, str] | None = None,
        usual: str = "",
        **more: Any,
    ) -> None:
        super().__init__(*arguments, **more)
        self.table, self.older, self.usual = table, older or {}, usual
        self._headings = headings or {"Commands": table}

    def list_commands(self, ctx: click.Context) -> list[str]:
        """In the order in which one needs them."""
        return list(self.table)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command, imported now; one by an older name too."""
        module = self.table[cmd_name].module if cmd_name in self.table else self.older.get(cmd_name)
        if module is None:
            return None
        command: click.Command = importlib.import_module(f"{__package__}.{module}").command
        return command

    def parse_args(self, ctx: click.Context, args: list[str]) -> list[str]:
        """As click does, with the usual command put first where the arguments name none."""
        named = args and (args[0] in self.table or args[0] in ctx.help_option_names)
        if self.usual and args and not named:
            args = [self.usual, *args]
        return super().parse_args(ctx, args)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command meant; one that does not exist is answered with the nearest that does."""
        name = args[0]
        if not name.startswith("-") and name not in self.table and name not in self.older:
            raise BadInput(f"there is no command '{name}'", self._advice(name))
        return super().resolve_command(ctx, args)

    def _advice(self, name: str) -> str:
        """The nearest name; the last word of a longer one will do."""
        paths = {path: path for entries in self._headings.values() for path in entries}
        paths = {path.split()[-1]: path for path in paths} | paths | {path: path for path in self.table}
        close = difflib.get_close_matches(name, paths, n=1)
        return f"did you mean `{paths[close[0]]}`?" if close else f"known: {', '.join(self.table)}"

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list[CompletionItem]:
        """Names and what they do, without importing the commands."""
        told = self.table.items()
        return [CompletionItem(name, help=entry.does) for name, entry in told if name.startswith(incomplete)]

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """List the commands without importing them, under their headings and in one column."""
        wide = max(len(path) for entries in self._headings.values() for path in entries)
        for heading, entries in self._headings.items():
            with formatter.section(heading):
                formatter.write_dl([(path.ljust(wide), entry.does) for path, entry in entries.items()])
