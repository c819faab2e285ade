"""What one plan needs: parts to lay hands on, kits to have, and what it costs beside them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from solver.assess.problem import Problem
from solver.buying.suppliers import Suppliers
from solver.case.money import Cost
from solver.fit.candidate import Candidate


@dataclass(frozen=True, slots=True)
class Need:
    """Pieces by part, kits, and the cost of the plan without its parts (minutes and reworks, minor units)."""

    parts: Mapping[str, int]
    kits: frozenset[str] = frozenset()
    own: Cost = field(default=Cost())


@dataclass(frozen=True, slots=True)
class Customer:
    """A case that buys, with one or more plans; the first is its best."""

    name: str
    needs: tuple[Need, ...]


def need_of(problem: Problem, mix: Sequence[Candidate], suppliers: Suppliers | None = None) -> Need:
    """The need of a mix. `own` is its cost less its parts at the prices of the catalogue."""
    bought = [candidate for candidate in mix if candidate.parts]
    parts: Counter[str] = Counter()
    cost = problem.cost_of(mix)
    low, high = cost.low, cost.high
    for candidate in bought:
        price = candidate.attachment.price
        piece = problem.purse.price(price.low, price.high)
        parts[candidate.attachment.id] += candidate.count
        low, high = low - candidate.count * piece.low, high - candidate.count * piece.high
    used = set(parts) | {rework.id for candidate in mix for rework in candidate.reworks}
    kits = suppliers.kits if suppliers else {}
    return Need(dict(parts), frozenset(name for name, kit in kits.items() if used & set(kit.serves)), Cost(low, high))
