"""Values of a case file set anew: `segments.B.width_mm=4.0`, or over a range `segments.A.undercut_mm=0..0.6/0.1`."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Iterator, Mapping
from copy import deepcopy
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from catalogue.mistakes import InputError, Mistake, Place
from catalogue.yaml_text import Document, Loc, parse_yaml
from solver.case.measure import NUMBER
from solver.case.reading import read_case
from solver.case.schema import Case

MOST_VALUES = 200
"""Values of one range; each is a plan of its own."""

NAMED = ("supports", "segments", "ends")
"""Groups of the case file whose keys are names of the user: a new name is a slip, not a new site."""

_SPAN = re.compile(
    rf"\s*(?P<low>{NUMBER})\s*\.\.\s*(?P<high>{NUMBER})"
    rf"\s*(?:/\s*(?P<step>{NUMBER}))?\s*(?:\+-\s*(?P<error>{NUMBER}))?\s*"
)


class BadSetting(Exception):
    """A setting that cannot be used; `problem` and `advice` as in a file's mistake."""

    def __init__(self, text: str, problem: str, advice: str = "") -> None:
        super().__init__(text, problem, advice)
        self.text, self.problem, self.advice = text, problem, advice

    def __str__(self) -> str:
        said = f"--set '{self.text}': {self.problem}"
        return f"{said}; {self.advice}" if self.advice else said


@dataclass(frozen=True, slots=True)
class Setting:
    """One value at one place of the file; `text` is how it was asked for."""

    loc: Loc
    value: Any
    text: str


@dataclass(frozen=True, slots=True)
class Span:
    """The values of a range at one place, each with the same measuring error where one is given."""

    loc: Loc
    values: tuple[Decimal, ...]
    error: Decimal | None
    text: str

    @property
    def path(self) -> str:
        """The place as it is written."""
        return ".".join(str(step) for step in self.loc)

    def at(self, value: Decimal) -> Setting:
        """The setting of one value."""
        plain = format(value, "f")
        number = parse_yaml(plain if self.error is None else f"{plain} +- {self.error}", "--set").data
        return Setting(self.loc, number, f"{self.path}={plain}")


def read_setting(text: str) -> Setting | Span:
    """`path=value`, or `path=low..high/step` with a tenth of the range as step where none is given."""
    path, equals, value = text.partition("=")
    steps = path.strip().split(".")
    if not equals or not all(steps) or not value.strip():
        raise BadSetting(text, "sets nothing", "write `path=value`, e.g. `segments.B.width_mm=4.0`")
    loc = tuple(int(step) if step.isdigit() else step for step in steps)
    if found := _SPAN.fullmatch(value):
        return Span(loc, _values(text, found), Decimal(found["error"]) if found["error"] else None, text)
    if ".." in value:
        raise BadSetting(text, f"'{value.strip()}' is no range", "write `low..high/step`, e.g. `0..0.6/0.1`")
    try:
        return Setting(loc, parse_yaml(value, "--set").data, text)
    except InputError as error:
        raise BadSetting(text, error.mistakes[0].problem, error.mistakes[0].advice) from None


def _values(text: str, found: re.Match[str]) -> tuple[Decimal, ...]:
    """From low to high in steps; the high end always stands among them."""
    low, high = Decimal(found["low"]), Decimal(found["high"])
    if low >= high:
        raise BadSetting(text, f"the range ends at {high}, where it starts or below", "write the lower end first")
    step = Decimal(found["step"]) if found["step"] else (high - low) / 10
    if step <= 0:
        raise BadSetting(text, f"a step of {step} leads nowhere", "write a step above 0, e.g. `0..0.6/0.1`")
    if (high - low) / step >= MOST_VALUES:
        raise BadSetting(text, f"more than {MOST_VALUES} values", "write a larger step; flips are found in between")
    count = int((high - low) / step)
    values = [low + n * step for n in range(count + 1)]
    return (*values, high) if values[-1] < high else tuple(values)


def changed_case(document: Document, settings: Iterable[Setting]) -> Case:
    """The case with these values, read and checked as if they stood in the file; raises `BadSetting`."""
    settings = tuple(settings)
    for setting in settings:
        document = _laid_in(document, setting)
    try:
        return read_case(document)
    except InputError as error:
        raise _blamed(settings, error.mistakes[0]) from None


def _laid_in(document: Document, setting: Setting) -> Document:
    data = deepcopy(document.data)
    here: Any = data
    for depth, step in enumerate(setting.loc[:-1]):
        _check_step(setting, here, depth)
        if isinstance(here, dict) and here.get(step) is None:
            here[step] = {}
        here = here[step]
    _check_step(setting, here, len(setting.loc) - 1)
    here[setting.loc[-1]] = setting.value
    # A place of its own for every step lets the reader name the path in full.
    places = {setting.loc[: n + 1]: Place("--set") for n in range(len(setting.loc))}
    places |= {(*setting.loc, *inner): Place("--set") for inner in _inner_locs(setting.value)}
    return Document(document.path, data, {**places, **document.places}, document.keys)


def _check_step(setting: Setting, here: Any, depth: int) -> None:
    """Refuse a step that leads nowhere: into a plain value, past the end of a list, to a name that is not there."""
    step, path = setting.loc[depth], ".".join(str(each) for each in setting.loc[:depth])
    if isinstance(here, list):
        if not isinstance(step, int) or step >= len(here):
            raise BadSetting(setting.text, f"`{path}` has no entry {step}", f"its entries are 0 to {len(here) - 1}")
    elif not isinstance(here, dict):
        raise BadSetting(setting.text, f"`{path}` holds {here!r} and no further keys", "end the path there")
    elif path in NAMED and step not in here:
        raise BadSetting(setting.text, f"no {path[:-1]} is called '{step}'", _meant(str(step), map(str, here)))
    elif depth == 0 and step not in Case.model_fields:
        raise BadSetting(setting.text, f"`{step}` is not known here", _meant(str(step), Case.model_fields))


def _meant(word: str, known: Iterable[str]) -> str:
    names = list(known)
    close = difflib.get_close_matches(word, names, n=1)
    return f"did you mean `{close[0]}`?" if close else f"known: {', '.join(names)}"


def _inner_locs(value: Any) -> Iterator[Loc]:
    pairs = value.items() if isinstance(value, Mapping) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in pairs:
        yield (key,)
        yield from ((key, *rest) for rest in _inner_locs(inner))


def _blamed(settings: tuple[Setting, ...], mistake: Mistake) -> BadSetting:
    """The mistake as one of the setting that made it; where none can be told, of all."""
    own = [s for s in settings if mistake.where.startswith(".".join(str(step) for step in s.loc))]
    if own:
        return BadSetting(own[-1].text, mistake.problem, mistake.advice)
    where = f"`{mistake.where}`: " if mistake.where else ""
    return BadSetting("' and '".join(s.text for s in settings), f"{where}{mistake.problem}", mistake.advice)
