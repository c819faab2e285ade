"""`regrip batch summary` against what is counted from the same rows another way, and its page whole."""

from __future__ import annotations

import sys
from dataclasses import asdict
from pathlib import Path
from typing import Any, get_args

import numpy as np
import pytest

from cli.batch.row import conceded
from cli.batch.store import FORMATS, write
from cli.batch.summary import SHARES
from cli.exit import BAD_INPUT, FITS
from solver.assess.assessment import GivenUp
from solver.case.rules import (
    BestShares,
    Borne,
    Budget,
    Covered,
    EnoughSupports,
    Even,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NeedHolds,
    NoFight,
    NotAllowed,
    Peel,
    Pulls,
    Rule,
    Spread,
    Unsplint,
)
from tests.cli.batch.made_rows import DICTS
from tests.cli.ran import Run

pytest.importorskip("duckdb", reason="the extra `batch`")

PAGE = Path(__file__).parent / "data" / "summary.txt"


@pytest.fixture
def results(tmp_path: Path) -> Path:
    write(tmp_path / "results.jsonl", DICTS)
    return tmp_path / "results.jsonl"


@pytest.fixture
def answer(run: Run, results: Path) -> Any:
    return run("summary", results, "--json").answer


def test_the_page(run: Run, results: Path) -> None:
    ran = run("summary", results)

    assert (FITS, PAGE.read_text(), "") == ran


def test_outcomes_are_counted(answer: Any) -> None:
    assert 8 == answer["cases"]
    assert {"relaxed": 3, "fits": 2, "fits-if": 1, "bad-file": 1, "none": 1} == answer["outcomes"]


def test_attachments_and_reworks_are_counted_by_case_and_piece(answer: Any) -> None:
    used = [(one["attachment"], one["cases"], one["pieces"]) for one in answer["attachments"]]

    assert [("clip-spring", 3, 6), ("ball", 1, 1)] == used
    assert [{"rework": "slim", "cases": 3}] == answer["reworks"]


def test_reasons_are_counted_by_option(answer: Any) -> None:
    counted = {one["reason"]: (one["options"], one["cases"], one["attachments"]) for one in answer["reasons"]}

    assert "width_mm" == next(iter(counted))
    assert {
        "width_mm": (5, 2, ["ball", "stud"]),
        "allowed:weld": (2, 1, ["magnet"]),
        "alloy": (1, 1, ["stud"]),
        "moves:whole": (1, 1, ["magnet"]),
        "unsplint": (1, 1, ["ball"]),
    } == counted


def test_what_had_to_give_is_counted_with_its_amounts(answer: Any) -> None:
    lacks = {one["rule"]: (one["cases"], one["median"], one["most"], one["unit"]) for one in answer["lacks"]}

    assert {
        "need:room_mm": (2, 0.25, 0.5, "mm"),
        "allowed:weld": (1, 0.0, 0.0, None),
        "budget": (1, 15000.0, 15000.0, "money"),
    } == lacks


def test_what_was_not_known_is_counted_by_question(run: Run, tmp_path: Path) -> None:
    """One question may stand for several places of a case."""
    bar = {"at": "segments.A.alloy, segments.B.alloy", "of": "alloy"}
    asked = [[bar, {"at": "ends.R.ball_mm", "of": "ball_mm"}, {"at": "ends.L.ball_mm", "of": "ball_mm"}], [bar]]
    write(tmp_path / "r.jsonl", [row | {"questions": q} for row, q in zip(DICTS, asked, strict=False)])

    assert [
        {"of": "alloy", "cases": 2, "questions": 2},
        {"of": "ball_mm", "cases": 1, "questions": 2},
    ] == run("summary", tmp_path / "r.jsonl", "--json").answer["unknowns"]


RULES: tuple[tuple[Rule, str], ...] = (
    (Budget(1), "cap on the cost"),
    (Pulls("front", 1.7, tier="usual"), "pull at the front"),
    (Pulls("centre", 1.5, tier="stopgap"), "pull at the centre, even of a stopgap"),
    (LevelPull(5), "level pull in a test rig"),
    (Held(), "hold of the denture"),
    (Peel(40), "force of the patient's hands"),
    (Spread(0.6, BestShares(0.5, 0.5), ""), "hold of the weaker side, by where the parts stand"),
    (Even(0.5, ""), "hold of the weaker side, by the stronger one"),
    (Moves("whole", 1), "binds when the whole base settles"),
    (NoFight("left"), "fights when bite on the left"),
    (Borne(2, 4, splinted=True), "mucosa that helps to bear the denture"),
    (EnoughSupports(4), "number of implants under single attachments"),
    (NotAllowed("weld"), "welding is not allowed"),
    (NeedHolds("A", "room_mm"), "room above the bar"),
    (Covered("R", 0.4, thin=True), "acrylic over a bare bar end"),
    (Unsplint(3), "bar that splints the implants of an upper jaw"),
    (FirmBar(("S1",)), "implants under the bar that stand firm"),
    (LinedAlone(), "a lining by itself, with no firm part beside it"),
)


@pytest.mark.parametrize(("found", "told"), RULES, ids=[found.code for found, _ in RULES])
def test_a_rule_that_is_given_up_is_told_in_words(run: Run, tmp_path: Path, found: Rule, told: str) -> None:
    """By the code with which a batch keeps it."""
    write(tmp_path / "r.jsonl", [DICTS[3] | {"given_up": [asdict(conceded(GivenUp(found)))]}])

    lines = run("summary", tmp_path / "r.jsonl").out.splitlines()
    (given,) = (at for at, line in enumerate(lines) if line.startswith("What had to give"))

    assert f"     1  100.0%              {told}" == lines[given + 2].rstrip()


def test_there_is_a_word_for_every_rule() -> None:
    assert set(get_args(Rule)) == {type(found) for found, _ in RULES}


def test_costs_of_two_currencies_and_of_plans_that_give_up_are_apart(answer: Any) -> None:
    groups = {(one["currency"], one["given_up"]): one["high"] for one in answer["costs"]}

    assert {("EUR", False), ("EUR", True), ("JPY", True)} == set(groups)
    assert [50000] * len(SHARES) == groups["JPY", True]


@pytest.mark.parametrize("seed", range(4))
def test_quantiles_are_those_of_numpy(run: Run, tmp_path: Path, seed: int) -> None:
    """Costs that were there, by the inverse of the empirical distribution (Hyndman and Fan's first definition)."""
    costs = np.random.default_rng(seed).integers(0, 10**6, 37 + seed)
    write(tmp_path / "r.jsonl", [DICTS[0] | {"cost_high": int(cost), "cost_low": int(cost)} for cost in costs])
    (spread,) = run("summary", tmp_path / "r.jsonl", "--json").answer["costs"]

    wanted = np.quantile(costs, SHARES, method="inverted_cdf").tolist()
    assert (wanted, wanted) == (spread["low"], spread["high"])


def test_every_format_gives_the_same_summary(run: Run, tmp_path: Path, answer: Any) -> None:
    for format_ in FORMATS:
        path = tmp_path / f"again.{format_}"
        write(path, DICTS)
        assert answer == run("summary", path, "--json").answer


def test_nothing_planned_is_a_summary_too(run: Run, tmp_path: Path) -> None:
    write(tmp_path / "r.csv", DICTS[6:7])
    ran = run("summary", tmp_path / "r.csv")

    lines = [line.rstrip() for line in ran.out.rstrip().splitlines()]

    assert FITS == ran.code
    assert ["1 case", "", " cases   share  outcome", "     1  100.0%  the file cannot be used"] == lines


@pytest.mark.parametrize(("name", "start"), [("s.svg", b"<?xml"), ("s.png", b"\x89PNG")], ids=["svg", "png"])
def test_charts(run: Run, results: Path, tmp_path: Path, name: str, start: bytes) -> None:
    pytest.importorskip("matplotlib", reason="the extra `charts`")
    assert FITS == run("summary", results, "-o", tmp_path / name).code
    drawn = (tmp_path / name).read_bytes()
    run("summary", results, "-o", tmp_path / name)

    assert drawn.startswith(start)
    assert drawn == (tmp_path / name).read_bytes()


REFUSED = {
    "no file": ("nowhere.csv", "nowhere.csv:1:1: cannot be read: no such file or directory"),
    "no results": ("notes.txt", "is no name for results"),
}


@pytest.mark.parametrize(("name", "told"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_read_is_refused(run: Run, tmp_path: Path, name: str, told: str) -> None:
    (tmp_path / "notes.txt").write_text("notes")

    ran = run("summary", tmp_path / name)

    assert BAD_INPUT == ran.code
    assert told in ran.err


def test_without_duckdb_it_is_said_what_to_install(run: Run, results: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "duckdb", None)
    ran = run("summary", results)

    assert BAD_INPUT == ran.code
    assert "pip install 'regrip[batch]'" in ran.err
