"""Cases at random, for trials and benchmarks: no patient, no practice, and every distribution is invented.

The distributions are guesses at what comes through a door; no survey stands behind any of them, and nothing may be
concluded from them about people. `DISTRIBUTIONS` is both what is drawn from and what is documented
(docs/sampled-cases.md). Case `number` of a seed is the same however many are drawn.
"""

from __future__ import annotations

import random
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from typing import Any


@dataclass(frozen=True)
class Choice:
    """One of some values, by weights in per cent."""

    weights: Mapping[Any, int]

    def draw(self, dice: random.Random) -> Any:
        """One value."""
        return dice.choices(list(self.weights), list(self.weights.values()))[0]

    def __str__(self) -> str:
        return ", ".join(f"{_shown(value)} {weight} %" for value, weight in self.weights.items())


@dataclass(frozen=True)
class Triangle:
    """A triangular distribution, rounded to `step`."""

    low: float
    mode: float
    high: float
    step: float = 0.1

    def draw(self, dice: random.Random) -> float:
        """One value."""
        return round(round(dice.triangular(self.low, self.high, self.mode) / self.step) * self.step, 3)

    def __str__(self) -> str:
        return f"triangular, {self.low:g} to {self.high:g}, most often {self.mode:g}"


def _chance(per_cent: int) -> Choice:
    return Choice({True: per_cent, False: 100 - per_cent})


def _yes(yes: int, no: int, unknown: int) -> Choice:
    return Choice({"yes": yes, "no": no, "unknown": unknown})


DISTRIBUTIONS: Mapping[str, Choice | Triangle] = {
    "jaw": Choice({"lower": 80, "upper": 20}),
    "supports, lower": Choice({(43, 33): 45, (42, 32): 10, (43, 31, 33): 15, (44, 42, 32, 34): 30}),
    "supports, upper": Choice({(14, 12, 22, 24): 75, (13, 11, 21, 23): 25}),
    "section": Choice({"round": 55, "ovoid": 25, "parallel": 15, "keyhole": 5}),
    "alloy": Choice({"gold": 35, "cobalt-chromium": 25, "titanium": 20, "unknown": 20}),
    "width, mm": Triangle(1.5, 1.8, 2.6),
    "height, mm": Triangle(1.6, 2.0, 3.2),
    "undercut left by wear": _chance(80),
    "undercut where there is one, mm": Triangle(0.1, 0.4, 0.6, 0.05),
    "gap under the bar, mm": Triangle(0.5, 1.5, 3.0),
    "balls on both ends": _chance(20),
    "ball when new, mm": Choice({1.8: 25, 2.2: 55, 2.5: 20}),
    "wear of a ball, mm": Triangle(0, 0.05, 0.4, 0.05),
    "length of an end, mm": Triangle(6, 8, 10, 0.5),
    "space between the jaws, mm": Triangle(9, 13, 17, 0.5),
    "breadth of the denture, mm": Triangle(8, 10, 13, 0.5),
    "tilt of a support or ball, deg": Triangle(0, 4, 15, 1),
    "connection documented": Choice({"documented": 60, "unknown": 40}),
    "implant firm": Choice({"firm": 70, "loose": 3, "unknown": 27}),
    "bone enough": Choice({"enough": 60, "little": 8, "unknown": 32}),
    "a measure is not known": _chance(10),
    "error of a measure, mm": Choice({0.0: 40, 0.05: 40, 0.1: 20}),
    "hand": Choice({"weak": 20, "usual": 55, "strong": 10, "unknown": 15}),
    "scans expected": _yes(15, 65, 20),
    "grinding": _yes(15, 65, 20),
    "sensitive to nickel": _chance(8),
    "work may be sent out": _chance(90),
    "welding allowed": _chance(70),
    "cutting allowed": _chance(60),
    "taking the bar off allowed": _chance(20),
    "an hour at the bench, EUR": Triangle(35, 50, 70, 1),
    "an hour at the chair, EUR": Triangle(80, 120, 180, 5),
    "a cap is given": _chance(70),
    "cap, EUR": Triangle(100, 350, 1200, 10),
    "fixing of the bar": Choice({"screwed": 75, "cemented": 5, "unknown": 20}),
    "screws of the bar": Choice({"tight": 60, "loose": 10, "stuck": 5, "unknown": 25}),
}
"""What is drawn, in words, and how. Invented."""


def sample_case(seed: int, number: int) -> dict[str, Any]:
    """Case `number` of a seed as it stands in a file."""
    draw = _Draw(seed, number)
    arch = draw("jaw")
    teeth = draw(f"supports, {arch}")
    section, alloy = draw("section"), draw("alloy")
    height, gap = draw("height, mm"), draw("gap under the bar, mm")
    supports = {f"S{tooth}": _support(draw, tooth) for tooth in teeth}
    shape = {"section": section, "height_mm": draw.measured(height), "gap_mm": draw.measured(gap), "alloy": alloy}
    segments = {
        f"B{i}": {"between": list(pair), **shape, **_worn(draw)} for i, pair in enumerate(pairwise(supports), 1)
    }
    return {
        "case": f"Sample {number} of seed {seed}",
        "about": "Invented, drawn at random: no patient, no practice.",
        "invented": True,
        "arch": arch,
        "room": {
            "space_mm": draw.measured(draw("space between the jaws, mm")),
            "top_mm": round(height + gap, 2),
            "breadth_mm": draw.measured(draw("breadth of the denture, mm")),
        },
        "supports": supports,
        "segments": segments,
        "ends": _ends(draw, list(supports)),
        "patient": _patient(draw),
        "allowed": _allowed(draw),
        "money": _money(draw),
        "bar": {"fixing": draw("fixing of the bar"), "screws": draw("screws of the bar")},
    }


class _Draw:
    """Draws by name from the distributions with one source of chance."""

    def __init__(self, seed: int, number: int) -> None:
        self.dice = random.Random(f"{seed}:{number}")

    def __call__(self, name: str) -> Any:
        return DISTRIBUTIONS[name].draw(self.dice)

    def measured(self, value: float) -> float | str:
        """A value as somebody wrote it down: with an error, plain, or not at all."""
        if self("a measure is not known"):
            return "unknown"
        error = self("error of a measure, mm")
        return f"{value:g} +- {error:g}" if error else value


def _support(draw: _Draw, tooth: int) -> dict[str, Any]:
    return {
        "tooth": tooth,
        "tilt_deg": draw("tilt of a support or ball, deg"),
        "connection": draw("connection documented"),
        "mobility": draw("implant firm"),
        "bone": draw("bone enough"),
    }


def _worn(draw: _Draw) -> dict[str, Any]:
    """What differs from one stretch of bar to the next."""
    undercut = draw("undercut where there is one, mm") if draw("undercut left by wear") else 0.0
    return {"width_mm": draw.measured(draw("width, mm")), "undercut_mm": draw.measured(undercut)}


def _ends(draw: _Draw, supports: list[str]) -> dict[str, Any]:
    if not draw("balls on both ends"):
        return {}
    new, length = draw("ball when new, mm"), draw("length of an end, mm")
    return {name: _end(draw, on, new, length) for name, on in (("R", supports[0]), ("L", supports[-1]))}


def _end(draw: _Draw, on: str, new_mm: float, length_mm: float) -> dict[str, Any]:
    """A ball is worn on one side first: it is out of round by what is gone from its least diameter."""
    wear = draw("wear of a ball, mm")
    return {
        "on": on,
        "length_mm": length_mm,
        "ball_mm": draw.measured(round(new_mm - wear, 3)),
        "out_of_round_mm": wear,
        "tilt_deg": draw("tilt of a support or ball, deg"),
    }


def _patient(draw: _Draw) -> dict[str, Any]:
    return {
        "hand": draw("hand"),
        "scans_expected": draw("scans expected"),
        "bruxism": draw("grinding"),
        "sensitivities": ["nickel"] if draw("sensitive to nickel") else [],
    }


def _allowed(draw: _Draw) -> dict[str, bool]:
    return {
        "send_out": draw("work may be sent out"),
        "weld": draw("welding allowed"),
        "cut_bar": draw("cutting allowed"),
        "bar_off": draw("taking the bar off allowed"),
    }


def _money(draw: _Draw) -> dict[str, Any]:
    money = {
        "currency": "EUR",
        "bench_per_hour": draw("an hour at the bench, EUR"),
        "chair_per_hour": draw("an hour at the chair, EUR"),
    }
    return money | ({"cap": draw("cap, EUR")} if draw("a cap is given") else {})


def _shown(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return "-".join(str(part) for part in value) if isinstance(value, tuple) else str(value)
