"""Mouths like those of the papers on load, each with what the starter catalogue fits there, and what a bite does."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from solver.assess.problem import problem_of
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.fit.candidate import Candidate
from solver.mechanics.bites import BiteName
from solver.mechanics.shared_bites import SharedBite, borne
from tests.published.conflicts import starter
from tests.solver.small import small_case

_BALL = {"ball_mm": 2.2, "neck_mm": 1.8, "out_of_round_mm": 0, "tilt_deg": 0, "gap_mm": 2}
_KNOWN = {"connection": "documented", "mobility": "firm", "bone": "enough", "tilt_deg": 0}


def mouth(
    supports: Mapping[str, int],
    segments: Mapping[str, tuple[str, str]] = {},
    ends: Mapping[str, tuple[str, float]] = {},
    *,
    arch: str = "lower",
    bite_n: float | None = 100.0,
    opposing: str = "unknown",
    bitten: tuple[int, int] = (36, 46),
) -> Case:
    """Supports at teeth, bars between some of them, ends that reach so far beyond; bitten on the first molars."""
    return small_case(
        arch=arch,
        room={"space_mm": 16, "top_mm": 3, "breadth_mm": 12},
        supports={"R": None, "L": None, **{name: {"tooth": tooth, **_KNOWN} for name, tooth in supports.items()}},
        segments={"B": None, **{name: _bar(between) for name, between in segments.items()}},
        ends={"E": None, **{name: {"on": on, "length_mm": mm, **_BALL} for name, (on, mm) in ends.items()}},
        denture={
            "left": None, "right": None, "front": None, "settling_mm": None,
            "bitten_left": bitten[0], "bitten_right": bitten[1],
        },
        opposing=opposing,
        bite=None if bite_n is None else {"force_n": bite_n},
    )  # fmt: skip


def _bar(between: tuple[str, str]) -> dict[str, Any]:
    sizes = {"section": "round", "width_mm": 1.8, "undercut_mm": 0.4, "gap_mm": 2, "alloy": "gold"}
    return {"between": list(between), **sizes}


def fitted(case: Case, entries: Mapping[str, str]) -> tuple[Candidate, ...]:
    """The plainest candidate of an attachment at each site: of the fewest reworks, one or as many as `x2` says."""
    usable = problem_of(case, starter()).fit.usable
    mix = []
    for site, entry in entries.items():
        name, _, count = entry.partition(" x")
        at = [c for c in usable if (c.site.id, c.attachment.id, c.count) == (site, name, int(count or 1))]
        mix.append(min(at, key=lambda c: (len(c.reworks), c.key)))
    return tuple(mix)


def bites(case: Case, entries: Mapping[str, str], *, seated: bool = False) -> dict[BiteName, SharedBite]:
    """Every bite on a mouth with these fitted, or `seated` without the room to sink that a spacer leaves."""
    mix = fitted(case, entries)
    if seated:
        mix = tuple(map(_seated, mix))
    return {bite.name: bite for bite in borne(case, Layout(case), mix, starter().defaults).bites}


def _seated(candidate: Candidate) -> Candidate:
    attachment = candidate.attachment
    movement = attachment.movement.model_copy(update={"down_mm": None})
    return replace(candidate, attachment=attachment.model_copy(update={"movement": movement}))


def loaded(found: SharedBite, *supports: str) -> float:
    """The most that comes on any of these supports, N, pressed or pulled."""
    return max(max(abs(end) for end in found.support_n[name]) for name in supports)


def pressed(found: SharedBite, *supports: str) -> float:
    """The most that presses on any of these supports, N."""
    return max(found.support_n[name].high for name in supports)
