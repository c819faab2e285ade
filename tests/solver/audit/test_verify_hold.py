"""The certificate of a pull takes what is right at either end of retention, and notices what is not."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.audit.certificate_hold import check_pull, proved_peel_n, proved_pull_n, proved_sides_n
from solver.case.retention import Condition
from solver.case.schema import PULLS
from solver.errors import InternalFault
from solver.mechanics.hold import LiftField
from solver.mechanics.option import Option
from solver.mechanics.pulls import PullHold
from tests.referee.random_case import random_world, with_tiers
from tests.solver.small import band, part, small_problem, stock

CLIP = small_problem(
    stock(part("clip", retention_n=band(4, 9))),
    denture={"heel_left": [26, -10], "heel_right": [-26, -10]},
)
OPTIONS = [CLIP.option_of["B=clip"]]
MIX = [option.candidate for option in OPTIONS]


def some_mix(problem: Problem, dice: random.Random) -> list[Option]:
    by_site: dict[str, list[Option]] = {}
    for option in problem.options:
        if not option.candidate.takes_bar_off:
            by_site.setdefault(option.site, []).append(option)
    return [dice.choice(options) for options in by_site.values() if dice.random() < 0.8]


@pytest.mark.parametrize("seed", range(30))
def test_every_pull_of_a_random_mix_is_certified(seed: int) -> None:
    problem = problem_of(*with_tiers(random_world(seed), seed))
    mechanics, mix = Mechanics(problem), some_mix(problem, random.Random(seed))
    candidates = [option.candidate for option in mix]

    for condition in Condition:
        for name in PULLS:
            check_pull(problem, candidates, mechanics.pull(mix, name, condition), condition)
    found = assess(problem, mechanics, mix)
    assert found.peel_n == pytest.approx(proved_peel_n(found), abs=1e-4)
    assert sorted((found.weaker_side_n, found.stronger_side_n)) == pytest.approx(sorted(proved_sides_n(found)))
    assert found.hold_n("front", Condition.WORN) == proved_pull_n(found, "front", Condition.WORN)


def front() -> PullHold:
    """4 N, 30 mm in front of the heels about which the denture tips, pulled 38 mm in front of them."""
    (hold,) = (hold for hold in Mechanics(CLIP).pulls(OPTIONS) if hold.name == "front")
    assert 4 * 30 / 38 == pytest.approx(hold.hold_n)
    return hold


def check_hold(hold: PullHold, condition: Condition = Condition.NEW) -> None:
    check_pull(CLIP, MIX, hold, condition)


def test_the_sound_one_is_taken() -> None:
    check_hold(front())


def test_a_peel_is_no_pull_at_the_low_end() -> None:
    (peel,) = (hold for hold in Mechanics(CLIP).peels(OPTIONS) if hold.name == "front")

    check_hold(peel, Condition.TIGHT)
    with pytest.raises(InternalFault, match="asks more of a part than it holds"):
        check_hold(peel)


def test_a_pull_at_the_low_end_is_no_peel() -> None:
    """3.158 N are balanced, and by the lift 7.105 would be."""
    with pytest.raises(InternalFault, match="is not the way that the denture gives by"):
        check_hold(front(), Condition.TIGHT)


@pytest.mark.parametrize("by", [0.01, -0.01])
def test_a_figure_that_is_off_is_noticed(by: float) -> None:
    hold = front()

    with pytest.raises(InternalFault, match="out of balance"):
        check_hold(replace(hold, pull=replace(hold.pull, hold_n=hold.hold_n + by)))


def test_a_contact_that_pulls_is_noticed() -> None:
    hold = front()
    contact_n = (-1.0, *hold.pull.contact_n[1:])

    with pytest.raises(InternalFault, match="asks more of a part"):
        check_hold(replace(hold, pull=replace(hold.pull, contact_n=contact_n)))


@pytest.mark.parametrize(
    ("lift", "what"),
    [
        (LiftField(1.1, 0, 0), "is no way that the denture can give by"),
        (LiftField(0, 0, 1 / 28), "is no way that the denture can give by"),
        (LiftField(1, 0, 0), "is not the way that the denture gives by"),
    ],
    ids=["not one at the pull", "into the mucosa behind", "harder than need be"],
)
def test_a_way_to_give_that_is_none_or_not_the_easiest_is_noticed(lift: LiftField, what: str) -> None:
    hold = front()

    with pytest.raises(InternalFault, match=what):
        check_hold(replace(hold, pull=replace(hold.pull, lift=lift)))
