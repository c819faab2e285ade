"""JSON Schema of the files a person writes, so that an editor completes and checks them while they are typed.

A schema accepts whatever the loader accepts; what no single value can tell (a name used twice, segments that cross)
only the loader finds.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, TypeAlias

from pydantic.json_schema import GenerateJsonSchema, JsonSchemaValue
from pydantic_core import core_schema

from catalogue.like import LIKE, MOST_SIZES, SIZES
from catalogue.models import Catalogue
from catalogue.sheet import Sheet
from cli.files.own import MARK
from solver.buying.outlook import Outlook
from solver.buying.stock import Stock
from solver.buying.suppliers import Suppliers
from solver.case.measure import Measure
from solver.case.schema import Case

Shape: TypeAlias = dict[str, Any]

DIALECT = GenerateJsonSchema.schema_dialect
HEAD: Shape = {"$schema": DIALECT, "$comment": MARK.decode()}
_PART = "PartOf"
_TOLD_BY_DIFFERENCE = ("Attachment", "Rework")
_NOTHING: Shape = {"type": "null"}


def case_schema() -> Shape:
    """The case file."""
    return _schema_of(Case)


def stock_schema() -> Shape:
    """The stock file of `order`."""
    return _schema_of(Stock)


def suppliers_schema() -> Shape:
    """The suppliers file of `order`."""
    return _schema_of(Suppliers)


def outlook_schema() -> Shape:
    """The outlook file of `forecast`."""
    return _schema_of(Outlook)


def catalogue_schema() -> Shape:
    """A catalogue file as laid over the starter one: no key must be there, and `null` takes a key out.

    Values inside a list are never laid over anything, so they stay whole.
    """
    whole = _schema_of(Catalogue)
    definitions: dict[str, Shape] = whole.pop("$defs")
    parts = {f"{_PART}{name}": _part(shape) for name, shape in definitions.items()}
    for name in _TOLD_BY_DIFFERENCE:
        parts[f"{_PART}{name}"]["properties"] |= _by_difference(f"{_PART}{name}")
    about = "What differs from the starter catalogue: keys that it has are replaced, others are added."
    overlay = {**HEAD, **_part(whole), "title": "Catalogue overlay", "description": about}
    return {**overlay, "$defs": _used(overlay, definitions | parts)}


def _by_difference(part: str) -> Shape:
    """Keys that tell an entry by what differs (see `catalogue.like`)."""
    of_a_size = {"type": "object", "additionalProperties": {"$ref": f"#/$defs/{part}"}, "minProperties": 1}
    return {
        LIKE: {"type": "string", "description": "id of another entry that this one is like, but for its own lines"},
        SIZES: of_a_size
        | {
            "maxProperties": MOST_SIZES,
            "description": "sizes of a family, each an entry ID-SIZE with its own lines; {size} in the name is it",
        },
    }


class _Plain(GenerateJsonSchema):
    """Without titles that repeat the key, with measures as they are written, and with no unknown keys."""

    def field_title_should_be_set(self, schema: Any) -> bool:
        return False

    def encode_default(self, dft: Any) -> Any:
        if isinstance(dft, Measure):
            return str(dft)
        return {} if isinstance(dft, Sheet) else super().encode_default(dft)

    def dict_schema(self, schema: core_schema.DictSchema) -> JsonSchemaValue:
        shape = super().dict_schema(schema)
        return shape | {"additionalProperties": False} if "patternProperties" in shape else shape


def _schema_of(model: type[Sheet]) -> Shape:
    return {**HEAD, **model.model_json_schema(schema_generator=_Plain)}


def _part(shape: Shape) -> Shape:
    """The same shape with every key optional and removable, as far down as files are laid over each other."""
    part = {key: value for key, value in shape.items() if key not in ("required", "minProperties", "default")}
    if "$ref" in part:
        part["$ref"] = part["$ref"].replace("#/$defs/", f"#/$defs/{_PART}")
    if "anyOf" in part:
        part["anyOf"] = [_part(choice) for choice in part["anyOf"]]
    for keyword in ("properties", "patternProperties"):
        if keyword in part:
            part[keyword] = {key: _removable(value) for key, value in part[keyword].items()}
    if isinstance(part.get("additionalProperties"), dict):
        part["additionalProperties"] = _removable(part["additionalProperties"])
    return part


def _removable(shape: Shape) -> Shape:
    about = {key: shape[key] for key in ("description",) if key in shape}
    rest = {key: value for key, value in shape.items() if key not in about}
    return {**about, "anyOf": [_part(rest), _NOTHING]}


def _used(shape: Any, definitions: Mapping[str, Shape]) -> dict[str, Shape]:
    """The definitions that `shape` refers to, directly or through others, by name."""
    found: dict[str, Shape] = {}
    waiting = list(_references(shape))
    while waiting:
        name = waiting.pop()
        if name not in found:
            found[name] = definitions[name]
            waiting += _references(definitions[name])
    return dict(sorted(found.items()))


def _references(shape: Any) -> list[str]:
    if isinstance(shape, dict):
        own = [shape["$ref"].removeprefix("#/$defs/")] if "$ref" in shape else []
        return own + [name for value in shape.values() for name in _references(value)]
    if isinstance(shape, list):
        return [name for value in shape for name in _references(value)]
    return []
