"""Demand for parts over some months: simulated from a stated mix of cases or drawn from a history, and stock for it.

A mix: cases come as a Poisson process; of what kind each is, is drawn by the shares. A history: months are drawn with
replacement (Efron's bootstrap), so that what goes together in a month stays together. Levels are quantiles of the
simulated sums: the smallest number of pieces that demand stays within as often as asked, part by part.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import exp, lgamma, log, sqrt
from typing import Any

import numpy as np
from numpy.typing import NDArray

from solver.buying.outlook import Outlook


@dataclass(frozen=True, slots=True)
class PartForecast:
    """One part over the whole time. `level`: pieces for the service asked; `poisson_level`: that of a Poisson demand
    of the same mean, for comparison; `runs_out`: share of runs in which what is on hand does not do.
    """

    part: str
    mean: float
    deviation: float
    level: int
    poisson_level: int
    on_hand: int
    runs_out: float

    @property
    def to_buy(self) -> int:
        """Pieces that lift what is on hand to the level."""
        return max(self.level - self.on_hand, 0)


def simulate(outlook: Outlook, months: int, runs: int, seed: int) -> NDArray[Any]:
    """Pieces of each part (columns, in the order of `outlook.parts`) used over the months, a run a row."""
    dice = np.random.default_rng(seed)
    if outlook.history:
        drawn = dice.integers(len(outlook.history), size=(runs, months))
        summed: NDArray[Any] = _table(outlook.history, outlook.parts)[drawn].sum(axis=1)
        return summed
    shares = np.array([kind.share for kind in outlook.mix])
    cases = dice.poisson((outlook.cases_per_month or 0) * months, size=runs)
    kinds = dice.multinomial(cases, shares / shares.sum())
    used: NDArray[Any] = kinds @ _table([kind.parts for kind in outlook.mix], outlook.parts)
    return used


def forecast(
    outlook: Outlook, months: int, service: float, on_hand: Mapping[str, int], *, runs: int = 20_000, seed: int = 1
) -> tuple[PartForecast, ...]:
    """What to have of each part so that it lasts in a share `service` of all runs, those most used first."""
    used = simulate(outlook, months, runs, seed)
    rows = [_of_part(part, used[:, i], service, on_hand.get(part, 0)) for i, part in enumerate(outlook.parts)]
    return tuple(sorted(rows, key=lambda row: (-row.mean, row.part)))


def _of_part(part: str, used: NDArray[Any], service: float, on_hand: int) -> PartForecast:
    mean = float(used.mean())
    return PartForecast(
        part=part,
        mean=mean,
        deviation=float(used.std()),
        level=int(np.quantile(used, service, method="inverted_cdf")),
        poisson_level=poisson_level(service, mean),
        on_hand=on_hand,
        runs_out=float((used > on_hand).mean()),
    )


def poisson_level(service: float, mean: float) -> int:
    """The smallest number that a Poisson demand of this mean stays within with probability `service`."""
    if mean <= 0:
        return 0
    level = max(0, int(mean - 12 * sqrt(mean)) - 1)  # below that lies less than a double can tell
    covered = exp(level * log(mean) - mean - lgamma(level + 1))
    while covered < service:
        level += 1
        covered += exp(level * log(mean) - mean - lgamma(level + 1))
    return level


def _table(entries: Sequence[Mapping[str, int]], parts: Sequence[str]) -> NDArray[Any]:
    rows = [[entry.get(part, 0) for part in parts] for entry in entries]
    return np.array(rows, dtype=int).reshape(len(entries), len(parts))
