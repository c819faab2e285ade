"""An asker with the draft that its answers fill: how one question becomes one value of a case."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Any

from catalogue.quantities import QUANTITIES
from catalogue.yaml_text import Loc, plain
from cli.interview.draft import Draft
from cli.interview.figures import figure
from cli.interview.prompts import Asker, Unusable, is_not_known

UNKNOWN = "unknown"
LEFT_OUT = object()
"""As the meaning of "don't know": the key is left out of the file."""
NEEDED = object()
"""As the meaning of "don't know": the question is put again."""

YES_NO = ("yes", "no")
TRUTH = MappingProxyType({"yes": True, "no": False})
_NO_MEANINGS: Mapping[str, Any] = MappingProxyType({})


class Talk:
    """An asker with the draft that it fills."""

    def __init__(self, asker: Asker, draft: Draft) -> None:
        self.asker = asker
        self.draft = draft

    def answer(
        self,
        loc: Loc,
        question: str,
        *,
        words: Sequence[str] = (),
        means: Mapping[str, Any] = _NO_MEANINGS,
        read: Callable[[str], Any] = plain,
        default: str | None = None,
        unsure: Any = NEEDED,
    ) -> Any:
        """Ask for what stands at `loc`; `unsure` is what "don't know" means there, `means` what a word means."""

        def take(text: str) -> Any:
            word = meant(text, words)
            value = unsure if is_not_known(text) else means.get(word, read(word))
            if value is NEEDED:
                raise Unusable("this cannot be left open", "a rough answer will do; correct it in the file later")
            if value is not LEFT_OUT:
                self.draft.put(loc, value)
            return value

        listed = f" ({', '.join(words)})" if words else ""
        return self.asker.ask(f"{question}{listed}", take, default)

    def says_yes(self, question: str, default: str) -> bool:
        """A question of the interview itself; "don't know" is the default."""

        def take(text: str) -> bool:
            word = default if is_not_known(text) else meant(text, YES_NO)
            if word not in TRUTH:
                raise Unusable(f"'{text}' is neither", "answer `yes` or `no`")
            return TRUTH[word]

        return self.asker.ask(f"{question} ({', '.join(YES_NO)})", take, default)

    def optional(self, loc: Loc, question: str, words: Sequence[str]) -> Any:
        """A word, or nothing in the file where it is not known."""
        return self.answer(loc, question, words=words, means={UNKNOWN: LEFT_OUT}, default=UNKNOWN, unsure=LEFT_OUT)

    def measure(self, loc: Loc, where: str = "") -> Any:
        """A measured figure, with its error where it has one, or unknown."""
        quantity = QUANTITIES[str(loc[-1])]
        question = f"{quantity.label}, {quantity.unit} ({quantity.how})"
        head = f"{where}: {question}" if where else f"{question[:1].upper()}{question[1:]}"
        read = partial(figure, unit=quantity.unit)
        return self.answer(loc, head, read=read, default=UNKNOWN, unsure=UNKNOWN)


def meant(text: str, words: Sequence[str]) -> str:
    """The word that `text` begins, where there is only one; else the text itself."""
    begun = [word for word in words if word.startswith(text.casefold())]
    return text.casefold() if text.casefold() in words else begun[0] if len(begun) == 1 else text
