"""The ways out of a case, and how each stands, in words."""

from __future__ import annotations

from solver.explore.strategies import Standing, Way

WAY = {
    Way.KEEP: "keep the bar",
    Way.OFF: "take the bar off",
    Way.NEW: "new bar",
    Way.NONE: "no attachment",
}
STANDING = {
    Standing.OPEN: "open",
    Standing.WHAT_IF: "only if",
    Standing.CLOSED: "closed",
    Standing.UNDECIDED: "undecided",
}
