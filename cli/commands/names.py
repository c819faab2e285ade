"""What the shell may complete from the case that is named on the command line: sites, parts, paths of values.

A shell that asks while somebody types gets no error: what cannot be read completes to nothing.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

import click
from click.shell_completion import CompletionItem

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.yaml_text import Document, read_yaml

GROUPS = ("segments", "ends", "supports")


def sites(context: click.Context, _: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """Names of the sites of the case, each with what it is."""
    told = _sites(_document(context))
    return [CompletionItem(name, help=what) for name, what in told.items() if name.startswith(incomplete)]


def parts(context: click.Context, _: click.Parameter, incomplete: str) -> list[str]:
    """Ids of the attachments that go on the kind of site that was named before."""
    kind = _sites(_document(context)).get(str(context.params.get("site")))
    return [name for name in _attachments(kind) if name.startswith(incomplete)]


def puts(context: click.Context, parameter: click.Parameter, incomplete: str) -> list[CompletionItem]:
    """`SITE=`, then `SITE=ATTACHMENT`."""
    site, equals, begun = incomplete.partition("=")
    if not equals:
        return [CompletionItem(f"{item.value}=", help=item.help) for item in sites(context, parameter, site)]
    kind = _sites(_document(context)).get(site)
    return [CompletionItem(f"{site}={name}") for name in _attachments(kind) if name.startswith(begun)]


def values(context: click.Context, _: click.Parameter, incomplete: str) -> list[str]:
    """Paths of the values that stand in the case, each with `=` behind it."""
    document = _document(context)
    if document is None:
        return []
    whole = (loc for loc in document.places if loc and not any(isinstance(step, int) for step in loc))
    paths = (".".join(map(str, loc)) for loc in whole if not isinstance(_at(document, loc), dict))
    return [f"{path}=" for path in paths if path.startswith(incomplete)]


def _document(context: click.Context) -> Document | None:
    # Behind an option that still lacks its value the case is not yet sorted into the parameters.
    given = context.params.get("case") or next(iter(context.args), None)
    try:
        return read_yaml(str(given)) if given else None
    except InputError:
        return None


def _sites(document: Document | None) -> dict[str, str]:
    """Each site with the word for its kind."""
    if document is None or not isinstance(document.data, dict):
        return {}
    found: dict[str, str] = {}
    for group in GROUPS:
        inside = document.data.get(group)
        found |= dict.fromkeys(inside if isinstance(inside, dict) else (), group.removesuffix("s"))
    return found


def _attachments(kind: str | None) -> Iterable[str]:
    """Those that go on a kind of site, or all where that is not known."""
    return [entry.id for entry in load_catalogue().attachments.values() if kind is None or kind in entry.at]


def _at(document: Document, loc: tuple[Any, ...]) -> Any:
    found = document.data
    for step in loc:
        found = found[step]
    return found
