"""The work order: what to measure, the steps in order with targets, the parts, the minutes."""

from __future__ import annotations

from cli.report.work import Work, work_of
from solver.measure import Measure
from tests.cli.report.cases import BINDS, WORN_BALL, worked


def order(path_is_worn_ball: bool = True) -> Work:
    return work_of(*worked(WORN_BALL if path_is_worn_ball else BINDS))


def test_rework_comes_before_fitting_and_states_its_target() -> None:
    """The cap makes a ball of 2.2 mm within 0.02 mm (starter catalogue) of one that was read as 2.0 within 0.05."""
    work = order()
    (step,) = work.reworks

    assert (("L",), "cap-ball-2.2") == (step.sites, step.rework.id)
    assert [("ball_mm", 2.2, 0.02, Measure(2.0, 0.05)), ("out_of_round_mm", 0, 0.02, Measure(0.2))] == [
        (target.of, target.value, target.tolerance_mm, target.was) for target in step.targets
    ]
    assert step.rework.check


def test_minutes_are_those_of_every_step() -> None:
    """Cap: chair 20 to 35. Flexing female: bench 10 to 15, chair 15 to 25 (starter catalogue)."""
    work = order()

    assert ((10, 15), (35, 60)) == (work.bench, work.chair)


def test_a_ball_is_measured_before_it_is_reworked_against_what_the_rework_wants() -> None:
    assert [("L", "ball_mm", "1.8 to 2.3 mm"), ("L", "out_of_round_mm", "")] == [
        (gauge.site, gauge.of, gauge.want) for gauge in order().gauges
    ]


def test_parts_are_counted_over_all_sites() -> None:
    work = order(path_is_worn_ball=False)

    assert {
        "stud-thread-medium": (1, ("A",)),
        "clip-round-polymer-3": (2, ("B",)),
        "clip-keyhole-metal-5": (1, ("C",)),
        "ball-ring-2.25": (2, ("R", "L")),
    } == {part.attachment.id: (part.count, part.sites) for part in work.parts}
