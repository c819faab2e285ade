"""A second look at every pull: the forces that come with it balance it, and its lift field shows it takes no more.

The static theorem gives a floor, the kinematic one a ceiling; where both meet no LP has to be trusted. Retentions are
read from the catalogue again.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.schema import PullName
from solver.errors import InternalFault
from solver.fit.candidate import Candidate
from solver.mechanics.pulls import PullHold

FORCE_SLACK_N = 1e-4
"""Balance is kept to about 1e-7 N; levers are some fifty millimetres."""


def proved_pull_n(found: Assessment, name: PullName, condition: Condition) -> float:
    """Return what a pull takes, from forces that balance it."""
    hold = found.mechanics.pull(found.options, name, condition)
    check_pull(found.problem, found.mix, hold, condition)
    return hold.hold_n


def proved_sides_n(found: Assessment) -> tuple[float, float]:
    """Return what the left and the right side take."""
    return proved_pull_n(found, "left", Condition.NEW), proved_pull_n(found, "right", Condition.NEW)


def proved_peel_n(found: Assessment) -> float:
    """Return the least lift field that shows how easily an edge comes up."""
    return min(
        _given_by(found.problem, found.mix, hold, Condition.TIGHT) for hold in found.mechanics.peels(found.options)
    )


def check_pull(problem: Problem, mix: Sequence[Candidate], hold: PullHold, condition: Condition) -> None:
    """Raise `InternalFault` unless the forces balance the pull, within what every part holds, and no more is held."""
    parts = _parts(problem, mix, condition)
    bearing = _bearing(problem)
    held, pushed = np.array(hold.pull.attachment_n), np.array(hold.pull.contact_n)
    over = held - np.array([strong for _, strong in parts])
    if np.any(over > FORCE_SLACK_N) or np.any(np.concatenate([held, pushed]) < -FORCE_SLACK_N):
        raise InternalFault(f"the pull at {hold.name} asks more of a part than it holds")
    places = np.array([*(at for at, _ in parts), *bearing]).reshape(-1, 2)
    down = np.concatenate([held, -pushed])
    levers = down @ places - hold.hold_n * np.array([hold.at.x_mm, hold.at.y_mm])
    if abs(down.sum() - hold.hold_n) > FORCE_SLACK_N or np.any(np.abs(levers) > 50 * FORCE_SLACK_N):
        raise InternalFault(f"the forces against the pull at {hold.name} are out of balance")
    if abs(_given_by(problem, mix, hold, condition) - hold.hold_n) > 50 * FORCE_SLACK_N:
        raise InternalFault(f"the lift at {hold.name} is not the way that the denture gives by")


def _given_by(problem: Problem, mix: Sequence[Candidate], hold: PullHold, condition: Condition) -> float:
    """What the lift field of a pull lets it take at most: it lifts the pull by one and sinks no contact."""
    lift = hold.pull.lift

    def lifts(at: Sequence[float]) -> float:
        return lift.c0 + lift.cx * at[0] + lift.cy * at[1]

    if abs(lifts(hold.at) - 1) > 1e-6 or min(map(lifts, _bearing(problem))) < -1e-6:
        raise InternalFault(f"the lift at {hold.name} is no way that the denture can give by")
    return sum(strong * max(0.0, lifts(at)) for at, strong in _parts(problem, mix, condition))


def _bearing(problem: Problem) -> list[tuple[float, float]]:
    """Where the denture bears, seen from above: the border of its base, the bar on its supports and ends."""
    layout = problem.layout
    spots = (*layout.base.border, *layout.supports.values(), *layout.ends.values())
    return [(float(at[0]), float(at[1])) for at in spots]


def _parts(
    problem: Problem, mix: Sequence[Candidate], condition: Condition
) -> list[tuple[tuple[float, float], float]]:
    """Where every part stands, seen from above, and what it holds, N."""
    found = []
    for candidate in mix:
        strong = problem.retention_n(candidate, condition)
        for part in problem.option_of[candidate.key].placements:
            found.append(((float(part.at[0]), float(part.at[1])), strong))
    return found
