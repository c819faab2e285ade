"""The folder of the open case, and nothing else: opening, saving, unsaved work, and a file changed by others."""

from __future__ import annotations

import re
from pathlib import Path

from catalogue.mistakes import InputError, Mistake, Place
from catalogue.yaml_text import MOST_BYTES
from cli.exit import BadInput
from cli.files.desk import NOT_WRITTEN, write_whole
from cli.page.document.recovery import Left, Recovery, all_left, digest, drop, keep, put_by, recovery_path

_NAME = re.compile(r"[^\W_][\w .-]{0,80}\.ya?ml")
NEW = "untitled.yaml"


class ChangedOnDisk(Exception):
    """The file is no longer what was opened; saving would lose what somebody else wrote."""


def reason(error: OSError) -> str:
    """Why a file cannot be read or written, in a few words."""
    return (error.strerror or "failed").removeprefix(NOT_WRITTEN).lower()


class Shelf:
    """One file of one folder.

    `began_from` is the digest of the file as last opened or written, empty for a new one. `left_behind` is unsaved
    work of an earlier session that differs from it, until a person has decided what becomes of it; `kept` is the text
    that this session keeps, None where it keeps none.
    """

    def __init__(self, path: Path) -> None:
        self.path = path.resolve()
        self.began_from = ""
        self.saved = ""
        self.left_behind: Left | None = None
        self.kept: str | None = None

    @property
    def is_new(self) -> bool:
        """True where nothing was opened or written yet."""
        return not self.began_from

    @property
    def is_free(self) -> bool:
        """True where there is neither such a file nor unsaved work of one."""
        return not self.path.exists() and not recovery_path(self.path).exists()

    def read(self) -> str:
        """The text of the file; raises `InputError` or `OSError`."""
        raw = self._bytes()
        if len(raw) > MOST_BYTES:
            raise InputError((Mistake(Place(str(self.path)), "", f"is larger than {MOST_BYTES:,} bytes"),))
        try:
            return raw.decode("utf-8-sig").replace("\r\n", "\n")
        except UnicodeDecodeError:
            raise InputError((Mistake(Place(str(self.path)), "", "is not UTF-8 text"),)) from None

    def open_as(self, text: str) -> None:
        """What was read counts as opened from now on."""
        self.began_from, self.saved = digest(text), text

    def look_for_unsaved(self) -> None:
        """See what earlier sessions left behind."""
        self.left_behind = next((one for one in all_left(self.path) if one.text != self.saved), None)

    def changed(self) -> bool:
        """True where the file on disk is another than the one opened, or is there though none was."""
        try:
            return digest(self._bytes().decode("utf-8-sig", "replace").replace("\r\n", "\n")) != self.began_from
        except OSError:
            return False

    def save(self, text: str, *, over: bool = False) -> None:
        """Write the file whole; raises `ChangedOnDisk` unless told to write over it, or `OSError`."""
        if self.changed() and not over:
            raise ChangedOnDisk
        write_whole(self.path, text)
        self.open_as(text)
        self.drop()

    def beside(self, name: str) -> Shelf:
        """Another file of the same folder."""
        return Shelf(self.path.with_name(name))

    def new_beside(self) -> Shelf:
        """A new file of the same folder, under a name that is still free."""
        found, number = self.beside(NEW), 2
        while not found.is_free:
            found, number = self.beside(f"untitled-{number}.yaml"), number + 1
        return found

    def named(self, name: str) -> Shelf:
        """The file of that name, to save the case in; raises `BadInput` where another case may be lost by that."""
        if name == self.path.name:
            return self
        if not _NAME.fullmatch(name):
            raise BadInput(f"'{name[:80]}' is no name for a case", "write letters and digits, ending in .yaml")
        found = self.beside(name)
        if not found.is_free:
            there = "exists already" if found.path.exists() else "has unsaved work in this folder"
            raise BadInput(f"{name} {there}", "choose another name, or open that one with 'Begin or open'")
        return found

    def set_aside(self, text: str) -> None:
        """Keep unsaved work; what equals the file needs no keeping. Raises `OSError`."""
        if text == self.saved and not self.is_new:
            self.drop()
        elif text != self.kept:
            self._make_room()
            keep(self.path, Recovery(text, self.began_from))
            self.kept = text

    def drop(self) -> None:
        """The unsaved work of this session is saved, here or elsewhere; raises `OSError`."""
        if self.kept is not None:
            drop(recovery_path(self.path))
            self.kept = None

    def take_up(self) -> None:
        """The work that was left behind is that of this session from now on; raises `OSError`."""
        self._make_room()
        if self.left_behind:
            self.left_behind.at.replace(recovery_path(self.path))
            self.kept = self.left_behind.text
            self._look_further()

    def forget(self) -> None:
        """The work that was left behind is not wanted; raises `OSError`."""
        if self.left_behind:
            drop(self.left_behind.at)
            self._look_further()

    def _make_room(self) -> None:
        """What is not ours where we keep our work goes out of the way."""
        own = recovery_path(self.path)
        if self.kept is None and own.exists():
            moved = put_by(self.path)
            if self.left_behind and self.left_behind.at == own:
                self.left_behind = self.left_behind._replace(at=moved)

    def _look_further(self) -> None:
        """Older work than what was just decided on."""
        others = (one for one in all_left(self.path) if one.at != recovery_path(self.path))
        self.left_behind = next((one for one in others if one.text != self.saved), None)

    def _bytes(self) -> bytes:
        with self.path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
