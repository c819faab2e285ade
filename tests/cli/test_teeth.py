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


UNIVERSAL = CASE.replace("lower", "upper").replace("43", "11").replace("41", "13").replace("33", "14")


def first_screen(run: Run, path: Path, text: str) -> str:
    path.write_text(text)
    return run("plan", path, "--no-sensitivity").out


def test_the_first_screen_names_teeth_that_another_system_has_too(run: Run, tmp_path: Path) -> None:
    """11, 13 and 14 are Universal numbers of upper left teeth; by FDI they stand on the right."""
    said = first_screen(run, tmp_path / "case.yaml", UNIVERSAL)

    row = " ".join(said.partition("\nTeeth")[2].partition("\nFit")[0].split())
    assert (
        "11 upper right central incisor, 13 upper right canine, 14 upper right first premolar (FDI). "
        "If these are Universal numbers, write 23, 25, 26."
    ) == row
    assert "Teeth" not in first_screen(run, tmp_path / "other.yaml", UNIVERSAL.replace("14", "24"))


def test_places_without_a_tooth_are_not_named() -> None:
    assert "" == supports(small_case())
    both = small_case(supports={"L": {"at_mm": None, "tooth": 33}})
    assert "Teeth by FDI number: 33 lower left canine." == supports(both)
