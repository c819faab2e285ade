"""What practice expects of a case, read strictly: a misspelt key or an empty reason is refused."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, Any, NamedTuple, TypeAlias

import yaml
from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

FOLDER = Path(__file__).parent
EMPTY = "none"
"""In place of a glob: nothing fitted there."""


class Pattern(NamedTuple):
    """Globs of attachment ids by site; `alone` where every site that is not named stays empty."""

    globs: Mapping[str, tuple[str, ...]]
    alone: bool = False


def _pattern(given: Any) -> Pattern:
    if isinstance(given, Pattern):
        return given
    if not isinstance(given, dict) or not given:
        raise ValueError("write `{A: clip-*}` or `{only: [A]}`")
    if "only" in given:
        if len(given) > 1:
            raise ValueError("`only` stands by itself")
        return Pattern(dict.fromkeys(given["only"], ("*",)), alone=True)
    return Pattern({site: tuple(str(globs).split("|")) for site, globs in given.items()})


Mix: TypeAlias = Annotated[Pattern, BeforeValidator(_pattern)]
Words: TypeAlias = tuple[Annotated[str, Field(min_length=1)], ...]


class Expectation(BaseModel):
    """One entry of `expect.yaml`; what is left out is not asked."""

    model_config = ConfigDict(extra="forbid", frozen=True)

    use: tuple[Mix, ...] = ()
    never: tuple[Mix, ...] = ()
    alike: tuple[tuple[str, ...], ...] = ()
    parts: int = 0
    status: Words = ()
    pull_n: dict[str, float] = {}
    peel_n: float | None = None
    ask: Words = ()
    ask_most: int | None = None
    why: str = Field(min_length=10)
    source: str = Field(min_length=5)

    @property
    def asks(self) -> bool:
        """True where the questions are judged."""
        return bool(self.ask) or self.ask_most is not None

    def sites(self) -> Iterator[str]:
        """Every site that is named."""
        for pattern in (*self.use, *self.never):
            yield from pattern.globs
        for pair in self.alike:
            yield from pair

    def globs(self) -> Iterator[str]:
        """Every glob that is named, `none` left out."""
        for pattern in (*self.use, *self.never):
            for globs in pattern.globs.values():
                yield from (glob for glob in globs if glob != EMPTY)


def read_expectations(text: str) -> dict[str, Expectation]:
    """Name to expectation; raises `ValidationError`."""
    return {name: Expectation.model_validate(entry) for name, entry in yaml.safe_load(text).items()}


def case_path(name: str) -> Path:
    """The case file of a vignette."""
    return FOLDER / f"{name}.yaml"


EXPECTED = read_expectations((FOLDER / "expect.yaml").read_text())
