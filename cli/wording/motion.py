"""How the base moves, said in one breath: which demands move freely, bottom, stand or fight."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from cli.wording.numbers import Figures
from cli.wording.places import PlaceNames, capital, listed
from cli.wording.words import MOTION
from solver.assess.assessment import Assessment
from solver.case.schema import DemandName
from solver.mechanics.placement import Component
from solver.mechanics.verdicts import DemandVerdict, MovementVerdict

_BITE: dict[DemandName, str] = {"front": "at the front", "left": "on the left", "right": "on the right"}


def motion(best: Assessment, places: PlaceNames, figures: Figures) -> Iterator[str]:
    """The fights first, each pair once with the motion that one stops and the other gives."""
    bears = "the implants bear" if best.takes_bar_off else "the bar bears"
    by_verdict: dict[MovementVerdict, list[DemandVerdict]] = {}
    for found in best.verdicts:
        by_verdict.setdefault(found.verdict, []).append(found)
    if best.stands_throughout:
        yield f"Nothing gives: {bears} the denture in every bite."
        return
    yield from _fights(by_verdict.get(MovementVerdict.FIGHTS, []), places)
    if bottoms := by_verdict.get(MovementVerdict.BOTTOMS):
        share = figures.share(min(found.reach for found in bottoms))
        yield f"{capital(_when(bottoms))} it moves {share} of the way; from there {bears} the bite."
    if stands := by_verdict.get(MovementVerdict.STANDS):
        yield f"{capital(_when(stands))} nothing gives: {bears} it."
    if MovementVerdict.MOVES in by_verdict:
        yield (
            "Otherwise it moves freely."
            if len(by_verdict) > 1
            else "The base settles and rocks freely on the mucosa."
        )


def _fights(found: Sequence[DemandVerdict], places: PlaceNames) -> Iterator[str]:
    """Demands in which the same parts fight by the same motion are told together."""
    together: dict[tuple[frozenset[str], Component | None], list[DemandVerdict]] = {}
    for verdict in found:
        sites = frozenset(part.site for part in verdict.pair or ())
        together.setdefault((sites, verdict.component), []).append(verdict)
    for verdicts in together.values():
        yield f"PARTS FIGHT {_when(verdicts)}: {_pair(verdicts, places)}."


def _pair(found: Sequence[DemandVerdict], places: PlaceNames) -> str:
    pairs = list(dict.fromkeys(verdict.pair for verdict in found))
    pair, component = pairs[0], found[0].component
    if pair is None or component is None:
        return "they cannot all move together"
    one, other, way = places.site(pair[0].site), places.site(pair[1].site), MOTION[component]
    if one == other:
        return f"those on {one} wedge each other in {way}"
    if len(pairs) > 1:
        return f"of {places.sites([part.site for part in pair])} one stops the {way} that the other gives"
    return f"{one} stops the {way} that {other} gives"


def _when(found: Sequence[DemandVerdict]) -> str:
    """`as the whole base settles and in a bite on the left and on the right`."""
    names = [verdict.demand for verdict in found]
    bites = [_BITE[name] for name in names if name in _BITE]
    whole = ["as the whole base settles"] if "whole" in names else []
    return listed(whole + ([f"in a bite {listed(bites)}"] if bites else []))
