"""Whatever a case says in its texts is shown as text: nothing steers the terminal, nothing is taken for markup."""

from __future__ import annotations

import io
import json
import unicodedata
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT
from cli.terminal.screen import Page, heading, table
from tests.cli.ran import CASE, Run

EVIL = "\x1b[31mred\x1b]0;title\x07 \x9b1m [bold]b[/bold] [/] [link=http://x]k[/link] \u202eevil\u2069 {{7}} {0} %s"
SHOWN = "�[31mred�]0;title �1m [bold]b[/bold] [/] [link=http://x]k[/link] �evil� {{7}} {0} %s"
NAME = "W" * 20


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    evil = json.dumps(EVIL)
    texts = f"about: {evil}\npatient: {{reference: {evil}, sensitivities: [{evil}]}}\n"
    path.write_text(CASE.replace("case: test", f"case: {evil}").replace("i41", NAME) + texts)
    return path


def steering(text: str) -> list[str]:
    """Control and format characters beside tab and line end (Unicode general categories Cc and Cf)."""
    return [c for c in text if unicodedata.category(c) in ("Cc", "Cf") and c not in "\n\t"]


COMMANDS = {
    "plan": [],
    "plan full": ["--full"],
    "check": ["--put", "A=clip-spring"],
    "check full": ["--full", "--put", "A=clip-spring"],
    "why": [],
    "why one": ["A", "clip-spring"],
    "give": [],
    "ask": [],
    "vary": ["--set", "money.cap=500"],
    "trade": [],
    "strategies": [],
}


@pytest.mark.parametrize(("command", "arguments"), COMMANDS.items(), ids=COMMANDS)
def test_no_command_lets_a_text_steer_the_terminal(command: str, arguments: list[str], case: Path, run: Run) -> None:
    ran = run(command.partition(" ")[0], case, *arguments)

    assert ran.out
    assert "" == ran.err
    assert [] == steering(ran.out)
    if command not in ("plan", "check", "why one"):  # which name the bar or the attachment, not the case
        assert SHOWN.replace(" ", "") in "".join(ran.out.split())


def test_a_message_about_a_bad_value_does_not_either(case: Path, run: Run) -> None:
    case.write_text(case.read_text().replace("arch: lower", f"arch: {json.dumps(EVIL)}"))
    ran = run("plan", case)

    assert BAD_INPUT == ran.code
    assert "arch" in ran.err
    assert [] == steering(ran.err)


def test_on_a_terminal_the_colours_are_ours_alone() -> None:
    page = Page(file=io.StringIO(), force_terminal=True, color_system="standard", width=300)
    heading(page, EVIL, EVIL)
    table(page, (f">{EVIL}",), [(EVIL,)])
    shown = page.file.getvalue() if isinstance(page.file, io.StringIO) else ""

    assert "\x1b[1m" in shown
    assert [] == [code for code in ("\x1b[31m", "\x1b]0;", "\x9b", "\x07", "\u202e") if code in shown]
