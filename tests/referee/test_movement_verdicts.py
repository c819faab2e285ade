"""What kinds and wedges make of the verdicts on movement: the cuts of the search, against every mix of random cases.

That programme, certificate and second opinion agree on the verdicts themselves is a law of `test_thousand`.
"""

from __future__ import annotations

import random
from collections import Counter
from functools import cache
from itertools import combinations, islice, product

from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.case.rules import NoFight
from solver.case.schema import DEMANDS, DemandName
from solver.choose.cuts import Cut
from solver.choose.cutter import Cutter
from solver.mechanics.option import Option
from solver.mechanics.verdicts import Kind, MovementVerdict
from tests.referee.worlds import ALL, hold_on, world

SEEDS = range(60 if ALL else 14)

MOST = 300
"""Mixes of a case; one that has more is left out."""

Mix = tuple[Option, ...]


@cache
def prepared(seed: int) -> tuple[Problem, Mechanics]:
    problem = problem_of(*world("tiers", seed))
    return problem, Mechanics(problem)


@cache
def every_mix(seed: int) -> tuple[Mix, ...]:
    """Every mix with the bar on, of options that move differently; none of a case that has too many."""
    problem, _ = prepared(seed)
    alike: dict[tuple[object, ...], Option] = {}
    for option in problem.options:
        if not option.candidate.takes_bar_off:
            alike.setdefault((option.site, option.places, option.manner), option)
    at = [[None, *(o for o in alike.values() if o.site == site)] for site in problem.site_ids]
    every = islice(product(*at), MOST + 1)
    found = tuple(tuple(option for option in picked if option is not None) for picked in every)
    return found if len(found) <= MOST else ()


def kept(cut: Cut, index: dict[int, int], mix: Mix) -> bool:
    """As the master takes it: the sum of worths, and never all of `together`."""
    here = {option.site: index[id(option)] for option in mix}
    if set(cut.together) <= set(here.values()):
        return False
    if any(site not in here for site in cut.worth):
        return True
    return sum(cut.grains(site, here[site]) for site in cut.worth) >= cut.least_grains


def fighting(mechanics: Mechanics, mix: Mix, demand: DemandName) -> bool:
    return next(v for v in mechanics.verdicts(mix) if v.demand == demand).verdict is MovementVerdict.FIGHTS


def apart(mechanics: Mechanics, mix: Mix, demand: DemandName) -> bool:
    """No option fights itself, and stoppers and givers do not stand together."""
    kinds = {mechanics.kind_of(option, demand) for option in mix}
    return Kind.FIGHTS_ITSELF not in kinds and not {Kind.STOPPER, Kind.GIVER} <= kinds


def wedged(seed: int, demand: DemandName) -> list[Cut]:
    """The cuts of every wedge of a case in a demand."""
    problem, mechanics = prepared(seed)
    cutter = Cutter(problem, problem.options, mechanics)
    return [
        cut
        for mix in every_mix(seed)
        if apart(mechanics, mix, demand)
        for cut in cutter.of_wedges(NoFight(demand), mechanics.wedges(mix, demand))
    ]


def test_kinds_and_wedges_leave_exactly_the_mixes_that_do_not_fight() -> None:
    """Stoppers and givers apart, nothing that fights itself, and the cuts of every wedge."""

    def law(seed: int) -> None:
        problem, mechanics = prepared(seed)
        index = {id(option): number for number, option in enumerate(problem.options)}
        for demand in DEMANDS:
            cuts = wedged(seed, demand)
            for mix in every_mix(seed):
                allowed = apart(mechanics, mix, demand) and all(kept(cut, index, mix) for cut in cuts)
                assert allowed is not fighting(mechanics, mix, demand)

    hold_on(SEEDS, law)


def test_each_wedge_is_smallest_and_all_of_it_givers() -> None:
    def law(seed: int) -> None:
        problem, mechanics = prepared(seed)
        share = problem.catalogue.defaults.preferences.in_kind.value
        every = every_mix(seed)
        for mix in random.Random(seed).sample(every, min(5, len(every))):
            for demand in DEMANDS:
                found = mechanics.wedges(mix, demand)
                for wedge in found:
                    assert {Kind.GIVER} == {mechanics.kind_of(option, demand) for option in wedge.options}
                    assert wedge.reach.reach < share - 1e-6
                    for rest in combinations(wedge.options, len(wedge.options) - 1):
                        assert not mechanics.wedges(rest, demand)
                sites = [option.site for wedge in found for option in wedge.options]
                assert len(sites) == len(set(sites))

    hold_on(SEEDS, law)


def test_every_verdict_and_every_kind_is_really_there() -> None:
    verdicts: Counter[MovementVerdict] = Counter()
    kinds: Counter[Kind] = Counter()
    for seed in SEEDS:
        problem, mechanics = prepared(seed)
        for mix in every_mix(seed)[::7]:
            verdicts.update(each.verdict for each in mechanics.verdicts(mix))
        kinds.update(mechanics.kind_of(option, demand) for option in problem.options for demand in DEMANDS)

    assert {verdict for verdict, count in verdicts.items() if count >= 5} == set(MovementVerdict)
    # What fights itself is too rare for so few: it has cases of its own.
    assert kinds.keys() >= set(Kind) - {Kind.FIGHTS_ITSELF}
    assert any(wedged(seed, demand) for seed in SEEDS for demand in DEMANDS)
