"""The work order: what to measure, the steps in order with targets, the parts, the minutes."""

from __future__ import annotations

from cli.wording.work_order import Work, work_of
from solver.case.measure import Measure
from tests.cli.report.cases import BINDS, WORN_BALL, worked


def order(path_is_worn_ball: bool = True) -> Work:
    return work_of(*worked(WORN_BALL if path_is_worn_ball else BINDS))


Step = tuple[tuple[str, ...], str, list[tuple[str, float, float, Measure]]]
STEPS: list[Step] = [
    (("B",), "unscrew-bar", []),
    (("B",), "slim-round", [("width_mm", 1.8, 0.05, Measure(2.2)), ("undercut_mm", 0.4, 0.05, Measure(0.1))]),
    (
        ("L",),
        "cap-ball-2.2",
        [("ball_mm", 2.2, 0.02, Measure(2.0, 0.05)), ("out_of_round_mm", 0, 0.02, Measure(0.2))],
    ),
]


def test_rework_comes_before_fitting_and_states_its_target() -> None:
    """The bar comes off once before it is cut; the cap makes a ball of 2.2 mm within 0.02 mm (starter catalogue)."""
    work = order()

    assert STEPS == [
        (step.sites, step.rework.id, [(to.of, to.value, to.tolerance_mm, to.was) for to in step.targets])
        for step in work.reworks
    ]
    assert all(step.rework.check for step in work.reworks)
    assert ["A", "B", "L"] == [step.candidate.site.id for step in work.fits]


def test_minutes_are_those_of_every_step() -> None:
    """By the starter catalogue. Bar off: bench 5 to 10, chair 30 to 50. Slim: bench 30 to 50. Cap: chair 20 to 35.

    Three clips: bench and chair 15 to 25 each. Flexing female: bench 10 to 15, chair 15 to 25.
    """
    work = order()

    assert (5 + 30 + 3 * 15 + 10, 10 + 50 + 3 * 25 + 15) == work.bench
    assert (30 + 20 + 3 * 15 + 15, 50 + 35 + 3 * 25 + 25) == work.chair


def test_what_is_reworked_is_measured_before_against_what_the_rework_wants() -> None:
    """What the rework makes itself is measured all the same; what is asked is asked with it."""
    assert [
        ("A", "undercut_mm", "at least 0.3 mm"),
        ("A", "width_mm", "1.7 to 1.95 mm"),
        ("B", "undercut_mm", ""),
        ("B", "width_mm", "1.85 to 2.6 mm"),
        ("B", "fixing", "screwed"),
        ("B", "screws", "tight or loose"),
        ("B", "alloy", ""),
        ("L", "ball_mm", "1.8 to 2.3 mm"),
        ("L", "out_of_round_mm", ""),
    ] == [(gauge.site, gauge.of, gauge.want) for gauge in order().gauges]


def test_parts_are_counted_over_all_sites() -> None:
    work = order(path_is_worn_ball=False)

    assert {
        "stud-thread-medium": (1, ("A",)),
        "clip-round-polymer-3": (2, ("B",)),
        "clip-keyhole-metal-5": (1, ("C",)),
        "ball-ring-2.25": (2, ("R", "L")),
    } == {part.attachment.id: (part.count, part.sites) for part in work.parts}
