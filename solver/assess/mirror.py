"""Mirror sites: the same place on the other side of the jaw. Both that can take a part get the same one.

A laboratory that fits two different females to two like ends of a bar makes two things to remember and two to keep in
the drawer (common practice, no source).
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from solver.case.base import Base, Vector
from solver.case.rules import NeedHolds
from solver.case.sites import Site

if TYPE_CHECKING:
    from solver.assess.problem import Problem
    from solver.mechanics.option import Option

MIRROR_MM = 8.0
"""Sites count as mirrored where one stands this near to the other's image: a premolar's width (chosen)."""

MIDDLE_MM = 2.0
"""Sites this near to the midline have no mirror but themselves (chosen)."""


class Unlike(NamedTuple):
    """An option without its like on the mirror site, which could take it."""

    site: str
    mirror: str
    key: str


def mirrored(sites: Sequence[Site], base: Base) -> dict[str, str]:
    """Return each site with the one of its kind on the other side of the midline, nearest pairs first."""
    middle = (base.left + base.right) / 2
    across = (base.left - base.right) / (np.linalg.norm(base.left - base.right) or 1.0)

    def aside_mm(at: Vector) -> float:
        return float(np.dot(at - middle, across))

    pairs = sorted(
        (float(np.linalg.norm(one.at - 2 * aside_mm(one.at) * across - other.at)), one.id, other.id)
        for one in sites
        for other in sites
        if one.kind == other.kind and aside_mm(one.at) > MIDDLE_MM and aside_mm(other.at) < -MIDDLE_MM
    )
    found: dict[str, str] = {}
    for apart_mm, one, other in pairs:
        if apart_mm <= MIRROR_MM and one not in found and other not in found:
            found[one], found[other] = other, one
    return found


def likes(option: Option, opposite: Sequence[Option]) -> list[int]:
    """Return which options of the mirror site are like this one: the same parts and steps, else the same parts.

    Steps may differ only where the mirror site cannot have the same: a sound ball beside one that is capped. What
    would need more to be given up there than here is no part that the site can take, nor is one for which a sound bar
    would be cut there alone.
    """
    parts = [i for i, other in enumerate(opposite) if _part(other) == _part(option) and _as_readily(other, option)]
    same = [i for i in parts if opposite[i].candidate.label == option.candidate.label]
    return same or parts


def unlike(problem: Problem, options: Sequence[Option]) -> tuple[Unlike, ...]:
    """Return what stands on a site and not on its mirror, which could take it."""
    fitted = {option.site: option for option in options}
    found = []
    for site, option in fitted.items():
        if (mirror := problem.mirrors.get(site)) is None:
            continue
        there = problem.options_at(mirror)
        wanted = {there[i].candidate.key for i in likes(option, there)}
        if wanted and (mirror not in fitted or fitted[mirror].candidate.key not in wanted):
            found.append(Unlike(site, mirror, option.candidate.key))
    return tuple(found)


def _as_readily(other: Option, option: Option) -> bool:
    """True where the other asks nothing to be given up that this one does not, nor the bar to be cut for it alone."""
    harms_alone = other.candidate.harms_bar and not option.candidate.harms_bar
    return _waived(other) <= _waived(option) and not harms_alone


def _part(option: Option) -> tuple[str, int]:
    return option.candidate.attachment.id, option.candidate.count


def _waived(option: Option) -> set[str]:
    """What an option would need a person to give up, without the site."""
    return {rule.of if isinstance(rule, NeedHolds) else rule.code for rule in option.needs_waived}
