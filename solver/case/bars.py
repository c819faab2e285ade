"""Pieces of bar: which supports, stretches and ends hang together."""

from __future__ import annotations

from solver.case.schema import Case


def joined_supports(case: Case) -> list[set[str]]:
    """Every support once, in groups that bar joins; a support that no bar reaches is a group of its own."""
    groups = [{name} for name in case.supports]
    for segment in case.segments.values():
        joined = [group for group in groups if group & set(segment.between)]
        groups = [group for group in groups if group not in joined] + [set().union(*joined)]
    return groups


def bars(case: Case) -> list[frozenset[str]]:
    """The stretches and ends of every piece of bar, by their names."""
    carried = [(name, segment.between[0]) for name, segment in case.segments.items()]
    carried += [(name, end.on) for name, end in case.ends.items()]
    pieces = (frozenset(name for name, support in carried if support in group) for group in joined_supports(case))
    return [piece for piece in pieces if piece]
