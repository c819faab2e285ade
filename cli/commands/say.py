"""Answers for machines, on the standard output."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import click

from cli.commands.parameters import OWN
from cli.json_out.envelope import headed


def say_json(answer: str, content: Mapping[str, Any], currency: str | None = None) -> None:
    """Print an answer under its head; `currency` is that of its amounts.

    A catalogue of the user's own that it was worked out with is named in it.
    """
    own = click.get_current_context().find_root().meta.get(OWN)
    whole = headed(answer, content, currency) | ({"own_catalogue": own} if own else {})
    click.echo(json.dumps(whole, indent=2, ensure_ascii=False))
