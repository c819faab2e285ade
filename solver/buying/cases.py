"""From planned cases to one order: customers, the market in their currency, the order as a file."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from fractions import Fraction

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment
from solver.buying.allocate import Shared
from solver.buying.common_order import Order, Payer, order, within
from solver.buying.market import market_of
from solver.buying.need import Customer, need_of
from solver.buying.order_file import OrderCase, OrderFile, OrderLine, OrderProof, Span, Substitution
from solver.buying.stock import Stock
from solver.buying.substitutes import substitutes
from solver.buying.suppliers import Suppliers
from solver.choose.plan import Answer


@dataclass(frozen=True, slots=True)
class Planned:
    """A case by the name of its file, and its answer."""

    name: str
    answer: Answer

    @property
    def ordered(self) -> bool:
        """True where its best plan is proved and keeps every rule; later plans may be missing for want of time."""
        best = self.answer.best
        return best is not None and not best.given_up


def order_for(
    planned: Sequence[Planned],
    catalogue: Catalogue,
    *,
    stock: Stock,
    suppliers: Suppliers | None,
    tolerance: Fraction,
    on: date,
    time_limit_s: float,
) -> OrderFile | None:
    """The least-cost order for the cases that fit; None where time ran out. All cases share one currency and rate."""
    buyers = [case for case in planned if case.ordered]
    plans = {case.name: within(case.answer.plans, tolerance) for case in buyers}
    customers = [
        Customer(case.name, tuple(need_of(case.answer.problem, plan.mix, suppliers) for plan in plans[case.name]))
        for case in buyers
    ]
    parts = dict.fromkeys(part for customer in customers for need in customer.needs for part in need.parts)
    instead = _had(substitutes(catalogue, parts), stock, suppliers)
    problem = planned[0].answer.problem
    market = market_of(catalogue, problem.purse, parts, instead, suppliers)
    on_hand = {**stock.free(on), **dict.fromkeys(stock.kits, 1)}
    found = order(customers, market, on_hand, time_limit_s)
    if found is None:
        return None
    titles = _titles(catalogue, suppliers)
    cases = tuple(
        _case(payer, case, plans[payer.name][payer.plan]) for payer, case in zip(found.payers, buyers, strict=True)
    )
    left_out = {case.name: case.answer.status.value for case in planned if not case.ordered}
    return _file(found, cases, titles, problem.case.money.currency, problem.purse.digits, on, left_out)


def _had(
    instead: Mapping[str, tuple[str, ...]], stock: Stock, suppliers: Suppliers | None
) -> Mapping[str, tuple[str, ...]]:
    """Without a suppliers file whatever the catalogue knows can be had; with one, what it offers or is on hand."""
    if suppliers is None:
        return instead
    offered = {offer.part for supplier in suppliers.suppliers.values() for offer in supplier.offers}
    had = offered | set(stock.parts)
    return {part: tuple(o for o in others if o == part or o in had) for part, others in instead.items()}


def _titles(catalogue: Catalogue, suppliers: Suppliers | None) -> Mapping[str, str]:
    titles = {name: entry.name for name, entry in catalogue.attachments.items()}
    return titles | {name: kit.name for name, kit in (suppliers.kits if suppliers else {}).items()}


def _file(
    found: Order,
    cases: tuple[OrderCase, ...],
    titles: Mapping[str, str],
    currency: str,
    digits: int,
    on: date,
    left_out: Mapping[str, str],
) -> OrderFile:
    kits = {kit for payer in found.payers for kit in payer.need.kits}
    lines = tuple(_line(entry, found, titles) for entry in found.shared)
    return OrderFile(
        order="",
        made=on,
        currency=currency,
        digits=digits,
        lines=lines,
        from_stock=dict(found.taken),
        left_over={part: count for part, count in found.left.items() if part not in kits},
        kits=tuple(line.part for line in lines if line.part in kits),
        substitutions=tuple(
            Substitution(planned=part, by=other, pieces=count)
            for (part, other), count in found.purchase.serves.items()
            if part != other
        ),
        cases=cases,
        not_ordered=dict(left_out),
        invoice=Span.of(found.invoice),
        total=Span.of(found.total),
        apart=Span.of(found.apart),
        proof=OrderProof(outcome=found.purchase.outcome.value, bound=found.purchase.bound),
    ).numbered()


def _line(entry: Shared, found: Order, titles: Mapping[str, str]) -> OrderLine:
    line = entry.line
    names = [payer.name for payer in found.payers]
    return OrderLine(
        supplier=entry.house,
        part=line.item.part if line else "",
        name=titles[line.item.part] if line else "carriage",
        pieces=line.item.pieces if line else 0,
        packs=line.packs if line else 0,
        each=Span.of(line.item.price(line.packs) if line else entry.cost),
        total=Span.of(entry.cost),
        shares={name: Span.of(share) for name, share in zip(names, entry.shares, strict=True)},
    )


def _cap(case: Planned) -> int | None:
    problem = case.answer.problem
    cap = problem.case.money.cap
    return None if cap is None else problem.purse.minor(cap)


def _case(payer: Payer, case: Planned, plan: Assessment) -> OrderCase:
    return OrderCase(
        case=payer.name,
        title=case.answer.problem.case.case,
        plan=payer.plan,
        mix={candidate.site.id: candidate.label for candidate in plan.mix},
        parts=dict(payer.need.parts),
        kits=tuple(sorted(payer.need.kits)),
        own=Span.of(payer.need.own),
        invoice=Span.of(payer.invoice),
        pays=Span.of(payer.pays),
        alone=Span.of(payer.alone),
        cap=_cap(case),
        questions=tuple(str(asked) for asked in plan.questions),
    )
