"""The least-cost purchase by CP-SAT: packs for one plan a case, after stock, with carriage and price breaks.

The high end of all money is made least first, then the low end, then oddities: plans other than the best,
substitutes, packs.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from solver.buying.market import Item, Market
from solver.buying.mixed import Looked, look
from solver.buying.model import OrderModel
from solver.buying.need import Customer
from solver.case.money import Cost
from solver.choose import cpsat as stoppable
from solver.choose.master import Outcome
from solver.errors import InternalFault

FIRST_SHARE = 0.25
"""Share of the time in which CP-SAT alone may prove the least; what it cannot is looked at another way as well."""


@dataclass(frozen=True, slots=True)
class Line:
    """So many packs of an item."""

    item: Item
    packs: int

    @property
    def cost(self) -> Cost:
        """Price of all its packs."""
        each = self.item.price(self.packs)
        return Cost(self.packs * each.low, self.packs * each.high)


@dataclass(frozen=True, slots=True)
class Purchase:
    """What is bought. `plans`: index of the plan of each customer. `serves`: pieces of a part (first) met by another.

    `bound` is the least that the high end of the money that was minimised can be; equal to it where optimal.
    """

    outcome: Outcome
    plans: tuple[int, ...]
    lines: tuple[Line, ...]
    serves: Mapping[tuple[str, str], int]
    own: Cost
    bound: int

    def goods(self, house: str) -> Cost:
        """Goods on the invoice of a house."""
        return sum((line.cost for line in self.lines if line.item.house == house), Cost())

    def houses(self) -> tuple[str, ...]:
        """Who is bought from, in order of the lines."""
        return tuple(dict.fromkeys(line.item.house for line in self.lines))

    def invoice(self, market: Market) -> Cost:
        """Goods and carriage of every house."""
        goods = {house: self.goods(house) for house in self.houses()}
        return sum((cost + market.houses[house].carriage_of(cost) for house, cost in goods.items()), Cost())


class NoOffer(Exception):
    """A part or kit is needed that nobody sells and nothing on hand can serve for."""

    def __init__(self, part: str) -> None:
        super().__init__(part)
        self.part = part


def buy(
    customers: Sequence[Customer],
    market: Market,
    on_hand: Mapping[str, int],
    time_limit_s: float = 30.0,
) -> Purchase:
    """The least-cost purchase, proved unless time runs out; UNDECIDED (nothing bought) if none was found by then.

    INFEASIBLE only where something on hand serves a part, yet too little of it, and nobody sells more.

    `on_hand`: pieces of each part free to use, and kits that are there. Raises `NoOffer`.
    """
    _refuse_unsold(customers, market, on_hand)
    found = _Search(OrderModel(customers, market, on_hand)).least(time.monotonic() + time_limit_s)
    if found.outcome is Outcome.OPTIMAL and found.bound != (found.own + found.invoice(market)).high:
        raise InternalFault(f"the purchase adds up to {(found.own + found.invoice(market)).high}, not {found.bound}")
    return found


def _refuse_unsold(customers: Sequence[Customer], market: Market, on_hand: Mapping[str, int]) -> None:
    sold = {item.part for item in market.items} | {name for name, count in on_hand.items() if count}
    for need in (need for customer in customers for need in customer.needs):
        for part in (*need.parts, *sorted(need.kits)):
            if not sold & set(market.serving(part)):
                raise NoOffer(part)


def _share(until: float, share: float) -> float:
    """Seconds of a share of the time that is left, never none."""
    return max((until - time.monotonic()) * share, 0.001)


def _reached(solver: Any) -> float:
    return float(solver.objective_value)


class _Search:
    """One model for all stages; each stage keeps what the one before it reached."""

    def __init__(self, order: OrderModel) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - slow to import; only where needed

        self._cp, self.order, self.model = cp_model, order, order.model

    def least(self, until: float) -> Purchase:
        first = time.monotonic() + FIRST_SHARE * (until - time.monotonic())
        solver, status = self._solve(self.order.high, first)
        outcome, bound = self._outcome(status), round(solver.best_objective_bound)
        if outcome is Outcome.OPTIMAL:
            return self._read(self._tidied(solver, until), outcome, bound)
        best = [solver] if outcome is Outcome.FEASIBLE else []
        if outcome is not Outcome.INFEASIBLE:
            bound = max(bound, self._look_further(best, until))
        if not best:
            return Purchase(outcome, (), (), {}, Cost(), max(bound, 0))
        return self._read(min(best, key=_reached), Outcome.FEASIBLE, bound)

    def _look_further(self, best: list[Any], until: float) -> int:
        """Add what else is found to `best`: the plans of the relaxation first, which are near; the bound."""
        relaxed = look(self.model.proto, None, _share(until, 1 / 3), whole=False)
        best += self._put_together(relaxed, time.monotonic() + _share(until, 1 / 3))
        start = self._values(min(best, key=_reached)) if best else None
        looked = look(self.model.proto, start, _share(until, 3 / 4))
        best += self._put_together(looked, until)
        return max(relaxed.bound, looked.bound)

    def _tidied(self, solver: Any, until: float) -> Any:
        """Among the purchases with the least high end that with the least low end, then the least odd."""
        for objective, reached in ((self.order.low, self.order.high), (self.order.oddities, self.order.low)):
            self.model.add(reached <= solver.value(reached))
            found, status = self._solve(objective, until)
            if status in (self._cp.OPTIMAL, self._cp.FEASIBLE):
                solver = found
            if status != self._cp.OPTIMAL:
                break
        return solver

    def _put_together(self, looked: Looked, until: float) -> list[Any]:
        """The least purchase for the plans that come nearest to what was found; none in the time there is."""
        if looked.values is None:
            return []
        values, model = looked.values, self.model.clone()
        for flags in self.order.picks:
            model.add(max(flags, key=lambda x: values[x.index]) == 1)
        for index, value in enumerate(values):
            model.add_hint(model.get_int_var_from_proto_index(index), round(value))
        solver, status = self._run(model, until)
        return [solver] if status in (self._cp.OPTIMAL, self._cp.FEASIBLE) else []

    def _values(self, solver: Any) -> tuple[int, ...]:
        every = range(len(self.model.proto.variables))
        return tuple(solver.value(self.model.get_int_var_from_proto_index(index)) for index in every)

    def _solve(self, objective: Any, until: float) -> tuple[Any, Any]:
        self.model.minimize(objective)
        return self._run(self.model, until)

    def _run(self, model: Any, until: float) -> tuple[Any, Any]:
        solver = self._cp.CpSolver()
        solver.parameters.num_workers = 1  # the same order every time
        solver.parameters.random_seed = 1
        solver.parameters.linearization_level = 2
        return solver, stoppable.solve(solver, model, until - time.monotonic())

    def _outcome(self, status: Any) -> Outcome:
        named = {
            self._cp.OPTIMAL: Outcome.OPTIMAL,
            self._cp.FEASIBLE: Outcome.FEASIBLE,
            self._cp.INFEASIBLE: Outcome.INFEASIBLE,
        }
        return named.get(status, Outcome.UNDECIDED)

    def _read(self, solver: Any, outcome: Outcome, bound: int) -> Purchase:
        plans = tuple(next(k for k, x in enumerate(flags) if solver.value(x)) for flags in self.order.picks)
        counts = [sum(solver.value(n) for n in tiers) for tiers in self.order.packs]
        lines = tuple(Line(item, n) for item, n in zip(self.order.market.items, counts, strict=True) if n)
        serves = {pair: count for pair, n in self.order.serves.items() if (count := solver.value(n))}
        own = sum((c.needs[k].own for c, k in zip(self.order.customers, plans, strict=True)), Cost())
        return Purchase(outcome, plans, lines, serves, own, bound)
