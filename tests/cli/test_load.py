"""The load on the supports as it stands on the screen and in the answer for machines."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.ran import CASE, Run

STORY = Path(__file__).parent / "data" / "load.txt"


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    path.write_text(CASE.replace("length_mm: 8", "length_mm: 16") + "bite: {force_n: 120 +- 20}\n")
    return path


def test_the_load_reads_as_it_should(case: Path, run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "80")
    lines = [line.rstrip() for line in run("plan", case, "--full").out.splitlines()]
    start, end = (
        next(n for n, line in enumerate(lines) if line.startswith(head)) for head in ("Load on the supports", "Over ")
    )

    assert STORY.read_text().splitlines() == lines[start : end - 1]


@pytest.mark.parametrize("command", [("plan",), ("check", "--put", "A=clip-spring")], ids=["plan", "check"])
def test_the_answer_for_machines_has_every_bite(command: tuple[str, ...], case: Path, run: Run) -> None:
    load = run(command[0], case, *command[1:], "--json").answer["load"]

    assert {"low": 100, "high": 140} == load["bite_n"]
    assert not load["assumed"]
    assert {"low": 387.7, "high": 8451.7} == load["mucosa_n_per_mm"]
    assert ["A", "B", "L"] == list(load["bar"])
    assert max(bent["stress_mpa"]["high"] for bent in load["bar"].values()) > 50
    for bent in load["bar"].values():
        assert 0 <= bent["sag_mm"]["low"] <= bent["sag_mm"]["high"]
        assert 0 <= bent["stress_mpa"]["low"] <= bent["stress_mpa"]["high"]
        assert bent["chewing_mpa"]["high"] <= bent["stress_mpa"]["high"]
        assert {"low": 360, "high": 1002} == bent["proof_mpa"]
        assert {"low": 72, "high": 400.8} == bent["lasting_mpa"]
    assert ["left", "right", "both", "front"] == list(load["bites"])
    for bite in load["bites"].values():
        least, most = (sum(force[end] for force in bite["supports_n"].values()) for end in ("low", "high"))
        assert least <= bite["force_n"] * bite["share"]["low"] + 0.1
        assert most >= bite["force_n"] * bite["share"]["high"] - 0.1
        assert bite["share"]["low"] <= bite["share"]["high"] <= 1
        assert 0 <= bite["sideways_n"]["low"] <= bite["sideways_n"]["high"]
    assert load["bites"]["both"]["force_n"] == pytest.approx(1.3 * 140)


def test_a_bite_in_another_unit_is_refused(case: Path, run: Run) -> None:
    case.write_text(CASE + "bite: {force_n: 0.12}\n")

    refused = run("plan", case)

    assert "0.12 is no bite force, which is 1 to 1500 N; check the unit" in refused.err
