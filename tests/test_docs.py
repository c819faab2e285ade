"""What the pages for readers point to is there: links, headings, files, and the commands with their options."""

from __future__ import annotations

import re
from collections.abc import Iterator
from importlib.util import find_spec
from pathlib import Path
from urllib.parse import unquote

import click
import pytest

from cli.main import regrip

ROOT = Path(__file__).parents[1]
PAGES = {
    str(path.relative_to(ROOT)): path
    for path in (ROOT / "README.md", ROOT / "DEVELOPERS.md", *(ROOT / "docs").glob("*.md"))
}
LINK = re.compile(r"\]\(([^)\s]+)\)")
NAMED = re.compile(r"`((?:catalogue|cli|solver|tests|docs)/[\w./-]*)`")
MODULE = re.compile(r"python -m (tests[\w.]*)")
SPAN = re.compile(r"`(?:\$ )?(regrip [^`]*)`")
LINE = re.compile(r"^(?:    |\$ )(?:\.venv/bin/)?(regrip .*)$", re.MULTILINE)


def text_of(page: str) -> str:
    return PAGES[page].read_text(encoding="utf-8")


def prose(page: str) -> str:
    """Without what stands between fences."""
    return re.sub(r"^```.*?^```$", "", text_of(page), flags=re.MULTILINE | re.DOTALL)


def headings(path: Path) -> set[str]:
    """Their anchors, as the usual viewers of Markdown make them."""
    found = re.findall(r"^#+ (.+)$", path.read_text(encoding="utf-8"), re.MULTILINE)
    return {re.sub(r"[^\w\- ]", "", title.lower()).replace(" ", "-") for title in found}


@pytest.mark.parametrize("page", PAGES)
def test_every_link_leads_somewhere(page: str) -> None:
    for target in LINK.findall(prose(page)):
        assert not target.startswith(("http:", "/")), target
        if not target.startswith(("https:", "mailto:")):
            name, _, anchor = unquote(target).partition("#")
            path = (PAGES[page].parent / name) if name else PAGES[page]
            assert path.exists(), target
            assert not anchor or anchor in headings(path), target


@pytest.mark.parametrize("page", PAGES)
def test_every_file_that_is_named_is_there(page: str) -> None:
    for name in NAMED.findall(text_of(page)):
        stands_for_any = "MODULE" in name
        assert stands_for_any or (ROOT / name).exists() or (ROOT / f"{name}.py").exists(), name
    for name in MODULE.findall(text_of(page)):
        assert find_spec(name), name


@pytest.mark.parametrize("page", PAGES)
def test_every_command_and_option_is_there(page: str) -> None:
    for line in commands(page):
        command, words = called(line.split("#")[0])
        known = {option for parameter in command.params for option in (*parameter.opts, *parameter.secondary_opts)}
        used = {word.split("=")[0] for word in words if re.fullmatch(r"--?[a-z][\w-]*(=.*)?", word)}
        assert used <= known | {"--help", "--version"}, line


def commands(page: str) -> Iterator[str]:
    yield from LINE.findall(text_of(page))
    yield from SPAN.findall(prose(page))


def called(line: str) -> tuple[click.Command, list[str]]:
    """The command that a line calls, and what follows its name; `|` and `\\|` stand between names to choose from."""
    command: click.Command = regrip
    words = line.replace("[", " ").replace("]", " ").split()[1:]
    context = click.Context(regrip)
    while words and isinstance(command, click.Group) and not words[0].startswith("-"):
        found = [command.get_command(context, name.rstrip(",;")) for name in re.split(r"\\?\|", words.pop(0))]
        assert None not in found, line
        assert found[0] is not None
        command = found[0]
    return command, words


def test_the_pages_name_what_these_tests_look_for() -> None:
    """Patterns that found nothing would check nothing."""
    assert len(PAGES) >= 12
    assert sum(len(LINK.findall(prose(page))) for page in PAGES) >= 12
    assert sum(len(NAMED.findall(text_of(page))) for page in PAGES) >= 30
    assert sum(len([*commands(page)]) for page in PAGES) >= 60
