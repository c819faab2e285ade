"""Templates of markup: whatever stands in a case is escaped, and made legible first."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from cli.extras import extra
from cli.legible import legible
from cli.report.drawn import drawn, mark_of, own
from cli.wording import words


def templates_of(room: Path, extra_name: str) -> Any:
    """The Jinja environment of the templates in a folder; `extra_name` brings the library."""
    jinja = extra("jinja2", extra_name)
    place = jinja.Environment(
        loader=jinja.FileSystemLoader(room / "templates"),
        autoescape=True,
        undefined=jinja.StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        finalize=lambda shown: shown if hasattr(shown, "__html__") else _legible(shown),
    )
    place.filters |= {"own": own, "capital": lambda text: text[:1].upper() + text[1:]}
    place.globals |= {"words": words, "drawn": drawn, "mark_of": mark_of}
    return place


def _legible(shown: object) -> object:
    return legible(shown) if isinstance(shown, str) else shown
