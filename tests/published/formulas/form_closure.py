"""Whether one-sided contacts alone hold a body still, whichever way it is pushed."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike
from scipy.optimize import linprog

from solver.errors import InternalFault
from solver.handbook.checks import check_positive
from solver.mechanics.screws import WrongShape, finite_array
from tests.published.formulas.mobility import CHARACTERISTIC_LENGTH_MM, RANK_TOLERANCE

_MOMENTS = {3: 1, 6: 3}
_SOLVED = 0
LEAVING_TOLERANCE = 1e-5  # of the sum of speeds at which unit contacts part, for a twist of parts up to 1


def is_form_closed(wrenches: ArrayLike, *, length_mm: float = CHARACTERISTIC_LENGTH_MM) -> bool:
    """Say whether contacts that only push hold a body to first order.

    `wrenches`: one row per contact of the wrench it puts on the body for a push of 1 N, moment first: (m, fx,
    fy) in the plane, (m, f) of six in space [N mm, N]. They hold it if and only if they span the whole space
    and some positive push at each adds up to nothing (Lynch and Park, Modern Robotics, 2017, section 12.1.7).
    `length_mm` only makes moments and forces of like size.

    Raises:
        WrongShape: where the rows are of another length.
        OutOfDomain: where an entry is not finite, or the length is not above zero.
        InternalFault: where the linear program ends undecided.
    """
    check_positive(length_mm=length_mm)
    given = np.asarray(wrenches, dtype=np.float64)
    if given.ndim != 2 or given.shape[1] not in _MOMENTS:
        raise WrongShape("wrenches", given.shape, "(contacts, 3) or (contacts, 6)")
    rows = finite_array("wrenches", given, given.shape).copy()
    rows[:, : _MOMENTS[rows.shape[1]]] /= length_mm
    sizes = np.linalg.norm(rows, axis=1)
    rows = rows[sizes > 0.0] / sizes[sizes > 0.0, np.newaxis]
    if np.linalg.matrix_rank(rows, tol=RANK_TOLERANCE) < rows.shape[1]:
        return False
    # Asked the other way round (Farkas): a twist that no contact stops and that leaves at least one. This program
    # always has an answer, also where almost degenerate contacts leave the search for the pushes undecided.
    leaving = linprog(-rows.sum(axis=0), A_ub=-rows, b_ub=np.zeros(len(rows)), bounds=(-1.0, 1.0))
    if leaving.status != _SOLVED:
        raise InternalFault(f"form closure: {leaving.message}")
    return bool(-leaving.fun < LEAVING_TOLERANCE)
