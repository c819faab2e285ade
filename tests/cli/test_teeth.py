"""Teeth stand with their names at the head of a plan: a number of another system is seen for what it is."""

from __future__ import annotations

from pathlib import Path

from cli.wording.teeth import supports
from tests.cli.ran import CASE, Run
from tests.solver.small import small_case


def test_a_plan_names_the_teeth(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE.replace("lower", "upper").replace("43", "11").replace("41", "14").replace("33", "24"))
    said = " ".join(run("plan", path, "--full", "--no-sensitivity").out.partition("\nPlan")[0].split())

    assert (
        "Teeth by FDI number: 11 upper right central incisor, 14 upper right first premolar, "
        "24 upper left first premolar."
    ) in said


def test_places_without_a_tooth_are_not_named() -> None:
    assert "" == supports(small_case())
    both = small_case(supports={"L": {"at_mm": None, "tooth": 33}})
    assert "Teeth by FDI number: 33 lower left canine." == supports(both)
