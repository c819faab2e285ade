"""A sign of life comes after a second, on a terminal only, and leaves nothing behind."""

from __future__ import annotations

import os
import pty
import subprocess
import sys

SLOW = "import time\nfrom cli.progress import working\nwith working('thinking'): time.sleep({})\nprint('done')"


COUNTED = """
from cli.progress import counting
with counting('planning', 5) as tally:
    tally.skip()
    tally.done(1)
    tally.done(3)
print('done')
"""


def on_a_terminal(program: str) -> tuple[str, str]:
    """What a process prints on stdout, and what on a terminal at its stderr."""
    ours, theirs = pty.openpty()
    command = [sys.executable, "-c", program]
    out = subprocess.run(command, stdout=subprocess.PIPE, stderr=theirs, check=True, text=True).stdout
    os.close(theirs)
    told = b""
    try:
        while chunk := os.read(ours, 4096):
            told += chunk
    except OSError:  # the other end is closed
        pass
    os.close(ours)
    return out, told.decode()


def test_slow_work_says_what_it_does_and_how_to_stop() -> None:
    out, told = on_a_terminal(SLOW.format(1.6))

    assert "done\n" == out
    assert "thinking; Ctrl-C stops" in told


def test_how_far_the_work_is_stands_behind_what_it_is() -> None:
    _, told = on_a_terminal(SLOW.format(1.6).replace("'): ", "') as tell: tell('2 found'); "))

    assert "thinking: 2 found; Ctrl-C stops" in told


def test_quick_work_is_silent() -> None:
    assert ("done\n", "") == on_a_terminal(SLOW.format(0.05))


def test_nobody_is_told_where_stderr_is_no_terminal() -> None:
    command = [sys.executable, "-c", SLOW.format(1.3)]

    assert "" == subprocess.run(command, capture_output=True, check=True, text=True).stderr


def test_a_count_shows_how_far_it_is_without_what_was_done_before() -> None:
    out, told = on_a_terminal(COUNTED)

    assert "done\n" == out
    assert "planning" in told
    assert "4/4" in told
    assert "/s" in told
    assert "left; Ctrl-C stops" in told


def test_nothing_is_counted_aloud_where_stderr_is_no_terminal() -> None:
    done = subprocess.run([sys.executable, "-c", COUNTED], capture_output=True, check=True, text=True)

    assert ("done\n", "") == (done.stdout, done.stderr)
