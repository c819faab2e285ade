"""The first questions of a call: jaw, places of the implants, what is left of the bar, and what an hour costs."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from functools import partial
from itertools import pairwise
from string import ascii_uppercase
from typing import Any, NamedTuple, get_args

from catalogue.yaml_text import Loc, plain
from cli.interview.draft import Draft
from cli.interview.figures import amount, figure
from cli.interview.prompts import Unusable, is_not_known
from cli.interview.questions import put_teeth
from cli.interview.talk import Talk
from cli.wording.teeth import named
from solver.case.layout import Layout
from solver.case.provenance import Place
from solver.case.schema import Arch

JAW: Place = ("arch",)
IMPLANTS: Place = ("supports",)
BAR: Place = ("segments",)
ENDS: Place = ("ends",)
RATES: tuple[Place, ...] = (("money", "bench_per_hour"), ("money", "chair_per_hour"))

_RUN = re.compile(r"\d\d(?:\s*-\s*\d\d)+")
_END = re.compile(r"(\d\d|both)\s*[:,=]?\s+(\d+(?:[.,]\d+)?)\s*(?:mm)?")


class Step(NamedTuple):
    """One question: what it settles, and how it is put. One that is `needed` cannot be left out."""

    settles: tuple[Place, ...]
    ask: Callable[[Talk], Any]
    needed: bool = False


def opening(draft: Draft) -> Iterator[Step]:
    """What a call begins with, up to where something can be said."""
    yield Step((JAW,), _jaw, needed=True)
    yield Step((IMPLANTS,), _implants, needed=True)
    if len(draft.case.supports) > 1:
        yield Step((BAR,), _bar, needed=True)
    if draft.case.segments:
        yield Step((ENDS,), _ends)


def rates(currency: str) -> Iterator[Step]:
    """What an hour costs; until it is told the minutes of a plan are not counted."""
    for rate in RATES:
        yield Step((rate,), partial(_rate, rate, currency))


def _jaw(talk: Talk) -> None:
    talk.answer(JAW, "Which jaw?", words=get_args(Arch))


def _implants(talk: Talk) -> None:
    talk.asker.ask("Where are the implants? FDI positions, e.g. 43 33", partial(put_teeth, talk.draft))
    talk.asker.tell(named([s.tooth for s in talk.draft.case.supports.values() if isinstance(s.tooth, int)]))


def _along_the_arch(draft: Draft) -> list[str]:
    """The implants from the patient's right to the left."""
    places = Layout(draft.case).supports
    return sorted(places, key=lambda name: float(places[name][0]))


def _bar(talk: Talk) -> None:
    """Every stretch in one answer."""
    names = [name[1:] for name in _along_the_arch(talk.draft)]
    example = " or ".join(dict.fromkeys(("-".join(names), "-".join(names[-2:]))))

    def take(text: str) -> None:
        if stretches := _stretches(text, names):
            talk.draft.put(BAR, stretches)

    talk.asker.ask(f"What is left of the bar? (all, none, or the implants that it joins: {example})", take, "all")


def _stretches(text: str, names: list[str]) -> dict[str, Any]:
    word = text.strip().casefold()
    if is_not_known(text):
        raise Unusable("this cannot be left open", "answer `all`, or `none` where no bar stands")
    if word in ("all", "yes", "none", "no", "lost"):
        joined = set(pairwise(names)) if word in ("all", "yes") else set()
    else:
        joined = set(_joined(text, names))
    stretches = (pair for pair in pairwise(names) if pair in joined)
    return {
        letter: {"between": [f"i{one}", f"i{two}"]}
        for letter, (one, two) in zip(ascii_uppercase, stretches, strict=False)
    }


def _joined(text: str, names: list[str]) -> Iterator[tuple[str, str]]:
    runs = _RUN.findall(text)
    if not runs or _RUN.sub("", text).strip(" ,;"):
        raise Unusable(f"'{text}' names no stretch of bar", f"write `all`, `none`, or e.g. `{names[0]}-{names[1]}`")
    for run in runs:
        stops = [stop.strip() for stop in run.split("-")]
        if stranger := next((stop for stop in stops if stop not in names), None):
            raise Unusable(f"no implant stands at {stranger}", f"the implants are {' '.join(names)}")
        first, last = (choose(names.index(stop) for stop in stops) for choose in (min, max))
        yield from pairwise(names[first : last + 1])


def _ends(talk: Talk) -> None:
    """Free ends with their length, in one answer."""
    carried = [name for segment in talk.draft.case.segments.values() for name in segment.between]
    tips = [name[1:] for name in dict.fromkeys(carried) if carried.count(name) == 1]

    def take(text: str) -> None:
        if ends := _free_ends(text, tips):
            talk.draft.put(ENDS, ends)

    example = f"e.g. {tips[0]} 8, or both 8"
    question = f"Does it run on past {' or '.join(tips)}? (no, or which and how long, mm, to its ball: {example})"
    talk.asker.ask(question, take, "no")


def _free_ends(text: str, tips: list[str]) -> dict[str, Any]:
    if is_not_known(text) or text.strip().casefold() in ("no", "none"):
        return {}
    found = _END.findall(text)
    if not found or _END.sub("", text).strip(" ,;"):
        figure(text, "mm")  # of inches it says why not
        raise Unusable(f"'{text}' names no end with its length", f"write `no`, or e.g. `{tips[0]} 8`")
    ends: dict[str, Any] = {}
    for tooth, length in found:
        if tooth not in (*tips, "both"):
            raise Unusable(f"no bar ends at {tooth}", f"it ends at {' and '.join(tips)}")
        for tip in tips if tooth == "both" else (tooth,):
            ends[f"E{tip}"] = {"on": f"i{tip}", "length_mm": plain(length.replace(",", "."))}
    return ends


def _rate(rate: Loc, currency: str, talk: Talk) -> None:
    question = f"What does an hour at the {str(rate[-1]).partition('_')[0]} cost, {currency}?"
    talk.answer(
        rate,
        question,
        read=partial(amount, currency=currency),
        means={"not counted": 0},
        default="not counted",
        unsure=0,
    )
