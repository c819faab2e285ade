"""Help: every command explains itself and its parameters, at once, and in 80 columns."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import click
import pytest
from click.shell_completion import ShellComplete

from cli.commands.completion import INSTALL
from cli.exit import BAD_INPUT, FITS
from cli.main import CATALOGUE, COMMANDS, DAILY, OLDER, regrip
from tests.cli.ran import CASE, Run


def every_command() -> Iterator[tuple[str, click.Command]]:
    """Each command with its path, groups too."""
    for name in COMMANDS:
        command = regrip.get_command(click.Context(regrip), name)
        assert command is not None
        yield name, command
        if isinstance(command, click.Group):
            inside = click.Context(command)
            found = {inner: command.get_command(inside, inner) for inner in command.list_commands(inside)}
            yield from ((f"{name} {inner}", each) for inner, each in found.items() if each)


EVERY = dict(every_command())


@pytest.mark.parametrize("path", EVERY)
def test_every_command_has_help_with_an_example(run: Run, path: str) -> None:
    ran = run(*path.split(), "--help")

    assert (FITS, "") == (ran.code, ran.err)
    assert ran.out.startswith(f"Usage: regrip {path} ")
    assert any(line.startswith(f"  regrip {path}") for line in ran.out.splitlines())
    assert "..." not in ran.out.partition("Commands:")[2]


@pytest.mark.parametrize("path", EVERY)
def test_every_option_has_help(path: str) -> None:
    options = [option for option in EVERY[path].params if isinstance(option, click.Option)]

    assert [] == [option.name for option in options if not option.help]


@pytest.mark.parametrize("path", ["", *EVERY])
def test_help_is_no_wider_than_80_columns(run: Run, path: str) -> None:
    wide = [line for line in run(*path.split(), "--help").out.splitlines() if len(line) > 80]

    # An example that would break apart may run on.
    assert [] == [line for line in wide if not line.startswith("  regrip ")]


def test_the_list_names_every_command_and_every_exit_code(run: Run) -> None:
    out = run("--help").out
    listed = re.findall(r"^  ([a-z][a-z-]*(?: [a-z-]+)?)  +\w", out.partition("Every day:\n")[2], re.MULTILINE)

    groups = {name for name, command in EVERY.items() if isinstance(command, click.Group)}
    assert sorted(EVERY.keys() - groups) == sorted(listed)
    assert list(DAILY) == listed[: len(DAILY)]
    assert [
        "  Exit codes:",
        "      0  fits, or did what was asked",
        "      1  does not fit without giving something up, or too little known",
        "      2  usage or input file",
        "      3  undecided in the time given",
        "      4  internal fault",
        "    130  stopped by Ctrl-C",
    ] == out.splitlines()[-7:]


def test_the_table_of_the_catalogue_is_that_of_its_group() -> None:
    """The list is made without importing it."""
    group = EVERY["catalogue"]
    assert isinstance(group, click.Group)

    assert {name: each.does for name, each in CATALOGUE.items()} == {
        name: command.short_help for name, command in group.commands.items()
    }


@pytest.mark.parametrize("name", OLDER)
def test_an_older_name_still_works_and_is_not_shown(name: str, run: Run) -> None:
    ran = run(name, "--help")

    assert (FITS, "") == (ran.code, ran.err)
    assert name not in [
        line.split()[0] for line in run("--help").out.splitlines() if line.startswith("  ") and line.split()
    ]


def test_a_batch_needs_no_second_word(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)
    code, out, _ = run("batch", path, "-o", tmp_path / "rows.csv", "--workers", "1", "--json")

    assert (FITS, 1) == (code, json.loads(out)["cases"])


def test_the_readme_names_every_command() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text()

    assert [] == [name for name in COMMANDS if f"`regrip {name}" not in readme]


def loaded_by(*arguments: str) -> set[str]:
    """Top-level packages that a run of the command has imported."""
    code = (
        "import sys\n"
        "from cli.exit import guarded\n"
        "from cli.main import regrip\n"
        f"code = guarded(regrip, {list(arguments)!r})\n"
        "print(code, *sorted({name.partition('.')[0] for name in sys.modules}), file=sys.stderr)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    status, *names = done.stderr.splitlines()[-1].split()
    assert "0" == status
    return set(names)


HEAVY = {"ortools", "highspy", "scipy"}


def test_help_loads_nothing_heavy() -> None:
    assert not (HEAVY | {"pydantic", "numpy", "rich", "yaml"}) & loaded_by("--help")


@pytest.mark.parametrize("arguments", [["catalogue", "list"], ["schema", "case"], ["plan", "--help"]], ids=" ".join)
def test_what_solves_nothing_loads_no_solver(arguments: list[str]) -> None:
    assert not HEAVY & loaded_by(*arguments)


@pytest.mark.parametrize("shell", INSTALL)
def test_completion_prints_a_script_and_tells_where_it_goes(run: Run, shell: str) -> None:
    ran = run("completion", shell)

    assert FITS == ran.code
    assert f"_REGRIP_COMPLETE={shell}_complete" in ran.out
    assert f"regrip: to install it, then start a new shell:\n{INSTALL[shell]}\n" == ran.err


def test_completion_of_a_shell_that_is_not_known(run: Run) -> None:
    ran = run("completion", "tcsh")

    assert BAD_INPUT == ran.code
    assert (
        "regrip: Invalid value for 'bash|zsh|fish': 'tcsh' is not one of 'bash', 'zsh', 'fish'."
        == (ran.err.splitlines()[0])
    )


NEXT = {
    "command": ([], "c", ["check", "catalogue", "completion"]),
    "command of a group": (["catalogue"], "s", ["show"]),
    "command of a group by table": (["what-if"], "", ["limits", "values", "trade-off", "ways"]),
    "value of an option": (["catalogue", "list", "--can-move"], "h", ["hinge"]),
    "argument": (["schema"], "c", ["case", "catalogue"]),
    "entry": (["catalogue", "show"], "c", ["clip-spring", "cap"]),
}


@pytest.mark.parametrize(("words", "begun", "known"), NEXT.values(), ids=NEXT)
def test_what_may_come_next(words: list[str], begun: str, known: list[str]) -> None:
    items = ShellComplete(regrip, {}, "regrip", "_REGRIP_COMPLETE").get_completions(words, begun)

    assert known == [item.value for item in items]


OF_A_CASE = {
    "sites": (["why", "CASE"], "", ["A", "B", "L", "i43", "i41", "i33"]),
    "a site begun": (["why", "CASE"], "i4", ["i43", "i41"]),
    "parts for a stretch": (["why", "CASE", "A"], "clip", ["clip-spring"]),
    "parts for an end": (["why", "CASE", "L"], "clip", []),
    "a site to put on": (["check", "CASE", "--put"], "", ["A=", "B=", "L=", "i43=", "i41=", "i33="]),
    "a part to put": (["check", "CASE", "--put"], "A=clip", ["A=clip-spring"]),
    "paths of values": (["what-if", "values", "CASE", "--set"], "segments.A.w", ["segments.A.width_mm="]),
    "by the older name": (["vary", "CASE", "--set"], "money.cur", ["money.currency="]),
    "no such case": (["why", "nowhere.yaml"], "", []),
}


@pytest.mark.parametrize(("words", "begun", "known"), OF_A_CASE.values(), ids=OF_A_CASE)
def test_what_a_case_has_is_completed(words: list[str], begun: str, known: list[str], tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)
    said = [str(path) if word == "CASE" else word for word in words]
    items = ShellComplete(regrip, {}, "regrip", "_REGRIP_COMPLETE").get_completions(said, begun)

    assert known == [item.value for item in items]


def test_a_file_that_is_no_case_completes_to_nothing(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    for text in ("supports: [1, 2]\n", "- 1\n", "a: [", "7\n"):
        path.write_text(text)
        items = ShellComplete(regrip, {}, "regrip", "_REGRIP_COMPLETE").get_completions(["why", str(path)], "")
        assert [] == items


def test_a_shell_asks_by_way_of_the_environment() -> None:
    """As the script of fish does: answers are `type,value<tab>help`, a line each."""
    asks = {"_REGRIP_COMPLETE": "fish_complete", "COMP_WORDS": "regrip pl", "COMP_CWORD": "pl"}
    command = [sys.executable, "-m", "cli.main"]
    done = subprocess.run(command, capture_output=True, text=True, check=False, env=os.environ | asks)

    assert f"plain,plan\t{COMMANDS['plan'].does}\n" == done.stdout
