"""Purchasing: covering a demand with packs, and stock for one period."""

from __future__ import annotations

from collections.abc import Callable
from itertools import count
from typing import Any

from scipy import stats

from solver.buying.buy import buy
from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.buying.newsvendor import best_level, critical_ratio, expected_cost, expected_over, expected_short
from solver.case.money import Cost
from solver.choose.master import Outcome
from tests.published.check import Check, Known

_NUGGETS = 'futilitycloset.com, "Piece work", 2011; techinterview.org'
_SNYDER = (
    "Snyder LV, Shen ZM. Fundamentals of Supply Chain Theory, example {}, as printed in the documentation of the "
    "library stockpyl"
)
_HUETTNER = "documentation of NewsvendorModel.jl"
_SMARTSOLVE = "smartsolve.ai, item at 39, sold at 59, salvaged at 30"

UNATTAINABLE = {1, 2, 3, 4, 5, 7, 8, 10, 11, 13, 14, 16, 17, 19, 22, 23, 25, 28, 31, 34, 37, 43}


def cover(packs: dict[int, int], demand: int) -> tuple[int, int]:
    """Least price that covers a demand, and the pieces bought; `packs`: pieces to price."""
    items = tuple(Item("h", "p", size, (Tier(1, Cost(price, price)),)) for size, price in packs.items())
    found = buy([Customer("c", (Need({"p": demand}),))], Market({"h": House("h", "house")}, items, {}), {})
    if found.outcome is not Outcome.OPTIMAL:
        raise AssertionError(found.outcome)
    return sum(line.cost.high for line in found.lines), sum(line.packs * line.item.pieces for line in found.lines)


def fewest(sizes: tuple[int, ...], demand: int) -> tuple[int, int]:
    """Pieces and packs: 1000 a piece and 1 a pack, so that a piece too many costs more than any packs saved."""
    price, bought = cover({size: 1 + 1000 * size for size in sizes}, demand)
    return bought, price - 1000 * demand


def _level(demand: Any, short: float, over: float) -> Callable[[], float]:
    return lambda: float(best_level(demand, critical_ratio(short, over)))


def _with_cost(demand: Any, short: float, over: float) -> Callable[[], tuple[float, float]]:
    def found() -> tuple[float, float]:
        level = best_level(demand, critical_ratio(short, over))
        return float(level), float(expected_cost(demand, level, short, over))

    return found


def _huettner() -> tuple[float, float, float]:
    demand = stats.norm(50, 20)
    level = round(best_level(demand, critical_ratio(7 - 5, 5)))
    profit = (7 - 5) * (50 - expected_short(demand, level)) - 5 * expected_over(demand, level)
    return level, profit, expected_over(demand, level)


_NORMAL, _POISSON_50, _POISSON_6 = stats.norm(50, 8), stats.poisson(50), stats.poisson(6)

CHECKS = (
    *(
        Check(f"Sizes 6, 9 and 20: least purchase that covers {demand}, paid by the piece", _NUGGETS, Known.DERIVED,
              next(n for n in count(demand) if n not in UNATTAINABLE),
              lambda demand=demand: cover({6: 6, 9: 9, 20: 20}, demand)[0])  # type: ignore[misc]
        for demand in (1, 7, 22, 37, 43, 44)
    ),
    Check("Sizes 6, 9 and 20: numbers that cannot be made, 22 of them, the largest 43", _NUGGETS, Known.READ,
          frozenset(UNATTAINABLE),
          lambda: frozenset(n for n in range(1, 51) if cover({6: 6, 9: 9, 20: 20}, n)[1] != n)),
    *(
        Check(f"Fewest packs of {sizes} that make {demand}: pieces and packs", source, known, (demand, packs),
              lambda sizes=sizes, demand=demand: fewest(sizes, demand))  # type: ignore[misc]
        for sizes, demand, packs, source, known in (
            ((1, 3, 4), 6, 2, "textbook change-making", Known.MEMORY),
            ((1, 4, 6), 8, 2, "change-making exercise (gist 86ea817cc84e913fd4e9)", Known.READ),
            ((33, 24, 12, 5, 1), 36, 2, "change-making exercise (python-algorithms, coinChange): input",
             Known.DERIVED),
            ((5, 2, 1), 14, 4, "Klappenecker A. CSCE 411 problem set 5", Known.READ))
    ),
    *(
        Check(f"Packs of 1 at 5, 4 at 18, 10 at 40: least price that covers {demand}", "own table, by enumeration",
              Known.OURS, price, lambda demand=demand: cover({1: 5, 4: 18, 10: 40}, demand)[0])  # type: ignore[misc]
        for price, demand in ((5, 1), (15, 3), (18, 4), (33, 7), (36, 8), (40, 9), (40, 10), (55, 13), (73, 17))
    ),
    Check("Newsvendor N(50, 8), 0.70 short, 0.18 over: level and cost", _SNYDER.format("4.3"), Known.SECOND_HAND,
          (56.6039559, 1.9976052), _with_cost(_NORMAL, 0.70, 0.18), 1e-6),
    Check("Newsvendor Poisson(50), 0.70 short, 0.18 over: level and cost", _SNYDER.format("4.1"), Known.SECOND_HAND,
          (56, 1.7972352), _with_cost(_POISSON_50, 0.70, 0.18), 1e-6),
    Check("Newsvendor Poisson(6), 4 short, 1 over: level and cost", _SNYDER.format("4.7"), Known.SECOND_HAND,
          (8, 3.5701069), _with_cost(_POISSON_6, 4.0, 1.0), 1e-6),
    Check("... N(50, 8) at 60: cost", _SNYDER.format("4.3"), Known.SECOND_HAND, 2.1561316,
          lambda: expected_cost(_NORMAL, 60, 0.70, 0.18), 1e-6),
    Check("... Poisson(6) at 5: cost", _SNYDER.format("4.7"), Known.SECOND_HAND, 6.5902960,
          lambda: expected_cost(_POISSON_6, 5, 4.0, 1.0), 1e-6),
    Check("Price 7, cost 5, N(50, 20): level, profit, left over", _HUETTNER, Known.READ, (39, 52.407156, 3.656121),
          _huettner, 1e-4),
    Check("Ratio 20/29, uniform 350 to 620: level", _SMARTSOLVE, Known.READ, 536.207,
          _level(stats.uniform(350, 270), 20, 9), 1e-3),
    Check("Ratio 20/29, N(485, 50): level, exactly", _SMARTSOLVE, Known.DERIVED, 509.744,
          _level(stats.norm(485, 50), 20, 9), 1e-3),
    Check("Ratio 60/170, N(80, 30): level, below the mean", "qammunity.org 6843903, answered there with a wrong sign",
          Known.DERIVED, 68.678, _level(stats.norm(80, 30), 60, 110), 1e-3),
    Check("Ratio 2/7, uniform 50 to 80: level", "textbook newsvendor", Known.MEMORY, 58.571,
          _level(stats.uniform(50, 30), 2, 5), 1e-3),
    Check("Ratio 2/7, lognormal: level", "textbook newsvendor", Known.MEMORY, 44.65,
          _level(stats.lognorm(0.2, scale=50), 2, 5), 5e-3),
    Check("Newsstand: 0.50 short, 0.15 over, N(11.73, 4.74): copies",
          "Nahmias S. Production and Operations Analysis", Known.MEMORY, 15,
          lambda: round(_level(stats.norm(11.73, 4.74), 0.50, 0.15)())),
)  # fmt: skip
