"""What a published check proves of regrip, from nothing but itself to the mouth."""

from __future__ import annotations

import re
from enum import StrEnum

from tests.published.check import Check


class Proof(StrEnum):
    """Kinds, the strongest first."""

    MEASURED = "measured"
    FORMULA = "formula"
    ARITHMETIC = "arithmetic"
    LOOK_UP = "look-up"


MEANS = {
    Proof.MEASURED: "regrip's own figure or order is set against one that was measured",
    Proof.FORMULA: "a general formula or method gives what a textbook, or a hand, gives for its example",
    Proof.ARITHMETIC: "a figure follows from the inputs of its own source: regrip reckons right",
    Proof.LOOK_UP: "regrip holds, and uses, the figure or rule of its source",
}

_OF_A_SUBJECT = {
    "Space": Proof.LOOK_UP,
    "Movement": Proof.FORMULA,
    "Hold": Proof.FORMULA,
    "Load": Proof.FORMULA,
    "Strength": Proof.FORMULA,
    "Wear": Proof.ARITHMETIC,
    "Magnets": Proof.LOOK_UP,
    "Survival": Proof.ARITHMETIC,
    "Arch form": Proof.ARITHMETIC,
    "Purchasing": Proof.FORMULA,
    "Explanation": Proof.FORMULA,
}
_BUT = (
    ("Space", r"Two studs|Spread of|\.\.\. 1\.5|Centres|Least centres", Proof.ARITHMETIC),
    ("Movement", r"Levels of", Proof.LOOK_UP),
    ("Hold", r"Attachments spread", Proof.MEASURED),
    ("Load", r"Bite |\.\.\. as the preset|(lower|upper) base", Proof.ARITHMETIC),
    ("Strength", r"Type 5|More power", Proof.LOOK_UP),
    ("Strength", r"Tensile strength|A retapped", Proof.ARITHMETIC),
    ("Wear", r"Order of classes|.* against the band", Proof.LOOK_UP),
    ("Magnets", r"Neodymium of", Proof.ARITHMETIC),
    ("Survival", r".*supports in the upper jaw", Proof.LOOK_UP),
    ("Arch form", r"Beta function|Parabola|Catenary|Sextic", Proof.FORMULA),
    ("Arch form", r"Front six|First molar", Proof.MEASURED),
    ("Arch form", r"Tooth \d", Proof.LOOK_UP),
)
"""What of a subject proves something else, by how its claim begins."""


def proof_of(subject: str, check: Check) -> Proof:
    """Return what a check of a subject proves."""
    found = (proof for of, begins, proof in _BUT if of == subject and re.match(begins, check.claim))
    return next(found, _OF_A_SUBJECT[subject])


def idle_exceptions(subject: str, claims: list[str]) -> list[str]:
    """Return the beginnings that no claim of a subject has."""
    return [
        begins for of, begins, _ in _BUT if of == subject and not any(re.match(begins, claim) for claim in claims)
    ]
