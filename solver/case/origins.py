"""Where in a case file a fact of a site comes from: the keys that settle it."""

from __future__ import annotations

from catalogue.quantities import OF_THE_BAR
from catalogue.yaml_text import Loc
from solver.case.schema import Case


def fact_origins(case: Case, site: str, of: str) -> tuple[Loc, ...]:
    """The keys of a measured fact of a site; room and space may come from the case as a whole."""
    if of in ("scans", "metals"):
        return (("patient", "scans_expected" if of == "scans" else "sensitivities"),)
    if of == "grinding":
        return (("patient", "bruxism"), ("opposing",))
    if of in OF_THE_BAR:
        return (("bar", of),)
    group = next(name for name in ("segments", "ends", "supports") if site in getattr(case, name))
    own, shared = getattr(case, group)[site], case.room
    here: Loc = (group, site)
    if of == "room_mm" and not own.room_mm.known and (own.top_mm.known or not shared.room_mm.known):
        return tuple((*here, name) if getattr(own, name).known else ("room", name) for name in ("space_mm", "top_mm"))
    if of in ("room_mm", "space_mm", "breadth_mm") and not getattr(own, of).known:
        return (("room", of),)
    return ((*here, of),)
