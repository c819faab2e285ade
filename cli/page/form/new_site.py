"""A new support, segment or free end, from the few words that make it one."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from string import ascii_uppercase
from typing import Any

from cli.interview.prompts import Unusable
from cli.page.form.entry import Said, decimal, read
from solver.case.schema import Case


def site_said(said: Mapping[str, str], case: Case) -> tuple[str, str, dict[str, Any]]:
    """Group, name and facts; raises `Unusable`. Whether it can stand in the case is judged with the case."""
    group = said.get("group", "")
    name = said.get("name", "").strip() or next_name(group, case)
    match group:
        case "supports":
            place = read("place", Said(said.get("place", "")))
            if place is None:
                raise Unusable("a support has a place", "write an FDI tooth, or x y z in mm")
            return group, name, {"tooth" if isinstance(place, int) else "at_mm": place}
        case "segments":
            return group, name, {"between": [said.get("from", ""), said.get("to", "")]}
        case "ends":
            if not said.get("length", "").strip():
                raise Unusable("an end has a length", "write it in mm, from the centre of the support to the ball")
            return group, name, {"on": said.get("on", ""), "length_mm": decimal(said["length"])}
        case _:
            raise Unusable("there is no such kind of site", "add a support, a segment or an end")


def next_name(group: str, case: Case) -> str:
    """A name that is free: S1, S2 ... for supports, letters for segments, E1 ... for ends."""
    letters: Mapping[str, Iterable[str]] = {
        "supports": (f"S{n}" for n in range(1, 99)),
        "segments": iter(ascii_uppercase),
        "ends": (f"E{n}" for n in range(1, 99)),
    }
    return next((name for name in letters.get(group, ()) if name not in case.site_ids), "X")
