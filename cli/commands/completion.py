"""`regrip completion`: what a shell needs to complete commands and options."""

from __future__ import annotations

import click
from click.shell_completion import get_completion_class

from cli.exit import FITS
from solver.errors import InternalFault

INSTALL = {
    "bash": "regrip completion bash > ~/.local/share/bash-completion/completions/regrip",
    "zsh": "regrip completion zsh > ~/.zfunc/_regrip\n"
    "with `fpath+=~/.zfunc` before `autoload -Uz compinit && compinit` in ~/.zshrc",
    "fish": "regrip completion fish > ~/.config/fish/completions/regrip.fish",
}


@click.command()
@click.argument("shell", metavar="bash|zsh|fish", type=click.Choice(tuple(INSTALL)))
@click.pass_context
def command(context: click.Context, shell: str) -> int:
    """The completion script of a shell: on stdout the script, on stderr where to put it.

    \b
    regrip completion bash > ~/.local/share/bash-completion/completions/regrip
    """
    script_of = get_completion_class(shell)
    if script_of is None:
        raise InternalFault(f"the command-line library knows no completion for {shell}")
    script = script_of(context.find_root().command, {}, "regrip", "_REGRIP_COMPLETE").source()
    click.echo(script)
    click.echo(f"regrip: to install it, then start a new shell:\n{INSTALL[shell]}", err=True)
    return FITS
