"""A case with one figure changed is the case worked out anew, though only what can differ is."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.models import Catalogue
from solver.assess.problem import Problem, problem_of
from solver.case.schema import Case
from solver.explore.figure_changes import changed_problem
from solver.explore.weak_figures import weak_figures, with_figure
from solver.fit.bench import Bench
from tests.referee.random_case import INVENTED, random_world
from tests.solver.small import band, need, part, small_case, step, stock


def worlds() -> dict[str, tuple[Case, Catalogue]]:
    """Steps that always go with a part, are paid once or make it fit, and drawn at random."""
    sent = step("send", "segment", always_with=True, once=True, price=band(8, 9), work={"source": INVENTED})
    cut = step("cut", "segment", makes={"undercut_mm": 0.45}, tolerance_mm=0.05, price=band(3, 4))
    clips = part("clip", needs=[need("undercut_mm", at_least=0.4)], length_mm=4, most=2), part("tall", steps=["send"])
    small = small_case(wanted={"level_n": 5}), stock(*clips, part("ball", "ball", "end"), steps=(sent, cut))
    drawn = {f"random {seed}": random_world(seed) for seed in (2, 3, 5)}
    return {"steps": small} | {name: (world.case, world.catalogue) for name, world in drawn.items()}


WORLDS = worlds()


def looks(problem: Problem) -> list[Any]:
    """All that a choice looks at: the candidates, and what binds a mix as a whole."""
    every = [
        (c.key, c.verdict, c.cost, c.charges, c.questions, c.waived, c.permissions, c.low_n, c.high_n)
        for found in problem.fit.sites
        for c in sorted(found.every, key=lambda c: c.key)
    ]
    moves = [option.manner for option in problem.options]
    return [every, moves, problem.rules, dict(problem.charges), problem.settling_mm]


@pytest.mark.parametrize("name", WORLDS)
def test_what_is_not_worked_out_again_is_as_if_it_were(name: str) -> None:
    case, catalogue = WORLDS[name]
    problem = problem_of(case, catalogue)
    bench = Bench(case, catalogue, problem.purse)
    for found in problem.fit.sites:
        bench.fit_site(found.site)
    differs = 0

    for figure in weak_figures(catalogue):
        for value in figure.ends:
            anew = looks(problem_of(case, with_figure(catalogue, figure.path, value)))
            assert anew == looks(changed_problem(problem, figure, value, bench)), figure.path
            differs += anew != looks(problem)
    assert differs > 0
