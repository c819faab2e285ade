"""A small convex quadratic programme with a diagonal of squares, kept between solves, on Clarabel.

Clarabel rather than others, tried on 1,500 random bases of up to seven parts: it solved them all. PIQP took half the
time but called two of them infeasible; that of HiGHS took longer, and on some of them did not come to an end.
"""

from __future__ import annotations

from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.errors import InternalFault

Array = NDArray[np.float64]


class QuadraticProgram:
    """Make sum(squares x^2) / 2 + cost @ x least for rows @ x = equals, x >= 0 and x[limited] <= most."""

    def __init__(self, cost: Array, rows: Array, limited: NDArray[np.intp]) -> None:
        import clarabel  # noqa: PLC0415 - loaded only where something is solved
        from scipy import sparse  # noqa: PLC0415

        identity = np.eye(len(cost))
        constraints = sparse.csc_matrix(np.vstack([rows, -identity, identity[limited]]))
        cones = [clarabel.ZeroConeT(len(rows)), clarabel.NonnegativeConeT(len(cost) + len(limited))]
        settings = clarabel.DefaultSettings()
        settings.verbose = settings.presolve_enable = False  # what was presolved cannot be changed
        bounds, squares = np.zeros(constraints.shape[0]), sparse.identity(len(cost), format="csc")
        self._solver: Any = clarabel.DefaultSolver(squares, cost, constraints, bounds, cones, settings)
        self._solved = clarabel.SolverStatus.Solved
        self._at_least = np.zeros(len(cost))

    def least(self, squares: Array, equals: Array, most: Array) -> Array:
        """The one x (n,) that does; `squares` (n,) are above zero.

        Raises:
            InternalFault: where there is none.
        """
        self._solver.update(P=squares, b=np.concatenate([equals, self._at_least, most]))
        found = self._solver.solve()
        if found.status != self._solved:
            raise InternalFault(f"quadratic programme ended {found.status}")
        return np.array(found.x)
