"""Where sources disagree, and which of them regrip follows: each with the figure that it really uses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from typing import Any

from scipy import stats

from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from solver.buying.newsvendor import best_level, critical_ratio
from solver.handbook.hygiene_gap import gap_verdict
from solver.handbook.restorative_space import MINIMUM_MM, Prosthesis
from solver.handbook.support_spread import CANTILEVER_RULES
from solver.handbook.wear import USUAL_INSERTIONS_PER_DAY


@dataclass(frozen=True, slots=True)
class Conflict:
    """What is disputed, what the sources say and how they are known, what regrip takes, and why."""

    about: str
    sources: str
    followed: Any
    ours: Callable[[], Any]
    why: str


@cache
def starter() -> Catalogue:
    """The starter catalogue."""
    return load_catalogue([])


def needs_mm(entry: str, of: str) -> float | None:
    """Least value that an attachment of the starter catalogue asks of its site."""
    return next(need.at_least for need in starter().attachments[entry].needs if need.of == of)


def band(entry: str) -> tuple[float, float]:
    """Loss of hold that the starter catalogue gives for an attachment."""
    wear = starter().attachments[entry].wear
    return wear.loss if wear else (0.0, 0.0)


def _cantilevers() -> tuple[tuple[str, float, float], ...]:
    limits = {rule.code: rule.limit.interval for rule in CANTILEVER_RULES}
    return tuple((code, limits[code].low, limits[code].high) for code in ("spread-multiple", "bar-four-implants"))


def _stack(entry: str) -> float:
    return starter().attachments[entry].stack.part


def _hold(entry: str) -> tuple[float, float]:
    retention = starter().attachments[entry].retention_n
    return retention.low, retention.high


CONFLICTS = (
    Conflict(
        "Least space of an unsplinted overdenture, mm",
        "7 (Carpentieri 2019, read); 7.17 (Chaimattayompol and Arbree 2003, second-hand); 8.5 (Lee and Agar 2006, "
        "memory); 9 (Ahuja and Cagna 2011, memory); 12 (Misch, second-hand)",
        7.0, lambda: MINIMUM_MM[Prosthesis.UNSPLINTED].middle,
        "the least that a review gives; they differ by where they start and whether the tooth counts",
    ),
    Conflict(
        "Least space of a bar overdenture, mm",
        "10.5 (teaching page, second-hand); 11 (Carpentieri 2019, read); 13 to 14 (Phillips and Wong 2001, memory); "
        "14 (Decisions in Dentistry, second-hand); about 15 (Boudet 2012, read)",
        11.0, lambda: needs_mm("clip-round-polymer-5", "space_mm"),
        "the minimum of a review; the stack of each part is checked besides, so a taller one asks for more",
    ),
    Conflict(
        "Insertions a day: what 5500 cycles stand for",
        "5 years, or 3.01 a day (Reda 2016, read); 3 years, or 5.02 a day (Walton and Ruse 1995, read)",
        (3.0, 5.0), lambda: tuple(USUAL_INSERTIONS_PER_DAY),
        "a band from one to the other; a case may give its own",
    ),
    Conflict(
        "Wear of an elastomer ring, share lost",
        "stable over 5500 (Braz Dent J 2018, read); largest loss of three over 2500 (Kim 2015, read)",
        (0.0, 0.3), lambda: band("ball-ring-2.2"), "our own wide band over both, marked invented",
    ),
    Conflict(
        "Wear of a polymer clip, share lost",
        "nylon gains 2.99 % over three years, a stiff polymer loses 58.66 % (BMC Oral Health 2022, read); nylon "
        "loses (El Naggar 2021, read)",
        (-0.03, 0.1), lambda: band("clip-round-polymer-5"),
        "soft clips from the gain of nylon to a slight loss of our own, since no share was read; marked invented. "
        "The stiff polymer is another class",
    ),
    Conflict(
        "Hold of a medium stud insert, N",
        "9.40 (Alsabeeha 2010, read); 19.39 for a nominally like one (Materials 2020;13:3434, read)",
        (8.66, 10.14), lambda: _hold("stud-single-medium"), "the lower one: another rig, and hold is counted on",
    ),
    Conflict(
        "Height of a low stud over the tissue, mm",
        "1 (teaching review of 2021, second-hand); 1.5 (Shafie and Obeid p 5, read)",
        1.5, lambda: _stack("stud-single-medium"), "the one that was read, and the safe side",
    ),
    Conflict(
        "Length of a bar end",
        "1.5 to 2.5 times the spread (teaching pages, second-hand); 8 to 12 mm on four implants (Shafie and Obeid "
        "p 21, read); never validated, not linear (Walter and Greenstein 2020, read); strain rises (Int J Oral "
        "Maxillofac Implants 2013, read) or mostly does not (Ebadian 2016, read)",
        (("spread-multiple", 1.5, 2.5), ("bar-four-implants", 8.0, 12.0)), _cantilevers,
        "none is a limit: each is a remark with its source",
    ),
    Conflict(
        "Gap under a bar between 1 and 2 mm",
        "2 and more is clean, 1 and less gathers plaque (Shafie and Obeid p 18, read); nothing is said between",
        "CAUTION", lambda: gap_verdict(1.5).name, "our own caution",
    ),
    Conflict(
        "Whether the ball or the bar holds better",
        "31.3 N for the bar and 29.7 for the ball at the start, means only (van Kampen 2003, read); bar over ball at "
        "five years (Naert 1999, memory); ball over bar at ten (Naert 2004, read)",
        ((3.0, 7.0), (9.0, 18.0)), lambda: (_hold("ball-ring-2.2"), _hold("clip-round-metal-5")),
        "no order of classes: every attachment has a band of its own (N, ring on a ball and metal clip), and they "
        "overlap",
    ),
    Conflict(
        "Order for a ratio of 60/170 at N(80, 30)",
        "92.6, with the wrong sign of z (qammunity.org 6843903, read); 68.68 (the formula)",
        68.68, lambda: round(float(best_level(stats.norm(80, 30), critical_ratio(60, 110))), 2),
        "a ratio below a half lies below the mean",
    ),
)  # fmt: skip
