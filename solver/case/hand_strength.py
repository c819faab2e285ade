"""What a hand can pull on a denture: no paper measured it, so it is derived from how hard people pinch.

A smooth wet denture is held between thumb and finger, so the pull is at most twice the friction times the pinch; with
a friction of 0.3 to 0.5 that is 0.6 to 1.0 of it. Pinch runs from that of the finger tips to that of the thumb
against the side of the finger. Usual hands are those of women, the weaker half; weak ones have what early rheumatoid
arthritis leaves of them; strong ones are those of men.
"""

from __future__ import annotations

from typing import Literal, TypeAlias

from catalogue.models import Pull
from solver.case.schema import Patient
from solver.handbook.sourced import Interval, Known, Sourced

Band: TypeAlias = Literal["weak", "usual", "strong"]

FRICTION = Sourced(
    Interval(0.3, 0.5), "ratio", Known.CHOSEN, "wet acrylic on skin", "assumed; no measurement was found"
)

_NORMS = "Mathiowetz et al., Arch Phys Med Rehabil 1985;66:69-74"
PINCH_75_N = Sourced(Interval(43.0, 56.0), "N", Known.MEMORY, _NORMS, "women of 75 and over, right: tip, key")
PINCH_59_N = Sourced(Interval(50.0, 73.0), "N", Known.MEMORY, _NORMS, "women of 20 to 59, right: tip, key")

STEADY_UNTIL, OLDEST_FROM = 59, 75
"""Ages: pinch is steady to 59 and falls after that (Mathiowetz 1985, abstract); 75 begins the last group of norms."""

RHEUMATOID_SHARE = Sourced(
    Interval(0.39, 0.56), "share", Known.PUBLISHED, "Rydholm, Arthritis Res Ther 2023",
    "of the grip that is expected, at diagnosis and after five years, n = 215; taken for pinch as well, derived",
)  # fmt: skip
WOMEN_OF_MEN = Sourced.single(
    0.69, "share", Known.PUBLISHED, "Imrhan, Hum Factors 1989", "adults; author from memory"
)

CARER_BAND: Band = "usual"
"""Hands of a carer where nothing is said of them (common practice, no source)."""


def pinch_n(age: int | None = None) -> Interval:
    """Pinch of a woman, finger tips to side of the finger; of an age that is not known, that of the oldest."""
    if age is None:
        return PINCH_75_N.interval
    older = min(max((age - STEADY_UNTIL) / (OLDEST_FROM - STEADY_UNTIL), 0.0), 1.0)
    ends = zip(PINCH_59_N.interval, PINCH_75_N.interval, strict=True)
    low, high = (young + older * (old - young) for young, old in ends)
    return Interval(low, high)


def hand_pull_n(band: Band, age: int | None = None) -> Interval:
    """What a hand of a band and age can pull, N: least friction on the weaker pinch to most on the stronger."""
    share = {
        "weak": RHEUMATOID_SHARE.interval,
        "usual": Interval(1.0, 1.0),
        "strong": Interval(1 / WOMEN_OF_MEN.middle, 1 / WOMEN_OF_MEN.middle),
    }[band]
    pinch, friction = pinch_n(age), FRICTION.interval
    return Interval(2 * friction.low * pinch.low * share.low, 2 * friction.high * pinch.high * share.high)


def most_pull_n(pull: Pull, patient: Patient) -> float | None:
    """The strongest pull to count on, N: the catalogue's figure, which is for the oldest, at the age of the hand.

    A carer's hands are usual ones of working age where the case does not say how strong they are; None where nothing
    is known of the hand.
    """
    carer = patient.takes_out == "carer"
    band = CARER_BAND if carer and patient.hand == "unknown" else patient.hand
    if band == "unknown":
        return None
    age = STEADY_UNTIL if carer else patient.age
    own, oldest = hand_pull_n(band, age), hand_pull_n(band)
    return float(getattr(pull, band)) * sum(own) / sum(oldest)
