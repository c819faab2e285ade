"""The questions that a plan leads to: measures and words at one or several places, and what goes beside them."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import partial
from types import MappingProxyType
from typing import Any

from catalogue.quantities import QUANTITIES
from cli.interview.draft import Draft
from cli.interview.figures import amount, figure
from cli.interview.opening import Step
from cli.interview.prompts import Unusable, is_not_known
from cli.interview.talk import LEFT_OUT, TRUTH, YES_NO, Talk, meant
from cli.wording.call import ASKED_OF_SOME, BESIDE, CallWords
from solver.case.provenance import Place
from solver.explore.beside import (
    AGE,
    CAP,
    GRINDS,
    HAND,
    HOUSINGS,
    METALS,
    OPPOSING,
    PALATE,
    STATE,
    TAKES_OUT,
    beside,
)
from solver.explore.outcomes import WORDS
from solver.explore.so_far import SoFar
from solver.fit.candidate import Question

DONT_KNOW = "don't know"
_GOOD_AND_BAD: Mapping[str, tuple[str, str]] = MappingProxyType(
    {"connection": ("documented", "undocumented"), "mobility": ("firm", "loose"), "bone": ("enough", "little")}
)
"""What yes and no mean, asked of implants."""

_WORDS_BESIDE: Mapping[Place, tuple[str, ...]] = MappingProxyType(
    {
        STATE: ("present", "cracked", "lost", "none"),
        HOUSINGS: YES_NO,
        PALATE: ("covered", "open"),
        TAKES_OUT: ("patient", "carer"),
        HAND: ("weak", "usual", "strong"),
        GRINDS: YES_NO,
        OPPOSING: ("natural", "denture", "implants"),
    }
)


def measured(found: SoFar) -> Iterator[Step]:
    """The open questions of the plan, the one that narrows most first."""
    words = CallWords(found)
    for entry in found.weighed:
        yield Step(entry.question.places, partial(_ask, found, entry.question, words.question(entry.question)))


def asked_beside(found: SoFar) -> Iterator[Step]:
    """What else would change what is said."""
    for place in beside(found):
        yield Step((place,), partial(_ask_beside, place))


def _ask(found: SoFar, question: Question, text: str, talk: Talk) -> None:
    of, several = question.of, len(question.places) > 1
    hint = ""
    if of in _GOOD_AND_BAD and several:
        hint = f" ({ASKED_OF_SOME[of]})"
    elif of in WORDS:
        hint = f" ({', '.join(YES_NO if of == 'connection' else WORDS[of])})"
    elif several and question.sites:
        hint = f" (one for all, or one each, {CallWords(found).each(question)})"
    talk.asker.ask(text + hint, partial(_put, talk.draft, question), DONT_KNOW)


def _put(draft: Draft, question: Question, text: str) -> None:
    """Fill in an answer at all places, or at each its own; what is not known is left as it is."""
    if is_not_known(text):
        return
    values = _of_words(draft, question, text) if question.of in WORDS else _of_figures(question, text)
    draft.put_all(dict(zip(question.places, values, strict=True)))


def _of_figures(question: Question, text: str) -> list[Any]:
    quantity = QUANTITIES.get(question.of)
    unit = quantity.unit if quantity else "N" if question.of == "force_n" else "mm"
    many, each = len(question.places), re.split(r"[;\s]+", text.strip(" ;"))
    if many > 1 and len(each) == many and "+" not in text and all(re.match(r"[\d.]", one) for one in each):
        return [figure(one.rstrip(","), unit) for one in each]
    return [figure(text, unit)] * many


def _of_words(draft: Draft, question: Question, text: str) -> list[str]:
    of, many = question.of, len(question.places)
    if of not in _GOOD_AND_BAD:
        return [_word(text, WORDS[of])] * many
    good, bad = _GOOD_AND_BAD[of]
    teeth = re.findall(r"[1-4][1-8]", text)
    if many > 1 and teeth and not re.sub(r"[1-4][1-8]|loose|little|and|[\s,;]", "", text.casefold()):
        at = [str(draft.case.supports[place[1]].tooth) for place in question.places]
        if stranger := next((tooth for tooth in teeth if tooth not in at), None):
            raise Unusable(f"{stranger} is not asked about", f"the implants are {' '.join(at)}")
        return [bad if tooth in teeth else good for tooth in at]
    word = meant(text, (*YES_NO, good, bad))
    return [{"yes": good, "no": bad}.get(word) or _word(text, (good, bad))] * many


def _word(text: str, words: tuple[str, ...]) -> str:
    word = meant(text, words)
    if word not in words:
        raise Unusable(f"'{text}' is not one of {', '.join(words)}")
    return word


def _ask_beside(place: Place, talk: Talk) -> None:
    text, currency = BESIDE[place], talk.draft.case.money.currency
    if place == METALS:
        talk.asker.ask(text, partial(_metals, talk.draft), "none")
    elif place == AGE:
        talk.answer(place, text, read=partial(figure, unit="years"), default=DONT_KNOW, unsure=LEFT_OUT)
    elif place == CAP:
        read = partial(amount, currency=currency)
        means = {"no cap": LEFT_OUT, "none": LEFT_OUT, "no": LEFT_OUT}
        talk.answer(place, f"{text}, {currency}", means=means, read=read, default="no cap", unsure=LEFT_OUT)
    elif place[0] == "allowed":
        talk.answer(place, text, words=YES_NO, means=TRUTH, default=DONT_KNOW, unsure=LEFT_OUT)
    else:
        talk.answer(place, text, words=_WORDS_BESIDE[place], default=DONT_KNOW, unsure=LEFT_OUT)


def _metals(draft: Draft, text: str) -> None:
    named = [] if is_not_known(text) or text in ("none", "no") else [metal.strip() for metal in text.split(",")]
    if named:
        draft.put(METALS, [metal for metal in named if metal])
