"""The first screen of every example and of three vignettes: short, complete, and what the JSON says."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest
from rich.console import Console

from cli.files.desk import open_desk
from cli.json_out import answer as json_answer
from cli.terminal.first_screen import show_first_screen
from cli.wording.first_screen import Told, screen_of
from solver.assess.oracle import Mechanics
from solver.assess.rejections import ruled_out
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.choose.tiers import tiers
from solver.explore.sensitivity import sensitivity
from solver.explore.strategies import strategies

ROOT = Path(__file__).parents[1]
VIGNETTES = ("05-milled-parallel", "09-divergent25", "17-phone5")
PATHS = [*sorted((ROOT / "docs" / "examples").glob("*.yaml"))]
PATHS += [ROOT / "tests" / "vignettes" / f"{name}.yaml" for name in VIGNETTES]
SCREENS = pytest.mark.parametrize("path", PATHS, ids=lambda path: path.stem)

VERDICTS = {
    ("fits", "usual"): "FITS",
    ("fits-if", "usual"): "SHOULD FIT, ",
    ("too-little-known", "usual"): "TOO LITTLE KNOWN, ",
    ("relaxed", "stopgap"): "STOPGAP ONLY: ",
    ("relaxed", None): "FITS ONLY IF ",
}
PULLS = {"centre": "at the centre", "left": "on the left", "right": "on the right", "front": "at the front"}


class Shown(NamedTuple):
    """A case, its first screen and its answer for machines."""

    case: Case
    text: str
    answer: Any

    def row(self, label: str) -> str:
        """The text beside a word at the margin, in one line."""
        lines = self.text.splitlines()
        start = next(n for n, line in enumerate(lines) if line.split(" ")[0] == label)
        after = next((n for n in range(start + 1, len(lines)) if not lines[n].startswith(" ")), len(lines))
        return " ".join(line[7:] for line in lines[start:after])


@cache
def shown(path: Path) -> Shown:
    """With everything that `plan` tells, a second for what the choice hangs on."""
    desk = open_desk(str(path))
    found = plan(desk.case, desk.catalogue)
    out = ruled_out(found.problem, Mechanics(found.problem))
    told = Told(found, out, strategies(found.problem), tiers(found), sensitivity(found, Options(time_limit_s=1)))
    page = Console(file=io.StringIO(), width=80, highlight=False)
    show_first_screen(page, screen_of(found.problem, told))
    assert isinstance(page.file, io.StringIO)
    return Shown(desk.case, page.file.getvalue(), json_answer.answer(found, out))


def names(case: Case, site: str) -> Iterator[str]:
    """How a site may be called: by its teeth, or by the side of the jaw."""
    if site in case.ends:
        yield from ("right end", "left end", f"end {site}", "both ends")
        return
    between = case.segments[site].between if site in case.segments else (site,)
    teeth = [case.supports[name].tooth for name in between]
    yield "-".join(str(tooth or name) for tooth, name in zip(teeth, between, strict=True))


@SCREENS
def test_it_has_at_most_25_lines_of_80_columns(path: Path) -> None:
    lines = shown(path).text.splitlines()

    assert len(lines) <= 25
    assert [] == [line for line in lines if len(line) > 80]
    assert lines[-1].endswith("The licensed clinician decides.")


@SCREENS
def test_it_names_every_site_where_something_is_fitted(path: Path) -> None:
    screen = shown(path)
    fitted = screen.row("Fit").partition("Leave ")[0]

    assert screen.answer["mix"]
    for site in screen.answer["mix"]:
        assert any(re.search(rf"\b{name}\b", fitted) for name in names(screen.case, site)), (site, fitted)


@SCREENS
def test_its_verdict_is_that_of_the_json(path: Path) -> None:
    screen = shown(path)

    assert screen.text.splitlines()[1].startswith(VERDICTS[screen.answer["status"], screen.answer["tier"]])


@SCREENS
def test_its_cost_is_that_of_the_json_as_people_round_it(path: Path) -> None:
    screen = shown(path)
    said = re.search(r"(about|between) ([\d,]+) (?:(to|and) ([\d,]+) )?EUR", " ".join(screen.text.splitlines()[1:3]))
    assert said is not None
    joint = "and" if screen.answer["status"] == "too-little-known" else "to"

    assert ("between" if joint == "and" else "about", joint) == said.group(1, 3)
    for told, end in zip(said.group(2, 4), ("low", "high"), strict=True):
        exact = screen.answer["cost"][end] / 100
        assert float(told.replace(",", "")) == pytest.approx(exact, abs=25 if exact > 1000 else 5)


@SCREENS
def test_its_weakest_pull_is_the_least_of_the_json(path: Path) -> None:
    screen = shown(path)
    hold = screen.answer["hold"]
    said = re.match(r"Weakest pull ([\d.]+) N (at the \w+|on the \w+)", screen.row("Hold"))
    assert said is not None

    assert float(said[1]) == pytest.approx(min(hold[name] for name in PULLS), abs=0.051)
    assert PULLS[hold["weakest"]] == said[2]
    assert f"lifts with {hold['peel_n']:.1f} N" in screen.row("Hold")
