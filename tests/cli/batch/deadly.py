"""Case files that kill the process which plans them: what the system does where memory runs out."""

from __future__ import annotations

import os
import signal
from pathlib import Path


class Deadly(bytes):
    """Kills whoever looks at it: always, or, where the file `mark` is named, only the first time."""

    mark: str = ""

    def __len__(self) -> int:
        if not self.mark or not Path(self.mark).exists():
            if self.mark:
                Path(self.mark).touch()
            os.kill(os.getpid(), signal.SIGKILL)
        return super().__len__()


def deadly(raw: bytes, mark: Path | None = None) -> Deadly:
    """`raw`, deadly; once only where a mark is given."""
    made = Deadly(raw)
    made.mark = str(mark) if mark else ""
    return made
