"""Worlds changed in ways whose effect is known beforehand: nothing that matters, or only for the better."""

from __future__ import annotations

import random
from collections.abc import Callable, Mapping
from typing import Any

from catalogue.models import Catalogue
from solver.audit.second_opinion.world import World
from solver.case.schema import Case

Told = dict[str, Any]

SIDES = {"left": "right", "right": "left"}
QUADRANTS = {1: 2, 2: 1, 3: 4, 4: 3}


def changed(world: World, change: Callable[[Told, Told], None]) -> World:
    """A world with its case and catalogue changed as they would stand in a file."""
    case, catalogue = world.case.model_dump(mode="json"), world.catalogue.model_dump(mode="json")
    change(case, catalogue)
    return World(Case.model_validate(case, strict=False), Catalogue.model_validate(catalogue, strict=False))


# Nothing that matters


def mirrored(world: World) -> World:
    """Left and right exchanged."""

    def change(case: Told, _: Told) -> None:
        for group in ("supports", "ends"):
            for entry in case[group].values():
                if entry.get("at_mm"):
                    entry["at_mm"] = _across(entry["at_mm"])
                if entry.get("tooth"):
                    entry["tooth"] = _across(entry["tooth"])
                if entry["tilt_towards"] is not None:
                    entry["tilt_towards"] = (360 - entry["tilt_towards"]) % 360
        denture = case["denture"]
        spots = {name: _across(denture[name]) for name in denture if _across_name(name) != name or name == "front"}
        denture |= {_across_name(name): spot for name, spot in spots.items()}
        for asked in ("pull_n", "movement"):
            case["wanted"][asked] = {SIDES.get(name, name): told for name, told in case["wanted"][asked].items()}

    return changed(world, change)


def _across(spot: Any) -> Any:
    if spot is None:
        return None
    if isinstance(spot, int):
        return 10 * QUADRANTS[spot // 10] + spot % 10
    return [-spot[0], *spot[1:]]


def _across_name(name: str) -> str:
    """`heel_left` for `heel_right`."""
    head, _, last = name.rpartition("_")
    return "_".join([*([head] if head else []), SIDES.get(last, last)])


def renamed(world: World, names: Mapping[str, str]) -> World:
    """Other names for its sites."""

    def change(case: Told, _: Told) -> None:
        for group in ("supports", "segments", "ends"):
            case[group] = {names[name]: entry for name, entry in case[group].items()}
        for segment in case["segments"].values():
            segment["between"] = [names[name] for name in segment["between"]]
        for end in case["ends"].values():
            end["on"] = names[end["on"]]

    return changed(world, change)


def new_names(world: World) -> dict[str, str]:
    """Names that sort the other way round, by site."""
    sites = (*world.case.supports, *world.case.segments, *world.case.ends)
    return {name: f"N{99 - number}" for number, name in enumerate(sorted(sites))}


def reordered(world: World) -> World:
    """The entries of both files the other way round."""

    def change(case: Told, catalogue: Told) -> None:
        for group in ("supports", "segments", "ends"):
            case[group] = dict(reversed(case[group].items()))
        for group in ("attachments", "reworks"):
            catalogue[group] = dict(reversed(catalogue[group].items()))
        case["patient"]["sensitivities"] = case["patient"]["sensitivities"][::-1]

    return changed(world, change)


# Money


def in_whole_cents(world: World) -> World:
    """The same world with prices and rates that give whole minor units of its own currency, however multiplied."""

    def change(case: Told, catalogue: Told) -> None:
        case["money"] |= {
            "currency": catalogue["currency"], "exchange": None, "bench_per_hour": 60, "chair_per_hour": 120,
        }  # fmt: skip
        for priced in _priced(catalogue):
            priced["low"], priced["high"] = round(priced["low"]), round(priced["high"])

    return changed(world, change)


def dearer(world: World, times: int) -> World:
    """All prices, rates and the cap so many times as high."""

    def change(case: Told, catalogue: Told) -> None:
        for name in ("bench_per_hour", "chair_per_hour", "cap"):
            case["money"][name] = None if case["money"][name] is None else case["money"][name] * times
        for priced in _priced(catalogue):
            priced["low"], priced["high"] = priced["low"] * times, priced["high"] * times

    return changed(world, change)


def exchanged(world: World, rate: int) -> World:
    """The case in another currency, of which one of the catalogue's buys so many."""

    def change(case: Told, _: Told) -> None:
        case["money"] |= {"currency": "SEK", "exchange": rate}
        for name in ("bench_per_hour", "chair_per_hour", "cap"):
            case["money"][name] = None if case["money"][name] is None else case["money"][name] * rate

    return changed(world, change)


def _priced(catalogue: Told) -> list[Told]:
    entries = [*catalogue["attachments"].values(), *catalogue["reworks"].values()]
    services = [entry["service"] for entry in entries if entry.get("service")]
    recall = catalogue["defaults"].get("recall")
    denture = catalogue["defaults"].get("denture") or []
    return [entry["price"] for entry in (*entries, *services, *denture, *([recall] if recall else []))]


# For the better


def with_wider_cap(world: World) -> World:
    """A third more may be spent."""

    def change(case: Told, _: Told) -> None:
        if case["money"]["cap"] is not None:
            case["money"]["cap"] *= 4 / 3

    return changed(world, change)


def loosened(world: World, seed: int) -> World:
    """Some limits of the case and of its tiers looser, none tighter.

    Not what is allowed: with it come new places, which may raise the share that a side could take at best.
    """
    dice = random.Random(f"loose {seed}")

    def looser(given: float | None, share: float) -> float | None:
        return None if given is None else given * dice.choice([1, share])

    def change(case: Told, catalogue: Told) -> None:
        wanted = case["wanted"]
        for name, share in (("hold_n", 0.5), ("level_n", 0.5), ("most_n", 1.6)):
            wanted[name] = looser(wanted[name], share)
        for asked in ("pull_n", "movement"):
            wanted[asked] = {name: looser(least, 0.5) for name, least in wanted[asked].items()}
        tiers = catalogue["defaults"]["tiers"]
        for tier, names in (("stopgap", FLOORS), ("usual", (*FLOORS, "sides_many_n", "spread", "even"))):
            for name in names:
                tiers[tier][name]["value"] = looser(tiers[tier][name]["value"], 0.7)
        hands = catalogue["defaults"]["pull_n"]
        hands |= {band: hands[band] * 1.3 for band in ("weak", "usual", "strong")}

    return changed(world, change)


FLOORS = ("centre_n", "front_n", "sides_n")


def with_one_more(world: World, seed: int) -> World:
    """One more attachment: another one at another price that holds otherwise, so that no new place comes with it."""
    dice = random.Random(f"more {seed}")

    def change(_: Told, catalogue: Told) -> None:
        of = dice.choice([entry for entry in catalogue["attachments"].values() if entry["kind"] != "bare"])
        band, price, factor = of["retention_n"], of["price"], dice.choice([0.6, 1, 1.5])
        catalogue["attachments"]["more"] = of | {
            "id": "more",
            "name": "more",
            "price": price | {"low": price["low"] * 0.8, "high": price["high"] * dice.choice([0.8, 1.1])},
            "retention_n": band | {"low": band["low"] * factor, "high": band["high"] * factor},
        }

    return changed(world, change)
