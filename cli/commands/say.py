"""Answers for machines, on the standard output."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from cli.commands.parameters import echo_json
from cli.json_out.envelope import headed


def say_json(answer: str, content: Mapping[str, Any], currency: str | None = None) -> None:
    """Print an answer under its head; `currency` is that of its amounts."""
    echo_json(headed(answer, content, currency))
