"""How hard a patient bites on one side: what the case says, else a preset by what bites against the denture."""

from __future__ import annotations

from dataclasses import dataclass

from solver.case.schema import Case
from solver.handbook.mucosa import BITE_N
from solver.handbook.sourced import Interval, Sourced

_PRESETS = {
    "denture": (BITE_N["working"],),
    "natural": (BITE_N["worst"],),
    "implants": (BITE_N["worst"],),
    "unknown": (BITE_N["working"], BITE_N["worst"]),
}


@dataclass(frozen=True, slots=True)
class BiteForce:
    """Working bite on one side, N; `presets` is what it was taken from, empty where the case gives it."""

    band_n: Interval
    presets: tuple[Sourced, ...] = ()


def bite_force(case: Case) -> BiteForce:
    """The bite that the case gives, else the preset for what the denture bites on; not known counts as a band."""
    given = case.bite.force_n
    if given.known:
        return BiteForce(Interval(max(given.low, 0.0), given.high))
    presets = _PRESETS[case.opposing]
    return BiteForce(Interval(presets[0].interval.low, presets[-1].interval.high), presets)
