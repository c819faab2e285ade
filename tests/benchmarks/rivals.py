"""What one would use instead of regrip, each on the same options: what the least cost is, or what may be given up.

All keep the hold and every demand on movement. The models in whole numbers and with big constants take the boxes of
the parts as they are, widened by `SLACK_MM` against their own rounding.
"""

from __future__ import annotations

import time
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any, NamedTuple

import numpy as np
from constraint import Problem as Enumeration
from ortools.sat.python import cp_model
from scipy.optimize import Bounds, LinearConstraint, linprog, milp
from scipy.sparse import csr_array

from solver.assess.problem import Problem
from solver.case.rules import LevelPull, Moves
from solver.choose.millinewtons import at_least, force
from solver.mechanics.movement import ASKED, sinking_row
from solver.mechanics.option import Option
from solver.mechanics.placement import FREE, Array

FAR_MM = 5.0
"""No scaled twist goes further than this where the mucosa lets nothing sink deeper than half a millimetre."""

SLACK_MM = 2e-4
"""Far below the smallest play of an attachment."""

_SOLVED, _INFEASIBLE = 0, 2
"""Endings of scipy's milp and linprog."""

STEPS_PER_MM, GRAIN = 100_000, 10_000
"""Whole numbers for the twist, and for the coefficients of a row."""


class OutOfTime(Exception):
    """No optimum, or no proof of it, within the limit."""


class Row(NamedTuple):
    """A row on the scaled twist with its limits, mm."""

    of: Array
    least: float
    most: float


class Way(NamedTuple):
    """Options of one site that move alike (indices), and the limits that each of them sets."""

    indices: tuple[int, ...]
    rows: tuple[Row, ...]


class Question(NamedTuple):
    """A problem in plain numbers: the options without waivers, sites, costs, forces and rows."""

    problem: Problem
    options: tuple[Option, ...]
    sites: tuple[tuple[int, ...], ...]
    cost: tuple[int, ...]
    hold: tuple[int, ...]
    floor: int
    ways: tuple[Way, ...]
    demands: tuple[tuple[Row, ...], ...]


def question_of(problem: Problem, options: Iterable[Option] | None = None) -> Question:
    """Numbers of a problem; all options that need no waiver unless said."""
    chosen = tuple(options or (option for option in problem.options if not option.needs_waived))
    at: dict[str, list[int]] = {}
    for index, option in enumerate(chosen):
        at.setdefault(option.site, []).append(index)
    by_manner = sorted(range(len(chosen)), key=lambda i: (chosen[i].site, chosen[i].manner))
    groups = [tuple(same) for _, same in groupby(by_manner, key=lambda i: (chosen[i].site, chosen[i].manner))]
    return Question(
        problem,
        chosen,
        tuple(map(tuple, at.values())),
        tuple(option.candidate.cost.high for option in chosen),
        tuple(force(option.candidate.low_n) for option in chosen),
        max((at_least(rule.least_n) for rule in problem.rules if isinstance(rule, LevelPull)), default=0),
        tuple(Way(same, tuple(rows_of(chosen[same[0]]))) for same in groups),
        tuple(tuple(demand_rows(problem, rule)) for rule in problem.rules if isinstance(rule, Moves)),
    )


def rows_of(option: Option) -> Iterator[Row]:
    """Limits of every part of an option; what is free has none."""
    for part in option.placements:
        for of, least, most in zip(part.rows, part.least, part.most, strict=True):
            low, high = (-np.inf if least <= -FREE else least), (np.inf if most >= FREE else most)
            if np.isfinite(low) or np.isfinite(high):
                yield Row(of, low, high)


def demand_rows(problem: Problem, rule: Moves) -> Iterator[Row]:
    """The mucosa, and how deep the points asked for must sink."""
    base, deep = problem.layout.base, problem.settling_mm
    for name in ("front", "left", "right"):
        least = rule.share * deep if name in ASKED[rule.demand] else -np.inf
        yield Row(sinking_row(getattr(base, name), problem.layout.out), least, deep)


def enumerated(question: Question, limit_s: float) -> int | None:
    """python-constraint lists every mix that holds; in order of cost, linprog asks each whether it moves."""
    until = time.monotonic() + limit_s
    cost, hold = (*question.cost, 0), (*question.hold, 0)
    enumeration = Enumeration()
    for number, indices in enumerate(question.sites):
        enumeration.addVariable(number, [-1, *indices])
    enumeration.addConstraint(lambda *mix: sum(hold[i] for i in mix) >= question.floor)
    mixes = []
    for mix in enumeration.getSolutionIter():
        mixes.append(tuple(i for i in mix.values() if i >= 0))
        _check(until)
    for mix in sorted(mixes, key=lambda mix: sum(cost[i] for i in mix)):
        _check(until)
        parts = [row for i in mix for row in rows_of(question.options[i])]
        if all(_moves([*parts, *demand]) for demand in question.demands):
            return int(sum(cost[i] for i in mix))
    return None


def _moves(rows: Sequence[Row]) -> bool:
    of = np.array([row.of for row in rows])
    least, most = np.array([row.least for row in rows]) - 1e-7, np.array([row.most for row in rows]) + 1e-7
    low, high = np.isfinite(least), np.isfinite(most)
    left, right = np.vstack([of[high], -of[low]]), np.concatenate([most[high], -least[low]])
    found = linprog(np.zeros(6), A_ub=left, b_ub=right, bounds=[(-FAR_MM, FAR_MM)] * 6)
    return bool(found.status == _SOLVED)


def _check(until: float) -> None:
    if time.monotonic() > until:
        raise OutOfTime


def whole_numbers(question: Question, limit_s: float) -> int | None:
    """One CP-SAT model: a twist in whole steps for every demand, the boxes of an option only where it is picked."""
    model = cp_model.CpModel()
    pick = [model.new_bool_var("") for _ in question.options]
    for indices in question.sites:
        model.add_at_most_one(pick[i] for i in indices)
    total = cp_model.LinearExpr.weighted_sum
    model.add(total(pick, question.hold) >= question.floor)
    used = [model.new_bool_var("") for _ in question.ways]
    for way, on in zip(question.ways, used, strict=True):
        model.add(sum(pick[i] for i in way.indices) == on)
    far = round(FAR_MM * STEPS_PER_MM)
    for demand in question.demands:
        twist = [model.new_int_var(-far, far, "") for _ in range(6)]
        for row in demand:
            _bound_whole(model, twist, row)
        for way, on in zip(question.ways, used, strict=True):
            for row in way.rows:
                _bound_whole(model, twist, row, on)
    model.minimize(total(pick, question.cost))
    solver = cp_model.CpSolver()
    solver.parameters.num_workers, solver.parameters.max_time_in_seconds = 1, limit_s
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.INFEASIBLE):
        raise OutOfTime
    return round(solver.objective_value) if status == cp_model.OPTIMAL else None


def _bound_whole(model: Any, twist: Sequence[Any], row: Row, on: Any = None) -> None:
    factors = [round(float(each) * GRAIN) for each in row.of]
    low, high = whole_limits(row)
    posted = model.add_linear_constraint(cp_model.LinearExpr.weighted_sum(twist, factors), low, high)
    if on is not None:
        posted.only_enforce_if(on)


def whole_limits(row: Row) -> tuple[int, int]:
    """Limits of a row in whole grains, widened by the slack; a missing one lies beyond all that is reached."""
    beyond = 10**14
    low = round((row.least - SLACK_MM) * STEPS_PER_MM * GRAIN) if np.isfinite(row.least) else -beyond
    high = round((row.most + SLACK_MM) * STEPS_PER_MM * GRAIN) if np.isfinite(row.most) else beyond
    return low, high


def big_constants(question: Question, limit_s: float) -> int | None:
    """One mixed-integer programme in HiGHS: a box is loosened by a constant unless one of its options is picked."""
    picks, twists = len(question.options), 6 * len(question.demands)
    rows: list[tuple[Array, float, float]] = []

    def add(most: float, entries: Sequence[tuple[Sequence[int], Any]], least: float = -np.inf) -> None:
        row = np.zeros(picks + twists)
        for columns, values in entries:
            row[list(columns)] += values
        rows.append((row, least, most))

    for indices in question.sites:
        add(1.0, [(indices, 1.0)])
    add(np.inf, [(range(picks), np.array(question.hold) / 1000)], question.floor / 1000)
    for number, demand in enumerate(question.demands):
        twist = range(picks + 6 * number, picks + 6 * number + 6)
        for row in demand:
            add(row.most + SLACK_MM, [(twist, row.of)], row.least - SLACK_MM)
        for indices, of, most in _boxes(question):
            far = FAR_MM * float(np.abs(of).sum())
            add(far, [(twist, of), (indices, far - most - SLACK_MM)])
    matrix = csr_array(np.array([row for row, _, _ in rows]))
    limits = LinearConstraint(matrix, [low for _, low, _ in rows], [high for _, _, high in rows])
    found = milp(
        np.concatenate([question.cost, np.zeros(twists)]),
        constraints=limits,
        integrality=np.concatenate([np.ones(picks), np.zeros(twists)]),
        bounds=Bounds(
            np.concatenate([np.zeros(picks), np.full(twists, -FAR_MM)]),
            np.concatenate([np.ones(picks), np.full(twists, FAR_MM)]),
        ),
        options={"time_limit": limit_s, "mip_rel_gap": 0.0},
    )
    if found.status not in (_SOLVED, _INFEASIBLE):
        raise OutOfTime
    return round(float(found.fun)) if found.status == _SOLVED else None


def _boxes(question: Question) -> Iterator[tuple[tuple[int, ...], Array, float]]:
    """Every limit of the options of a way as a row and what it must not exceed."""
    for way in question.ways:
        for row in way.rows:
            for of, most in ((row.of, row.most), (-row.of, -row.least)):
                if np.isfinite(most):
                    yield way.indices, of, most
