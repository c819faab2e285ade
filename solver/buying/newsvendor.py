"""One order for one uncertain demand: how many pieces to have, and what too many and too few cost on average.

With `short` lost for each piece missing and `over` for each left, the least expected cost is at the smallest level
whose probability not to be exceeded reaches the critical ratio short / (short + over) (Arrow, Harris and Marschak,
Econometrica 1951;19:250-272; value from memory). Demands are distributions of scipy.stats.
"""

from __future__ import annotations

from math import inf
from typing import Any

import numpy as np


def critical_ratio(short: float, over: float) -> float:
    """Share of demands to cover, between 0 and 1; raises `ValueError` for costs that give none."""
    if not (0 < short < inf and 0 < over < inf):
        raise ValueError(f"costs must be positive and finite: short {short:g}, over {over:g}")
    ratio = short / 2 / (short / 2 + over / 2)  # their sum may be too large for a number
    if not 0 < ratio < 1:
        costs = f"a missing piece at {short:g} beside a left one at {over:g}"
        raise ValueError(f"{costs} asks for a service of {ratio:.0%}; no stock lasts for ever")
    return ratio


def best_level(demand: Any, ratio: float) -> float:
    """The smallest level that demand stays within with probability `ratio`; whole for a discrete demand."""
    return float(demand.ppf(ratio))


def expected_short(demand: Any, level: float) -> float:
    """Pieces missing on average, E[(D - level)+]: the tail probability summed or integrated above the level."""
    if hasattr(demand.dist, "pmf"):
        above = np.arange(np.ceil(level), demand.ppf(1 - 1e-15) + 1)
        return float(demand.sf(above).sum() + (np.ceil(level) - level) * demand.sf(np.floor(level)))
    from scipy.integrate import quad  # noqa: PLC0415 - whoever has such a demand has SciPy

    return float(quad(demand.sf, level, demand.ppf(1 - 1e-15), epsabs=1e-10, limit=200)[0])


def expected_over(demand: Any, level: float) -> float:
    """Pieces left on average, E[(level - D)+]."""
    return level - float(demand.mean()) + expected_short(demand, level)


def expected_cost(demand: Any, level: float, short: float, over: float) -> float:
    """What missing and left pieces cost on average."""
    return short * expected_short(demand, level) + over * expected_over(demand, level)
