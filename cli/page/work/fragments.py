"""Templates to fragments of the page."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from cli.report.markup import templates_of


def fragment(name: str, **facts: Any) -> str:
    """One template filled in."""
    return str(_place().get_template(f"{name}.html.j2").render(facts)).strip()


@cache
def _place() -> Any:
    return templates_of(Path(__file__).parents[1], "page")
