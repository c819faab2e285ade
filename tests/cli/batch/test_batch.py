"""`regrip batch`: every case once, whatever became of the run before, and a bad one stops no other."""

from __future__ import annotations

import errno
import json
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

import cli.batch.worker
import solver.choose.plan
from cli.batch.journal import journal_of, opened
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FAULT, FITS, UNDECIDED
from solver.errors import InternalFault
from tests.cli.ran import CASE, Run

pytestmark = pytest.mark.usefixtures("here")


def rows(path: Path) -> list[dict[str, Any]]:
    return [json.loads(line) for line in path.read_text().splitlines()]


def counts(run: Run, *arguments: str | Path) -> tuple[int, int]:
    """Cases planned and kept by a run."""
    answer = run("batch", *arguments, "--json").answer
    return answer["planned"], answer["kept"]


def test_a_row_says_what_plan_says(run: Run, tmp_path: Path) -> None:
    case, results = tmp_path / "case.yaml", tmp_path / "results.jsonl"
    case.write_text(CASE)
    plan = run("plan", case, "--json").answer

    assert FITS == run("batch", case, "-o", results).code
    (row,) = rows(results)
    assert (str(case), "test", plan["status"]) == (row["file"], row["case"], row["outcome"])
    assert plan["cost"] == {
        "low": row["cost_low"],
        "high": row["cost_high"],
        "currency": row["currency"],
        "digits": row["digits"],
    }
    assert {s: (c["attachment"], c["count"]) for s, c in plan["mix"].items()} == {
        fitted["site"]: (fitted["attachment"], fitted["count"]) for fitted in row["mix"]
    }
    assert min(plan["reach"].values()) == row["reach"]
    assert (plan["hold"]["sum_low_n"], plan["hold"]["sum_high_n"]) == (row["hold_low_n"], row["hold_high_n"])
    assert [(q["site"], q["of"]) for q in plan["questions"]] == [(q["site"], q["of"]) for q in row["questions"]]
    assert {out["attachment"] for out in plan["ruled_out"]} == {out["attachment"] for out in row["ruled_out"]}


def test_rows_come_in_order_of_file_and_every_file_once(run: Run, folder: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    run("batch", folder / "case-03.yaml", folder, folder / "case-03.yaml", "-o", results)

    assert [str(folder / f"case-{n:02}.yaml") for n in range(6)] == [row["file"] for row in rows(results)]


def test_the_screen_tells_outcomes_and_what_was_kept(run: Run, tmp_path: Path) -> None:
    case, results = tmp_path / "case.yaml", tmp_path / "results.jsonl"
    case.write_text(CASE)
    run("batch", case, "-o", results)
    again = run("batch", case, "-o", results)

    assert f"1 case in {results}" in " ".join(again.out.replace("\n", "").split())
    assert " 1  100.0%  fits" in again.out
    assert "1 case kept from an earlier run" in again.out


def test_what_was_planned_is_kept(run: Run, folder: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"

    assert (6, 0) == counts(run, folder, "-o", results)
    first = results.read_bytes()
    assert (0, 6) == counts(run, folder, "-o", results)
    assert first == results.read_bytes()


def test_results_in_another_format_need_no_new_planning(run: Run, folder: Path, tmp_path: Path) -> None:
    run("batch", folder, "-o", tmp_path / "results.jsonl")

    assert (0, 6) == counts(run, folder, "-o", tmp_path / "results.csv")


def test_a_changed_case_is_planned_again_and_no_other(run: Run, folder: Path, tmp_path: Path) -> None:
    results, changed = tmp_path / "results.jsonl", folder / "case-02.yaml"
    run("batch", folder, "-o", results)
    before = rows(results)
    changed.write_text(CASE)

    assert (1, 5) == counts(run, folder, "-o", results)
    assert [n != 2 for n in range(6)] == [old == new for old, new in zip(before, rows(results), strict=True)]
    assert "test" == rows(results)[2]["case"]


OVERLAY = "attachments: {clip-spring: {price: {low: 21, high: 31, source: inv}}}\n"


@pytest.mark.parametrize(
    ("options", "planned"),
    [
        pytest.param(["--time-limit", "29"], 6, id="another time limit"),
        pytest.param(["--least", "years"], 6, id="another goal"),
        pytest.param(["-c", "overlay.yaml"], 6, id="another catalogue"),
        pytest.param(["-c", "idle.yaml"], 0, id="the same catalogue, written otherwise"),
    ],
)
def test_what_decides_the_answer_decides_what_is_kept(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, options: list[str], planned: int
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("overlay.yaml").write_text(OVERLAY)
    Path("idle.yaml").write_text("# nothing new\nattachments: {clip-spring: {price: {low: 20}}}\n")
    run("batch", folder, "-o", "results.jsonl")

    assert (planned, 6 - planned) == counts(run, folder, "-o", "results.jsonl", *options)


BAD = {
    "a mistake": (b"case: x\narch: middle\n", ":2:7: arch: 'middle' is not one of lower, upper"),
    "no YAML": (b"case: [\n", ":2:1: is not YAML"),
    "no text": (b"case: \xff\n", ":1:1: is not UTF-8 text"),
    "no rate to its currency": (CASE.replace("EUR", "USD").encode(), ":13:"),
}


@pytest.mark.parametrize(("raw", "told"), BAD.values(), ids=BAD)
def test_a_bad_file_is_told_with_its_place_and_stops_no_other(
    run: Run, folder: Path, tmp_path: Path, raw: bytes, told: str
) -> None:
    results, bad = tmp_path / "results.jsonl", folder / "case-01.yaml"
    bad.write_bytes(raw)
    ran = run("batch", folder, "-o", results, "--json")
    row = rows(results)[1]

    assert BAD_INPUT == ran.code
    assert (str(bad), "bad-file", BAD_INPUT) == (row["file"], row["outcome"], row["exit"])
    assert any(error.startswith(f"{bad}{told}") for error in row["errors"])
    assert set(row["errors"]) <= set(ran.answer["errors"])
    assert ["bad-file"] == [row["outcome"] for row in rows(results) if row["errors"]]


def test_a_file_that_cannot_be_read_is_tried_again(run: Run, folder: Path, tmp_path: Path) -> None:
    results, missing = tmp_path / "results.jsonl", folder / "missing.yaml"
    ran = run("batch", folder, missing, "-o", results)

    assert BAD_INPUT == ran.code
    assert "missing.yaml:1:1: cannot be read: no such file" in "".join(ran.out.split("\n ")).replace("\n", "")
    missing.write_text(CASE)
    assert (1, 6) == counts(run, folder, missing, "-o", results)
    assert "fits" == rows(results)[-1]["outcome"]


def test_a_fault_of_ours_is_the_row_of_its_case_and_tried_again(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    plan = solver.choose.plan.answer

    def fails(problem: Any, mechanics: Any, how: Any) -> Any:
        if problem.case.case == "Sample 3 of seed 7":
            raise InternalFault("two answers differ")
        return plan(problem, mechanics, how)

    results = tmp_path / "results.jsonl"
    with monkeypatch.context() as broken:
        broken.setattr(cli.batch.worker, "answer", fails)
        assert FAULT == run("batch", folder, "-o", results).code

    assert ["two answers differ"] == rows(results)[3]["errors"]
    assert (1, 5) == counts(run, folder, "-o", results)
    assert "fault" not in {row["outcome"] for row in rows(results)}


def test_the_exit_code_is_that_of_the_worst_case(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fits, poor, slow = (tmp_path / f"{name}.yaml" for name in ("fits", "poor", "slow"))
    for path in (fits, slow):
        path.write_text(CASE.replace("case: test", f"case: {path.stem}"))
    poor.write_text(CASE.replace("{currency", "{cap: 1, currency"))
    plan = solver.choose.plan.answer

    def answer(problem: Any, mechanics: Any, how: Any) -> Any:
        """The slow case has no time."""
        return plan(problem, mechanics, replace(how, time_limit_s=0.0) if problem.case.case == "slow" else how)

    monkeypatch.setattr(cli.batch.worker, "answer", answer)
    results = tmp_path / "results.jsonl"
    assert FITS == run("batch", fits, "-o", results).code
    assert DOES_NOT_FIT == run("batch", fits, poor, "-o", results).code
    assert UNDECIDED == run("batch", fits, poor, slow, "-o", results).code
    assert (1, 2) == counts(run, fits, poor, slow, "-o", results)


REFUSED = {
    "no case": (["-o", "r.jsonl"], "no case is given"),
    "an empty folder": (["empty", "-o", "r.jsonl"], "no case file is in the folder empty"),
    "no format": (["cases", "-o", "r.xlsx"], "'r.xlsx' is no name for results"),
    "no folder for the results": (
        ["cases", "-o", "nowhere/r.jsonl"],
        "nowhere/r.jsonl cannot be written; name a file in a folder that exists",
    ),
    "a journal of something else": (["cases", "-o", "notes.jsonl"], "notes.journal.jsonl is no journal of a batch"),
    "workers of a cluster": (["cases", "-o", "r.jsonl", "--cluster", "tcp://x:1", "--workers", "2"], "--workers is"),
}


@pytest.mark.parametrize(("arguments", "told"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_begun_is_refused(
    run: Run, folder: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, arguments: list[str], told: str
) -> None:
    monkeypatch.chdir(tmp_path)
    Path("empty").mkdir()
    Path("notes.journal.jsonl").write_text('{"order": 1}\n{"order": 2')
    ran = run("batch", *arguments)

    assert BAD_INPUT == ran.code
    assert told in ran.err
    assert '{"order": 1}\n{"order": 2' == Path("notes.journal.jsonl").read_text()


def test_a_folder_that_cannot_be_read_is_told(run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuses(path: Path) -> None:
        raise PermissionError(errno.EACCES, "Permission denied", str(path))

    monkeypatch.setattr(Path, "iterdir", refuses)  # the tests may run as one who may read everything
    ran = run("batch", folder, "-o", folder.with_name("r.jsonl"))

    assert (BAD_INPUT, f"regrip: {folder}: permission denied\n") == (ran.code, ran.err)


def test_two_runs_do_not_share_a_journal(run: Run, folder: Path, tmp_path: Path) -> None:
    results = tmp_path / "results.jsonl"
    with opened(journal_of(results)):
        ran = run("batch", folder, "-o", results)

    assert BAD_INPUT == ran.code
    assert "is being written by another run" in ran.err
