"""The folder of the open case, and nothing else: opening, saving, unsaved work, and a file changed by others."""

from __future__ import annotations

import re
from pathlib import Path

from catalogue.mistakes import InputError, Mistake, Place
from catalogue.yaml_text import MOST_BYTES
from cli.exit import BadInput
from cli.files import write_whole
from cli.page.recovery import Recovery, digest, drop, keep, kept, recovery_path

_NAME = re.compile(r"[^\W_][\w .-]{0,80}\.ya?ml")
NEW = "untitled.yaml"


class ChangedOnDisk(Exception):
    """The file is no longer what was opened; saving would lose what somebody else wrote."""


class Shelf:
    """One file of one folder. `began_from` is the digest of the file as last read or written, empty for a new one."""

    def __init__(self, path: Path) -> None:
        self.path = path.resolve()
        self.began_from = ""
        self.saved = ""

    @property
    def is_new(self) -> bool:
        """True where nothing was read or written yet."""
        return not self.began_from

    def read(self) -> str:
        """The text of the file, which counts as opened from now on; raises `InputError` or `OSError`."""
        raw = self._bytes()
        if len(raw) > MOST_BYTES:
            raise InputError((Mistake(Place(str(self.path)), "", f"is larger than {MOST_BYTES:,} bytes"),))
        try:
            text = raw.decode("utf-8-sig").replace("\r\n", "\n")
        except UnicodeDecodeError:
            raise InputError((Mistake(Place(str(self.path)), "", "is not UTF-8 text"),)) from None
        self.began_from, self.saved = digest(text), text
        return text

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
        self.began_from, self.saved = digest(text), text
        drop(self.path)

    def beside(self, name: str) -> Shelf:
        """Another file of the same folder; of a new one a name that is still free."""
        path, number = self.path.with_name(name), 2
        while name == NEW and path.exists():
            path, number = self.path.with_name(f"untitled-{number}.yaml"), number + 1
        return Shelf(path)

    def rename(self, name: str) -> None:
        """Another file of the same folder, not read yet; raises `BadInput`."""
        if not _NAME.fullmatch(name):
            raise BadInput(f"'{name[:80]}' is no name for a case", "write letters and digits, ending in .yaml")
        old, self.path = self.path, self.path.with_name(name)
        self.began_from = ""
        if recovery_path(old).exists():
            recovery_path(old).replace(recovery_path(self.path))

    def set_aside(self, text: str) -> None:
        """Keep unsaved work; what equals the file needs no keeping."""
        if text == self.saved and not self.is_new:
            drop(self.path)
        else:
            keep(self.path, Recovery(text, self.began_from))

    def left_behind(self) -> Recovery | None:
        """Unsaved work of an earlier session that differs from the file."""
        found = kept(self.path)
        return found if found and found.text != self.saved else None

    def forget(self) -> None:
        """The unsaved work is not wanted."""
        drop(self.path)

    def _bytes(self) -> bytes:
        with self.path.open("rb") as file:
            return file.read(MOST_BYTES + 1)
