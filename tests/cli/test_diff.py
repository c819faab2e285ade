"""`regrip catalogue diff`: what differs, and which plans it alters."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.exit import BAD_INPUT, FITS
from tests.cli.ran import CASE, Run

OLD = "attachments:\n  clip-spring: {price: {low: 20, high: 25}}\n"
NEW = """\
sources:
  ours: {kind: memory, text: our own list}
attachments:
  clip-spring: {price: {low: 30, high: 35, source: ours}, movement: {down_mm: 0.4}}
  stud-thread: null
"""


@pytest.fixture(autouse=True)
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    for name, text in {"old.yaml": OLD, "new.yaml": NEW, "case.yaml": CASE}.items():
        Path(name).write_text(text)
    return tmp_path


def stripped(text: str) -> list[str]:
    return [line.rstrip() for line in text.splitlines()]


def test_figure_by_figure(run: Run) -> None:
    ran = run("catalogue", "diff", "old.yaml", "new.yaml")

    assert (FITS, "") == (ran.code, ran.err)
    assert [
        "",
        "Added",
        " - sources.ours",
        "",
        "Gone",
        " - attachments.stud-thread",
        "",
        "Changed",
        " entry        figure            before        after         source",
        " clip-spring  movement.down_mm  0.5 mm        0.4 mm        habit",
        " clip-spring  price             20 to 25 EUR  30 to 35 EUR  inv -> ours",
    ] == stripped(ran.out)


def test_as_json(run: Run) -> None:
    answer = run("catalogue", "diff", "old.yaml", "new.yaml", "--json").content

    assert {
        "status": "compared",
        "added": ["sources.ours"],
        "gone": ["attachments.stud-thread"],
        "changed": [
            {
                "entry": "attachments.clip-spring",
                "figure": "movement.down_mm",
                "before": {"value": 0.5, "source": "habit"},
                "after": {"value": 0.4, "source": "habit"},
                "unit": "mm",
            },
            {
                "entry": "attachments.clip-spring",
                "figure": "price",
                "before": {"value": [20.0, 25.0], "source": "inv"},
                "after": {"value": [30.0, 35.0], "source": "ours"},
                "unit": "EUR",
            },
        ],
    } == answer


@pytest.mark.parametrize("same", ["starter", "new.yaml"])
def test_the_same_twice(run: Run, same: str) -> None:
    assert (FITS, " no figure differs\n", "") == run("catalogue", "diff", same, same)


def test_files_laid_under_both(run: Run) -> None:
    answer = run("catalogue", "diff", "starter", "old.yaml", "-c", "new.yaml", "--json").answer

    assert [("price", [30.0, 35.0], [20.0, 25.0])] == [
        (c["figure"], c["before"]["value"], c["after"]["value"]) for c in answer["changed"]
    ]


def test_a_plan_at_another_cost(run: Run) -> None:
    """The ring on the ball stays the choice; at the high end it is 5 dearer."""
    Path("new.yaml").write_text("attachments:\n  ball-ring: {price: {low: 20, high: 35}}\n")

    ran = run("catalogue", "diff", "starter", "new.yaml", "--cases", "case.yaml")
    answer = run("catalogue", "diff", "starter", "new.yaml", "--cases", "case.yaml", "--json").answer

    plan = {"status": "fits", "mix": ["L=ball-ring"], "gives_up": []}
    money = {"currency": "EUR", "digits": 2}
    assert [
        {
            "case": "case.yaml",
            "altered": True,
            "before": plan | {"cost": {"low": 2833, "high": 4667} | money},
            "after": plan | {"cost": {"low": 2833, "high": 5167} | money},
        }
    ] == answer["cases"]
    assert [
        "Plans  1 of 1 would be altered",
        " - case.yaml: the same choice at another cost",
        "   before: fits; L ball-ring; 28.33 to 46.67 EUR",
        "   after: fits; L ball-ring; 28.33 to 51.67 EUR",
    ] == stripped(ran.out)[-4:]


def test_another_choice(run: Run) -> None:
    Path("new.yaml").write_text("attachments: {ball-ring: null}\n")

    answer = run("catalogue", "diff", "starter", "new.yaml", "--json", "--cases", "case.yaml").answer
    ran = run("catalogue", "diff", "starter", "new.yaml", "--cases", "case.yaml")

    assert [(True, ["L=ball-ring"], False)] == [
        (case["altered"], case["before"]["mix"], "ball-ring" in str(case["after"]["mix"])) for case in answer["cases"]
    ]
    assert " - case.yaml: another choice" in stripped(ran.out)


def test_a_plan_that_stays(run: Run) -> None:
    """The stud fits nowhere in this case, so its price alters no plan."""
    Path("new.yaml").write_text(OLD + "  stud-thread: {price: {low: 1, high: 2}}\n")

    ran = run("catalogue", "diff", "old.yaml", "new.yaml", "--cases", "case.yaml")

    assert "Plans  0 of 1 would be altered" == stripped(ran.out)[-1]


REFUSED = {
    "a third file": (
        ("old.yaml", "new.yaml", "case.yaml"),
        "regrip: more than two catalogues are named; write `--cases` before the case files\n",
    ),
    "no case": (("old.yaml", "new.yaml", "--cases"), "regrip: no case is named; name case files after `--cases`\n"),
    "a case twice": (
        ("old.yaml", "new.yaml", "--cases", "case.yaml", "case.yaml"),
        "regrip: a case is given twice; name every case once\n",
    ),
    "a missing file": (("old.yaml", "gone.yaml"), "gone.yaml:1:1: cannot be read: no such file or directory\n"),
}


@pytest.mark.parametrize(("arguments", "said"), REFUSED.values(), ids=REFUSED)
def test_refused(run: Run, arguments: tuple[str, ...], said: str) -> None:
    assert (BAD_INPUT, "", said) == run("catalogue", "diff", *arguments)
