"""A second look at what a pull takes: the forces that come with it, and the way the denture gives, by plain sums.

Forces that balance the pull within what parts can hold show that it is taken; a lift field shows that no more is.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from solver.candidate import Candidate
from solver.faults import InternalFault
from solver.problem import Problem
from solver.pulls import PullHold

FORCE_SLACK_N = 1e-4
"""Balance is kept to about 1e-7 N; levers are some fifty millimetres."""

LIFT_SLACK = 1e-6
"""By which a contact may sink under one of lift at the pull."""


def low_n(candidate: Candidate) -> float:
    """What each part of a candidate holds at the least, N."""
    return candidate.attachment.retention_n.low


def check_hold(
    problem: Problem, mix: Sequence[Candidate], hold: PullHold, held_n: Callable[[Candidate], float] = low_n
) -> None:
    """Raise `InternalFault` where `hold` is not the largest pull that parts of `held_n` each take."""
    layout = problem.layout
    parts = [(part.at, held_n(c)) for c in mix for part in problem.option_of[c.key].placements]
    bearing = [*layout.base.border, *layout.supports.values(), *layout.ends.values()]
    at = np.array([*(spot[:2] for spot, _ in parts), *(spot[:2] for spot in bearing)])
    strong = np.array([n for _, n in parts])
    _check_balance(hold, at, strong)
    _check_lift(hold, at, strong)


def _check_balance(hold: PullHold, at: np.ndarray, strong: np.ndarray) -> None:
    """The forces balance the pull, and none is more than its part can hold (static theorem)."""
    held, pushed = np.array(hold.pull.attachment_n), np.array(hold.pull.contact_n)
    if np.any(held - strong > FORCE_SLACK_N) or np.any(np.concatenate([held, pushed]) < -FORCE_SLACK_N):
        raise InternalFault(f"the pull at {hold.name} asks more of a part than it holds")
    down = np.concatenate([held, -pushed])
    levers = down @ at - hold.hold_n * np.array([hold.at.x_mm, hold.at.y_mm])
    if abs(down.sum() - hold.hold_n) > FORCE_SLACK_N or np.any(np.abs(levers) > 50 * FORCE_SLACK_N):
        raise InternalFault(f"the forces against the pull at {hold.name} are out of balance")


def _check_lift(hold: PullHold, at: np.ndarray, strong: np.ndarray) -> None:
    """The denture may lift that way, and its parts hold no more against it (kinematic theorem)."""
    c0, *slope = hold.pull.lift
    lifts = c0 + at @ slope
    pulled = c0 + np.dot(slope, [hold.at.x_mm, hold.at.y_mm])
    if abs(pulled - 1.0) > LIFT_SLACK or np.any(lifts[len(strong) :] < -LIFT_SLACK):
        raise InternalFault(f"the denture cannot lift as the pull at {hold.name} says")
    worth_n = float(strong @ np.maximum(lifts[: len(strong)], 0.0))
    if worth_n > hold.hold_n + FORCE_SLACK_N * (1.0 + strong.sum()):
        raise InternalFault(f"the pull at {hold.name} takes more than {hold.hold_n:g} N: {worth_n:g} N")
