"""What a mix takes, how it spreads its hold and how it is peeled off: the same by the second opinion."""

from __future__ import annotations

import random

import pytest

from catalogue.blocks import Wear
from solver.assess.assessment import assess
from solver.assess.oracle import EDGES, Mechanics
from solver.assess.problem import problem_of
from solver.audit.second_opinion.mixes import Mixes
from solver.audit.second_opinion.pulled import high, worn
from solver.audit.second_opinion.world import World
from solver.case.retention import Condition
from solver.case.schema import PULLS
from solver.mechanics.side_share import best_shares
from tests.referee.random_case import INVENTED, random_world, with_service
from tests.referee.wide_case import wide_world


def worn_by_use(world: World, seed: int) -> World:
    """The same world where most parts lose some of their hold, or gain a little."""
    dice = random.Random(f"wear {seed}")
    attachments = {
        name: attachment.model_copy(update={"wear": Wear(loss=dice.choice(LOSSES), cycles=1500, source=INVENTED)})
        if dice.random() < 0.7
        else attachment
        for name, attachment in world.catalogue.attachments.items()
    }
    return World(world.case, world.catalogue.model_copy(update={"attachments": attachments}))


LOSSES = ((0.1, 0.4), (0.0, 0.05), (-0.2, -0.1), (-0.1, 0.7))
RANDOM = [with_service(random_world(seed), seed) for seed in range(40)] + [wide_world(seed) for seed in range(20)]
WORLDS = [worn_by_use(world, seed) for seed, world in enumerate(RANDOM)]


@pytest.mark.parametrize("number", range(len(WORLDS)))
def test_the_second_opinion_pulls_alike(number: int) -> None:
    world, dice = WORLDS[number], random.Random(number)
    problem, mixes = problem_of(*world), Mixes(world)
    mechanics, pulled = Mechanics(problem), mixes.motion.pulled
    ours = {(o.site, o.candidate.attachment.id, o.candidate.count): o for o in problem.options}
    pieces = [dice.choice(found) for found in mixes.groups[0].values() if found]
    both = [(piece, ours[piece.moves_as]) for piece in pieces if piece.moves_as in ours]
    mix, options = [piece for piece, _ in both], [option for _, option in both]

    low = {hold.name: hold.hold_n for hold in mechanics.pulls(options)}
    assert low == pytest.approx({name: pulled.held_n(mix, name) for name in PULLS}, abs=1e-6)
    aged = {name: mechanics.pull(options, name, Condition.WORN).hold_n for name in PULLS}
    assert aged == pytest.approx({name: pulled.held_n(mix, name, worn(world)) for name in PULLS}, abs=1e-6)
    most = {hold.name: hold.hold_n for hold in mechanics.peels(options)}
    assert most == pytest.approx({name: pulled.held_n(mix, name, high) for name in EDGES}, abs=1e-6)
    assert mechanics.peel(options).hold_n == pytest.approx(pulled.peel_n(mix), abs=1e-6)
    found = assess(problem, mechanics, options)
    share = found.weaker_side_n / found.low_n if found.low_n else 0.0
    assert share == pytest.approx(pulled.share(mix), abs=1e-6)


@pytest.mark.parametrize("number", range(0, len(WORLDS), 3))
def test_the_second_opinion_finds_the_same_best_share(number: int) -> None:
    world = WORLDS[number]
    problem, mixes = problem_of(*world), Mixes(world)
    best = best_shares(problem.layout, problem.options)
    found = []
    for group in mixes.groups:
        spots = [
            spot
            for pieces in group.values()
            for piece in pieces
            if piece.attachment.retention_n.low > 0
            for spot in piece.spots
        ]
        found.append(mixes.motion.pulled.best_share(spots))

    assert found == pytest.approx([best.bar_on, best.bar_off], abs=1e-6)


def test_the_cases_are_not_all_alike() -> None:
    """Some mixes are pulled off at once, some hold on both sides; some parts wear."""
    problems = [problem_of(*world) for world in WORLDS]
    shares = [best_shares(problem.layout, problem.options) for problem in problems]

    assert 10 < sum(share.bar_on > 0.1 for share in shares)
    assert 5 < sum(share.bar_off > 0.1 for share in shares)
    assert 50 < sum(o.candidate.attachment.wear is not None for problem in problems for o in problem.options)
