"""The questions that make a case, in the order in which one looks at a mouth. The draft judges every answer."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import partial
from itertools import pairwise
from string import ascii_uppercase
from typing import Any, get_args

from catalogue.quantities import Alloy, Fixing, Screws, Section
from catalogue.yaml_text import plain
from cli.interview.draft import Draft
from cli.interview.figures import amount, figure
from cli.interview.prompts import Asker, ToTheEnd, Unusable, is_not_known
from cli.interview.talk import LEFT_OUT, TRUTH, UNKNOWN, YES_NO, Talk
from cli.wording.call import BESIDE, WORK
from cli.wording.teeth import named
from solver.case.layout import Layout
from solver.case.schema import Allowed, Arch
from solver.explore.beside import AGE, TAKES_OUT


def interview(asker: Asker, title: str, currency: str) -> dict[str, Any]:
    """The data of a case file; `currency` is that of the catalogue's prices."""
    talk = Talk(asker, Draft(title, currency))
    talk.answer(("case",), "Title of the case", read=str, default=title, unsure=title)
    _jaw(talk)
    _supports(talk)
    _joined(talk)
    _ends(talk)
    _bar(talk)
    _room(talk)
    _denture(talk)
    _patient(talk)
    _allowed(talk)
    _money(talk, currency)
    _of_the_bar_and_the_hand(Talk(ToTheEnd(asker), talk.draft))
    return talk.draft.data()


def _jaw(talk: Talk) -> None:
    talk.answer(("arch",), "Which jaw carries the bar?", words=get_args(Arch))
    opposing = ("natural", "denture", "implants")
    talk.answer(("opposing",), "What does it bite on?", words=opposing, default=UNKNOWN, unsure=UNKNOWN)


def _supports(talk: Talk) -> None:
    talk.asker.ask("Where are the implants? FDI positions, e.g. 43 41 33", partial(put_teeth, talk.draft))
    _show_back(talk, [support.tooth for support in talk.draft.case.supports.values()])
    if talk.says_yes("Are make and size of every implant known, so that parts can be ordered?", "no"):
        for name in talk.draft.case.supports:
            talk.draft.put(("supports", name, "connection"), "documented")


def _show_back(talk: Talk, teeth: Iterable[object]) -> None:
    """The names of teeth: 11 and 14 of another system are others."""
    if numbers := [tooth for tooth in teeth if isinstance(tooth, int)]:
        talk.asker.tell(named(numbers))


def put_teeth(draft: Draft, text: str) -> None:
    """Set an implant at every tooth named; raises `Unusable`."""
    if is_not_known(text):
        raise Unusable("this cannot be left open", "name the nearest teeth, e.g. `43 33`")
    teeth = re.findall(r"[^\s,;]+", text)
    if again := next((tooth for tooth in teeth if teeth.count(tooth) > 1), None):
        raise Unusable(f"{again} stands twice", "name every implant once")
    draft.put(("supports",), {f"i{tooth}": {"tooth": plain(tooth)} for tooth in teeth})


def _joined(talk: Talk) -> None:
    """Neighbours along the arch, from the patient's right to the left."""
    places = Layout(talk.draft.case).supports
    names = iter(ascii_uppercase)
    for one, two in pairwise(sorted(places, key=lambda name: float(places[name][0]))):
        if talk.says_yes(f"Does the bar join {one[1:]} and {two[1:]}?", "yes"):
            talk.draft.put(("segments", next(names)), {"between": [one, two]})


def _ends(talk: Talk) -> None:
    joined = [name for segment in talk.draft.case.segments.values() for name in segment.between]
    for name in dict.fromkeys(joined):
        if joined.count(name) == 1 and talk.says_yes(f"Does the bar extend beyond {name[1:]} (cantilever)?", "no"):
            _length(talk, name)


def _length(talk: Talk, support: str) -> None:
    tooth, end = support[1:], f"E{support[1:]}"
    # A length of some kind makes the end whole, so that only the answer can be refused.
    talk.draft.put(("ends", end), {"on": support, "length_mm": 1})
    question = f"Free end beyond {tooth}: length, mm (centre of the implant to the ball)"
    talk.answer(("ends", end, "length_mm"), question)


def _bar(talk: Talk) -> None:
    case, section = talk.draft.case, UNKNOWN
    if not case.segments:
        return
    alloy = talk.answer(
        ("segments", next(iter(case.segments)), "alloy"),
        "What is the bar made of?",
        words=get_args(Alloy),
        default=UNKNOWN,
        unsure=UNKNOWN,
    )
    for name, segment in case.segments.items():
        where = f"Stretch {name}, {segment.between[0][1:]} to {segment.between[1][1:]}"
        shape = f"{where}: section, seen along the bar"
        section = talk.answer(
            ("segments", name, "section"), shape, words=get_args(Section), default=section, unsure=UNKNOWN
        )
        for quantity in ("width_mm", "height_mm", "undercut_mm", "gap_mm"):
            talk.measure(("segments", name, quantity), where)
        talk.draft.put(("segments", name, "alloy"), alloy)
    for name, end in case.ends.items():
        for quantity in ("ball_mm", "neck_mm", "out_of_round_mm", "gap_mm"):
            talk.measure(("ends", name, quantity), f"Free end beyond {end.on[1:]}")
        talk.draft.put(("ends", name, "alloy"), alloy)


def _room(talk: Talk) -> None:
    if talk.measure(("room", "room_mm")) == UNKNOWN:
        talk.measure(("room", "space_mm"))
        top = "Crest of the ridge to the top of the bar, mm"
        talk.answer(("room", "top_mm"), top, default=UNKNOWN, unsure=UNKNOWN)
    talk.measure(("room", "breadth_mm"))


def _denture(talk: Talk) -> None:
    for side in ("left", "right"):
        question = f"Last tooth of the denture on the patient's {side}, FDI"
        means = {"first molar": LEFT_OUT}
        answered = talk.answer(("denture", side), question, means=means, default="first molar", unsure=LEFT_OUT)
        _show_back(talk, [answered])
    sinks = "How far the mucosa lets the base sink under a finger, mm"
    talk.answer(("denture", "settling_mm"), sinks, default=UNKNOWN, unsure=UNKNOWN)


def _patient(talk: Talk) -> None:
    hands = ("weak", "usual", "strong")
    talk.answer(
        ("patient", "hand"), "How strong are the patient's hands?", words=hands, default=UNKNOWN, unsure=UNKNOWN
    )
    scans = "Are magnetic resonance scans expected?"
    talk.answer(("patient", "scans_expected"), scans, words=YES_NO, default=UNKNOWN, unsure=UNKNOWN)
    metals = "Known sensitivities to metals, e.g. nickel, cobalt"
    talk.asker.ask(metals, partial(_metals, talk.draft), "none")
    talk.answer(("patient", "bruxism"), "Does the patient grind?", words=YES_NO, default=UNKNOWN, unsure=UNKNOWN)


def _metals(draft: Draft, text: str) -> None:
    metals = (
        [] if is_not_known(text) or text == "none" else [metal.strip() for metal in text.split(",") if metal.strip()]
    )
    draft.put(("patient", "sensitivities"), metals)


def _allowed(talk: Talk) -> None:
    for name, question in WORK.items():
        usual = getattr(Allowed(), name)
        word = "yes" if usual else "no"
        talk.answer(("allowed", name), question, words=YES_NO, means=TRUTH, default=word, unsure=usual)


def _money(talk: Talk, currency: str) -> None:
    own = talk.asker.ask("Currency of the case, ISO 4217", partial(_currency, talk.draft, currency), currency)
    if own != currency:
        talk.answer(("money", "exchange"), f"Prices are in {currency}: how many {own} for one {currency}?")
    sums = partial(amount, currency=own)
    for place in ("bench", "chair"):
        question = f"What does an hour at the {place} cost, {own}?"
        talk.answer(("money", f"{place}_per_hour"), question, read=sums, unsure=0)
    cap = f"Most that the whole may cost, {own}"
    talk.answer(("money", "cap"), cap, means={"no cap": LEFT_OUT}, read=sums, default="no cap", unsure=LEFT_OUT)


def _of_the_bar_and_the_hand(talk: Talk) -> None:
    """Whether the bar comes off for the bench, whose hand takes the denture out; last, as lists may end before."""
    case = talk.draft.case
    if case.segments:
        fixing = talk.optional(("bar", "fixing"), "Is the bar screwed or cemented?", get_args(Fixing))
        if fixing != "cemented":
            talk.optional(("bar", "screws"), "Do the screws of the bar turn?", get_args(Screws))
    takes_out = talk.optional(TAKES_OUT, BESIDE[TAKES_OUT], ("patient", "carer"))
    if takes_out != "carer":
        read = partial(figure, unit="years")
        talk.answer(AGE, BESIDE[AGE], read=read, means={UNKNOWN: LEFT_OUT}, default=UNKNOWN, unsure=LEFT_OUT)


def _currency(draft: Draft, usual: str, text: str) -> str:
    code = usual if is_not_known(text) else text.upper()
    draft.put(("money", "currency"), code)
    return code
