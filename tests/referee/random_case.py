"""Small random cases with a random catalogue each: tight, loose and impossible ones, all from one seed."""

from __future__ import annotations

import random
from itertools import pairwise
from typing import Any

from catalogue.blocks import Recall, Service, Wear
from catalogue.models import Catalogue
from catalogue.tiers import Preferences, Tiers
from solver.audit.second_opinion.world import World
from solver.case.schema import DEMANDS, PULLS, Case

INVENTED = "invented"


def random_world(seed: int) -> World:
    """The world of a seed; the same seed gives the same world."""
    dice = random.Random(seed)
    arch = dice.choice(["lower", "upper"])
    case = _case(dice, arch) | _bite(random.Random(f"bite {seed}")) | _bar(random.Random(f"bar {seed}"))
    for segment in case["segments"].values():
        segment["alloy"] = case["alloy"]
    del case["alloy"]
    catalogue = random_catalogue(dice)
    grinder = random.Random(f"grinder {seed}")
    case["patient"]["bruxism"] = grinder.choice(["yes", "no", "unknown"])
    return World(Case.model_validate(case, strict=False), _some_soft(grinder, catalogue))


def _some_soft(dice: random.Random, catalogue: Catalogue) -> Catalogue:
    """The same catalogue with parts that a grinder wears out."""
    attachments = {
        name: attachment.model_copy(update={"wears_by_grinding": dice.random() < 0.3})
        for name, attachment in catalogue.attachments.items()
    }
    return catalogue.model_copy(update={"attachments": attachments})


def _bite(dice: random.Random) -> dict[str, Any]:
    """A bar of one alloy, and a bite that it bears easily, just about, or not once it is cut."""
    return {
        "alloy": dice.choice(["titanium-alloy", "titanium", "gold", "unknown"]),
        "opposing": dice.choice(["denture", "natural", "unknown"]),
        "bite": {"force_n": dice.choice(["unknown", 10, "90 +- 30", 250])},
    }


def _bar(dice: random.Random) -> dict[str, Any]:
    """A bar that mostly comes off; where it does not, or that is not known, nothing is deepened, or it is asked."""
    fixing, screws = ["screwed", "screwed", "cemented", "unknown"], ["tight", "tight", "loose", "stuck", "unknown"]
    return {"bar": {"fixing": dice.choice(fixing), "screws": dice.choice(screws)}}


def with_pulls(world: World, seed: int) -> World:
    """The same world with some pulls asked for."""
    dice = random.Random(f"pulls {seed}")
    asked = {name: dice.choice([0, 0, 0, 0.3, 1]) for name in PULLS}
    wanted = world.case.wanted.model_copy(update={"pull_n": {name: n for name, n in asked.items() if n}})
    return World(world.case.model_copy(update={"wanted": wanted}), world.catalogue)


def with_tiers(world: World, seed: int) -> World:
    """The same world where tiers promise something, parts wear, fight and are preferred, and little else is asked."""
    dice = random.Random(f"tiers {seed}")
    tiers, preferences = _tiers(dice), _preferences(dice)
    defaults = world.catalogue.defaults.model_copy(
        update={"tiers": Tiers.model_validate(tiers, strict=False), "preferences": preferences}
    )
    attachments = {
        name: attachment.model_copy(update=_wears(dice)) if attachment.kind != "bare" else attachment
        for name, attachment in world.catalogue.attachments.items()
    }
    catalogue = world.catalogue.model_copy(update={"attachments": attachments, "defaults": defaults})
    wanted = world.case.wanted.model_copy(
        update={
            "level_n": None,
            "hold_n": dice.choice([None, None, 1.5]),
            "pull_n": dice.choice([{}, {}, {"left": 0.4}, {"behind": 0.3}]),
            "most_n": dice.choice([None, 2, 5, 9]),
            "movement": dice.choice([{}, {}, {"whole": 0.5}, {"front": 0.5}]),
        }
    )
    money = world.case.money.model_copy(update={"cap": dice.choice([None, None, 40, 120, 300])})
    return World(world.case.model_copy(update={"wanted": wanted, "money": money}), catalogue)


def aside(dice: random.Random) -> random.Random:
    """Return dice of their own, so that what is drawn with them leaves the rest of a world as it was."""
    return random.Random(repr(dice.getstate()))


def _figure(dice: random.Random, *values: float) -> dict[str, Any]:
    return {"value": dice.choice(values), "source": INVENTED}


def _tiers(dice: random.Random) -> dict[str, Any]:
    return {
        "stopgap": {
            "promise": "little",
            "centre_n": _figure(dice, 0.3, 0.5),
            "front_n": _figure(dice, 0, 0.3),
            "sides_n": _figure(dice, 0.1, 0.2),
        },
        "usual": {
            "promise": "more",
            "centre_n": _figure(dice, 0.5, 1, 2),
            "front_n": _figure(dice, 0, 0.5),
            "sides_n": _figure(dice, 0, 0.3, 1),
            "sides_many_n": _figure(dice, 0.3, 1.7),
            "many_supports": _figure(dice, 3, 4),
            "spread": _figure(dice, 0, 0.6, 0.8),
            "even": _figure(dice, 0, 0.3, 0.7),
            "until_renewal": dice.random() < 0.5,
        },
        "firm": {"promise": "most"},
    }


def _preferences(dice: random.Random) -> Preferences:
    figures = {
        "alike_saves": _figure(dice, 0.1, 0.4),
        "whole_bar_saves": _figure(dice, 0, 0.333),
        "in_kind": _figure(dice, 0, 0.5, 0.5),
        "about_nothing_n": _figure(dice, 0.2),
        "three_points_saves": _figure(aside(dice), 0, 0.2, 0.4),
    }
    return Preferences.model_validate(figures, strict=False)


def _wears(dice: random.Random) -> dict[str, Any]:
    if dice.random() < 0.4:
        return {}
    lost = dice.choice([0.1, 0.4])
    wear = {"loss": [lost, lost + dice.choice([0, 0.2])], "cycles": dice.choice([540, 1440]), "source": INVENTED}
    return {
        "wear": Wear.model_validate(wear, strict=False),
        "service": Service.model_validate(_service(dice), strict=False),
    }


def mirrored_world(seed: int) -> World:
    """The world of a seed made even about the midline, or nearly; what stands on one side can stand on the other."""
    world, dice = random_world(seed), random.Random(f"mirrored {seed}")
    case = world.case.model_dump(exclude_unset=True)
    case["supports"], case["segments"], case["ends"] = _even(dice, case)
    case["denture"] |= {"left": [24.0, 4.0], "right": [-24.0, 4.0]}
    kept = dict.fromkeys(dice.sample(sorted(world.catalogue.attachments), 4))
    attachments = {n: a for n, a in world.catalogue.attachments.items() if n in kept or n == "cut"}
    return World(
        Case.model_validate(case, strict=False), world.catalogue.model_copy(update={"attachments": attachments})
    )


def _even(dice: random.Random, case: dict[str, Any]) -> tuple[dict[str, Any], dict[str, Any], dict[str, Any]]:
    """Two or three supports, the bar between them, and perhaps both ends; one side may differ in a measure."""
    middle = dice.random() < 0.7
    y, aside = dice.choice([14, 20]), dice.choice([9, 14])
    spots = {"S1": [-aside, y, 1], **({"S2": [0, y + 5, 1]} if middle else {}), "S3": [aside, y, 1]}
    support = {"connection": dice.choice(["documented", "documented", "unknown"])}
    segment = {name: value for name, value in next(iter(case["segments"].values())).items() if name != "between"}
    segments = {f"B{i}": {**segment, "between": list(pair)} for i, pair in enumerate(pairwise(spots), 1)}
    if dice.random() < 0.3:
        segments["B1"]["undercut_mm"] = dice.choice([0.0, 0.25, 0.4])
    end = _end(dice, "S1")
    ends = {"E1": end, "E2": {**end, "on": "S3"}} if dice.random() < (0.4 if middle else 0.8) else {}
    return {name: {**support, "at_mm": at} for name, at in spots.items()}, segments, ends


def with_service(world: World, seed: int) -> World:
    """The same world with some hold asked for and no cap, where most parts are renewed at prices of all sizes."""
    dice = random.Random(f"service {seed}")
    attachments = {
        name: attachment.model_copy(update={"service": Service.model_validate(_service(dice), strict=False)})
        if attachment.kind != "bare" and dice.random() < 0.6
        else attachment
        for name, attachment in world.catalogue.attachments.items()
    }
    recall = Recall.model_validate(_service(dice, what=None), strict=False)
    seen = dice.choice([None, recall])
    denture = (Service.model_validate(_service(dice) | {"months": [24, 60]}, strict=False),)
    defaults = world.catalogue.defaults.model_copy(update={"recall": seen, "denture": dice.choice([(), denture])})
    catalogue = world.catalogue.model_copy(update={"attachments": attachments, "defaults": defaults})
    money = world.case.money.model_copy(update={"years": dice.choice([1, 5, 10]), "cap": None})
    wanted = world.case.wanted.model_copy(
        update={"level_n": dice.choice([2, 4, 9]), "most_n": None, "movement": dict.fromkeys(DEMANDS, 0.3)}
    )
    return World(world.case.model_copy(update={"money": money, "wanted": wanted}), catalogue)


def _service(dice: random.Random, what: str | None = "renew") -> dict[str, Any]:
    sooner, price = dice.choice([3, 9, 24]), dice.choice([0, 4.99, 60])
    service = {
        "months": [sooner, sooner + dice.choice([0, 6])],
        "price": {"low": price, "high": price + dice.choice([0, 7.5]), "source": INVENTED},
        "work": {"chair": [5, dice.choice([5, 13])], "source": INVENTED},
        "source": INVENTED,
    }
    return service if what is None else {**service, "what": what}


def _case(dice: random.Random, arch: str) -> dict[str, Any]:
    supports = {
        f"S{i}": {"at_mm": [x, y, round(dice.uniform(0, 4), 2)], "connection": dice.choice(["documented", "unknown"])}
        for i, (x, y) in enumerate(_row(dice), 1)
    }
    names = list(supports)
    segments = {f"B{i}": _segment(dice, one, two) for i, (one, two) in enumerate(pairwise(names), 1)}
    ends = {
        f"E{i}": _end(dice, name)
        for i, name in enumerate((names[0], names[-1]), 1)
        if segments and dice.random() < 0.5
    }
    return {
        "case": "random",
        "arch": arch,
        "room": {"space_mm": dice.choice([10, 12, 14, 16]), "top_mm": dice.choice([3, 5, 6])},
        "supports": supports,
        "segments": segments,
        "ends": ends,
        "denture": {
            "left": [24.0, 4.0], "right": [-24.0, 5.0], "front": [0.0, 28.0],
            "settling_mm": dice.choice([0.2, "0.3 +- 0.1"]),
        },
        "patient": {
            "scans_expected": dice.choice(["yes", "no", "unknown"]), "sensitivities": dice.choice([[], ["nickel"]]),
        },
        "allowed": {work: dice.random() < 0.7 for work in ("send_out", "weld", "cut_bar", "bar_off")},
        "money": {
            "currency": "EUR",
            "cap": dice.choice([None, 60, 150, 400]),
            "bench_per_hour": 45,
            "chair_per_hour": 95.5,
        },
        "wanted": {
            "level_n": dice.choice([0, 4, 9, 14]),
            "most_n": dice.choice([None, 12, 25]),
            "movement": {d: dice.choice([0, 0.5, 1]) for d in ("whole", "front", "left", "right")},
        },
    }  # fmt: skip


def _row(dice: random.Random) -> list[tuple[float, float]]:
    """Two to four supports from right to left along a bent line."""
    xs = sorted(dice.sample(range(-18, 19, 6), dice.choice([2, 3, 3, 4])))
    return [(x + round(dice.uniform(-1, 1), 2), round(24 - 0.03 * x * x + dice.uniform(-2, 2), 2)) for x in xs]


def _measure(dice: random.Random, *values: float) -> float | str:
    value = dice.choice(values)
    written: list[float | str] = [value, value, value, "unknown", f"{value} +- 0.1"]
    return dice.choice(written)


def _segment(dice: random.Random, one: str, two: str) -> dict[str, Any]:
    return {
        "between": [one, two],
        "section": dice.choice(["round", "round", "ovoid", "unknown"]),
        "width_mm": _measure(dice, 1.8, 2.4, 4.2),
        "height_mm": _measure(dice, 1.8, 3.2),
        "undercut_mm": _measure(dice, 0.0, 0.25, 0.4),
    }


def _end(dice: random.Random, on: str) -> dict[str, Any]:
    return {
        "on": on,
        "length_mm": dice.choice([6, 9]),
        "ball_mm": _measure(dice, 1.9, 2.2),
        "out_of_round_mm": _measure(dice, 0.0, 0.2),
        "top_mm": dice.choice(["unknown", 4, 11]),
    }


def random_catalogue(dice: random.Random) -> Catalogue:
    """Five to eight attachments over all kinds of site and three reworks."""
    attachments = {f"a{i}": _attachment(dice, f"a{i}") for i in range(dice.randint(5, 8))}
    attachments["cut"] = entry("cut", "bare", ["end"], steps=["cut-off"], movement=dict.fromkeys(_MOTIONS, "free"))
    return catalogue_of(attachments, _reworks(dice))


def catalogue_of(attachments: dict[str, Any], reworks: dict[str, Any]) -> Catalogue:
    """A catalogue of these entries with the defaults of the tests; every figure is invented."""
    return Catalogue.model_validate(
        {
            "version": "random", "currency": "EUR",
            "sources": {INVENTED: {"kind": "invented", "text": "invented for the tests"}},
            "attachments": attachments, "reworks": reworks, "defaults": _DEFAULTS,
        },
        strict=False,
    )  # fmt: skip


_MOTIONS = ("slide_mm", "sideways_mm", "down_mm", "up_mm", "hinge_deg", "tip_deg", "turn_deg")

_NOTHING = {"value": 0, "source": INVENTED}

_ASKS_NOTHING = {
    "stopgap": {"promise": "nothing", **dict.fromkeys(("centre_n", "front_n", "sides_n"), _NOTHING)},
    "usual": {
        "promise": "nothing",
        **dict.fromkeys(("centre_n", "front_n", "sides_n", "sides_many_n", "spread", "even"), _NOTHING),
        "many_supports": {"value": 4, "source": INVENTED},
        "until_renewal": False,
    },
    "firm": {"promise": "nothing"},
}

_PREFERS_NOTHING = dict.fromkeys(("alike_saves", "whole_bar_saves", "in_kind", "about_nothing_n"), _NOTHING)

_DEFAULTS = {
    "play": {"mm": 0.02, "deg": 0.1, "source": INVENTED},
    "acrylic_mm": {"value": 2.0, "source": INVENTED},
    "tooth_mm": {"value": 2.5, "source": INVENTED},
    "settling_mm": {"lower": 0.3, "upper": 0.4, "source": INVENTED},
    "hold_n": {"value": 5.0, "source": INVENTED},
    "pull_n": {"weak": 15, "usual": 40, "strong": 60, "source": INVENTED},
    "support_diameter_mm": {"value": 4.0, "source": INVENTED},
    "thin_base": {"up_to": 0.6, "how": "accept a thinner base", "source": INVENTED},
    "metals": {"text": "a sensitivity rules it out", "source": INVENTED},
    "loose": {"text": "nothing is built on it", "source": INVENTED},
    "scans": {"up_to": 0, "how": "take the denture out", "source": INVENTED},
    "grinding": {"up_to": 0, "how": "renew it often", "source": INVENTED},
    "tiers": _ASKS_NOTHING,
    "preferences": _PREFERS_NOTHING,
}


def entry(name: str, kind: str, at: list[str], **more: Any) -> dict[str, Any]:
    """One attachment as it would stand in a file, free of needs and cost unless said."""
    return {
        "id": name, "kind": kind, "name": name, "at": at,
        "stack": {"part": 0.0, "source": INVENTED},
        "retention_n": {"low": 0, "high": 0, "source": INVENTED},
        "price": {"low": 0, "high": 0, "source": INVENTED},
        "work": {"source": INVENTED},
        **more,
        "movement": {**more.get("movement", {}), "source": INVENTED},
    }  # fmt: skip


def _attachment(dice: random.Random, name: str) -> dict[str, Any]:
    kind, site = dice.choice(
        [("clip", "segment"), ("clip", "segment"), ("stud", "segment"), ("ball", "end"), ("stud", "support")]
    )
    low, price = dice.choice([2.0, 4.0, 7.5]), dice.choice([8, 19.99, 35.5])
    return entry(
        name, kind, [site],
        needs=_needs(dice, site),
        steps=["take-bar-off"] if site == "support" else [],
        length_mm=dice.choice([3, 5]) if kind == "clip" else None,
        spacing_mm=1.0,
        most=2 if kind == "clip" else 1,
        stack={"part": dice.choice([1, 2.2]), "spacer": dice.choice([0, 0.5]), "source": INVENTED},
        movement=_movement(dice),
        retention_n={"low": low, "high": low + dice.choice([1, 5]), "source": INVENTED},
        price={"low": price, "high": price + dice.choice([0, 12.34]), "source": INVENTED},
        work={"bench": [5, dice.choice([5, 11])], "chair": [5, 10], "source": INVENTED},
        metals=dice.choice([[], [], ["nickel", "cobalt"]]),
        magnetic=dice.random() < 0.2,
    )  # fmt: skip


def _needs(dice: random.Random, site: str) -> list[dict[str, Any]]:
    waive = {"up_to": 0.2, "how": "live with it", "source": INVENTED}
    needs: dict[str, list[dict[str, Any]]] = {
        "segment": [
            {"of": "section", "one_of": ["round"]},
            {"of": "width_mm", "at_least": 1.7, "at_most": 2.5},
            {"of": "undercut_mm", "at_least": 0.3, "waive": waive},
            {"of": "height_mm", "at_least": 3.0},
        ],
        "end": [{"of": "ball_mm", "at_least": 2.15, "at_most": 2.25}, {"of": "out_of_round_mm", "at_most": 0.05}],
        "support": [{"of": "connection", "one_of": ["documented"]}, {"of": "space_mm", "at_least": 11}],
    }
    return [{**need, "source": INVENTED} for need in needs[site] if dice.random() < 0.6]


def _movement(dice: random.Random) -> dict[str, float | str]:
    choices: dict[str, tuple[float | str, ...]] = {
        "slide_mm": (0, 0, 0.5, "free"), "sideways_mm": (0, 0, 0.2), "down_mm": (0, 0.15, 0.3, 0.5),
        "up_mm": (0, 0, 0.1),
        "hinge_deg": (0, 8, 20, "free"), "tip_deg": (0, 0, 8), "turn_deg": (0, 8, "free"),
    }  # fmt: skip
    return {name: value for name, options in choices.items() if (value := dice.choice(options)) != 0}


def _reworks(dice: random.Random) -> dict[str, dict[str, Any]]:
    def rework(name: str, at: list[str], price: float, **more: Any) -> dict[str, Any]:
        return {
            "id": name, "name": name, "at": at, "source": INVENTED,
            "price": {"low": price, "high": price + 5, "source": INVENTED},
            "work": {"chair": [5, 20], "source": INVENTED},
            **more,
        }  # fmt: skip

    thick = {"of": "width_mm", "at_least": 1.7, "source": INVENTED}
    capped, shaved = {"ball_mm": 2.2, "out_of_round_mm": 0.0}, {"width_mm": -0.3, "height_mm": -0.1}
    deep, cut, away = {"undercut_mm": 0.35}, {"permissions": ["cut_bar"]}, {"permissions": ["send_out"]}
    comes_off = [
        {"of": "fixing", "one_of": ["screwed"], "source": INVENTED},
        {"of": "screws", "one_of": ["tight", "loose"], "source": INVENTED},
    ]
    bench = {"where": "bench", "steps": ["unscrew"]}
    return {
        "cap": rework("cap", ["end"], 30, makes=capped, tolerance_mm=0.02, **away),
        "unscrew": rework("unscrew", ["segment"], 10, needs=comes_off, once=True, always_with=True),
        "deepen": rework("deepen", ["segment"], dice.choice([0, 15]), makes=deep, needs=[thick], **bench, **cut),
        "slim": rework("slim", ["segment"], 10, changes=shaved, **cut),
        "cut-off": rework("cut-off", ["end"], 0, always_with=True, **cut),
        "take-bar-off": rework("take-bar-off", ["support"], 20, always_with=True, once=True, permissions=["bar_off"]),
    }
