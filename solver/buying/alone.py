"""One case that orders for itself, looked at among the few offers that can matter to it.

An offer of a part that the case does not need is only ever bought to fill an order up to a threshold. Where its
cheapest purchase costs more than that can save, it is left out; the least purchase stays the same.
"""

from __future__ import annotations

import time
from collections.abc import Mapping
from dataclasses import replace

from solver.buying.buy import Purchase, buy
from solver.buying.market import Item, Market
from solver.buying.need import Customer, Need


def buy_alone(need: Need, market: Market, on_hand: Mapping[str, int], time_limit_s: float) -> Purchase:
    """The least-cost purchase for one plan, as `buy` finds it on the whole market. Raises `NoOffer`."""
    until = time.monotonic() + time_limit_s
    wanted = {other for part in (*need.parts, *need.kits) for other in market.serving(part)}
    needed = tuple(item for item in market.items if item.part in wanted)
    customer = Customer("", (need,))
    found = buy([customer], replace(market, items=needed), on_hand, time_limit_s)
    if not found.plans:
        return found
    spare = (found.own + found.invoice(market)).high - _least(need, market, on_hand)
    useful = tuple(item for item in market.items if item.part in wanted or _fills(item, needed, market, spare))
    if len(useful) == len(needed):
        return found
    return buy([customer], replace(market, items=useful), on_hand, max(until - time.monotonic(), 0.001))


def _fills(item: Item, needed: tuple[Item, ...], market: Market, spare: int) -> bool:
    """True where an item that is not needed might pay by filling the order of its house."""
    house = market.houses[item.house]
    if all(other.house != item.house for other in needed):
        return False
    carriage = house.carriage if house.free_from is not None else -1
    saves = spare if house.minimum else min(spare, carriage)
    return min(tier.packs * tier.price.high for tier in item.tiers) <= saves


def _least(need: Need, market: Market, on_hand: Mapping[str, int]) -> int:
    """What the plan costs at the least: every piece at the best price a piece, no carriage, nothing left over."""
    least = need.own.high
    for part, count in (*need.parts.items(), *((kit, 1) for kit in need.kits)):
        others = market.serving(part)
        short = count - sum(on_hand.get(other, 0) for other in others)
        offers = [
            (tier.price.high, item.pieces) for item in market.items if item.part in others for tier in item.tiers
        ]
        if short > 0 and offers:
            least += min(short * price // pieces for price, pieces in offers)
    return least
