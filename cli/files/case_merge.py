"""Facts put into the text of a case file: comments, order and everything else stay as they are."""

from __future__ import annotations

from typing import NamedTuple

from ruamel.yaml.comments import CommentedMap, CommentedSeq

from catalogue.yaml_text import Loc, parse_yaml
from cli.files.yaml_editing import dumped, editor, leaves
from cli.files.yaml_tail import cut_tail, hang_tail
from solver.case.measure import Measure
from solver.errors import InternalFault
from solver.scan.to_case.as_case import Found
from solver.scan.to_case.facts import Fact, Facts, Value

GROUPS = ("supports", "segments", "ends")
TIES = ("between", "on")  # which supports a site hangs on is never changed


class Change(NamedTuple):
    """A known figure of the file that the scan contradicts: where, before, now."""

    where: str
    old: str
    new: str


class Merged(NamedTuple):
    """The new text, and what of the old it contradicts."""

    text: str
    changes: tuple[Change, ...]


def merged(text: str, found: Found) -> Merged:
    """The case in `text` with the facts of a scan. What the scan does not know leaves a given figure as it is."""
    yaml = editor()
    sheet = yaml.load(text)
    pen = _Pen([], set())
    for group in GROUPS:
        if sites := getattr(found, group):
            _write_group(pen, sheet, group, sites)
    written = dumped(yaml, sheet)
    _check_untouched(text, written, pen.touched)
    return Merged(written, tuple(pen.changes))


class _Pen(NamedTuple):
    """What was written where."""

    changes: list[Change]
    touched: set[Loc]


def _write_group(pen: _Pen, sheet: CommentedMap, group: str, sites: dict[str, Facts]) -> None:
    tail = _renewed(sheet, group) if not sheet.get(group) else cut_tail(sheet, group)
    for name, facts in sites.items():
        if name not in sheet[group]:
            sheet[group][name] = CommentedMap()
        _write_site(pen, sheet[group], (group, name), facts)
    hang_tail(sheet, group, tail)


def _renewed(sheet: CommentedMap, group: str) -> str:
    """Put an empty group in block style where it belongs; the comment before what follows it."""
    before = [key for key in sheet if key in GROUPS[: GROUPS.index(group)]]
    tail = cut_tail(sheet, group if group in sheet else before[-1])
    if group in sheet:
        sheet[group] = CommentedMap()
    else:
        sheet.insert(list(sheet).index(before[-1]) + 1, group, CommentedMap())
    return tail


def _write_site(pen: _Pen, sites: CommentedMap, loc: Loc, facts: Facts) -> None:
    site = sites[loc[-1]]
    tail = cut_tail(sites, loc[-1]) if site else ""
    for key, fact in facts.items():
        if key == "at_mm" and "tooth" in site:
            old, new = f"tooth {site['tooth']}", f"at_mm {_words(fact.value)}"
            pen.changes.append(Change(".".join(map(str, loc)), old, new))
            pen.touched.add((*loc, "tooth"))
            _rename(site, "tooth", key)
        _write(pen, site, (*loc, key), fact)
    hang_tail(sites, loc[-1], tail)


def _write(pen: _Pen, site: CommentedMap, loc: Loc, fact: Fact) -> None:
    key = loc[-1]
    if key in site and (not fact.known or key in TIES):
        return
    pen.touched.add(loc)
    old = site.get(key)
    if old is not None and _contradicts(old, fact.value):
        pen.changes.append(Change(".".join(map(str, loc)), _words(old), _words(fact.value)))
    fresh = key not in site
    _set(site, key, fact.value)
    if fresh and fact.remark and not site.fa.flow_style():
        site.yaml_add_eol_comment(fact.remark, key)


def _rename(site: CommentedMap, old: str, new: str) -> None:
    """The key under another name in its place, with its comment."""
    place, comment = list(site).index(old), site.ca.items.pop(old, None)
    site.insert(place, new, site.pop(old))
    if comment is not None:
        site.ca.items[new] = comment


def _set(site: CommentedMap, key: str | int, value: Value) -> None:
    old = site.get(key)
    if not isinstance(value, tuple):
        site[key] = value
    elif isinstance(old, CommentedSeq) and len(old) == len(value):
        for place, one in enumerate(value):  # comments may hang on the old list
            old[place] = one
    else:
        site[key] = CommentedSeq(value)
        site[key].fa.set_flow_style()


def _words(value: object) -> str:
    return f"[{', '.join(map(str, value))}]" if isinstance(value, list | tuple) else str(value)


def _contradicts(old: object, new: Value) -> bool:
    """True where both are known and, with their errors, cannot be the same."""
    if isinstance(new, tuple) or isinstance(old, list):
        return False
    try:
        before, now = Measure.read(_plain(old)), Measure.read(new)
    except ValueError:
        return old not in ("unknown", new)
    return before.known and (before.high < now.low or now.high < before.low)


def _plain(old: object) -> object:
    """Numbers as numbers: the editor of the file has types of its own."""
    return float(old) if isinstance(old, int | float) else old


def _check_untouched(old: str, new: str, touched: set[Loc]) -> None:
    """Everything else reads as before; raises `InternalFault` otherwise."""
    before, now = (dict(leaves(parse_yaml(text, "case").data)) for text in (old, new))
    for loc in {*before, *now}:
        apart = not any(loc[: len(one)] == one for one in touched) and before.get(loc) != now.get(loc)
        if apart and not (loc[-1] in GROUPS and len(loc) == 1):
            raise InternalFault(f"merging would change {'.'.join(map(str, loc))}")
