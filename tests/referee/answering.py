"""An answer written into a case as a person would write it, and the case planned anew; nothing shared with `ask`."""

from __future__ import annotations

from catalogue.models import Catalogue
from solver.assess.assessment import Status
from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.case.schema import Case
from solver.case.sites import Fact
from solver.choose.plan import plan
from solver.choose.search import Options, choose
from solver.fit.candidate import Question


def with_answer(world: World, question: Question, value: Fact | float) -> World:
    """The world with a value at every place of a question."""
    data = world.case.model_dump(mode="json")
    for *path, key in question.places:
        here = data
        for step in path:
            here = here[step]
        here[key] = value.value if isinstance(value, Measure) else value
    return World(Case.model_validate(data, strict=False), world.catalogue)


def hoped(case: Case, catalogue: Catalogue) -> tuple[int, int] | None:
    """Cost and open questions of the plan; None where nothing fits without giving something up."""
    found = plan(case, catalogue)
    assert found.status is not Status.UNDECIDED
    fits = found.status in (Status.FITS, Status.FITS_IF, Status.TOO_LITTLE_KNOWN)
    return (found.best.cost.high, len(found.best.questions)) if fits and found.best else None


def certain(case: Case, catalogue: Catalogue) -> int | None:
    """Cost of the cheapest mix that hangs on nothing."""
    problem = problem_of(case, catalogue)
    hanging = {candidate.key for candidate in problem.fit.usable if candidate.questions}
    choice = choose(problem, Mechanics(problem), Options(), forbid=hanging)
    if not choice.mixes:
        return None
    return problem.cost_of([option.candidate for option in choice.mixes[0].options]).high
