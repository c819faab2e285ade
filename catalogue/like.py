"""Entries that are told by what differs: `like: OTHER` from another entry, `sizes:` among those of one family.

An entry with `like` is the other one with its own lines laid over it: keys add to or replace those of the other,
`null` takes one out, a need replaces that of the same quantity. It starts from the other as its own file and those
below it leave it, so that a file laid over both later changes only the entry that it names. `sizes` makes an entry of
every size, `ID-SIZE`, each with its own lines over those of the family; `{size}` in the name is the size.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeGuard

from catalogue.mistakes import Place
from catalogue.sheet import Finding, refuse
from catalogue.yaml_text import Document, Loc

MOST_SIZES = 100
"""Sizes of one family; more are a slip."""

GROUPS = ("attachments", "reworks")
LIKE, SIZES, SIZE = "like", "sizes", "{size}"


@dataclass(slots=True)
class _Entry:
    """One entry as it is told: lines laid one over the other, each with where they stand in the file."""

    layers: list[tuple[Loc, Mapping[str, Any]]] = field(default_factory=list)
    like: tuple[Loc, Any] | None = None
    size: str = ""


def written_out(above: Document, below: Mapping[str, Any]) -> tuple[Document, frozenset[Loc]]:
    """The document with every entry told in full, and the entries that start afresh; raises `InputError`.

    `below` are the data that it is laid over.
    """
    group_data: dict[str, Any] = {}
    moved: dict[Loc, list[Loc]] = {}
    fresh: set[Loc] = set()
    for group in GROUPS:
        entries = above.data.get(group)
        if isinstance(entries, dict) and any(_is_told_by_difference(entry) for entry in entries.values()):
            told = _Group(above, group, entries, below.get(group) or {})
            group_data[group] = told.in_full()
            moved |= told.moved
            fresh |= told.fresh
    if not group_data:
        return above, frozenset()
    data = {key: group_data.get(key, value) for key, value in above.data.items()}
    places, keys = (_at_their_new_place(old, moved) for old in (above.places, above.keys))
    return Document(above.path, data, places, keys), frozenset(fresh)


def _is_told_by_difference(entry: Any) -> bool:
    return isinstance(entry, dict) and (LIKE in entry or SIZES in entry)


class _Group:
    """Attachments or reworks of one file; `moved` tells where what stands at a place of the file ends up."""

    def __init__(self, document: Document, group: str, entries: Mapping[str, Any], below: Mapping[str, Any]) -> None:
        self._document, self._group, self._entries, self._below = document, group, entries, below
        self._told = self._as_told()
        self._full: dict[str, Any] = {}
        self.moved: dict[Loc, list[Loc]] = {}

    @property
    def fresh(self) -> set[Loc]:
        """The entries that are not laid over one of the same name below."""
        return {(self._group, name) for name in self._told}

    def in_full(self) -> dict[str, Any]:
        """Every entry of the group; those that are told in full already stay as they are."""
        every: dict[str, Any] = {}
        for name, entry in self._entries.items():
            if isinstance(entry, dict) and SIZES in entry:
                every |= {f"{name}-{size}": self._of(f"{name}-{size}", ()) for size in entry[SIZES]}
            elif name in self._told:
                every[name] = self._of(name, ())
            else:
                every[name] = entry
        return every

    def _as_told(self) -> dict[str, _Entry]:
        told: dict[str, _Entry] = {}
        for name, entry in self._entries.items():
            if not _is_told_by_difference(entry):
                continue
            loc = (self._group, name)
            like = ((*loc, LIKE), entry[LIKE]) if LIKE in entry else None
            own = {key: value for key, value in entry.items() if key not in (LIKE, SIZES)}
            if SIZES not in entry:
                sizes = {name: _Entry([(loc, own)], like)}
            else:
                sizes = {
                    f"{name}-{size}": _Entry([(loc, own), ((*loc, SIZES, size), differs)], like, size)
                    for size, differs in self._sizes(loc, entry[SIZES])
                }
            if twice := told.keys() & sizes.keys():
                here, _ = sizes[min(twice)].layers[-1]
                refuse(self._document, {here: Finding(f"'{min(twice)}' is told twice", "name one of them otherwise")})
            told |= sizes
        for name, entry in self._entries.items():  # what is said of one size by itself comes last
            if name in told and isinstance(entry, dict) and not _is_told_by_difference(entry):
                told[name].layers.append(((self._group, name), entry))
        return told

    def _sizes(self, loc: Loc, sizes: Any) -> Iterator[tuple[str, Mapping[str, Any]]]:
        where = (*loc, SIZES)
        if not isinstance(sizes, dict) or not 1 <= len(sizes) <= MOST_SIZES:
            advice = f"write `SIZE: {{what differs}}` lines under it, {MOST_SIZES} at most"
            refuse(self._document, {where: Finding("holds no sizes, or too many", advice)})
        for size, differs in sizes.items():
            if not isinstance(differs, dict):
                refuse(self._document, {(*where, size): Finding("says not what differs", "write `{}` for nothing")})
            yield str(size), differs

    def _of(self, name: str, on_the_way: tuple[str, ...]) -> Any:
        """One entry in full."""
        if name in self._full:
            return self._full[name]
        entry = self._told[name]
        whole = self._start(entry, (*on_the_way, name)) if entry.like else {}
        origins: list[Loc | None] = _nowhere(whole.get("needs"))
        for loc, lines in entry.layers:
            refuse(self._document, dict(_idle_nulls(whole, lines, loc)))
            self.moved.setdefault(loc, []).append((self._group, name))
            own, old = lines.get("needs"), whole.get("needs")
            whole = _over(whole, lines)
            if "needs" in lines:
                here: list[Loc | None] = [(*loc, "needs", index) for index in range(len(_nowhere(own)))]
                if _are_needs(own) and _are_needs(old):
                    whole["needs"], here = _needs_over(old, origins, own, here)
                origins = here
        for index, origin in enumerate(origins):
            if origin is not None:
                self.moved.setdefault(origin, []).append((self._group, name, "needs", index))
        if entry.size and isinstance(whole.get("name"), str):
            whole["name"] = whole["name"].replace(SIZE, entry.size)
        self._full[name] = whole
        return whole

    def _start(self, entry: _Entry, on_the_way: tuple[str, ...]) -> dict[str, Any]:
        """The other entry, as this file and those below it leave it."""
        assert entry.like is not None
        where, other = entry.like
        if not isinstance(other, str):
            refuse(self._document, {where: Finding("names no entry", "write the id of the other, e.g. `like: ID`")})
        if other in on_the_way:
            chain = " -> ".join((*on_the_way[on_the_way.index(other) :], other))
            refuse(self._document, {where: Finding(f"leads back to itself: {chain}", "write one of them in full")})
        if other in self._told:
            return dict(self._of(other, on_the_way))
        own, under = self._entries.get(other), self._below.get(other)
        if not isinstance(own, dict) and not isinstance(under, dict):
            close = difflib.get_close_matches(other, [*self._told, *self._entries, *self._below], n=1)
            advice = f"did you mean `{close[0]}`?" if close else "name one of this file or below it"
            refuse(self._document, {where: Finding(f"no entry of `{self._group}` is called '{other}'", advice)})
        whole: dict[str, Any] = _over(under or {}, own or {})
        return whole


def _needs_over(
    old: list[Any], old_at: list[Loc | None], own: list[Any], own_at: list[Loc | None]
) -> tuple[list[Any], list[Loc | None]]:
    """Needs laid over needs by quantity, each with where it stands; those of quantities that are new come first."""
    before = {need["of"] for need in old}
    instead = {need["of"]: (need, at) for need, at in zip(own, own_at, strict=True)}
    new = [(need, at) for need, at in zip(own, own_at, strict=True) if need["of"] not in before]
    kept = [instead.get(need["of"], (need, at)) for need, at in zip(old, old_at, strict=True)]
    return [need for need, _ in (*new, *kept)], [at for _, at in (*new, *kept)]


def _nowhere(needs: Any) -> list[Loc | None]:
    """For each need that it stands in no line of this file."""
    return [None] * len(needs) if isinstance(needs, list) else []


def _are_needs(needs: Any) -> TypeGuard[list[dict[str, Any]]]:
    return isinstance(needs, list) and all(
        isinstance(need, dict) and isinstance(need.get("of"), str) for need in needs
    )


def _over(below: Any, above: Any) -> Any:
    """Data laid over data: mappings key by key, all else replaced, what is null taken out."""
    if not (isinstance(below, dict) and isinstance(above, Mapping)):
        return above
    merged = {**below, **{key: _over(below.get(key), value) for key, value in above.items()}}
    return {key: value for key, value in merged.items() if value is not None}


def _idle_nulls(below: Any, above: Any, loc: Loc) -> Iterator[tuple[Loc, Finding]]:
    """What is to be taken out and is not there."""
    if not (isinstance(below, Mapping) and isinstance(above, Mapping)):
        return
    for key, value in above.items():
        if value is None and key not in below:
            yield (*loc, key), Finding(f"there is no '{key}' to take out", "leave the line out")
        yield from _idle_nulls(below.get(key), value, (*loc, key))


def _at_their_new_place(old: Mapping[Loc, Place], moved: Mapping[Loc, list[Loc]]) -> dict[Loc, Place]:
    """Places by where their values end up; of two for one value the later one in the file."""
    found: dict[Loc, Place] = {}
    for loc, place in old.items():
        source = next((loc[:n] for n in range(len(loc), 0, -1) if loc[:n] in moved), None)
        if source is None:
            found[loc] = place
            continue
        for target in moved[source]:
            found[(*target, *loc[len(source) :])] = place
    return found
