"""A small convex quadratic programme, kept between solves, on Clarabel; products only among its last unknowns.

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
    """Make x @ Q @ x / 2 + cost @ x least for rows @ x = equals, x >= 0 and x[limited] <= most.

    Q is a diagonal, but full among the unknowns from `coupled` on.
    """

    def __init__(self, cost: Array, rows: Array, limited: NDArray[np.intp], coupled: int) -> None:
        import clarabel  # noqa: PLC0415 - loaded only where something is solved
        from scipy import sparse  # noqa: PLC0415

        count = len(cost)
        identity = np.eye(count)
        constraints = sparse.csc_matrix(np.vstack([rows, -identity, identity[limited]]))
        cones = [clarabel.ZeroConeT(len(rows)), clarabel.NonnegativeConeT(count + len(limited))]
        settings = clarabel.DefaultSettings()
        settings.verbose = settings.presolve_enable = False  # what was presolved cannot be changed
        bounds = np.zeros(constraints.shape[0])
        # Clarabel takes the upper triangle, column by column, and keeps the pattern that it first saw
        columns = [range(coupled if column >= coupled else column, column + 1) for column in range(count)]
        self._at = (
            np.array([row for rows_of in columns for row in rows_of], dtype=int),
            np.repeat(np.arange(count), [len(rows_of) for rows_of in columns]),
        )
        starts = np.append(0, np.cumsum([len(rows_of) for rows_of in columns]))
        products = sparse.csc_matrix((np.ones(len(self._at[0])), self._at[0], starts), shape=(count, count))
        self._solver: Any = clarabel.DefaultSolver(products, cost, constraints, bounds, cones, settings)
        self._solved = clarabel.SolverStatus.Solved
        self._at_least = np.zeros(count)

    def least(self, products: Array, equals: Array, most: Array) -> Array:
        """The one x (n,) that does; `products` (n, n) is Q, positive definite.

        Raises:
            InternalFault: where there is none.
        """
        self._solver.update(P=products[self._at], b=np.concatenate([equals, self._at_least, most]))
        found = self._solver.solve()
        if found.status != self._solved:
            raise InternalFault(f"quadratic programme ended {found.status}")
        return np.array(found.x)
