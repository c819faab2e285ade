"""What is asked, as one would ask it on the telephone, and how the answer is found out."""

from __future__ import annotations

from catalogue.models import Catalogue
from catalogue.quantities import QUANTITIES
from cli.wording.places import PlaceNames
from solver.fit.candidate import Question

ASKED: dict[str, tuple[str, str]] = {
    "section": ("What section has {it}: round, ovoid, parallel-sided or keyhole?", "Look along the bar."),
    "alloy": ("What alloy is {it}?", "Ask the laboratory that made it."),
    "proof_mpa": ("What proof stress has the alloy of {it}?", "Ask the laboratory for the data sheet."),
    "fixing": ("Is the bar screwed or cemented?", "Look for screw heads or filled holes along it."),
    "screws": ("Do the screws of the bar turn?", "Try each by hand with its driver."),
    "connection": ("Are make and size of {it} known?", "Look for the implant card or ask the surgeon."),
    "mobility": ("{is_} {it} firm?", "{off}, tap and try to move each."),
    "bone": ("How much bone is around {it}?", "Half the length is enough; radiograph no older than a year."),
    "width_mm": ("How wide is {it}?", "Calliper, cheek to tongue, at the widest place."),
    "height_mm": ("How high is {it}, top to underside?", "Calliper."),
    "undercut_mm": ("How deep is the undercut of {it}?", "Gauge both sides; the lesser counts."),
    "gap_mm": ("How big is the gap under {it}?", "Gauge between underside and mucosa."),
    "length_mm": ("How long is {it} between the collars?", "Calliper."),
    "room_mm": ("How much room is over {it}?", "From the top to the opposing teeth, at the bite."),
    "space_mm": ("How much space is between the jaws at {it}?", "From the ridge to the opposing teeth."),
    "breadth_mm": ("How wide can the denture base be over {it}, cheek to tongue?", ""),
    "top_mm": ("How far above the ridge is the top of {it}?", ""),
    "ball_mm": ("What diameter has the ball of {it}?", "Micrometer, three directions; the least counts."),
    "neck_mm": ("How thick is the neck of {it}?", "Calliper, below the ball."),
    "out_of_round_mm": ("How far out of round is {it}?", "Largest less least of three diameters."),
    "tilt_deg": ("How far {do} {it} lean from the path of insertion?", ""),
    "scans_expected": ("Does the patient expect magnetic resonance scans?", ""),
    "bruxism": ("Does the patient grind?", ""),
    "sensitivities": ("Is the patient sensitive to any metal?", ""),
    "force_n": ("How hard does the patient bite on one side?", "Bite fork between the first molars."),
}

SAYS_WHAT_IS_NEEDED = ("connection", "mobility", "bone")
"""Questions that tell the good answer themselves."""


class Asking:
    """Questions of one case."""

    def __init__(self, places: PlaceNames, catalogue: Catalogue) -> None:
        self._places, self._catalogue = places, catalogue

    def question(self, asked: Question) -> str:
        """The question as it is put, with how to find out."""
        text, how = ASKED[asked.of]
        group, *rest = asked.places[0]
        if group == "reworks":
            step = self._catalogue.reworks[rest[0]].name
            return f"Measure after the step: {step[:1].lower()}{step[1:]}. {QUANTITIES[asked.of].label.capitalize()}?"
        is_, do = ("Are", "do") if len(asked.sites) > 1 else ("Is", "does")
        return f"{text} {how}".rstrip().format(it=self._places.asked(asked), is_=is_, do=do, off=self._places.bar_off)
