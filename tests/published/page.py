"""The page of docs that the tables of checks make."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from tests.published.check import LEGEND, Check, Known
from tests.published.conflicts import CONFLICTS
from tests.published.proof import MEANS, Proof, proof_of
from tests.published.tables import SUBJECTS

PAGE = Path(__file__).parents[2] / "docs" / "published-checks.md"

_HEAD = """\
# Published checks

Made by `python -m tests.published` from the tables in `tests/published`; a test keeps it so. {count} checks, of which
{outside} rest on something outside regrip. Each row is run by the suite: what stands under "regrip" is what the code
gives, and "agrees" means within the tolerance of the row.

What a check proves, and how many do. None of them tells how well a plan does in a mouth: for that see
[measured.md](measured.md).

{proofs}

How a figure is known:

{legend}
"""


def page() -> str:
    """The whole page."""
    checks = [check for rows in SUBJECTS.values() for check in rows]
    outside = sum(check.known is not Known.OURS for check in checks)
    legend = "\n".join(f"- **{known.value}**: {text}." for known, text in LEGEND.items())
    counts = Counter(proof_of(name, check) for name, rows in SUBJECTS.items() for check in rows)
    proofs = "\n".join(f"- **{proof.value}**, {counts[proof]}: {text}." for proof, text in MEANS.items())
    parts = [_HEAD.format(count=len(checks), outside=outside, legend=legend, proofs=proofs)]
    parts += ["\n".join(_subject(name, rows)) for name, rows in SUBJECTS.items()]
    parts.append("\n".join(_conflicts()))
    return "\n".join(parts)


def _subject(name: str, rows: tuple[Check, ...]) -> Iterator[str]:
    sources = list(dict.fromkeys(check.source for check in rows))
    yield f"## {name}\n"
    yield "| claim | proves | source | known | stated | regrip | |"
    yield "|---|---|---|---|---|---|---|"
    for check in sorted(rows, key=lambda check: list(Proof).index(proof_of(name, check))):
        value = check.ours()
        agrees = "agrees" if check.agrees_with(value) else "DIFFERS"
        cells = (
            check.claim,
            proof_of(name, check).value,
            f"{sources.index(check.source) + 1}",
            check.known.value,
            _shown(check.expected),
        )
        yield f"| {' | '.join(map(_cell, cells))} | {_cell(_shown(value))} | {agrees} |"
    yield ""
    yield from (f"{number}. {source}" for number, source in enumerate(sources, 1))
    yield ""


def _conflicts() -> Iterator[str]:
    yield "## Where sources conflict\n"
    yield "| what | what the sources say | regrip takes | why |"
    yield "|---|---|---|---|"
    for conflict in CONFLICTS:
        cells = (conflict.about, conflict.sources, _shown(conflict.ours()), conflict.why)
        yield f"| {' | '.join(map(_cell, cells))} |"
    yield ""


def _shown(value: Any) -> str:
    """As a reader would write it; numbers of six digits, so that the last bit of a machine does not show."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, int | float):
        return f"{round(float(value), 9):.6g}"
    if isinstance(value, frozenset):
        return "; ".join(sorted((_shown(each) for each in value), key=lambda text: (len(text), text)))
    if isinstance(value, tuple):
        return ", ".join(map(_shown, value)) or "nothing"
    word = str(value)
    return word.lower() if word.isupper() and set(word) - set("IV") else word  # a class of space keeps its numeral


def _cell(text: str) -> str:
    return text.replace("|", "/").replace("\n", " ")
