"""`docs/answers.md`: what the commands print for the worked examples, so that the page can never go stale.

`python -m tests.answers_page --write` writes it again, and the example of the README; without `--write` it goes to
standard output.
"""

from __future__ import annotations

import argparse
import contextlib
import io
import os
import shlex
import textwrap
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple
from unittest import mock

import click

from cli.exit import DOES_NOT_FIT, FITS, guarded
from cli.main import regrip
from solver.choose.plan import Answer
from solver.choose.search import Options
from solver.explore.sensitivity import Sensitivity, sensitivity

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "answers.md"
README = ROOT / "README.md"
FENCE = "```\n"
WIDTH = 96
LONG_S = 3600.0
HEAD = """\
# What the commands answer

Real outputs for the examples in [docs/examples](examples), which are invented, as are the prices of the starter
catalogue. Written by `python -m tests.answers_page --write`; a test compares the whole page with what the commands
print today. Where an output is long the page stops at a heading and names those that follow.
"""
SHELL = {"COLUMNS": str(WIDTH), "LANG": "C.UTF-8", "LC_ALL": "C.UTF-8", "NO_COLOR": "1", "TERM": "dumb"}
"""All that the outputs could depend on."""


class Story(NamedTuple):
    """One output with what it shows; `until` is the heading at which the page stops."""

    title: str
    remark: str
    command: str
    until: str = ""


STORIES = (
    Story(
        "The plan",
        "On one screen what can be done, what it costs, why, what to ask first, how it holds and what it risks.",
        "plan docs/examples/lower-three-supports.yaml",
    ),
    Story(
        "All that was worked out",
        "A bar bends at its middle support. The cheapest mix is proved; what moves, what is left of each part's "
        "freedom, the hold, the bite on every support and the cost of the years are worked out from the same case.",
        "plan docs/examples/two-angled-segments.yaml --full",
        "Ways out",
    ),
    Story(
        "A mix that looks right",
        "A clip on either half of that bar: each fits its stretch, and together they lock the hinge.",
        "check docs/examples/two-angled-segments.yaml",
    ),
    Story(
        "",
        "A clip that only turns, between balls that also sink:",
        "check docs/examples/hinge-against-resilience.yaml",
    ),
    Story(
        "Why not",
        "The attachment that somebody on the phone would like to have, need by need.",
        "why docs/examples/lower-three-supports.yaml A stud-thread-medium",
        "Sources",
    ),
    Story(
        "",
        "One that fits where it stands, but is not in the plan:",
        "why docs/examples/two-angled-segments.yaml A",
        "Ruled out",
    ),
    Story(
        "What would have to give",
        "Nothing fits under the cap. The smallest clash proves it, each line with its place in the case; then every "
        "smallest set of rules to give up, with the plan and the price that it opens.",
        "what-if limits docs/examples/over-budget.yaml",
    ),
    Story(
        "",
        "A plan fits; what one that costs less would need:",
        "what-if limits docs/examples/upper-keep-the-bar.yaml",
    ),
    Story(
        "What to ask next",
        "Half the measurements are missing. The question worth most comes first; those that cannot change the "
        "plan are not worth a call.",
        "ask docs/examples/unknown-undercut.yaml",
    ),
    Story(
        "What if",
        "The undercut over a range, with the value at which the plan flips.",
        "what-if values docs/examples/unknown-undercut.yaml --set segments.A.undercut_mm=0..0.6/0.1",
    ),
    Story(
        "What more hold costs",
        "Every mix worth choosing, proved complete.",
        "what-if trade-off docs/examples/two-angled-segments.yaml --between cost,hold",
    ),
    Story(
        "Ways out",
        "Upper jaw: the bar may come off, and yet it stays, for single studs would leave three implants unsplinted.",
        "what-if ways docs/examples/upper-keep-the-bar.yaml",
        "Keep the bar",
    ),
)


def page() -> str:
    """The whole page."""
    return "\n".join([HEAD, *(section(story) for story in STORIES)])


def readme(text: str, whole: str) -> str:
    """The text of the README with the first output of the whole page as its example."""
    blocks = text.split(FENCE)
    at = next(number for number, block in enumerate(blocks) if block.startswith("$ regrip "))
    return FENCE.join([*blocks[:at], whole.split(FENCE)[1], *blocks[at + 1 :]])


def section(story: Story) -> str:
    """One part: what it shows, the command, its output and the headings left out."""
    title = f"## {story.title}\n\n" if story.title else ""
    shown, further = _cut(output(story.command), story.until)
    rest = f"\nThen: {', '.join(further)}.\n" if further else ""
    remark = textwrap.fill(story.remark, 118)
    return f"{title}{remark}\n\n```\n$ regrip {story.command}\n{shown}\n```\n{rest}"


def _without_haste(command: str) -> list[str]:
    """The words of a command, with all the time that a busy machine may need."""
    words = shlex.split(command)
    found: click.Command | None = regrip
    for word in words:
        if isinstance(found, click.Group):
            found = found.get_command(click.Context(found), word)
    timed = found is not None and any(parameter.name == "time_limit" for parameter in found.params)
    return [*words, *(["--time-limit", f"{LONG_S:g}"] if timed else [])]


def _to_the_end(found: Answer, how: Options) -> Sensitivity:
    """What a plan hangs on, however busy the machine is."""
    return sensitivity(found, replace(how, time_limit_s=LONG_S))


def output(command: str) -> str:
    """What a command prints, run in the root of the project; lines without trailing blanks.

    Raises `ValueError` where it gives no answer.
    """
    printed = io.StringIO()
    told = {name: value for name, value in os.environ.items() if name not in {"FORCE_COLOR", "TTY_COMPATIBLE"}}
    with (
        mock.patch.dict(os.environ, told | SHELL, clear=True),
        mock.patch("cli.commands.plan.sensitivity", _to_the_end),
        contextlib.chdir(ROOT),
        contextlib.redirect_stdout(printed),
    ):
        code = guarded(regrip, _without_haste(command))
    if code not in (FITS, DOES_NOT_FIT):
        raise ValueError(f"`regrip {command}` gave no answer: exit code {code}")
    return "\n".join(line.rstrip() for line in printed.getvalue().splitlines()).strip()


def _cut(text: str, until: str) -> tuple[str, list[str]]:
    """The part before a heading, and the headings from there on; raises `ValueError` where there is none."""
    if not until:
        return text, []
    headings = list(_headings(text))
    start = next((at for at, title in headings if title == until), None)
    if start is None:
        raise ValueError(f"no heading '{until}', only {', '.join(title for _, title in headings)}")
    lines = text.splitlines()
    return "\n".join(lines[: start - 1]), [title for at, title in headings if at >= start]


def _headings(text: str) -> Iterator[tuple[int, str]]:
    """Line and title of every heading: it follows an empty line and is not set in; two blanks end the title."""
    lines = text.splitlines()
    for at, line in enumerate(lines[1:], 1):
        if line and not lines[at - 1] and not line.startswith(" "):
            yield at, line.split("  ")[0]


def main() -> None:
    """Write the page, or print it."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument(
        "--write", action="store_true", help=f"write {PAGE.relative_to(ROOT)} and the example of the README"
    )
    if parser.parse_args().write:
        whole = page()
        PAGE.write_text(whole, encoding="utf-8")
        README.write_text(readme(README.read_text(encoding="utf-8"), whole), encoding="utf-8")
    else:
        print(page(), end="")


if __name__ == "__main__":
    main()
