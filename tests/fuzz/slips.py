"""Slips of a pen and of a machine: small damage to a text, by a seed."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence

NASTY = (
    *("nan", ".inf", "-.inf", "1e308", "1e-320", "-0.0", "9" * 400, "0x1F", "1_000", "1,5", "010", "1:30", "-1", "0"),
    *("null", "~", "yes", "''", '"\\x00"', "unknown", "1.8 +- ", "1.8 +- nan", "1.8 +- -1", "+- 2", "2026-11-25"),
    *("[]", "{}", "[[[[]]]]", "{a: {a: {a: 1}}}", "&a [*a]", "*a", "!!python/name:os.system", "!!binary aGk=", "? a"),
    *(
        "<<: *a",
        "- ",
        "|",
        ">",
        "%YAML 9",
        "---",
        "...",
        "\t",
        "\u202e",
        "\ufeff",
        "\x85",
        "\u2028",
        "\ud7ff",
        "🦷",
        "#",
    ),
    *("a" * 5000, "x1", "A-B", "S1", "<script>", "../../etc/passwd", "%s%n", "{0}", "\x1b[31m"),
)
_TOKEN = re.compile(r"[^\s,:{}\[\]]+")
_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def slip(text: str, chance: random.Random, words: Sequence[str] = ()) -> str:
    """The text with one to four slips; `words` are tokens of other files that may stand where they should not."""
    for _ in range(chance.randint(1, 4)):
        text = chance.choice(_SLIPS)(text, chance, words)
    return text


def tokens(texts: Sequence[str]) -> list[str]:
    """Every different word of some texts, in order."""
    return sorted({word for text in texts for word in _TOKEN.findall(text)})


def _other_word(text: str, chance: random.Random, words: Sequence[str]) -> str:
    return _replaced(_TOKEN, text, chance, chance.choice(words or NASTY))


def _nasty_word(text: str, chance: random.Random, _: Sequence[str]) -> str:
    return _replaced(_TOKEN, text, chance, chance.choice(NASTY))


def _other_number(text: str, chance: random.Random, _: Sequence[str]) -> str:
    numbers = (str(chance.randint(-2, 60)), f"{chance.uniform(-1, 40):.3g}", f"{10 ** chance.uniform(-9, 9):g}")
    return _replaced(_NUMBER, text, chance, chance.choice(numbers))


def _replaced(what: re.Pattern[str], text: str, chance: random.Random, new: str) -> str:
    places = list(what.finditer(text))
    if not places:
        return text + new
    place = chance.choice(places)
    return text[: place.start()] + new + text[place.end() :]


def _lines(text: str, chance: random.Random, _: Sequence[str]) -> str:
    """A line dropped, doubled, moved, or set in or out."""
    lines = text.splitlines(keepends=True) or [""]
    one, other = chance.randrange(len(lines)), chance.randrange(len(lines))
    match chance.randrange(4):
        case 0:
            del lines[one]
        case 1:
            lines.insert(other, lines[one])
        case 2:
            lines[one], lines[other] = lines[other], lines[one]
        case _:
            lines[one] = chance.choice((" " + lines[one], lines[one].lstrip(), "\t" + lines[one]))
    return "".join(lines)


def _cut(text: str, chance: random.Random, _: Sequence[str]) -> str:
    start = chance.randrange(len(text) + 1)
    return text[:start] + text[start + chance.choice((1, 3, 30, len(text))) :]


def _characters(text: str, chance: random.Random, _: Sequence[str]) -> str:
    at = chance.randrange(len(text) + 1)
    return text[:at] + chr(chance.choice((chance.randrange(32, 127), chance.randrange(0xD800)))) + text[at:]


_SLIPS: tuple[Callable[[str, random.Random, Sequence[str]], str], ...] = (
    *(_other_word, _nasty_word, _other_number) * 2,
    *(_lines, _cut, _characters),
)
