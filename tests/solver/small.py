"""A small case of one straight bar, and catalogues in one line each, for tests that bend one thing at a time.

Everything is invented: supports R and L 20 mm apart, the segment B between them, an end E on L. Acrylic and tooth of
the test defaults take 4.5 mm, settling is 0.3 mm, a bench minute costs 1 EUR, a chair minute 2 EUR.
The bar bears its weak bite whatever is cut from it. Every demand is asked in full; no tier promises anything.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, TypeVar

from pydantic import BaseModel

from catalogue.models import Catalogue
from catalogue.tiers import Share
from solver.assess.problem import Problem, problem_of
from solver.case.schema import DEMANDS, Case
from tests.referee.random_case import INVENTED, catalogue_of, entry

SheetOf = TypeVar("SheetOf", bound=BaseModel)

_CASE: dict[str, Any] = {
    "case": "small",
    "arch": "lower",
    "room": {"space_mm": 14, "top_mm": 4},
    "supports": {"R": {"at_mm": [-10, 20, 0]}, "L": {"at_mm": [10, 20, 0]}},
    "segments": {
        "B": {
            "between": ["R", "L"],
            "section": "round",
            "width_mm": 1.8,
            "undercut_mm": 0.3,
            "alloy": "titanium-alloy",
        }
    },
    "ends": {"E": {"on": "L", "length_mm": 8, "ball_mm": 2.2, "out_of_round_mm": 0}},
    "denture": {"left": [24, 0], "right": [-24, 0], "front": [0, 28], "settling_mm": 0.3},
    "bite": {"force_n": 20},
    "patient": {"scans_expected": "no", "bruxism": "no"},
    "money": {"currency": "EUR", "bench_per_hour": 60, "chair_per_hour": 120},
    "wanted": {"movement": dict.fromkeys(DEMANDS, 1)},
}

FREE = dict.fromkeys(("slide_mm", "sideways_mm", "down_mm", "up_mm", "hinge_deg", "tip_deg", "turn_deg"), "free")
"""Movement that never binds."""


def case_data(**changes: Any) -> dict[str, Any]:
    """The small case as it stands in a file, mappings merged, everything else replaced."""
    return _merged(_CASE, changes)


def small_case(**changes: Any) -> Case:
    """The small case with changes."""
    return Case.model_validate(case_data(**changes), strict=False)


def part(name: str, kind: str = "clip", at: str = "segment", **more: Any) -> dict[str, Any]:
    """An attachment that never binds, holds 5 to 8 N and costs 10 to 12 EUR unless said."""
    plain = {"movement": FREE, "retention_n": band(5, 8), "price": band(10, 12)}
    return entry(name, kind, [at], **{**plain, **more})


def step(name: str, *at: str, **more: Any) -> dict[str, Any]:
    """A rework that costs nothing and changes nothing unless said."""
    plain = {"price": band(0, 0), "work": {"source": INVENTED}, "source": INVENTED}
    return {"id": name, "name": name, "at": at, **plain, **more}


def renewal(*months: int, **more: Any) -> dict[str, Any]:
    """What a part takes every so many months, sooner and later: 3 EUR and no minutes unless said."""
    plain = {"price": band(3, 3), "work": {"source": INVENTED}, "source": INVENTED}
    return {"what": "renew", "months": months, **plain, **more}


def stock(*parts: dict[str, Any], steps: tuple[dict[str, Any], ...] = ()) -> Catalogue:
    """A catalogue of these parts and reworks."""
    return catalogue_of({p["id"]: p for p in parts}, {s["id"]: s for s in steps})


def promising(catalogue: Catalogue, tier: Literal["stopgap", "usual"], **figures: float) -> Catalogue:
    """The catalogue with a promise of so much: the figures of a tier by their names."""
    tiers = catalogue.defaults.tiers
    asked = _with_values(getattr(tiers, tier), figures)
    defaults = catalogue.defaults.model_copy(update={"tiers": tiers.model_copy(update={tier: asked})})
    return catalogue.model_copy(update={"defaults": defaults})


def preferring(catalogue: Catalogue, **figures: float) -> Catalogue:
    """The catalogue with these figures of its preferences; `in_kind` is what makes parts stop, give and fight."""
    told = catalogue.defaults.preferences
    three = told.three_points_saves or Share(value=0, source=INVENTED)
    preferences = _with_values(told.model_copy(update={"three_points_saves": three}), figures)
    return catalogue.model_copy(
        update={"defaults": catalogue.defaults.model_copy(update={"preferences": preferences})}
    )


def _with_values(sheet: SheetOf, figures: Mapping[str, float]) -> SheetOf:
    values = {name: getattr(sheet, name).model_copy(update={"value": value}) for name, value in figures.items()}
    return sheet.model_copy(update=values)


def small_problem(catalogue: Catalogue, **changes: Any) -> Problem:
    """The small case against a catalogue."""
    return problem_of(small_case(**changes), catalogue)


def large_world() -> tuple[Case, Catalogue]:
    """Eleven segments with 60 attachments each and a hold that takes some search: nothing for a millisecond."""
    xs = [-20 + 40 * i / 11 for i in range(12)]
    supports = {f"S{i}": {"at_mm": [x, 26 - 0.04 * x * x, 0]} for i, x in enumerate(xs)}
    segments = {f"B{i}": {"between": [f"S{i}", f"S{i + 1}"]} for i in range(11)}
    case = small_case(
        supports={"R": None, "L": None, **supports},
        segments={"B": None, **segments},
        ends={"E": None},
        wanted={"level_n": 57},
    )
    return case, stock(*(part(f"c{i}", price=band(0, 10 + i * 7919 % 97)) for i in range(60)))


def band(low: float, high: float) -> dict[str, Any]:
    """An invented band."""
    return {"low": low, "high": high, "source": INVENTED}


def need(of: str, **more: Any) -> dict[str, Any]:
    """An invented need."""
    return {"of": of, "source": INVENTED, **more}


def waive(up_to: float) -> dict[str, Any]:
    """An invented way to live with a shortfall."""
    return {"up_to": up_to, "how": "live with it", "source": INVENTED}


def _merged(below: Mapping[str, Any], above: Mapping[str, Any]) -> dict[str, Any]:
    """`above` laid over `below`; None takes an entry out."""
    both = dict(below)
    for name, value in above.items():
        old = both.get(name)
        both[name] = _merged(old, value) if isinstance(value, Mapping) and isinstance(old, Mapping) else value
    return {name: value for name, value in both.items() if value is not None}
