"""The way in: a key that lets one visitor in, and stands neither in an address nor among the arguments of a program.

Whoever works on the same machine sees the arguments of all programs, those of a browser too.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable
from html import escape
from pathlib import Path

from cli.files.desk import write_private

ENTRY = "/enter"
_HEAD = '<!DOCTYPE html>\n<html lang="en">\n<meta charset="utf-8">\n<title>regrip</title>\n'


class Door:
    """`key` opens it once; then there is another one, which `renewed` is told."""

    def __init__(self, renewed: Callable[[str], None]) -> None:
        self.key, self._renewed = secrets.token_urlsafe(24), renewed

    def lets_in(self, given: str) -> bool:
        """True where that was the key, which it is no more."""
        if not same(given, self.key):
            return False
        self.key = secrets.token_urlsafe(24)
        self._renewed(self.key)
        return True


def same(given: str, secret: str) -> bool:
    """Compared in a time that tells nothing."""
    return secrets.compare_digest(given.encode(), secret.encode())


def letter(folder: Path, home: str, key: str) -> Path:
    """A file for the browser, to be read by its owner alone, that brings the key there; raises `OSError`."""
    path = folder / "open.html"
    write_private(
        path,
        f'{_HEAD}<form method="post" action="{home}{ENTRY}"><input type="hidden" name="key" value="{escape(key)}">'
        "<button>Open the page</button></form>\n<script>document.forms[0].submit()</script>\n",
    )
    return path


def closed(problem: str = "") -> str:
    """What stands at the door: the key is asked for."""
    told = f'<p role="alert"><strong>{escape(problem)}</strong></p>\n' if problem else ""
    return (
        f'{_HEAD}<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<main>\n<h1>regrip</h1>\n{told}"
        f'<form method="post" action="{ENTRY}">\n'
        '<p><label for="key">Key, as <code>regrip page</code> printed it last</label></p>\n'
        '<p><input id="key" name="key" size="40" required autofocus autocomplete="off" spellcheck="false">'
        " <button>Open</button></p>\n</form>\n</main>\n"
    )


def opened() -> str:
    """For one who was let in. It asks for the page itself: on a way that began elsewhere no cookie comes along."""
    return f'{_HEAD}<meta http-equiv="refresh" content="0; url=/">\n<p><a href="/">The page</a></p>\n'
