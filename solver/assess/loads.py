"""What a plan puts on its supports and bar: the bites, bending, and what rules of thumb say of its cantilever ends.

Remarks only: no rule of the case hangs on them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from solver.assess.problem import Problem
from solver.case.bite_force import BiteForce, bite_force
from solver.fit.candidate import Candidate
from solver.handbook.point import Point
from solver.handbook.sourced import Place
from solver.handbook.support_spread import CantileverNote, Jaw, anteroposterior_spread_mm, cantilever_notes
from solver.handbook.teeth import Arch
from solver.mechanics.bar_bending import Bent, bent_bar
from solver.mechanics.bites import splinted
from solver.mechanics.shared_bites import SharedBite, borne


@dataclass(frozen=True, slots=True)
class CantileverEnd:
    """An end of the bar that stays, and the rules whose limit it reaches."""

    end: str
    length_mm: float
    notes: tuple[CantileverNote, ...]


@dataclass(frozen=True, slots=True)
class Loads:
    """Bites and cantilevers of one mix; `spread_mm` None below three supports on one bar, or with the bar off."""

    arch: Arch
    force: BiteForce
    bites: tuple[SharedBite, ...]
    bar: tuple[Bent, ...]
    spread_mm: float | None
    cantilevers: tuple[CantileverEnd, ...]


def loads_on(problem: Problem, mix: Sequence[Candidate]) -> Loads:
    """Everything worth saying of the load on a mix."""
    case, layout = problem.case, problem.layout
    found = borne(case, layout, mix, problem.catalogue.defaults)
    if any(candidate.takes_bar_off for candidate in mix):
        return Loads(case.arch, bite_force(case), found.bites, (), None, ())
    spread_mm = _spread_mm(problem)
    cut = {c.site.id for c in mix if c.site.kind == "end" and c.makes_safe}
    ends = tuple(_end(problem, name, spread_mm) for name in case.ends if name not in cut)
    return Loads(case.arch, bite_force(case), found.bites, bent_bar(found), spread_mm, ends)


def _spread_mm(problem: Problem) -> float | None:
    """Spread of the longest bar, with the mean diameter of its collars."""
    names = max(splinted(problem.case), key=len)
    default = problem.catalogue.defaults.support_diameter_mm.value
    collars = [problem.case.supports[name].diameter_mm or default for name in names]
    places = sorted({Point(*problem.layout.supports[name][:2].tolist()) for name in names})
    if len(places) < 3:
        return None
    return anteroposterior_spread_mm(places, sum(collars) / len(collars))


def _end(problem: Problem, name: str, spread_mm: float | None) -> CantileverEnd:
    """The rules that an end reaches, of those that speak of this number of supports."""
    length_mm, jaw = problem.case.ends[name].length_mm, Jaw(problem.case.arch)
    notes = cantilever_notes(length_mm, spread_mm or 0.0, jaw)
    passed = {"spread-multiple"} if spread_mm is None else set()
    if len(problem.case.supports) != 4:
        passed.add("bar-four-implants")
    said = (note for note in notes if note.rule.code not in passed and note.place is not Place.BELOW)
    return CantileverEnd(name, length_mm, tuple(said))
