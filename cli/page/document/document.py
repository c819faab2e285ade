"""The open case: its text, sound after every edit, with a number for every state, undo, and the file it came from.

The text is what counts. An edit that would make it no case is refused and changes nothing. Every edit says on which
state it was made; one that would overwrite what another tab has put there meanwhile is a conflict.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from catalogue.yaml_text import Loc
from cli.files.desk import Desk, desk_of
from cli.files.file_kinds import CASE
from cli.files.reading import document_of
from cli.interview.prompts import Unusable
from cli.page.form import edit
from cli.page.form.entry import Kind, Said, Shown, read, shown
from cli.page.form.form import GROUPS, field_at
from cli.wording.numbers import Figures
from solver.case.reading import read_case
from solver.case.schema import Case
from solver.fit.proposal import BadPut, read_put

MOST_UNDO = 300


class State(NamedTuple):
    """A text and what it was last changed for."""

    text: str
    at: str


@dataclass(frozen=True, slots=True)
class Conflict:
    """Somebody else has changed the same field meanwhile; `theirs` is what stands there now."""

    theirs: Shown


@dataclass(frozen=True, slots=True)
class Refused:
    """An entry that cannot stand; nothing was changed."""

    problem: str
    advice: str


@dataclass(frozen=True, slots=True)
class Taken:
    """The edit was made."""


class OpenCase:
    """A case being edited; raises `InputError` where the text is none to begin with.

    `by` is the tab that made the newest state, empty for the first; it made all that came after the state `since`.
    """

    def __init__(self, text: str, name: str, catalogue: Catalogue, *, revision: int = 0) -> None:
        self.name, self.catalogue, self.revision, self.by = name, catalogue, revision, ""
        self.since = revision
        self.text, self.desk = text, self._desk(text)
        self._past: list[State] = []
        self._future: list[State] = []
        self._last = ("", "")
        self._touched: dict[str, tuple[int, str]] = {}

    @property
    def data(self) -> Mapping[str, Any]:
        """What stands in the text."""
        data: Mapping[str, Any] = self.desk.document.data
        return data

    @property
    def case(self) -> Case:
        """The same, checked."""
        return self.desk.case

    @property
    def figures(self) -> Figures:
        """How the case writes its numbers."""
        return Figures.of(self.case.locale)

    @property
    def can_undo(self) -> bool:
        """True where there is an edit to take back."""
        return bool(self._past)

    @property
    def can_redo(self) -> bool:
        """True where an edit was taken back."""
        return bool(self._future)

    def put(self, at: str, said: Said, base: int, tab: str) -> Taken | Refused | Conflict:
        """What a person typed into a field, on the state `base`; raises `NoSuchField`."""
        loc, kind = field_at(at, self.data)
        if self._overtaken(at, base, tab):
            return Conflict(shown(kind, self._standing(loc), self.figures))
        try:
            value = read(kind, said)
            if loc[0] == "mix" and value is not None:
                read_put(str(value))
            return self._change(lambda text: self._edited(text, loc, kind, value), at, tab)
        except (Unusable, BadPut) as error:
            return Refused(error.problem, error.advice)

    def add(self, group: str, name: str, facts: dict[str, Any], tab: str) -> Taken | Refused:
        """A new support, segment or end."""
        if group not in GROUPS or name in self.case.site_ids:
            return Refused(f"'{name}' is there already", "give every site its own name")
        return self._change(lambda text: edit.with_value(text, (group, name), facts), f"{group}.{name}", tab)

    def remove(self, group: str, name: str, tab: str) -> Taken | Refused:
        """Take a site out, with what was put there by hand."""
        if name not in (self.data.get(group) or {}):
            return Refused(f"there is no '{name}'", "")
        if hanging := self._hanging_on(name) if group == "supports" else []:
            return Refused(f"{' and '.join(hanging)} hang on {name}", "take them out first")

        def shorter(text: str) -> str:
            text = edit.without(text, ("mix", name)) if name in self.case.mix else text
            return edit.without(text, (group, name))

        return self._change(shorter, f"{group}.{name}", tab)

    def replace(self, text: str, tab: str) -> Taken | Refused:
        """Another text in place of this one, for instance that of the file; it can be undone."""
        return self._change(lambda _: text, "", tab)

    def undo(self, tab: str) -> None:
        """Take the last edit back; nothing where there is none."""
        if self._past:
            self._future.append(State(self.text, self._past[-1].at))
            self._turn_to(self._past.pop().text, tab)

    def redo(self, tab: str) -> None:
        """Make the edit again that was taken back last."""
        if self._future:
            self._past.append(State(self.text, self._future[-1].at))
            self._turn_to(self._future.pop().text, tab)

    def settle(self) -> None:
        """What is typed next is an edit of its own, even in the same field."""
        self._last = ("", "")

    def _change(self, make: Callable[[str], str], at: str, tab: str) -> Taken | Refused:
        try:
            text = make(self.text)
            self._desk(text)
        except InputError as error:
            first = next((m for m in error.mistakes if m.where == at), error.mistakes[0])
            where = f"{first.where}: " if first.where and first.where != at else ""
            return Refused(f"{where}{first.problem}", first.advice)
        if text == self.text:
            return Taken()
        if (at, tab) != self._last or not at:
            self._past = [*self._past, State(self.text, at)][-MOST_UNDO:]
        self._future.clear()
        self._turn_to(text, tab)
        self._last = (at, tab)
        return Taken()

    def _turn_to(self, text: str, tab: str) -> None:
        before = self.data
        self.text, self.desk, self._last = text, self._desk(text), ("", "")
        if tab != self.by:
            self.by, self.since = tab, self.revision
        self.revision += 1
        for loc in edit.changed(before, self.data):
            self._touched[_field_of(loc)] = (self.revision, tab)

    def _desk(self, text: str) -> Desk:
        document = document_of(CASE, text.encode(), self.name)
        return desk_of(document, read_case(document), self.catalogue)

    def _edited(self, text: str, loc: Loc, kind: Kind, value: edit.Value | None) -> str:
        if kind == "place" and loc[-1] == "place":
            return self._moved(text, loc[:-1], value)
        if value is not None:
            return edit.with_value(text, loc, value)
        return edit.without(text, loc) if self._standing(loc) is not None else text

    def _moved(self, text: str, support: Loc, value: edit.Value | None) -> str:
        """A support stands at a tooth or at a point, never at both."""
        if value is None:
            raise Unusable("a support has a place", "write an FDI tooth, or x y z in mm")
        key, other = ("tooth", "at_mm") if isinstance(value, int) else ("at_mm", "tooth")
        if self._standing((*support, other)) is None:
            return edit.with_value(text, (*support, key), value)
        return edit.renamed(text, (*support, other), key, value)

    def _standing(self, loc: Loc) -> Any:
        found: Any = self.data
        for step in loc:
            if step == "place":
                return found.get("tooth", found.get("at_mm"))
            found = found.get(step) if isinstance(found, Mapping) else None
        return found

    def _hanging_on(self, support: str) -> list[str]:
        segments = [name for name, segment in self.case.segments.items() if support in segment.between]
        return [*segments, *(name for name, end in self.case.ends.items() if end.on == support)]

    def _overtaken(self, at: str, base: int, tab: str) -> bool:
        revision, by = self._touched.get(at, (0, tab))
        return revision > base and by != tab


def _field_of(loc: Loc) -> str:
    """The field that shows a value: both ways to place a support are one."""
    steps = [str(step) for step in loc]
    if steps[0] == "supports" and steps[-1] in ("tooth", "at_mm"):
        steps[-1] = "place"
    return ".".join(steps)
