"""Random markets and customers for the tests of buying; every price is invented."""

from __future__ import annotations

from typing import Any

from hypothesis import strategies as st

from solver.buying.market import House, Item, Market, Tier
from solver.buying.need import Customer, Need
from solver.case.money import Cost

PARTS = ("p", "q")


def _tiers(draw: Any, *, bands: bool, breaks: bool) -> tuple[Tier, ...]:
    low = draw(st.integers(1, 40))
    high = low + (draw(st.integers(0, 20)) if bands else 0)
    tiers = [Tier(draw(st.integers(1, 2)), Cost(low, high))]
    if breaks and draw(st.booleans()):
        cheap = draw(st.integers(0, low))
        tiers.append(Tier(tiers[0].packs + draw(st.integers(1, 3)), Cost(cheap, cheap + high - low)))
    return tuple(tiers)


@st.composite
def markets(draw: Any, *, bands: bool = True, breaks: bool = True) -> Market:
    """One or two houses that sell both parts and the kit `k`; `q` may stand in for `p`."""
    houses, items = {}, []
    for name in ("a", "b")[: draw(st.integers(1, 2))]:
        free = draw(st.none() | st.integers(0, 60))
        houses[name] = House(name, name, draw(st.integers(0, 25)), free, draw(st.integers(0, 50)))
        for part in (*PARTS, "k"):
            for _ in range(draw(st.integers(1, 2)) if part != "k" else 1):
                items.append(Item(name, part, draw(st.integers(1, 4)), _tiers(draw, bands=bands, breaks=breaks)))
    return Market(houses, tuple(items), draw(st.sampled_from([{}, {"p": ("p", "q")}])))


def _need(draw: Any) -> Need:
    parts = {part: n for part in PARTS if (n := draw(st.integers(0, 4)))}
    low = draw(st.integers(0, 60))
    return Need(parts, frozenset(draw(st.sets(st.just("k")))), Cost(low, low + draw(st.integers(0, 20))))


@st.composite
def customers(draw: Any, most_plans: int = 3) -> tuple[Customer, ...]:
    """One to three cases with some plans each."""
    return tuple(
        Customer(f"c{i}", tuple(_need(draw) for _ in range(draw(st.integers(1, most_plans)))))
        for i in range(draw(st.integers(1, 3)))
    )


def on_hand() -> st.SearchStrategy[dict[str, int]]:
    """Some pieces in stock."""
    return st.dictionaries(st.sampled_from((*PARTS, "k")), st.integers(0, 3))
