"""The exit code of an answer about one plan."""

from __future__ import annotations

from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED
from solver.assess.assessment import Status


def exit_code(status: Status) -> int:
    """The exit code of an answer."""
    if status is Status.UNDECIDED:
        return UNDECIDED
    return FITS if status in (Status.FITS, Status.FITS_IF) else DOES_NOT_FIT
