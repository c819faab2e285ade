"""What is checked, by subject."""

from __future__ import annotations

from tests.published.check import Check
from tests.published.tables import (
    arch_form,
    explanation,
    hold,
    load,
    magnets,
    movement,
    purchasing,
    space,
    strength,
    survival,
    wear,
)

SUBJECTS: dict[str, tuple[Check, ...]] = {
    "Space": space.CHECKS,
    "Movement": movement.CHECKS,
    "Hold": hold.CHECKS,
    "Load": load.CHECKS,
    "Strength": strength.CHECKS,
    "Wear": wear.CHECKS,
    "Magnets": magnets.CHECKS,
    "Survival": survival.CHECKS,
    "Arch form": arch_form.CHECKS,
    "Purchasing": purchasing.CHECKS,
    "Explanation": explanation.CHECKS,
}
