"""The load on the supports, the free ends and the strength of the bar, as tables of the case report."""

from __future__ import annotations

from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.cli.ran import Run
from tests.cli.report.cases import WORN_BALL
from tests.cli.report.test_report import HTML, tree, written

Table = list[list[str]]


def text(element: ET.Element) -> str:
    return " ".join("".join(element.itertext()).split())


def tables(page: Path) -> dict[str, list[Table]]:
    """Every table by the heading that it stands under, the heads of its columns left out."""
    found: dict[str, list[Table]] = {}
    title = ""
    for element in tree(page).iter():
        if element.tag in {f"{HTML}h2", f"{HTML}h3"}:
            title = text(element)
        if element.tag == f"{HTML}tbody":
            rows = [[text(cell) for cell in row] for row in element.iter(f"{HTML}tr")]
            found.setdefault(title, []).append(rows)
    return found


def changed(tmp_path: Path, *changes: tuple[str, str]) -> Path:
    case = tmp_path / "case.yaml"
    content = WORN_BALL.read_text()
    for old, new in changes:
        assert old in content
        content = content.replace(old, new)
    case.write_text(content)
    return case


def test_every_bite_on_every_support_is_that_of_the_answer(run: Run, tmp_path: Path) -> None:
    bites = run("plan", WORN_BALL, "--json").answer["load"]["bites"]
    ((whole, *supports, sideways, share, outside),) = tables(written(run, WORN_BALL, tmp_path / "a.html"))[
        "Load on the supports"
    ]

    assert ["S1", "S2", "S3"] == [row[0] for row in supports]
    for column, bite in enumerate(bites.values(), 1):
        assert round(bite["force_n"]) == float(whole[column])
        assert bite["outside_mm"] == pytest.approx(float(outside[column]), abs=0.051)
        assert [*bite["sideways_n"].values()] == pytest.approx(ends(sideways[column]), abs=0.51)
        assert [100 * end for end in bite["share"].values()] == pytest.approx(ends(share[column]), abs=0.51)
        for support, *figures in supports:
            assert [*bite["supports_n"][support].values()] == pytest.approx(ends(figures[column - 1]), abs=0.51)


def ends(cell: str) -> list[float]:
    """Both ends of a band; one figure stands for both."""
    found = [float(end.replace(",", "")) for end in cell.split(" to ")]
    return [found[0], found[-1]]


def test_what_bends_the_bar_is_that_of_the_answer(run: Run, tmp_path: Path) -> None:
    """Proof stress of gold, type 4: 360 to 600 MPa (handbook, from memory)."""
    case = changed(tmp_path, ("neck_mm: 1.5", "neck_mm: 1.5, alloy: gold"))
    told = run("plan", case, "--json").answer["load"]["bar"]

    (bar,) = tables(written(run, case, tmp_path / "a.html"))["Strength of the bar"]

    assert list(told) == [row[0] for row in bar]
    for site, _, stress, proof, chewing, lasting, _, _ in bar:
        for name, cell in (("stress", stress), ("proof", proof), ("chewing", chewing), ("lasting", lasting)):
            assert [*told[site][f"{name}_mpa"].values()] == pytest.approx(ends(cell), abs=0.51)
    assert ["L", "gold"] == bar[-1][:2]
    assert "360 to 600" == bar[-1][3]


BEARS = {
    "short, whatever its alloy": ([], "A", "not known", "bears it"),
    "alloy not known": ([("length_mm: 9", "length_mm: 15")], "L", "not known", "ask for the alloy"),
    "shape not known": (
        [("A: {between: [S1, S2], section: round", "A: {between: [S1, S2]")],
        "A",
        "",
        "measure the bar",
    ),
    "strong": (
        [("A: {", "A: {alloy: titanium-alloy, "), ("wanted", "bite: {force_n: 60}\nwanted")],
        "A",
        "titanium-alloy",
        "bears it",
    ),
    "thin": ([("width_mm: 2.2", "width_mm: 1.2")], "L", "not known", "may crack with the years"),
    "thin, and bitten hard": (
        [("width_mm: 2.2", "width_mm: 1.2"), ("wanted", "bite: {force_n: 400}\nwanted")],
        "L",
        "not known",
        "would likely bend",
    ),
}


@pytest.mark.parametrize(("changes", "site", "alloy", "said"), BEARS.values(), ids=BEARS)
def test_what_the_bar_bears(
    changes: list[tuple[str, str]], site: str, alloy: str, said: str, run: Run, tmp_path: Path
) -> None:
    run("report", changed(tmp_path, *changes), "-o", tmp_path / "a.html")
    (bar,) = tables(tmp_path / "a.html")["Strength of the bar"]

    (row,) = [row for row in bar if row[0] == site]
    assert said == row[-1]
    assert alloy in row[1]


def test_free_ends_stand_against_their_rules_of_thumb(run: Run, tmp_path: Path) -> None:
    """The rules and how each is known: docs/mechanics.md; one is printed only where the length reaches its limit."""
    short = tables(written(run, WORN_BALL, tmp_path / "a.html"))["Free ends of the bar"]
    run("report", changed(tmp_path, ("length_mm: 9", "length_mm: 17")), "-o", tmp_path / "b.html")
    (long,) = tables(tmp_path / "b.html")["Free ends of the bar"]

    assert [[["L", "9", "shorter than every rule of thumb that speaks of it"]]] == short
    assert ["L", "17", "15.0 to 20.0", "within"] == long[-1][:4]
    assert "memory: Rangert et al. 1989; fixed work, not overdentures" == long[-1][4]


def test_the_spread_comes_with_its_caveat(run: Run, tmp_path: Path) -> None:
    page = text(tree(written(run, WORN_BALL, tmp_path / "a.html")))

    assert "never validated prospectively: a remark, never a verdict." in page
    assert "Bite on one side 100 to 150 N, assumed from what the denture bites on (chosen here:" in page


def test_with_the_bar_off_there_is_no_bar_to_bend(run: Run, tmp_path: Path) -> None:
    case = Path(__file__).parents[3] / "docs" / "examples" / "bar-off.yaml"
    found = tables(written(run, case, tmp_path / "a.html"))

    assert {"Strength of the bar", "Free ends of the bar"}.isdisjoint(found)
    assert "Load on the supports" in found
