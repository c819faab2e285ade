"""Drawings, and text that is not ours, as markup for a page."""

from __future__ import annotations

from html import escape
from xml.etree import ElementTree as ET

from catalogue.blocks import AttachmentKind
from cli.draw import marks
from cli.draw.canvas import Canvas
from cli.draw.legend import SCALE
from cli.legible import legible


class Markup(str):
    """Text that is markup already, by the protocol that templates ask."""

    __slots__ = ()

    def __html__(self) -> str:
        return str(self)


def drawn(canvas: Canvas) -> Markup:
    """A drawing; its own writer has escaped every text in it."""
    return Markup(ET.tostring(canvas.element(), encoding="unicode"))


def mark_of(kind: AttachmentKind, name: str) -> Markup:
    """The mark of a kind, small enough for a line of text."""
    canvas = Canvas(name, SCALE / 1.6, marks.KIND_NAMES[kind])
    marks.mark(canvas, kind, (0.0, 0.0), (1.0, 0.0), 4.0)
    root = canvas.element(0.3)
    root.set("class", "mark")
    return Markup(ET.tostring(root, encoding="unicode"))


def own(text: object) -> Markup:
    """Text of a file, set off from ours in its direction; it may break inside a word where that is very long."""
    shown = legible(str(text))
    style = ' class="long"' if any(len(word) > _LONG_WORD for word in shown.split()) else ""
    return Markup(f"<bdi{style}>{escape(shown)}</bdi>")


_LONG_WORD = 18
