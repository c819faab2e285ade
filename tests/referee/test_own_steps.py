"""A step that an attachment names under `steps` and that would help besides is done once, in both opinions."""

from __future__ import annotations

from solver.assess.assessment import Status
from solver.audit.second_opinion.decide import decide
from solver.audit.second_opinion.world import World
from solver.choose.plan import plan
from tests.solver.small import band, need, part, small_case, step, stock


def test_it_is_paid_once() -> None:
    """A clip of 12 EUR, with an undercut for 40 EUR that it always comes with and that this bar lacks."""
    deepen = step("deepen", "segment", makes={"undercut_mm": 0.35}, price=band(30, 40))
    clip = part("clip", needs=[need("undercut_mm", at_least=0.3)], steps=["deepen"])
    case = small_case(segments={"B": {"undercut_mm": 0}}, wanted={"level_n": 5})
    world = World(case, stock(clip, steps=(deepen,)))

    ours, theirs = plan(*world).best, decide(world).best

    assert ours is not None
    assert 52_00 == ours.cost.high
    assert (52_00, 0, 1) == theirs


def test_it_is_not_done_again_to_go_further() -> None:
    """What one slimming takes off is not enough, and a second is no way to it."""
    slim = step("slim", "segment", changes={"width_mm": -0.3})
    clip = part("clip", needs=[need("width_mm", at_most=1.5)], steps=["slim"])
    case = small_case(segments={"B": {"width_mm": 2.1}}, wanted={"level_n": 5})
    world = World(case, stock(clip, steps=(slim,)))

    assert Status.NONE is plan(*world).status
    assert decide(world).best is None
