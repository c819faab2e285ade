"""Whether the wear of a ball is within what was seen in mouths; beyond it the measurement is doubted first."""

from __future__ import annotations

from solver.handbook.checks import check_positive
from solver.handbook.sourced import Known, Sourced

LARGEST_LOSS_UM = Sourced.single(
    30.0,
    "um",
    Known.PUBLISHED,
    "Fromentin et al., Clin Oral Implants Res 2011;22:1270-1274, doi 10.1111/j.1600-0501.2010.02102.x",
    "69 balls of 35 patients, about the largest loss of diameter; read in the abstract, authors from memory",
)


def measure_again(new_mm: float, measured_mm: float) -> bool:
    """True where a ball has lost more of its diameter than any in the study: measure again before relying on it.

    Raises:
        OutOfDomain: for a diameter not above zero.
    """
    check_positive(new_mm=new_mm, measured_mm=measured_mm)
    return round((new_mm - measured_mm) * 1000.0, 6) > LARGEST_LOSS_UM.middle
