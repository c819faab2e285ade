"""Lines on load and movement: section 3 of the collection of measured data."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from solver.case.bite_force import bite_force
from solver.handbook.mucosa import MODULUS_MPA, SIDEWAYS_SHARE, THICKNESS_MM, settling
from solver.mechanics.bites import BiteName
from solver.mechanics.shared_bites import SharedBite
from tests.published.check import Known
from tests.published.conflicts import starter
from tests.published.measured.mouths import bites, loaded, mouth, pressed
from tests.published.measured.row import NO_LESS, Row, Standing

MERICSKE_92 = (
    "Mericske-Stern et al., Int J Oral Maxillofac Implants 1992;7:185; numbers from table 2 of a review, Int J "
    "Implant Dent 2022, s40729-022-00454-y, five people"
)
MERICSKE_98 = "Mericske-Stern, Int J Oral Maxillofac Implants 1998;13:36-43, five people"
MERICSKE_BARS = "Mericske-Stern et al., bars and telescopes compared, five people; year not seen"
MERICSKE_UPPER = "Mericske-Stern et al., J Prosthet Dent 2000;84:535-547, one person"
TOKUHISA = "Tokuhisa, Matsushita, Koyano, Int J Prosthodont 2003;16:128-134; J Oral Implantol 2013;39:302"
BITE = "J Oral Implantol 2009;35:196, n = 75"
PALATE = "J Jpn Prosthodont Soc 51:291, ten dentate people"

TWO = {"r": 43, "l": 33}
BAR = {"A": ("r", "l")}
ENDS = {"er": ("r", 8.0), "el": ("l", 8.0)}
BALL, CLIP, RING = "ball-flex-2.2", "clip-round-polymer-8", "ball-single-ring-2.25"
WHOLE = f"{CLIP} x2"
"""Clips along all of a bar of 22 mm; how many the papers used was not seen."""
UPPER = {"a": 15, "b": 13, "c": 11, "d": 23, "e": 25}
UPPER_BARS = {"A": ("a", "b"), "B": ("b", "c"), "D": ("d", "e")}


def balls(bite_n: float, *, seated: bool = True) -> dict[BiteName, SharedBite]:
    """Two balls on two lower implants."""
    return bites(mouth(TWO, bite_n=bite_n), dict.fromkeys(TWO, RING), seated=seated)


def clip(bite_n: float, entry: str = CLIP) -> dict[BiteName, SharedBite]:
    """A bar on two lower implants with a clip that only turns, or two of them."""
    return bites(mouth(TWO, BAR, bite_n=bite_n), {"A": entry})


def ends(bite_n: float) -> dict[BiteName, SharedBite]:
    """The same with a ball on either distal end."""
    return bites(mouth(TWO, BAR, ENDS, bite_n=bite_n), {"A": CLIP, "er": BALL, "el": BALL}, seated=True)


def _contralateral(found: dict[BiteName, SharedBite]) -> float:
    return loaded(found["left"], "r") / max(loaded(found["left"], "l"), 1e-9)


def _behind_over_front(bite: BiteName) -> Callable[[], float]:
    """Five upper implants, two bars: the most that presses on the hindmost of a side over the others."""

    def found() -> float:
        fitted = dict.fromkeys(UPPER_BARS, "clip-round-polymer-3")
        one = bites(mouth(UPPER, UPPER_BARS, arch="upper", bitten=(26, 16)), fitted)[bite]
        return pressed(one, "a", "e") / pressed(one, "b", "c", "d")

    return found


def _pressure_mpa(arch: str) -> float:
    """Pressure under which the palate of the paper, 2.4 MPa and 2.8 mm, sinks by the settling of regrip."""
    return 2.4 * float(getattr(starter().defaults.settling_mm, arch)) / 2.8


ROWS = (
    Row("3.1", "maximum bite on both sides, 150 N on one: most on an implant with a ball seated home, N", MERICSKE_92,
        Known.SECOND_HAND, lambda: pressed(balls(150)["both"], "l", "r"), (18.0, 240.0), Standing.AGREES,
        "18 to 240 N along the implant; at the low end, since here the mucosa takes most"),
    Row("3.1", "the same bite on one side: most on the implant of that side, N", MERICSKE_92, Known.SECOND_HAND,
        lambda: pressed(balls(150)["left"], "l"), (18.0, 240.0), Standing.OPEN,
        "18 to 240 N; the base here is one rigid piece on springs from heel to heel, and the bite lies 20 mm behind"),
    Row("3.1", "chewing, 100 N on one side: most on the implant of that side, N", MERICSKE_92, Known.SECOND_HAND,
        lambda: pressed(balls(100)["left"], "l"), (1.5, 260.0), Standing.AGREES, "1.5 to 260 N along the implant"),
    Row("3.1 A", "two balls, bite at 36: contralateral over ipsilateral, most of each", MERICSKE_98, Known.READ,
        lambda: _contralateral(balls(150)), (0.0, 0.5), Standing.AGREES,
        "contralateral equally low in all axes; here it is pulled, by no more than its ball holds"),
    Row("3.1 A", "bar with clips along it over two balls: the same ratio", MERICSKE_BARS, Known.READ,
        lambda: _contralateral(clip(150, WHOLE)) / _contralateral(balls(150)), (1.0, 1 / 0.44), Standing.AGREES,
        "a bar evens the two out: closer to 1, but not beyond it"),
    Row("3.1 A bar", "bar with clips along it, bite at 36: most that presses on the implant of that side, N",
        MERICSKE_92, Known.SECOND_HAND, lambda: pressed(clip(150, WHOLE)["left"], "l"), (18.0, 240.0),
        Standing.AGREES, "18 to 240 N in a maximum bite"),
    Row("3.1 A lone", "bar with one clip in its middle, bite at 36: the same", MERICSKE_92, Known.SECOND_HAND,
        lambda: pressed(clip(150)["left"], "l"), (18.0, 240.0), Standing.OPEN,
        "here a bite behind a lone clip lifts it, and its hold pulls on the bar; how the clips lay was not seen"),
    Row("3.1 B", "force across an implant over that along it, least", MERICSKE_BARS, Known.READ,
        lambda: SIDEWAYS_SHARE.interval.low, (0.1, 0.5), Standing.AGREES, "10 to 50 % in a maximum bite"),
    Row("3.1 B", "force across an implant over that along it, most", MERICSKE_BARS, Known.READ,
        lambda: SIDEWAYS_SHARE.interval.high, (0.5, 1.0), Standing.AGREES, "50 to 100 % in chewing"),
    Row("3.1 B balls", "single balls in chewing: force across over force along, most", MERICSKE_98, Known.READ,
        lambda: SIDEWAYS_SHARE.interval.high, (2.0, 4.0), Standing.LIMIT,
        "100 to 300 % above the vertical; regrip gives one band for all and says this beside it"),
    Row("3.1 C", "a ball on a distal end over none: most on the support of the bitten side", MERICSKE_BARS,
        Known.SECOND_HAND, lambda: pressed(ends(150)["left"], "l") / loaded(clip(150)["left"], "l"), NO_LESS,
        Standing.AGREES, "distal ends lessen the sharing; order only"),
    Row("3.2", "five upper implants, bite on one side: the hindmost over the others", MERICSKE_UPPER, Known.READ,
        _behind_over_front("left"), NO_LESS, Standing.AGREES, "posterior ones carry significantly more; order only"),
    Row("3.2", "five upper implants, bite on both sides: the hindmost over the others", MERICSKE_UPPER, Known.READ,
        _behind_over_front("both"), NO_LESS, Standing.AGREES, "as above"),
    Row("3.3", "50 N at 36: press on a support, bar with a clip less ball with a ring, N", TOKUHISA, Known.READ,
        lambda: pressed(clip(50)["left"], "l", "r") - pressed(balls(50, seated=False)["left"], "l", "r"),
        (0.0, 50.0), Standing.AGREES, "the ball with a ring puts least stress on both implants; order only"),
    Row("3.3", "50 N at 36: pressed or pulled, bar with a clip over ball with a ring", TOKUHISA, Known.READ,
        lambda: loaded(clip(50)["left"], "l", "r") / loaded(balls(50, seated=False)["left"], "l", "r"),
        NO_LESS, Standing.AGREES, "as above, whichever way the force goes"),
    Row("3.3 sink", "50 N at 36: share that the mucosa bears, bar with a clip over ball with a ring, most of each",
        TOKUHISA, Known.READ,
        lambda: (1 - clip(50)["left"].share.low) / (1 - balls(50, seated=False)["left"].share.low), NO_LESS,
        Standing.OPEN,
        "the ring moved the denture least; here what loads the implants less leaves more to the mucosa, so it sinks"),
    Row("3.4", "bite assumed against a denture, N", BITE, Known.READ,
        lambda: bite_force(mouth(TWO, opposing="denture", bite_n=None)).band_n.high, (90.0, 150.0), Standing.AGREES,
        "120 N with lower overdentures, 90 to 150; a denture opposite limits it (55 to 69 N)"),
    Row("3.4", "bite assumed against teeth, N", BITE, Known.READ,
        lambda: bite_force(mouth(TWO, opposing="natural", bite_n=None)).band_n.high, (90.0, 150.0),
        Standing.AGREES, "as above"),
    Row("3.5", "modulus of mucosa, least, MPa", PALATE, Known.READ, lambda: MODULUS_MPA.interval.low, (0.0, 1.0),
        Standing.AGREES, "1.0 at the side of the palate, SD 0.5, must lie above"),
    Row("3.5", "modulus of mucosa, most, MPa", PALATE, Known.READ, lambda: MODULUS_MPA.interval.high, (2.4, 8.9),
        Standing.AGREES, "2.4 in its middle, SD 0.8, must lie below"),
    Row("3.5", "thickness of upper mucosa, middle, mm", PALATE, Known.READ, lambda: THICKNESS_MM["upper"].middle,
        (1.2, 2.8), Standing.AGREES, "1.2 at the side to 2.8 in the middle; ours is another paper, on ridges"),
    Row("3.5", "50 N on 10 cm2 of it sink, mm", PALATE, Known.DERIVED,
        lambda: settling(50, modulus_mpa=2.4, area_mm2=1000, thickness_mm=2.8).depth_mm, (0.05, 0.07),
        Standing.AGREES, "0.06 mm by first principles"),
    *(
        Row("3.5 settling", f"pressure that the settling of the {arch} jaw takes on such mucosa, MPa", PALATE,
            Known.DERIVED, partial(_pressure_mpa, arch), None, Standing.OPEN,
            "0.25 to 0.34 MPa, a finger's, not a bite's on the whole base; regrip does not print the pressure, and "
            "takes one figure where 0.05 to 0.4 mm is the span")
        for arch in ("lower", "upper")
    ),
)  # fmt: skip
