"""The page of answers says what the commands print today."""

from __future__ import annotations

import pytest

from cli.commands import what_if
from cli.main import COMMANDS
from tests.answers_page import PAGE, ROOT, STORIES, Story, output, page, section


def test_the_page_is_what_the_commands_print() -> None:
    """Where this fails: `python -m tests.answers_page --write`, and read the difference before it is committed."""
    assert page() == PAGE.read_text(encoding="utf-8")


def test_the_readme_shows_the_beginning_of_an_answer_as_it_is_on_the_page() -> None:
    blocks = (ROOT / "README.md").read_text("utf-8").split("```\n")
    shown = [block for block in blocks if block.startswith("$ regrip ")]

    assert 1 == len(shown)
    assert shown[0] in PAGE.read_text("utf-8")


def test_every_command_that_answers_a_case_is_on_the_page() -> None:
    shown = {story.command.partition(" docs/")[0] for story in STORIES}

    inside = {f"what-if {name}" for name in what_if.TABLE}
    assert {"plan", "check", "why", "ask"} | inside == shown
    assert {name.split()[0] for name in shown} <= set(COMMANDS)


def test_the_page_is_the_same_whatever_the_terminal(monkeypatch: pytest.MonkeyPatch) -> None:
    give = next(story.command for story in STORIES if story.command.startswith("what-if limits"))
    plain = output(give)
    for name, value in {"COLUMNS": "61", "FORCE_COLOR": "1", "LANG": "de_DE.UTF-8", "LC_ALL": "tr_TR.UTF-8"}.items():
        monkeypatch.setenv(name, value)

    assert plain == output(give)


def test_a_heading_that_is_gone_is_told() -> None:
    with pytest.raises(ValueError, match="no heading 'Prices', only Why nothing fits, What would have to give"):
        section(Story("", "", "what-if limits docs/examples/over-budget.yaml", "Prices"))


def test_a_command_that_fails_is_told() -> None:
    with pytest.raises(ValueError, match="exit code 2"):
        output("plan docs/examples/none.yaml")
