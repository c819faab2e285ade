"""What a plan needs, what may stand in for it, and where it can be had."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from solver.buying.cases import Planned, order_for
from solver.buying.market import market_of
from solver.buying.need import need_of
from solver.buying.order_file import OrderFile
from solver.buying.receive import ShortStock, received
from solver.buying.stock import Lot, Shelf, Stock
from solver.buying.substitutes import stands_in, substitutes
from solver.buying.suppliers import CATALOGUE, Kit, Offer, Supplier, Suppliers
from solver.case.money import Cost
from solver.choose.plan import plan
from tests.solver.small import band, need, part, small_case, small_problem, step, stock

DAY = date(2030, 1, 1)


def test_own_cost_is_the_plan_less_its_parts() -> None:
    problem = small_problem(stock(part("c", price=band(10, 12), work={"bench": [5, 5], "source": "invented"})))
    mix = [option.candidate for option in problem.options if option.candidate.attachment.id == "c"][:1]
    found = need_of(problem, mix)

    assert {"c": 1} == found.parts
    assert Cost(500, 500) == found.own


def test_a_kit_is_needed_by_part_or_by_step() -> None:
    dear = Supplier(name="a", offers=(Offer(part="jig", price=5),))
    suppliers = Suppliers(
        currency="EUR",
        suppliers={"a": dear},
        kits={"jig": Kit(name="jig", serves=("deepen",)), "bur": Kit(name="bur", serves=("other",))},
    )
    problem = small_problem(stock(part("c", steps=["deepen"]), steps=(step("deepen", "segment", always_with=True),)))

    assert {"jig"} == need_of(problem, [problem.options[0].candidate], suppliers).kits


SAME: dict[str, tuple[bool, dict[str, Any]]] = {
    "price and caution": (True, {"price": band(1, 2), "cautions": ["another"]}),
    "fewer metals": (True, {"metals": []}),
    "reason of a need": (True, {"needs": [need("width_mm", at_least=1.5, why="so it is said")]}),
    "retention": (False, {"retention_n": band(5, 9)}),
    "other metals": (False, {"metals": ["nickel"]}),
    "need": (False, {"needs": []}),
    "movement": (False, {"movement": {"hinge_deg": 5}}),
    "height": (False, {"stack": {"part": 1.5, "source": "invented"}}),
    "magnet": (False, {"magnetic": True}),
}


@pytest.mark.parametrize(("same", "change"), SAME.values(), ids=SAME)
def test_only_what_is_judged_alike_stands_in(same: bool, change: dict[str, Any]) -> None:
    plain: dict[str, Any] = {"metals": ["gold"], "needs": [need("width_mm", at_least=1.5)]}
    catalogue = stock(part("c", **plain), part("d", **{**plain, **change}))

    assert same is stands_in(catalogue.attachments["d"], catalogue.attachments["c"])


def test_what_a_plan_fits_a_substitute_fits() -> None:
    """The candidates of a part and of its substitute carry the same verdicts, placements and retentions."""
    catalogue = stock(
        part("c", needs=[need("width_mm", at_least=1.5)]), part("d", needs=[need("width_mm", at_least=1.5)])
    )
    options = small_problem(catalogue).options
    mine, others = ([o for o in options if o.candidate.attachment.id == name] for name in "cd")

    assert {"c": ("c", "d")} == substitutes(catalogue, ["c"])
    assert mine
    assert [(o.candidate.verdict, o.candidate.low_n, o.site) for o in mine] == [
        (o.candidate.verdict, o.candidate.low_n, o.site) for o in others
    ]


def test_the_catalogue_sells_what_no_supplier_does() -> None:
    catalogue = stock(part("c", packs=[{"pieces": 1}, {"pieces": 4, "price": band(30, 40)}]), part("d"))
    suppliers = Suppliers(currency="EUR", suppliers={"a": Supplier(name="a", offers=(Offer(part="d", price=3),))})
    purse = small_problem(catalogue).purse
    market = market_of(catalogue, purse, ["c", "d"], {}, suppliers)

    assert {("a", 1, Cost(300, 300)), (CATALOGUE, 1, Cost(1000, 1200)), (CATALOGUE, 4, Cost(3000, 4000))} == {
        (item.house, item.pieces, item.price(1)) for item in market.items
    }


def ordered(**how: Any) -> OrderFile:
    catalogue = stock(part("c", price=band(10, 12)), part("d", price=band(10, 12)))
    case = small_case(ends={"E": None}, wanted={"level_n": 1})
    plain: dict[str, Any] = {"stock": Stock(), "suppliers": None, "tolerance": 0, "on": DAY, "time_limit_s": 30.0}
    found = order_for([Planned("one", plan(case, catalogue))], catalogue, **{**plain, **how})
    assert found is not None
    return found


def test_a_substitute_on_hand_serves() -> None:
    """The plan names one of two equal parts; the other lies in the drawer."""
    planned = next(iter(ordered().cases[0].parts))
    other = {"c": "d", "d": "c"}[planned]
    found = ordered(stock=Stock(parts={other: Shelf(lots=(Lot(pieces=3),))}))

    assert ({other: 1}, ()) == (found.from_stock, found.lines)
    assert (planned, other, 1) == tuple(found.substitutions[0].model_dump().values())


def test_what_expires_first_is_taken_first() -> None:
    late, soon, past = (Lot(pieces=2, expires=date(year, 1, 1)) for year in (2032, 2031, 2029))
    taking = ordered().model_copy(update={"from_stock": {"c": 3}, "left_over": {}, "kits": ()})
    found = received(Stock(parts={"c": Shelf(lots=(late, soon, past))}), taking, DAY)

    assert (late.model_copy(update={"pieces": 1}), past) == found.parts["c"].lots


def test_stock_that_is_short() -> None:
    taking = ordered().model_copy(update={"from_stock": {"c": 3}})
    with pytest.raises(ShortStock) as refused:
        received(Stock(parts={"c": Shelf(lots=(Lot(pieces=2),))}), taking, DAY)

    assert ("c", 3, 2) == (refused.value.part, refused.value.wanted, refused.value.there)
