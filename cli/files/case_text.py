"""A case file as text, with comments that say what each part is and how to measure what is still open."""

from __future__ import annotations

from collections.abc import Mapping
from io import StringIO
from typing import Any

from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq

from catalogue.quantities import QUANTITIES
from solver.case.measure import UNKNOWN_WORD
from solver.case.schema import Case

_HEAD = """\
A case of regrip. Lengths in mm. A measured figure is `1.8`, `1.8 +- 0.1` with its error, or `unknown`.
Plan it: regrip plan FILE    Completion in an editor: regrip schema case -o case.schema.json
"""
_OPEN_RATE = "not known: these minutes are not counted; put the rate in"


def case_text(data: Mapping[str, Any]) -> str:
    """YAML that reads back as `data`, commented."""
    sheet = _map(data)
    sheet.yaml_set_start_comment(_HEAD)
    for key in data:
        if isinstance(data[key], dict):
            about = Case.model_fields[key].description or key
            sheet.yaml_set_comment_before_after_key(key, before=f"\n{about[:1].upper()}{about[1:]}.")
    writer = YAML()
    writer.width = 10_000
    text = StringIO()
    writer.dump(sheet, text)
    return text.getvalue()


def _map(data: Mapping[str, Any]) -> CommentedMap:
    sheet = CommentedMap({key: _value(value) for key, value in data.items()})
    for key, value in data.items():
        if remark := _remark(key, value):
            sheet.yaml_add_eol_comment(remark, key)
    return sheet


def _value(value: Any) -> Any:
    if isinstance(value, dict):
        return _map(value)
    if isinstance(value, list):
        line = CommentedSeq(value)
        line.fa.set_flow_style()
        return line
    return value


def _remark(key: str, value: Any) -> str:
    """What to do about a figure that is still open."""
    if value == UNKNOWN_WORD and key in QUANTITIES:
        return QUANTITIES[key].how
    return _OPEN_RATE if value == 0 and key.endswith("_per_hour") else ""
