"""Survival of implants and what jaw and number do to it."""

from __future__ import annotations

import math

from catalogue.load import load_catalogue
from solver.assess.cautions import Hazard, cautions
from solver.handbook.wear import survival_share
from tests.published.check import Check, Known
from tests.solver.small import small_case

KERN = (
    "Kern JS, Kern T, Wolfart S, Heussen N. Clin Oral Implants Res 2016;27:174-195 (PMC5024059; citation from memory)"
)


def warned(count: int) -> bool:
    """Whether a plan for an upper jaw with so many supports warns of few."""
    supports = {f"S{i}": {"at_mm": [8 * i, 10, 0]} for i in range(count)}
    case = small_case(
        arch="upper",
        denture={"left": None, "right": None, "front": None},
        supports={"R": None, "L": None, **supports},
        segments={"B": None},
        ends={"E": None},
    )
    return Hazard.FEW_SUPPORTS in {caution.hazard for caution in cautions(case, load_catalogue([]), [])}


def hazard_ratio(one: float, other: float) -> float:
    """Ratio of two losses per 100 implant-years, from the survival that each leaves after three years."""
    few, four = (math.log(survival_share(rate, years=3.0)) for rate in (one, other))
    return few / four


CHECKS = (
    Check("Implants left after five years, upper jaw, at 0.42 lost per 100 implant-years", KERN, Known.READ, 0.979,
          lambda: survival_share(0.42, years=5.0), 5e-4),
    Check("Implants left after five years, lower jaw, at 0.22 lost per 100 implant-years", KERN, Known.READ, 0.989,
          lambda: survival_share(0.22, years=5.0), 5e-4),
    Check("Upper overdentures, losses below four implants (7.22) against four (2.31), ratio", KERN, Known.DERIVED,
          3.13,
          lambda: hazard_ratio(7.22, 2.31), 0.005),
    Check("Removable against fixed, losses 0.35 and 0.23 per 100 implant-years, ratio", KERN, Known.DERIVED, 1.52,
          lambda: hazard_ratio(0.35, 0.23), 0.005),
    Check("Three supports in the upper jaw: warned of", KERN, Known.READ, True, lambda: warned(3)),
    Check("Four supports in the upper jaw: not warned of", KERN, Known.READ, False, lambda: warned(4)),
)  # fmt: skip
