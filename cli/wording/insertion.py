"""The common path of insertion in one sentence."""

from __future__ import annotations

from solver.mechanics.insertion import Insertion

_WAYS = (
    "forwards",
    "forwards and left",
    "left",
    "back and left",
    "back",
    "back and right",
    "right",
    "forwards and right",
)
STRAIGHT_DEG = 0.5
"""A path that leans less is called straight."""


def sentence(found: Insertion) -> str:
    """Whether one direction serves every attachment, how it leans, what is to spare, and what is not known."""
    if found.against:
        sites = " and ".join(found.against)
        short = f"{-found.spare_deg:.1f} degrees beyond what is allowed"
        what = f"no common path of insertion: {sites} {'is' if len(found.against) == 1 else 'are'} {short}"
    else:
        what = f"one path of insertion serves all: {_path(found)}, {found.spare_deg:.1f} degrees in hand"
    worst = f"; worst lean of {', '.join(found.any_way)} assumed"
    missing = f"; tilt of {', '.join(found.unknown)} not known and not counted"
    return what + (worst if found.any_way else "") + (missing if found.unknown else "")


def _path(found: Insertion) -> str:
    if found.lean_deg < STRAIGHT_DEG:
        return "straight"
    return f"leaning {found.lean_deg:.1f} degrees {_WAYS[round(found.towards_deg / 45) % 8]}"
