"""The fields of a form, derived from the model of the case file: their names, how they read, what is there."""

from __future__ import annotations

import types
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, Literal, Union, get_args, get_origin

from pydantic.fields import FieldInfo

from catalogue.quantities import QUANTITIES
from catalogue.sheet import Sheet
from catalogue.yaml_text import Loc
from cli.page.form.entry import EMPTY, Kind, Shown, shown
from cli.wording.labels import HINTS, LABELS, UNITS, WORDS
from cli.wording.numbers import Figures
from solver.case.measure import UNKNOWN_WORD, Measure
from solver.case.rule_set import RENAMED, SEVERITY
from solver.case.schema import Money, Support

LEFT_TO_THE_FILE: Mapping[str, str] = {
    "invented": "said of examples, never of a patient",
    "between": "chosen where a segment is added; another pair of supports is another segment",
    "on": "chosen where a free end is added; beyond another support is another end",
}
"""What of the case has no field, and why."""
_PLACE = frozenset({"tooth", "at_mm"})
"""Both ways to place a support are one field."""


@dataclass(frozen=True, slots=True)
class Field:
    """One field. `at` is its dotted place in the file, `given`: a value stands there; `usual` holds if none does."""

    at: str
    kind: Kind
    label: str
    unit: str = ""
    hint: str = ""
    shown: Shown = EMPTY
    given: bool = False
    usual: str = ""
    choices: tuple[tuple[str, str], ...] = ()
    needed: bool = False


def fields_of(
    model: type[Sheet], at: Loc, data: Mapping[str, Any], figures: Figures, shared: Mapping[str, Any] | None = None
) -> Iterator[Field]:
    """The fields of a part of the case. `shared` are the figures of the whole case that hold where none are given."""
    for name, info in model.model_fields.items():
        if name in LEFT_TO_THE_FILE:
            continue
        if model is Support and name in _PLACE:
            if name == "tooth":
                yield _support_place(at, data, figures)
        elif keys := _keys(info.annotation):
            inner = data.get(name) or {}
            for key in keys:
                if name == "severity" and key in RENAMED:  # an older name of another field
                    continue
                usual = _own_order(key, inner) if name == "severity" else ""
                yield _field(model, (*at, name, key), info, inner.get(key), figures, usual)
        else:
            usual = _shared(name, shared, figures)
            yield _field(model, (*at, name), info, data.get(name), figures, usual)


def kind_of(model: type[Sheet], names: Sequence[str]) -> Kind:
    """How the field of a model reads, or one key of a field that is a map; raises `KeyError` where there is none."""
    if model is Support and names == ("place",):
        return "place"
    name, *key = names
    annotation = model.model_fields[name].annotation
    keys = _keys(annotation)
    if name in LEFT_TO_THE_FILE or (model is Support and name in _PLACE):
        raise KeyError(".".join(names))
    if tuple(key) != () if not keys else len(key) != 1 or key[0] not in keys:
        raise KeyError(".".join(names))
    return _kind(model, name, annotation)


def _support_place(at: Loc, data: Mapping[str, Any], figures: Figures) -> Field:
    value = data.get("tooth", data.get("at_mm"))
    return Field(
        _dotted((*at, "place")), "place", LABELS["place"], "", HINTS["place"], shown("place", value, figures), True,
        needed=True,
    )  # fmt: skip


def _field(model: type[Sheet], at: Loc, info: FieldInfo, value: Any, figures: Figures, usual: str = "") -> Field:
    name, last = _named(at)
    here = f"{at[0]}.{name}"
    kind = _kind(model, name, info.annotation)
    hint = HINTS.get(here, HINTS.get(name))
    default = info.default if kind in ("tick", "word") and not info.is_required() else None
    value = default if value is None else value
    return Field(
        at=_dotted(at),
        kind=kind,
        label=_label(name, here if here in LABELS else last),
        unit=_unit(name, kind),
        hint=_hint(name, info) if hint is None else hint,
        shown=shown(kind, value, figures),
        given=value is not None and value != UNKNOWN_WORD,
        usual=usual or (str(info.default) if kind == "number" and isinstance(info.default, int) else ""),
        choices=tuple((word, WORDS.get(word, word)) for word in _choices(info.annotation)),
        needed=info.is_required(),
    )


def _named(at: Loc) -> tuple[str, str]:
    """The field that a place belongs to, and the name of its label."""
    name = str(at[-1])
    if len(at) >= 2 and at[-2] in ("pull_n", "movement", "severity"):
        return str(at[-2]), f"{at[-2]}.{name}"
    return name, name


def label_of(part: str, name: str) -> str:
    """What a value of a part of the case is called, at a site or in the whole."""
    if part == "supports" and name in _PLACE:
        return LABELS["place"]
    return _label(name, f"{part}.{name}" if f"{part}.{name}" in LABELS else name)


def _label(name: str, last: str) -> str:
    label = LABELS.get(last) or (QUANTITIES[name].label if name in QUANTITIES else name)
    return label[:1].upper() + label[1:]


def _hint(name: str, info: FieldInfo) -> str:
    told = QUANTITIES[name].how if name in QUANTITIES else info.description or ""
    return told[:1].upper() + told[1:]


def _unit(name: str, kind: Kind) -> str:
    if kind == "amount":
        return "money"
    return next((unit for ending, unit in UNITS.items() if name.endswith(ending) and kind in _IN_UNITS), "")


_IN_UNITS = ("measure", "number")


def _shared(name: str, shared: Mapping[str, Any] | None, figures: Figures) -> str:
    value = (shared or {}).get(name)
    if value in (None, UNKNOWN_WORD):
        return ""
    found = shown("measure", value, figures)
    return found.value + (f" ± {found.error}" if found.error else "")


def _own_order(key: str, given: Mapping[str, Any]) -> str:
    """How hard a rule is to give up where the case does not say it: as all of its kind, else as we have it."""
    kind = key.partition(":")[0]
    return str(given.get(kind) or SEVERITY[kind])


def _kind(model: type[Sheet], name: str, annotation: Any) -> Kind:
    kinds = list(_inside(annotation))
    if Measure in kinds:
        return "measure"
    if bool in kinds:
        return "tick"
    if _choices(annotation):
        return "word"
    if get_origin(_bare(annotation)) is tuple or any(get_origin(one) is tuple for one in get_args(_bare(annotation))):
        return "spot" if int in kinds else "point" if float in kinds else "words"
    if float in kinds or int in kinds:
        return "amount" if model is Money and name not in ("years", "exchange") else "number"
    return "text"


def _choices(annotation: Any) -> tuple[str, ...]:
    """The words of a choice, those of a choice within a choice too."""
    found: list[str] = []
    for part in _parts(annotation):
        if get_origin(part) is Literal:
            found += [word for word in get_args(part) if isinstance(word, str)]
    return tuple(dict.fromkeys(found))


def _keys(annotation: Any) -> tuple[str, ...]:
    """The keys of a map whose keys are a choice."""
    bare = _bare(annotation)
    return _choices(get_args(bare)[0]) if get_origin(bare) is dict else ()


def _inside(annotation: Any) -> Iterator[Any]:
    yield annotation
    for part in get_args(annotation):
        if not isinstance(part, str):
            yield from _inside(part)


def _parts(annotation: Any) -> Iterator[Any]:
    if get_origin(annotation) in (Union, types.UnionType):
        for part in get_args(annotation):
            yield from _parts(part)
    else:
        yield annotation


def _bare(annotation: Any) -> Any:
    """The annotation without `None` beside it."""
    parts = [part for part in _parts(annotation) if part is not type(None)]
    return parts[0] if len(parts) == 1 else annotation


def _dotted(at: Loc) -> str:
    return ".".join(map(str, at))
