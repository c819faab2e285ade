"""Space: room above and below a bar, between supports, tilt, and a worn ball."""

from __future__ import annotations

from collections.abc import Callable

from solver.handbook.ball_wear import measure_again
from solver.handbook.hygiene_gap import GapVerdict, gap_verdict
from solver.handbook.point import Point
from solver.handbook.restorative_space import Prosthesis, room_for, space_class
from solver.handbook.sourced import Place
from solver.handbook.stud_divergence import divergence
from solver.handbook.support_spread import (
    Jaw,
    anteroposterior_spread_mm,
    cantilever_notes,
    centres_for_bar_mm,
    centres_for_clip_mm,
)
from tests.published.check import Check, Known
from tests.published.formulas.acrylic import base_is_thick_enough

_AHUJA = (
    "Ahuja S, Cagna DR. Classification and management of restorative space in edentulous implant overdenture "
    "patients. J Prosthet Dent 2011;105:332-337"
)
_CARPENTIERI = (
    "Carpentieri J, Greenstein G, Cavallaro J. Hierarchy of restorative space required for different types of dental "
    "implant prostheses. J Am Dent Assoc 2019;150(8):695-706 (citation from memory)"
)
_SHAFIE = (
    "Shafie H, Obeid G. Principles of attachment selection for implant supported overdentures. Selected Readings in "
    "Oral and Maxillofacial Surgery vol 19 no 6"
)
_TOKGOZ = (
    "Tokgoz S, Ozdiler A, Gencel B, Bozdag E, Isik-Ozkol G. Eur J Dent 2019;13:64-68, doi 10.1055/s-0039-1688533"
)
_FROMENTIN = (
    "Fromentin O et al. Clin Oral Implants Res 2011;22:1270-1274, doi 10.1111/j.1600-0501.2010.02102.x: at most "
    "about 30 um lost"
)
_RULE = "spread from the front centre to the distal face behind; teaching pages after English 1990"


def _open_to(space_mm: float) -> Callable[[], tuple[str, ...]]:
    return lambda: tuple(each.name for each in room_for(space_mm))


def _cantilever(length_mm: float) -> Callable[[], str]:
    def found() -> str:
        notes = {note.rule.code: note.place for note in cantilever_notes(length_mm, 10.0, Jaw.LOWER)}
        return notes["bar-four-implants"].name

    return found


def _in_a_line() -> str:
    """Its spread is half a diameter, so the multiple of the spread says no."""
    spread_mm = anteroposterior_spread_mm([Point(x, 0.0) for x in (-15, -5, 5, 15)], 4.0)
    notes = {note.rule.code: note.place for note in cantilever_notes(8.0, spread_mm, Jaw.LOWER)}
    return notes["spread-multiple"].name


_FOUR = [Point(15, -8), Point(6, 0), Point(-6, 0), Point(-15, -8)]
_BOTH, _ONE = (Prosthesis.UNSPLINTED.name, Prosthesis.BAR.name), (Prosthesis.UNSPLINTED.name,)

CHECKS = (
    *(
        Check(f"Space class at {space_mm} mm", _AHUJA, Known.MEMORY, expected,
              lambda space_mm=space_mm: space_class(space_mm).value)  # type: ignore[misc]
        for space_mm, expected in ((15.0, "I"), (14.0, "II"), (12.0, "II"), (11.0, "III"), (9.0, "III"), (8.9, "IV"))
    ),
    *(
        Check(f"Space class at {space_mm} mm, between two thresholds: the lower class", f"{_AHUJA}; the rule is ours",
              Known.OURS, expected, lambda space_mm=space_mm: space_class(space_mm).value)  # type: ignore[misc]
        for space_mm, expected in ((14.5, "II"), (11.5, "III"))
    ),
    Check("Open to at 6.9 mm", _CARPENTIERI, Known.READ, (), _open_to(6.9)),
    Check("Open to at 7 mm, the least unsplinted", _CARPENTIERI, Known.READ, _ONE, _open_to(7.0)),
    Check("Open to at 10 mm: a bar is rejected", _CARPENTIERI, Known.READ, _ONE, _open_to(10.0)),
    Check("Open to at 11 mm, the least for a bar", _CARPENTIERI, Known.READ, _BOTH, _open_to(11.0)),
    Check("Gap under the bar of 2 mm", f"{_SHAFIE}, p 18", Known.READ, GapVerdict.CLEAN.name,
          lambda: gap_verdict(2.0).name),
    Check("Gap under the bar of 1 mm", f"{_SHAFIE}, p 18", Known.READ, GapVerdict.PLAQUE.name,
          lambda: gap_verdict(1.0).name),
    Check("Bar on the mucosa", f"{_SHAFIE}, p 18", Known.READ, GapVerdict.PLAQUE.name, lambda: gap_verdict(0.0).name),
    Check("Gap under the bar of 1.5 mm", "between the two figures of Shafie and Obeid; caution is ours", Known.OURS,
          GapVerdict.CAUTION.name, lambda: gap_verdict(1.5).name),
    Check("Centres for a bar of 20 mm on 4 mm implants, mm", f"{_SHAFIE}, p 18", Known.READ, 24.0,
          lambda: centres_for_bar_mm(20.0, 4.0)),
    Check("Centres for a bar of 22 mm on 4 mm implants, mm", f"{_SHAFIE}, p 18", Known.READ, 26.0,
          lambda: centres_for_bar_mm(22.0, 4.0)),
    Check("Least centres for one clip of 5 mm on 4 mm implants, mm",
          "goldeners.com, Implant overdenture space rules: clip, 2 x 2 mm of bar, 2 x 2 mm radius", Known.SECOND_HAND,
          13.0, lambda: centres_for_clip_mm(5.0, 4.0)),
    *(
        Check(f"Two studs that lean {one} and {other} deg apart: angle between, "
              "accepted by an insert for divergent supports",
              f"{_SHAFIE}, p 5: 20 deg each, 40 between (partly makers' data)", Known.DERIVED, (between, accepted),
              lambda one=one, other=other: (round(divergence(one, other).between_deg, 6),  # type: ignore[misc]
                                            divergence(one, other).accepted))
        for one, other, between, accepted in
        ((18, 18, 36, True), (25, 5, 30, False), (20, 20, 40, True), (20.1, 20.1, 40.2, False))
    ),
    *(
        Check(f"A ball that lost {lost_um} um: measure again", _FROMENTIN, Known.READ, again,
              lambda lost_um=lost_um: measure_again(2.25, 2.25 - lost_um / 1000))  # type: ignore[misc]
        for lost_um, again in ((0, False), (30, False), (31, True), (40, True), (-20, False))
    ),
    *(
        Check(f"Bar end of {length_mm} mm on four implants against 8 to 12 mm", f"{_SHAFIE}, p 21", Known.READ,
              place.name, _cantilever(length_mm))
        for length_mm, place in ((10, Place.INSIDE), (13, Place.ABOVE), (7, Place.BELOW))
    ),
    Check("Bar end of 8 mm where four implants stand in a line", f"{_SHAFIE}, p 21: none", Known.READ,
          Place.ABOVE.name, _in_a_line),
    Check("Spread of four implants of 4 mm, centres 8 mm apart front to back, mm", _RULE, Known.DERIVED, 10.0,
          lambda: anteroposterior_spread_mm(_FOUR, diameter_mm=4.0)),
    Check("... 1.5 and 2.5 times it, mm", f"{_RULE}; examequip.com, thecuriousdentist.com", Known.DERIVED,
          (15.0, 25.0),
          lambda: tuple(m * anteroposterior_spread_mm(_FOUR, diameter_mm=4.0) for m in (1.5, 2.5))),
    *(
        Check(f"Base of {thick} mm over a bar{', with a reinforcement' if mesh else ''}: thick enough", _TOKGOZ,
              Known.READ, enough,
              lambda thick=thick, mesh=mesh: base_is_thick_enough(thick, reinforced=mesh))  # type: ignore[misc]
        for thick, mesh, enough in ((2.0, False, True), (2.0, True, False), (3.0, True, True))
    ),
)  # fmt: skip
