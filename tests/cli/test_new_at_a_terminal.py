"""`regrip new` at a terminal: a person is asked again, before a file is lost, and may leave at any time."""

from __future__ import annotations

import fcntl
import os
import pty
import select
import signal
import struct
import subprocess
import sys
import termios
from contextlib import suppress
from pathlib import Path

import pytest

from catalogue.yaml_text import read_yaml
from cli.exit import FITS, INTERRUPTED
from solver.case.reading import read_case

ROOT = Path(__file__).parents[2]


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


# Python leaves Ctrl-C alone where whoever started it ignores it, as a shell does for what runs in the background.
START = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); import cli.main; cli.main.main()"


class Person:
    """Somebody at a terminal, who types an answer when the text before it has come."""

    def __init__(self, *arguments: str, columns: int = 0) -> None:
        self._hand, screen = pty.openpty()
        if columns:
            fcntl.ioctl(screen, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
        self.process = subprocess.Popen(
            [sys.executable, "-c", START, *arguments],
            stdin=screen,
            stdout=screen,
            stderr=screen,
            env={name: value for name, value in os.environ.items() if name != "COLUMNS"} | {"PYTHONPATH": str(ROOT)},
        )
        os.close(screen)
        self._seen = ""

    def reads(self, text: str) -> None:
        """Wait for it; what has been read is not read again."""
        while text not in self._seen:
            ready, _, _ = select.select([self._hand], [], [], 30)
            assert ready, f"waited for {text!r}, saw {self._seen!r}"
            self._seen += os.read(self._hand, 4096).decode()
        self._seen = self._seen.partition(text)[2]

    def types(self, answer: str) -> None:
        os.write(self._hand, f"{answer}\n".encode())

    def presses_ctrl_c(self) -> None:
        """Again where Python was just about to wait for a key, and so did not see the first."""
        while self.process.poll() is None:
            self.process.send_signal(signal.SIGINT)
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(3)

    def leaves(self) -> int:
        return self.process.wait(30)

    def __enter__(self) -> Person:
        return self

    def __exit__(self, *_: object) -> None:
        self.process.kill()
        self.process.wait()
        os.close(self._hand)


def test_a_person_is_asked_again() -> None:
    with Person("new", "case.yaml", "--defaults") as person:
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("left")
        person.reads("'left' is not one of lower, upper")
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("low")
        person.reads("Where are the implants?")
        person.types("43 33")
        person.reads("hour at the bench")
        person.types("forty")
        person.reads("expected a number, got 'forty'; write a plain decimal number such as 1.8")
        person.types("40")
        person.reads("hour at the chair")
        person.types("100")
        person.reads("regrip: wrote case.yaml")

        assert FITS == person.leaves()
    assert ["case.yaml"] == os.listdir()
    assert 40 == read_case(read_yaml("case.yaml")).money.bench_per_hour


def test_questions_break_between_words_in_a_narrow_window() -> None:
    with Person("new", "case.yaml", columns=48) as person:
        person.reads("Title of the case [case]: ")
        person.types("")
        person.reads("Which jaw carries the bar? (lower,\r\nupper): ")
        person.types("lower")
        person.reads("What does it bite on? (natural,\r\ndenture, implants) [unknown]: ")
        person.types("teeth")
        person.reads("  'teeth' is not one of natural, denture,\r\n  implants, unknown")
        person.presses_ctrl_c()


def test_an_answer_that_is_left_out_is_asked_for_with_a_hint() -> None:
    with Person("new", "case.yaml", "--defaults") as person:
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("")
        person.reads('an answer is needed; `?` is "don\'t know"')
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.types("?")
        person.reads("this cannot be left open; a rough answer will do")
        person.presses_ctrl_c()


def test_a_person_is_asked_before_a_file_is_overwritten() -> None:
    Path("case.yaml").write_text("mine")
    with Person("new", "case.yaml") as person:
        person.reads("case.yaml exists already. Overwrite it when all is answered? [y/N]")
        person.types("n")

        assert INTERRUPTED == person.leaves()
    assert "mine" == Path("case.yaml").read_text()


def test_ctrl_c_leaves_nothing_behind() -> None:
    with Person("new", "case.yaml") as person:
        person.reads("Title of the case [case]: ")
        person.types("")
        person.reads("Which jaw carries the bar? (lower, upper): ")
        person.presses_ctrl_c()
        person.reads("regrip: stopped")

        assert INTERRUPTED == person.leaves()
    assert [] == os.listdir()
