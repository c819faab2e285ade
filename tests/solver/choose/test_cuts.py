"""What a cut counts, and that none removes a mix that keeps its rule: of small worlds every mix is tried on it."""

from __future__ import annotations

import math
import random
from collections import Counter

import pytest

from solver.assess.assessment import Assessment, assess
from solver.assess.oracle import Mechanics
from solver.case.rules import Even, Moves, NoFight, Peel, Pulls, Rule, Spread
from solver.choose.cuts import AnyCut, CoverCut, Cut, LinearCut
from solver.choose.cutter import Cutter, grip_of
from solver.choose.master import Master, Outcome, bound
from solver.choose.search import Options, choose
from solver.mechanics.verdicts import Kind, MovementVerdict
from tests.solver.oracle import every_mix
from tests.solver.small import band, part, preferring, small_problem, stock
from tests.solver.tiered_worlds import Tried, tried

RULE, FIGHT = Moves("whole", 1.0), NoFight("front")


@pytest.mark.parametrize(
    ("expected", "worth"),
    [(set(), 0.5), (set(), 0.4999999), ({0}, 0.499998), ({0}, 0.0), (set(), math.inf)],
    ids=["just enough", "less than the grid shows", "less", "nothing", "more than enough"],
)
def test_only_what_is_worth_less_than_asked_fails_alone(expected: set[int], worth: float) -> None:
    assert expected == Cut(RULE, {"B": {0: worth}}, 0.0, 0.5).alone


def test_no_option_is_worth_more_than_what_is_missing() -> None:
    """0.1 is there and 1 is asked: more than 0.9 makes the cut slack and counts as that."""
    cut = Cut(RULE, {"B": {0: 0.2, 1: math.inf, 2: 5.0}}, 0.1, 1.0)

    assert [200_000, 900_000, 900_000] == [cut.grains("B", i) for i in range(3)]
    assert (900_000, 900_000) == (cut.least_grains, cut.most_grains)


def test_a_pull_too_weak_for_a_mix_may_be_taken_by_a_larger_one() -> None:
    """The ball costs more than the clip, neither takes the pull by itself, both together do."""
    clip = part("clip", price=band(5, 5), retention_n=band(9, 9))
    ball = part("ball", "ball", "end", price=band(9, 9), retention_n=band(9, 9))
    asked = small_problem(stock(clip, ball), wanted={"level_n": 5, "pull_n": {"left": 5}})
    mechanics = Mechanics(asked)
    (pull,) = (rule for rule in asked.rules if isinstance(rule, Pulls))
    for option in asked.options:
        assert not pull.kept(assess(asked, mechanics, [option]))

    (mix,) = choose(asked, mechanics, Options()).mixes

    assert ["B=clip", "E=ball"] == [option.candidate.key for option in mix.options]


def test_a_wedge_is_cut_over_all_givers_in_kind_and_over_nothing_else() -> None:
    """Two halves of a bar at a right angle. Clips that turn wedge; one that also tips a little frees them in
    kind, though not by amount; what stands still may stand among its like, and a bare stretch is in nobody's way."""
    clips = {
        "turns": {"hinge_deg": 20},
        "stiffer": {"hinge_deg": 5},
        "tips": {"hinge_deg": 20, "tip_deg": 0.3},
        "sinks": {"hinge_deg": 20, "down_mm": 0.3},
        "rigid": {},
    }
    bare = part("cut", kind="bare")
    asked = small_problem(
        preferring(stock(*(part(name, movement=moves) for name, moves in clips.items()), bare), in_kind=0.5),
        supports={"R": {"at_mm": [-12, 13, 0]}, "L": {"at_mm": [12, 13, 0]}, "M": {"at_mm": [0, 25, 0]}},
        segments={"A": {"between": ["R", "M"], "section": "round", "width_mm": 1.8}, "B": {"between": ["M", "L"]}},
        ends={"E": None},
    )
    mechanics, at = Mechanics(asked), asked.option_of
    (wedge,) = mechanics.wedges([at["A=turns"], at["B=turns"]], "front")
    (cut,) = Cutter(asked, asked.options, mechanics).of_wedges(FIGHT, [wedge])
    index = {option.candidate.key: i for i, option in enumerate(asked.options)}

    def passes(one: str, two: str) -> bool:
        return cut.grains("A", index[f"A={one}"]) + cut.grains("B", index[f"B={two}"]) >= cut.least_grains

    assert (index["A=turns"], index["B=turns"]) == cut.together
    assert not passes("turns", "turns")
    assert not passes("turns", "stiffer")
    assert not passes("stiffer", "stiffer")
    for mix in (("tips", "tips"), ("sinks", "sinks"), ("turns", "rigid"), ("rigid", "rigid"), ("cut", "stiffer")):
        assert passes(*mix)
    for name, kind in (("rigid", Kind.STOPPER), ("cut", Kind.IDLE), ("tips", Kind.GIVER)):
        assert kind is mechanics.kind_of(at[f"A={name}"], "front")
    tipping = mechanics.verdicts([at["A=tips"], at["B=tips"]])[1]
    assert MovementVerdict.BOTTOMS is tipping.verdict
    assert tipping.reach < 0.5


class Fixed:
    """A master with nothing but structure and the cuts that are added; any mix may be held against it."""

    def __init__(self, world: Tried, soft: Rule | None = None) -> None:
        self.world = world
        self.options = [option for option in world.problem.options if not option.needs_waived]
        self.index = {option.candidate.key: i for i, option in enumerate(self.options)}
        waived = [soft] if soft else []
        self.master = Master(world.problem, self.options, world.mechanics, waived, rules=(), weighing=True)
        self.cutter = Cutter(world.problem, self.options, world.mechanics)

    def picked(self, mix: Assessment) -> tuple[int, ...]:
        return tuple(sorted(self.index[key] for key in mix.keys))

    def against(self, mix: Assessment, rule: Rule) -> list[AnyCut]:
        return list(self.cutter.against(mix, [rule], {}, self.picked(mix)))

    def takes(self, mix: Assessment, given_up: int | None = None, grip: int | None = None) -> bool:
        """True where the cuts leave a mix, with its rule given up by so many per cent, or a least pull of so much."""
        picked = set(self.picked(mix))
        for i, literal in enumerate(self.master.pick):
            bound(literal, int(i in picked), int(i in picked))
        for literal in self.master.waived.values():
            bound(literal, int(given_up is not None), int(given_up is not None))
        for over in self.master.over.values():
            bound(over, given_up or 0, given_up or 0)
        if grip is not None:
            bound(self.master.grip, grip, grip)
        return self.master.solve(None, 10).outcome is Outcome.OPTIMAL


SOME = {
    "random": ("random, most fit", (4, 5, 16, 34, 55, 59, 0, 7, 9, 14)),
    "mirrored": ("mirrored, most fit", (1, 2, 20, 29, 46, 16)),
}
CUT_FOR = (Pulls, Peel, Spread, Even, Moves)


def free(world: Tried) -> list[Assessment]:
    return [mix for mix in world.every if not any(option.needs_waived for option in mix.options)]


def ruled(world: Tried) -> list[Rule]:
    rules = (*world.problem.rules, *world.problem.stopgap)
    return [rule for rule in dict.fromkeys(rules) if isinstance(rule, CUT_FOR)]


def breaking(world: Tried, rule: Rule) -> list[Assessment]:
    """Some mixes that break a rule, by chance."""
    broken = [mix for mix in free(world) if not rule.kept(mix)]
    return random.Random(f"{rule}").sample(broken, min(2, len(broken)))


@pytest.mark.parametrize("some", SOME)
def test_no_cut_removes_a_mix_that_keeps_the_rule(some: str) -> None:
    """And each removes the mix that it was made for."""
    block, seeds = SOME[some]
    made: Counter[tuple[type, type]] = Counter()
    for world in (tried(block, seed) for seed in seeds):
        for rule in ruled(world):
            kept = [mix for mix in free(world) if rule.kept(mix)]
            for failing in breaking(world, rule):
                fixed = Fixed(world)
                cuts = fixed.against(failing, rule)
                made.update((type(rule), type(cut)) for cut in cuts)
                for cut in cuts:
                    fixed.master.add(cut)
                assert not fixed.takes(failing), (rule, failing.keys)
                for mix in kept:
                    assert fixed.takes(mix), (rule, failing.keys, mix.keys)
    expected = {(Pulls, LinearCut), (Peel, CoverCut), (Spread, LinearCut), (Even, CoverCut), (Moves, Cut)}
    assert expected <= set(made)


@pytest.mark.parametrize("some", SOME)
def test_no_cut_asks_more_to_be_given_up_than_a_mix_misses(some: str) -> None:
    """Each mix with what it misses, in whole per cent; of the mix that a cut was made for no less will do."""
    block, seeds = SOME[some]
    asked = 0
    for world in (tried(block, seed) for seed in seeds):
        for rule in (rule for rule in ruled(world) if isinstance(rule, Pulls | Peel)):
            for failing in breaking(world, rule):
                fixed = Fixed(world, soft=rule)
                if rule not in fixed.master.over:
                    continue
                for cut in fixed.against(failing, rule):
                    fixed.master.add(cut)
                percent = failing.missed(rule).percent
                assert not fixed.takes(failing)
                assert not fixed.takes(failing, percent - 1)
                for mix in free(world):
                    assert fixed.takes(mix, None if rule.kept(mix) else mix.missed(rule).percent)
                asked += 1
    assert asked >= 8


@pytest.mark.parametrize("some", SOME)
def test_no_cut_takes_of_the_least_pull_that_a_mix_has(some: str) -> None:
    block, seeds = SOME[some]
    for world in (tried(block, seed) for seed in seeds):
        fixed, every = Fixed(world), free(world)
        for claimed in random.Random(0).sample(every, min(3, len(every))):
            for cut in fixed.cutter.below_grip(claimed, grip_of(claimed) + 1, fixed.picked(claimed)):
                fixed.master.add(cut)
            assert [] == list(fixed.cutter.below_grip(claimed, grip_of(claimed), fixed.picked(claimed)))
            assert not fixed.takes(claimed, grip=grip_of(claimed) + 1)
        for mix in every:
            assert fixed.takes(mix, grip=grip_of(mix)), mix.keys


WEDGED = {
    "turns": {"hinge_deg": 20}, "stiffer": {"hinge_deg": 5}, "tips": {"hinge_deg": 20, "tip_deg": 0.3},
    "sinks": {"hinge_deg": 20, "down_mm": 0.3}, "rigid": {}, "twists": {"hinge_deg": 20, "turn_deg": 8},
}  # fmt: skip


@pytest.mark.parametrize("seed", range(4))
def test_no_cut_of_a_wedge_removes_parts_that_do_not_fight(seed: int) -> None:
    """Three stretches of a bar that is bent by chance, and clips of every kind: each cut against every mix."""
    dice = random.Random(f"wedges {seed}")
    xs = (-18, -6, 6, 18)
    supports = {f"S{i}": {"at_mm": [x, 20 - dice.uniform(0, 14) * (abs(x) > 10), 0]} for i, x in enumerate(xs)}
    segments = {f"B{i}": {"between": [f"S{i}", f"S{i + 1}"]} for i in range(3)}
    clips = dice.sample(sorted(WEDGED), 4)
    problem = small_problem(
        preferring(stock(*(part(name, movement=WEDGED[name]) for name in clips)), in_kind=0.5),
        supports={"R": None, "L": None, **supports},
        segments={"B": None, **segments},
        ends={"E": None},
    )
    mechanics = Mechanics(problem)
    every = list(every_mix(problem, mechanics))
    world = Tried(problem, mechanics, every, ())
    for rule in (rule for rule in problem.rules if isinstance(rule, NoFight)):
        fixed, wedged = Fixed(world), [mix for mix in every if mechanics.wedges(mix.options, rule.demand)]
        for mix in dice.sample(wedged, min(4, len(wedged))):
            cuts = list(fixed.cutter.of_wedges(rule, mechanics.wedges(mix.options, rule.demand)))
            for cut in cuts:
                fixed.master.add(cut)
            assert not fixed.takes(mix)
        for mix in every:
            assert fixed.takes(mix) or not rule.kept(mix), (rule, mix.keys)
