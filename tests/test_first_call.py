"""`docs/first-call.md` is the conversation as it goes: all that is asked and said stands there."""

from __future__ import annotations

import re
from collections.abc import Callable, Collection
from pathlib import Path
from typing import TypeVar

import pytest

from catalogue.load import load_catalogue
from cli.interview.call import call
from solver.case.provenance import Place
from solver.case.schema import Case
from solver.explore import so_far as module
from solver.explore.so_far import SoFar, so_far

T = TypeVar("T")
PAGE = Path(__file__).parents[1] / "docs" / "first-call.md"
STARTER = load_catalogue()


def words(text: str) -> str:
    return " ".join(text.split())


TALK, PLAN = (words(block) for block in re.findall(r"```\n(.*?)```", PAGE.read_text(encoding="utf-8"), re.DOTALL))


class Reader:
    """Answers each question as the page does, and keeps all that is said."""

    def __init__(self) -> None:
        self.said: list[str] = []

    def ask(self, question: str, take: Callable[[str], T], default: str | None = None) -> T:
        shown = words(question if default is None else f"{question} [{default}]")
        found = re.search(re.escape(shown) + r":? ?(\S.*?)?(?= \d+\. |  |$| (?:Too|Should|Parts|All|43 lower))", TALK)
        assert found, shown
        return take((found[1] or "").strip() or default or "")

    def tell(self, said: str) -> None:
        self.said.append(words(said))


def test_the_page_shows_the_conversation_as_it_goes(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "WEIGHED_S", 60.0)
    reader = Reader()

    def plans(case: Case, passed: Collection[Place], before: SoFar | None) -> SoFar:
        return so_far(case, STARTER, passed=passed, before=before)

    told = call(reader, "case", "EUR", plans)

    assert [] == [said for said in reader.said if said not in TALK]
    assert told.answers == len(re.findall(r"(?<!\S)\d+\. [A-Z]", TALK))
    assert told.found is not None
    assert told.found.best is not None
    assert "polymer clip on a round bar, 5 mm" in PLAN
    assert ["A=clip-round-polymer-5"] == list(told.found.best.keys)
