"""What passes between the page and the solver."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeAlias

Fragments: TypeAlias = dict[str, str]
"""Named pieces of markup, or of other text."""


@dataclass(frozen=True, slots=True)
class Asked:
    """A job by its name, the text of the case, and what else it needs."""

    job: str
    text: str
    name: str = "case.yaml"
    more: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Done:
    """What a job returned."""

    fragments: Fragments


@dataclass(frozen=True, slots=True)
class Unfit:
    """A job that cannot be done; `advice` says what to do instead. `fault`: it is ours, not of the case."""

    problem: str
    advice: str = ""
    fault: bool = False


@dataclass(frozen=True, slots=True)
class Stopped:
    """Somebody ended the work."""


Outcome: TypeAlias = Done | Unfit | Stopped
