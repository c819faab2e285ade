"""The second look at verdicts on movement passes sound ones and refuses every one that was tampered with."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import Any

import numpy as np
import pytest

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.audit.certificate import verify
from solver.audit.certificate_motion import check_verdicts
from solver.errors import InternalFault
from solver.mechanics.movement import Reach
from solver.mechanics.option import Option
from solver.mechanics.verdicts import DemandVerdict, MovementVerdict
from tests.solver.parts import BALL, HINGE
from tests.solver.small import part, preferring, small_problem, stock

SPRUNG = {"hinge_deg": 20, "down_mm": 0.2, "tip_deg": 5, "turn_deg": "free"}
STUD = {"down_mm": 0.2, "hinge_deg": 8, "tip_deg": 8, "turn_deg": "free"}
CATALOGUE = preferring(
    stock(
        part("stud", movement=STUD),
        part("turns", movement=HINGE, length_mm=4, most=2),
        part("rigid", movement={}),
        part("lifts", movement={"up_mm": 0.4}),
        part("ball", "ball", "end", movement={**BALL, "down_mm": 0.5}),
    ),
    in_kind=0.5,
)
"""On the bar of the small case, of which a ball stands at the end."""


def fitted(*keys: str) -> tuple[Problem, tuple[Option, ...]]:
    problem = small_problem(CATALOGUE)
    return problem, tuple(problem.option_of[key] for key in keys)


def judged(*keys: str) -> tuple[Problem, tuple[Option, ...], dict[str, DemandVerdict]]:
    problem, options = fitted(*keys)
    return problem, options, {found.demand: found for found in Mechanics(problem).verdicts(options)}


def look(problem: Problem, options: Sequence[Option], found: dict[str, DemandVerdict]) -> None:
    check_verdicts(problem, [option.candidate for option in options], list(found.values()), 0.5)


MIXES: dict[MovementVerdict, tuple[str, ...]] = {
    MovementVerdict.MOVES: ("E=ball",),
    MovementVerdict.BOTTOMS: ("B=stud",),
    MovementVerdict.STANDS: ("B=turns x2",),
    MovementVerdict.FIGHTS: ("B=turns x2", "E=ball"),
}
"""Of each verdict a mix that has it for the whole base."""


@pytest.mark.parametrize("keys", [(), ("B=rigid", "E=ball"), ("B=lifts",), *MIXES.values()])
def test_a_sound_verdict_passes(keys: tuple[str, ...]) -> None:
    look(*judged(*keys))


@pytest.mark.parametrize("verdict", MIXES)
def test_the_mixes_have_the_verdicts_that_they_stand_for(verdict: MovementVerdict) -> None:
    assert verdict is judged(*MIXES[verdict])[2]["whole"].verdict


@pytest.mark.parametrize("true", MIXES)
@pytest.mark.parametrize("told", MovementVerdict)
def test_any_other_verdict_is_a_fault(true: MovementVerdict, told: MovementVerdict) -> None:
    if told is true:
        return
    problem, options, found = judged(*MIXES[true])
    found["whole"] = replace(found["whole"], verdict=told)

    with pytest.raises(InternalFault) as caught:
        look(problem, options, found)
    assert f"the mix {true.value} under demand whole, not {told.value}" == caught.value.what


def bent(reach: Reach, by: float) -> Reach:
    twist = reach.twist.copy()
    twist[5] += by
    return replace(reach, twist=twist)


def idle(reach: Reach) -> Reach:
    """Without its wrenches: nothing then holds the base back."""
    return replace(reach, wrenches={})


def empty(reach: Reach) -> Reach:
    """No dual at all."""
    return replace(reach, wrenches={}, base=np.zeros(3))


def doubled(reach: Reach) -> Reach:
    return replace(reach, wrenches={site: tuple(2 * w for w in own) for site, own in reach.wrenches.items()})


def of_another_base(reach: Reach) -> Reach:
    return replace(reach, base=reach.base + np.array([0.1, 0.0, -0.1]))


def less(reach: Reach) -> Reach:
    """Claims less than its motion has: the dual does not show it."""
    return replace(reach, reach=reach.reach - 0.01)


def more(reach: Reach) -> Reach:
    return replace(reach, reach=reach.reach + 0.01)


def first_alone(of: Callable[[Reach], Reach]) -> Callable[[DemandVerdict], DemandVerdict]:
    return lambda found: replace(found, alone=(of(found.alone[0]), *found.alone[1:]))


def of_actual(of: Callable[[Reach], Reach]) -> Callable[[DemandVerdict], DemandVerdict]:
    return lambda found: replace(found, actual=of(found.actual))


def of_kind(of: Callable[[Reach], Reach]) -> Callable[[DemandVerdict], DemandVerdict]:
    return lambda found: replace(found, by_kind=of(found.by_kind))


def of_fight(**changes: Any) -> Callable[[DemandVerdict], DemandVerdict]:
    def change(found: DemandVerdict) -> DemandVerdict:
        assert found.fight is not None
        return replace(found, fight=replace(found.fight, **changes))

    return change


def swapped(found: DemandVerdict) -> DemandVerdict:
    """What stops is said to give."""
    assert found.fight is not None
    return replace(found, fight=replace(found.fight, stops=found.fight.gives, gives=found.fight.stops))


def of_end(**changes: Any) -> Callable[[DemandVerdict], DemandVerdict]:
    def change(found: DemandVerdict) -> DemandVerdict:
        assert found.end is not None
        return replace(found, end=replace(found.end, **changes))

    return change


M = MovementVerdict
LOOSE = "the dual of demand whole does not hold back its motion"
FAULTS: dict[str, tuple[MovementVerdict, Callable[[DemandVerdict], DemandVerdict], str]] = {
    "a motion beyond the mucosa": (M.MOVES, of_actual(lambda r: bent(r, -0.1)), "the base at the front sinks"),
    "a motion that falls short": (M.MOVES, of_actual(lambda r: bent(r, 0.1)), "the base at the front sinks"),
    "a motion that a part cannot follow": (M.BOTTOMS, of_actual(lambda r: bent(r, -0.05)), "B cannot follow"),
    "more than the motion has": (M.BOTTOMS, of_actual(more), "the base at the front sinks"),
    "less than it has": (M.BOTTOMS, of_actual(less), LOOSE),
    "a dual without wrenches": (M.BOTTOMS, of_actual(idle), LOOSE),
    "no dual at all": (M.BOTTOMS, of_actual(empty), LOOSE),
    "twice the wrenches": (M.BOTTOMS, of_actual(doubled), LOOSE),
    "a base out of balance": (M.BOTTOMS, of_actual(of_another_base), LOOSE),
    "in kind out of balance": (M.FIGHTS, of_kind(of_another_base), LOOSE),
    "in kind without wrenches": (M.STANDS, of_kind(idle), LOOSE),
    "alone without wrenches": (M.STANDS, first_alone(idle), LOOSE),
    "alone less than it has": (M.FIGHTS, first_alone(less), LOOSE),
    "alone more than it has": (M.FIGHTS, first_alone(more), "the base at the front sinks"),
    "a part not judged alone": (M.STANDS, lambda v: replace(v, alone=v.alone[1:]), "a part is not judged alone"),
    "a reach of another demand": (
        M.MOVES, of_actual(lambda r: replace(r, demand="front")), "a reach of demand front stands for whole",
    ),
    "no end": (M.BOTTOMS, lambda v: replace(v, end=None), "nothing ends the motion"),
    "an end with another travel": (M.BOTTOMS, of_end(limit=0.3), "B does not end the motion"),
    "an end that is not reached": (M.BOTTOMS, of_end(component="hinge", limit=8.0, unit="deg"), "B does not end"),
    "no fight": (M.FIGHTS, lambda v: replace(v, fight=None), "no two parts are said to fight"),
    "a fight of one": (M.FIGHTS, of_fight(among=()), "no two parts are said to fight"),
    "the giver stops": (M.FIGHTS, swapped, "E and B do not fight under whole"),
}  # fmt: skip


@pytest.mark.parametrize("fault", FAULTS)
def test_whatever_is_tampered_with_is_a_fault(fault: str) -> None:
    verdict, tamper, told = FAULTS[fault]
    problem, options, found = judged(*MIXES[verdict])
    found["whole"] = tamper(found["whole"])

    with pytest.raises(InternalFault) as caught:
        look(problem, options, found)
    assert caught.value.what.startswith(told)


def test_a_demand_without_its_verdict_is_a_fault() -> None:
    problem, options, found = judged("B=stud")
    del found["left"]

    with pytest.raises(InternalFault, match="a demand is without its verdict"):
        look(problem, options, found)


def test_a_verdict_by_another_share_is_a_fault() -> None:
    problem, options = fitted("B=stud")
    found = Mechanics(small_problem(preferring(CATALOGUE, in_kind=0.6))).verdicts(options)
    mix = [option.candidate for option in options]

    check_verdicts(problem, mix, found, 0.6)
    sound = Mechanics(problem).verdicts(options)
    for mixed in (found, (found[0], *sound[1:])):
        with pytest.raises(InternalFault, match="told by another share than"):
            check_verdicts(problem, mix, mixed, 0.5)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.9])
def test_the_share_is_that_of_the_catalogue(share: float) -> None:
    problem = small_problem(preferring(CATALOGUE, in_kind=share))

    verify(assess(problem, Mechanics(problem), [problem.option_of["B=stud"]]))


def test_a_verdict_on_another_mix_is_a_fault() -> None:
    """The parts of one mix do not stop what those of another do."""
    problem, _, found = judged("B=stud")

    with pytest.raises(InternalFault, match="B cannot follow the motion"):
        look(problem, fitted("B=rigid")[1], found)


def test_a_dual_that_keeps_a_saddle_from_lifting_is_a_fault() -> None:
    """A clip that turns lets the front sink while the saddles lift. Forged: both are held down, which nothing does.

    In balance about the bar, 8 mm behind the front and 20 mm before the saddles; what the play of 0.02 mm then leaves
    is 0.028 mm of 0.3, and there is a motion that goes so far.
    """
    problem, options, found = judged("B=turns")
    base = np.array([-1.0, -0.2, -0.2]) / 0.3
    at = np.array([[0.0, 28.0, 0.0], [24.0, 0.0, 0.0], [-24.0, 0.0, 0.0]])
    up = np.array([0.0, 0.0, 1.0])
    wrench = np.concatenate([base @ np.cross(at, up) / 10, base.sum() * up])
    twist = np.array([-0.001, 0.0, 0.0, 0.0, 0.0, 0.0])
    forged = replace(found["front"].actual, reach=0.028 / 0.3, twist=twist, wrenches={"B": (wrench,)}, base=base)
    assert M.MOVES is found["front"].verdict

    found["front"] = replace(found["front"], verdict=M.STANDS, actual=forged, by_kind=forged, alone=(forged,))
    with pytest.raises(InternalFault, match="the dual of demand front does not hold back its motion"):
        look(problem, options, found)
