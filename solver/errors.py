"""Faults of the program itself: never a person's mistake, never an answer."""

from __future__ import annotations


class InternalFault(Exception):
    """Something that cannot be true; `what` is for whoever mends it."""

    def __init__(self, what: str) -> None:
        super().__init__(what)
        self.what = what
