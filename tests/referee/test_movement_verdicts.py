"""Verdicts on movement of random mixes: programme, certificate and second opinion, and the cuts made of them."""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from functools import cache
from itertools import combinations, product

import pytest

from solver.case import DEMANDS, DemandName
from solver.cuts import Cut
from solver.cutter import Cutter
from solver.mechanics import Mechanics
from solver.movement_verdict import Kind, MovementVerdict
from solver.option import Option
from solver.problem import Problem, problem_of
from solver.rules import NoFight
from solver.second_opinion.mixes import Mix, Mixes
from solver.second_opinion.world import World
from solver.verify_motion import check_verdicts
from tests.referee.random_case import random_world
from tests.solver.small import preferring

SEEDS = range(60)
MOST = 8
"""Mixes of a case that are judged."""


def world_of(seed: int) -> World:
    """A random case where a part gives that lets half of the settling through in kind."""
    world = random_world(seed)
    return World(world.case, preferring(world.catalogue, in_kind=0.5))


@cache
def prepared(seed: int) -> tuple[Problem, Mechanics, dict[tuple[str, str, int], Option]]:
    problem = problem_of(*world_of(seed))
    kinds = {
        (option.site, option.candidate.attachment.id, option.candidate.count): option for option in problem.options
    }
    return problem, Mechanics(problem), kinds


def some_mixes(seed: int) -> tuple[Mixes, list[tuple[Mix, tuple[Option, ...]]]]:
    """Mixes of the second opinion, with the same parts as options."""
    world, kinds = world_of(seed), prepared(seed)[2]
    mixes, dice = Mixes(world), random.Random(seed)
    groups = [list(group.values()) for group in mixes.groups if any(group.values())]
    drawn: dict[Mix, None] = {}
    for _ in range(MOST if groups else 0):
        picked = [dice.choice([None, *pieces, *pieces]) for pieces in dice.choice(groups)]
        drawn[tuple(piece for piece in picked if piece)] = None
    return mixes, [(mix, tuple(kinds[piece.moves_as] for piece in mix)) for mix in drawn]


@pytest.mark.parametrize("seed", SEEDS)
def test_programme_certificate_and_second_opinion_agree(seed: int) -> None:
    problem, mechanics, _ = prepared(seed)
    mixes, drawn = some_mixes(seed)
    for mix, options in drawn:
        found = mechanics.verdicts(options)

        assert [mixes.motion.verdict(mix, demand) for demand in DEMANDS] == [each.verdict.value for each in found]
        check_verdicts(problem, [option.candidate for option in options], found)


def test_every_verdict_and_every_kind_is_really_there() -> None:
    verdicts: Counter[MovementVerdict] = Counter()
    kinds: Counter[Kind] = Counter()
    for seed in SEEDS:
        _, mechanics, known = prepared(seed)
        for _, options in some_mixes(seed)[1]:
            verdicts.update(each.verdict for each in mechanics.verdicts(options))
        kinds.update(mechanics.kind_of(option, demand) for option in known.values() for demand in DEMANDS)

    assert {verdict for verdict, count in verdicts.items() if count >= 20} == set(MovementVerdict)
    # What fights itself is too rare for so few: it has cases of its own.
    assert kinds.keys() >= set(Kind) - {Kind.FIGHTS_ITSELF}


def every_mix(problem: Problem) -> Iterator[tuple[Option, ...]]:
    """Every mix with the bar on, of options that move differently."""
    alike: dict[tuple[object, ...], Option] = {}
    for option in problem.options:
        if not option.candidate.takes_bar_off:
            alike.setdefault((option.site, option.places, option.manner), option)
    at = [[None, *(o for o in alike.values() if o.site == site)] for site in problem.site_ids]
    for picked in product(*at):
        yield tuple(option for option in picked if option is not None)


def kept(cut: Cut, index: dict[int, int], mix: tuple[Option, ...]) -> bool:
    """As the master takes it: the sum of worths, and never all of `together`."""
    here = {option.site: index[id(option)] for option in mix}
    if set(cut.together) <= set(here.values()):
        return False
    if any(site not in here for site in cut.worth):
        return True
    return sum(cut.grains(site, here[site]) for site in cut.worth) >= cut.least_grains


CUT_SEEDS = [seed for seed in SEEDS if len(list(every_mix(prepared(seed)[0]))) <= 400][:25]


@pytest.mark.parametrize("demand", DEMANDS)
def test_kinds_and_wedges_leave_exactly_the_mixes_that_do_not_fight(demand: DemandName) -> None:
    """Stoppers and givers apart, nothing that fights itself, and the cuts of every wedge: by trying every mix."""
    wedged = 0
    for seed in CUT_SEEDS:
        problem, mechanics, _ = prepared(seed)
        cutter, index = Cutter(problem, problem.options, mechanics), {id(o): i for i, o in enumerate(problem.options)}
        every = list(every_mix(problem))
        fights = {
            mix: next(v for v in mechanics.verdicts(mix) if v.demand == demand).verdict is MovementVerdict.FIGHTS
            for mix in every
        }
        cuts: list[Cut] = []
        for mix in every:
            if apart(mechanics, mix, demand):
                cuts += cutter.of_wedges(NoFight(demand), mechanics.wedges(mix, demand))
        wedged += len(cuts)
        for mix in every:
            allowed = apart(mechanics, mix, demand) and all(kept(cut, index, mix) for cut in cuts)
            assert allowed is not fights[mix]
    assert wedged >= 10


def apart(mechanics: Mechanics, mix: tuple[Option, ...], demand: DemandName) -> bool:
    """No option fights itself, and stoppers and givers do not stand together."""
    kinds = {mechanics.kind_of(option, demand) for option in mix}
    return Kind.FIGHTS_ITSELF not in kinds and not {Kind.STOPPER, Kind.GIVER} <= kinds


@pytest.mark.parametrize("seed", CUT_SEEDS)
def test_each_wedge_is_smallest_and_all_of_it_givers(seed: int) -> None:
    problem, mechanics, _ = prepared(seed)
    every = list(every_mix(problem))
    for mix in random.Random(seed).sample(every, min(5, len(every))):
        for demand in DEMANDS:
            found = mechanics.wedges(mix, demand)
            for wedge in found:
                assert {Kind.GIVER} == {mechanics.kind_of(option, demand) for option in wedge.options}
                assert wedge.reach.reach < 0.5 - 1e-6
                for rest in combinations(wedge.options, len(wedge.options) - 1):
                    assert not mechanics.wedges(rest, demand)
            sites = [option.site for wedge in found for option in wedge.options]
            assert len(sites) == len(set(sites))
