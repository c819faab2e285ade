"""Answers for machines, on the standard output."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

import click

from cli.json_out.envelope import headed


def say_json(answer: str, content: Mapping[str, Any], currency: str | None = None) -> None:
    """Print an answer under its head; `currency` is that of its amounts."""
    click.echo(json.dumps(headed(answer, content, currency), indent=2, ensure_ascii=False))
