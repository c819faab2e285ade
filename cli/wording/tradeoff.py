"""The axes of a trade-off in words."""

from __future__ import annotations

from solver.choose.goals import Axis
from solver.explore.tradeoff import Front


def axis_label(found: Front, axis: Axis) -> str:
    """`cost, EUR`: an axis with its unit."""
    return f"{title(axis)}, {found.problem.case.money.currency if axis.unit == 'money' else axis.unit}"


def title(axis: Axis) -> str:
    """The name of an axis, written out where the short one does not say enough."""
    return axis.title or axis.name
