"""What has to give, and why, against the rules that every mix breaks by the second opinion."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from catalogue.models import Defaults
from solver.assess.assessment import Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.audit.second_opinion.decide import relaxed
from solver.audit.second_opinion.mixes import Mix, Mixes
from solver.audit.second_opinion.world import World
from solver.case.measure import Measure
from solver.case.rule_set import severity
from solver.case.rules import Budget, Even, LevelPull, Moves, NeedHolds, NotAllowed, Peel, Pulls, Rule, Spread
from solver.case.schema import Case, PullName
from solver.case.sites import sites_of
from solver.choose.plan import plan
from solver.explain.algorithms import Ending, minimal_hitting_sets
from solver.explain.rule_switches import hard_rules, soft_rules
from solver.explain.waivers import Footing, Give, Way
from solver.fit.pricing import purse_of
from tests.referee.random_case import random_world
from tests.referee.worlds import ALL, STRATA, hold_on

Codes = frozenset[str]
Place = tuple[str, int]

SEEDS = {"plain": 60, "pulls": 40, "uncut": 30, "wide": 40, "tiers": 30, "symmetric": 15, "whole bar": 15}
"""Of each kind so many; in `uncut` no end can be cut off, so that physics may be against every mix."""

PLACES = tuple((name, seed) for name, number in SEEDS.items() for seed in (range(number) if ALL else (0, 1, 2, 6)))
"""Of the few, the last is in some kinds a case where physics is against every mix."""


@cache
def world_of(place: Place) -> World:
    name, seed = place
    if name != "uncut":
        return STRATA[name].world(seed)
    world = random_world(seed)
    kept = {of: entry for of, entry in world.catalogue.attachments.items() if of != "cut"}
    return World(world.case, world.catalogue.model_copy(update={"attachments": kept}))


@dataclass(frozen=True)
class Truth:
    """A case with what each of its mixes breaks; a set of rules can be kept where a mix breaks none of it."""

    mixes: Mixes
    broken: dict[Mix, Codes]
    soft: Codes
    hard: Codes

    @property
    def sound(self) -> dict[Mix, Codes]:
        """The mixes that physics allows."""
        return {mix: codes for mix, codes in self.broken.items() if not codes & self.hard}

    def keepable(self, kept: Codes) -> bool:
        return any(not codes & kept for codes in self.broken.values())

    def opened(self, found: Give) -> dict[Mix, Codes]:
        """The mixes of which a list speaks: all, or where a plan fits those on its terms that cost less."""
        if found.best is None:
            return self.sound
        without = {preference.code for preference in found.best.unpreferred}
        return {
            mix: codes
            for mix, codes in self.sound.items()
            if self.mixes.cost(mix) < found.best.cost.high and self.mixes.without(mix) <= without
        }

    def clashes(self) -> set[Codes]:
        """The smallest sets of soft rules of which every mix breaks one that physics allows."""
        found: set[Codes] = {frozenset()}
        for codes in minimal(self.sound.values()):
            found = minimal(one if one & codes else one | {code} for one in found for code in codes)
        return found


def minimal(sets: Iterable[Codes]) -> set[Codes]:
    """Those that contain no other."""
    found: set[Codes] = set()
    for each in sorted(sets, key=len):
        if not any(smaller <= each for smaller in found):
            found.add(each)
    return found


@cache
def truth(place: Place) -> Truth:
    problem, mixes = problem_of(*world_of(place)), Mixes(world_of(place))
    soft, hard = (frozenset(rule.code for rule in rules(problem)) for rules in (soft_rules, hard_rules))
    return Truth(mixes, {mix: mixes.broken(mix) for mix in mixes}, soft, hard)


@cache
def searched(place: Place, most: int = 99) -> Give:
    found = Give(*world_of(place), most=most)
    assert list(found.steps())
    return found


def sets_of(ways: Iterable[Way]) -> list[Codes]:
    return [codes_of(way.rules) for way in ways]


def codes_of(rules: Iterable[Rule]) -> Codes:
    return frozenset(rule.code for rule in rules)


def listed(real: Truth, found: Give, most: int) -> set[Codes]:
    """What is to be listed: every smallest set of so many rules; where a plan fits, of cheaper ones the fewest."""
    small = {each for each in minimal(real.opened(found).values()) if len(each) <= most}
    fewest = min(map(len, small), default=0)
    return {each for each in small if len(each) == fewest} if found.best else small


def test_every_smallest_set_is_found_once_with_the_best_plan_that_it_opens() -> None:
    """Where a plan fits, the sets of fewest rules that a cheaper one needs; where physics is against all, none."""

    def law(place: Place) -> None:
        real, found = truth(place), searched(place)
        assert Ending.COMPLETE is found.ending
        assert len(found.ways) == len(set(sets_of(found.ways)))
        assert listed(real, found, 99) == set(sets_of(found.ways))
        for way in found.ways:
            given_up = codes_of(way.rules)
            if found.best:
                opened = (mix for mix, codes in real.opened(found).items() if codes <= given_up)
                assert min(map(real.mixes.cost, opened)) == way.best.cost.high
            else:
                best = relaxed(real.mixes, given_up).found
                assert best is not None
                assert (best.weight, best.rank[0]) == (way.best.weight, way.best.cost.high)

    hold_on(PLACES, law)


def test_the_lightest_comes_first_and_of_equals_the_cheapest() -> None:
    def law(place: Place) -> None:
        found = searched(place)
        order = [(way.best.weight, way.best.cost.high) for way in found.ways]
        assert sorted(order) == order
        severities = [sum(severity(rule, found.problem.case) for rule in way.rules) for way in found.ways]
        assert severities == [way.severity for way in found.ways]

    hold_on(PLACES, law)


def test_a_bound_leaves_out_larger_sets_and_says_so() -> None:
    """Cheaper plans than one that fits are sought with one rule more at a time, so there the list ends with them."""

    def law(place: Place) -> None:
        for most in (1, 2):
            real, found = truth(place), searched(place, most)
            every, expected = listed(real, found, 99), listed(real, found, most)
            assert expected == set(sets_of(found.ways))
            assert (Ending.COMPLETE if every == expected else Ending.BOUNDED) is found.ending

    hold_on(PLACES, law)


def test_the_clash_is_the_smallest_and_every_part_of_it_can_be_kept() -> None:
    """Where a plan fits there is none; of physics alone, it has no rule that can be given up."""

    def law(place: Place) -> None:
        real, found = truth(place), searched(place)
        clashes = real.clashes() if not real.keepable(real.soft | real.hard) else set()
        assert bool(clashes) is (found.proof is not None)
        if found.proof is not None:
            assert found.proof.proved_minimal
            members = codes_of(reason.rule for reason in found.proof.reasons)
            soft = members & real.soft
            assert soft in clashes
            assert min(map(len, clashes)) == len(soft)
            assert not real.keepable(members)
            assert all(real.keepable(members - {code}) for code in members)

    hold_on(PLACES, law)


def test_waiver_sets_are_the_hitting_sets_of_the_clashes() -> None:
    """Reiter, Artif. Intell. 1987;32:57-95; the clashes come from enumeration, the sets from the search.

    No clash is hit by giving nothing up, and physics by nothing.
    """

    def law(place: Place) -> None:
        real, found = truth(place), searched(place)
        given_up = [frozenset[str]()] if found.footing is Footing.FITS else sets_of(found.ways)
        clashes = real.clashes() if found.footing is not Footing.FITS else set()
        assert set(map(frozenset, minimal_hitting_sets(clashes, sorted(real.soft)))) == set(given_up)

    hold_on(PLACES, law)


def test_physics_alone_is_told_apart() -> None:
    def law(place: Place) -> None:
        real, found = truth(place), searched(place)
        fits = real.keepable(real.soft | real.hard)
        expected = Footing.FITS if fits else Footing.GIVES if real.sound else Footing.FIXED
        assert expected is found.footing
        if expected is Footing.FIXED:
            members = codes_of(reason.rule for reason in found.proof.reasons) if found.proof else frozenset()
            assert members
            assert members <= real.hard
            assert not real.keepable(members)
            assert all(real.keepable(members - {code}) for code in members)

    hold_on(PLACES, law)


CHANGEABLE = (Budget, LevelPull, Pulls, Peel, Moves, NotAllowed, NeedHolds, Spread, Even)
"""What another value of the case or the catalogue would grant; another jaw or more supports are none."""


def test_a_world_changed_as_told_fits_at_no_more_than_the_stated_price() -> None:
    """The mix of the way breaks nothing there, and where nothing else came with the change the price is the same."""

    def law(place: Place) -> None:
        world = world_of(place)
        for way in searched(place).ways:
            if not all(isinstance(rule, CHANGEABLE) for rule in way.rules):
                continue
            changed = changed_as_told(world, way)
            problem, keys = problem_of(*changed), set(way.best.keys)
            options = [option for option in problem.options if option.candidate.key in keys]
            assert len(options) == len(keys)
            assert not assess(problem, Mechanics(problem), options).broken
            again = plan(*changed)
            assert again.status in (Status.FITS, Status.FITS_IF, Status.TOO_LITTLE_KNOWN)
            assert again.best is not None
            if not again.problem.preferences:
                assert again.best.cost.high <= way.best.cost.high
            if not again.problem.preferences and not any(of_all_sites(rule) for rule in way.rules):
                assert again.best.cost.high == way.best.cost.high

    hold_on(PLACES, law)


def of_all_sites(rule: Rule) -> bool:
    """That no scan is expected opens magnets at every site, not only at those of the way."""
    return isinstance(rule, NeedHolds) and rule.of == "scans"


def changed_as_told(world: World, way: Way) -> World:
    for rule in way.rules:
        told = next(entry for entry in way.best.given_up if entry.rule == rule)
        world = _changed(world, rule, told.have, told.amount)
    return world


def _changed(world: World, rule: Rule, have: float, amount: float) -> World:
    case, purse = world.case, purse_of(*world)
    match rule:
        case Budget():
            return World(_with(case, "money", cap=have / 10**purse.digits), world.catalogue)
        case LevelPull():
            return World(_with(case, "wanted", level_n=max(have - 1e-6, 0)), world.catalogue)
        case Peel():
            return World(_with(case, "wanted", most_n=have + 1e-6), world.catalogue)
        case Pulls(tier="usual") | Spread() | Even():
            return _promising_less(world, rule, have)
        case Pulls():
            told: dict[PullName, float] = {**case.wanted.pull_n, rule.pull: max(have - 1e-6, 0)}
            return World(_with(case, "wanted", pull_n=told), world.catalogue)
        case Moves():
            movement = {**case.wanted.movement, rule.demand: max(have - 1e-6, 0)}
            return World(_with(case, "wanted", movement=movement), world.catalogue)
        case NotAllowed():
            return World(_with(case, "allowed", **{rule.permission: True}), world.catalogue)
        case NeedHolds(of="scans"):
            # The denture comes out before a scan: none is made with it.
            return World(_with(case, "patient", scans_expected="no"), world.catalogue)
        case NeedHolds():
            group = "segments" if rule.site in case.segments else "ends" if rule.site in case.ends else "supports"
            sites = dict(getattr(case, group))
            raised = _raised(case, world.catalogue.defaults, rule, amount)
            sites[rule.site] = sites[rule.site].model_copy(update={rule.of: raised})
            return World(case.model_copy(update={group: sites}), world.catalogue)
        case _:
            raise NotImplementedError(rule.code)


def _promising_less(world: World, rule: Pulls | Spread | Even, have: float) -> World:
    """The usual tier asks what there is."""
    defaults = world.catalogue.defaults
    usual = defaults.tiers.usual
    if isinstance(rule, Pulls):
        many = len(world.case.supports) >= usual.many_supports.value
        sides = "sides_many_n" if many else "sides_n"
        name = {"centre": "centre_n", "front": "front_n"}.get(rule.pull, sides)
        least = max(have - 1e-6, 0)
    else:
        name, least = rule.code, 0.0
    figure = getattr(usual, name)
    lower = figure.model_copy(update={"value": min(least, figure.value)})
    tiers = defaults.tiers.model_copy(update={"usual": usual.model_copy(update={name: lower})})
    return World(
        world.case,
        world.catalogue.model_copy(update={"defaults": defaults.model_copy(update={"tiers": tiers})}),
    )


def _with(case: Case, group: str, **changes: object) -> Case:
    return case.model_copy(update={group: getattr(case, group).model_copy(update=changes)})


def _raised(case: Case, defaults: Defaults, rule: NeedHolds, amount: float) -> Measure:
    """The measure that would be enough: every waivable need of the random catalogues is one of "at least"."""
    fact = next(site for site in sites_of(case, defaults) if site.id == rule.site).facts[rule.of]
    assert isinstance(fact, Measure)
    return fact.shifted(amount)


def test_the_random_cases_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    footings = Counter(searched(place).footing for place in PLACES)
    kinds = Counter(type(rule) for place in PLACES for way in searched(place).ways for rule in way.rules)
    several = sum(len(way.rules) > 1 for place in PLACES for way in searched(place).ways)

    assert min(footings[each] for each in (Footing.FITS, Footing.GIVES, Footing.FIXED)) >= (3 if ALL else 1)
    assert min(kinds[each] for each in CHANGEABLE) >= (3 if ALL else 0)
    assert several >= (20 if ALL else 3)
