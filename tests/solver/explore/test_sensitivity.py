"""What a choice hangs on, against trying every figure at every end on every mix."""

from __future__ import annotations

import random
from collections import Counter
from functools import cache
from typing import Any

import pytest

from solver.assess.assessment import Status
from solver.audit.second_opinion.decide import relaxed
from solver.audit.second_opinion.mixes import Mix, Mixes
from solver.audit.second_opinion.world import World
from solver.choose.plan import Answer, plan
from solver.choose.search import Options
from solver.explore.sensitivity import Sensitivity, sensitivity
from solver.explore.weak_figures import Path, weak_figures, with_figure
from tests.referee.random_case import random_world
from tests.solver.small import FREE, band, need, part, preferring, renewal, small_case, step, stock, waive

Rank = tuple[int, int, int, int]

SEEDS = range(12)


@cache
def world_of(seed: int) -> World:
    """A bar, an end and two supports with a few parts each: prices close together, limits near what is measured."""
    dice = random.Random(f"sensitive {seed}")
    case = small_case(
        ends={"E": {"ball_mm": dice.choice([2.2, "2.1 +- 0.1"])}},
        segments={"B": {"undercut_mm": dice.choice([0.3, 0.27, "0.3 +- 0.02"]), "width_mm": 1.8}},
        patient={"hand": dice.choice(["unknown", "weak"]), "bruxism": "no"},
        money={"cap": dice.choice([None, None, 45, 90])},
        wanted={"level_n": dice.choice([0, 4, 8, None]), "pull_n": dice.choice([{}, {"left": 1.0}])},
        allowed={"bar_off": dice.random() < 0.4},
    )
    return World(
        case, stock(*_parts(dice), steps=(step("off", "support", always_with=True, permissions=["bar_off"]),))
    )


def _parts(dice: random.Random) -> list[dict[str, Any]]:
    def one(name: str, kind: str, at: str, **more: Any) -> dict[str, Any]:
        low, price = dice.choice([2.0, 4.0, 5.0]), dice.choice([20, 24, 30])
        moves = dice.choice([FREE, FREE, {"hinge_deg": 20, "down_mm": dice.choice([0.28, 0.31, 0.5]), "turn_deg": 8}])
        return part(
            name, kind, at, movement=moves, price=band(price - 6, price), retention_n=band(low, low + 3),
            work={"chair": [2, dice.choice([3, 6])], "source": "invented"},
            stack={"part": dice.choice([1, 5.3]), "source": "invented"}, **more,
        )  # fmt: skip

    snaps = need("undercut_mm", at_least=dice.choice([0.28, 0.32]), waive=dice.choice([None, waive(0.1)]))
    return [
        one("clip", "clip", "segment", needs=[snaps], length_mm=5, most=2),
        one("long", "clip", "segment", length_mm=7),
        one("ball", "ball", "end", needs=[need("ball_mm", at_least=2.15, at_most=2.4)]),
        one("stud", "stud", "support", steps=["off"]),
    ]


@cache
def answered(seed: int) -> tuple[Answer, Sensitivity]:
    found = plan(*world_of(seed))
    return found, sensitivity(found)


def ranked(mixes: Mixes, mix: Mix) -> Rank | None:
    """Weight of all that a mix gives up, cost, questions, parts; None where physics is against it."""
    missed = mixes.missed(mix)
    return None if missed.keys() & mixes.hard else (mixes.weight(missed), *mixes.rank(mix))


def decided(world: World, planned: frozenset[tuple[str, str, int]]) -> tuple[str, Rank | None, Rank | None]:
    """Status, least rank of all mixes, and rank of the planned one, by the second opinion."""
    mixes = Mixes(world)
    found = relaxed(mixes).found
    best = (found.weight, *found.rank) if found else None
    status = "none" if best is None else "relaxed" if best[0] else "fits-if" if best[2] else "fits"
    ours = next((mix for mix in mixes if planned == frozenset(piece.moves_as for piece in mix)), None)
    return status, best, None if ours is None else ranked(mixes, ours)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_figures_named_are_those_that_turn_the_choice(seed: int) -> None:
    """By definition: at that end the plan is no longer there, no longer best, or fits on other terms."""
    world, (found, told) = world_of(seed), answered(seed)
    planned = frozenset((c.site.id, c.attachment.id, c.count) for c in (found.best.mix if found.best else ()))

    expected: set[tuple[Path, float]] = set()
    for figure in weak_figures(world.catalogue):
        for value in figure.ends:
            changed = World(world.case, with_figure(world.catalogue, figure.path, value))
            status, best, ours = decided(changed, planned)
            if status != found.status.value or best != ours:
                expected.add((figure.path, value))
    assert told.complete
    assert expected == {(turn.figure.path, turn.value) for flip in told.flips for turn in flip.turns}


@pytest.mark.parametrize("seed", SEEDS)
def test_each_flip_is_the_plan_that_a_changed_catalogue_gives(seed: int) -> None:
    world, (_, told) = world_of(seed), answered(seed)

    for flip in told.flips:
        found = [plan(world.case, with_figure(world.catalogue, turn.figure.path, turn.value)) for turn in flip.turns]
        assert {flip.status} == {again.status for again in found}
        assert all(keys(flip.instead) == keys(again.best) for again in found)
        if flip.instead:
            assert flip.instead.cost.high == min(again.best.cost.high for again in found if again.best)


@pytest.mark.parametrize("seed", SEEDS)
def test_a_choice_hangs_on_every_figure_that_turns_it_once(seed: int) -> None:
    """Also where it turns at both ends of its band, or to more than one other plan."""
    _, told = answered(seed)
    turning = {turn.figure.path for flip in told.flips for turn in flip.turns}

    assert sorted(map(str, turning)) == sorted(str(figure.path) for figure in told.hangs_on("memory", "invented"))
    assert turning == {figure.path for figure in told.hangs_on("invented")}
    assert told.hangs_on("memory", "published") == ()


def test_what_renewals_take_is_varied_where_the_cost_over_the_years_is_asked() -> None:
    """A stud with nowhere to go adds nothing."""
    renewed = renewal(6, 24, price=band(5, 15), work={"chair": [5, 10], "source": "invented"})
    clip, stud = part("clip", service=renewed), part("stud", "stud", "end")
    case, catalogue, alone = small_case(ends={"E": None}), stock(clip, stud), stock(clip)

    now, years = (sensitivity(plan(case, catalogue, Options(least=least))).figures for least in ("now", "years"))

    assert now == len(list(weak_figures(alone)))
    assert years == len(list(weak_figures(alone, over_years=True))) == now + 3


@pytest.mark.parametrize(("least", "turns"), [("now", False), ("years", True)])
def test_a_renewal_turns_the_choice_by_its_price_where_the_years_count(least: Any, turns: bool) -> None:
    """The dearer clip is never renewed; the other costs less over the years only while its insert is all but free."""
    worn, lasting = part("worn", service=renewal(12, 12, price=band(0, 30))), part("lasting", price=band(20, 22))
    found = plan(small_case(wanted={"level_n": 5}), stock(worn, lasting), Options(least=least))
    paths = {turn.figure.path for flip in sensitivity(found).flips for turn in flip.turns}

    assert turns is (("attachments", "worn", "service", "price") in paths)


def keys(found: Any) -> list[str] | None:
    return [candidate.key for candidate in found.mix] if found else None


@pytest.mark.parametrize(("seed", "least"), [(2, "now"), (2, "years"), (3, "now")])
def test_on_larger_cases_no_turn_is_missed(seed: int, least: Any) -> None:
    """Against planning anew at every end, with reworks; only ties may choose otherwise and count as standing."""
    world = random_world(seed)
    how = Options(least=least)
    found = plan(*world, how)
    told = sensitivity(found)
    turned = {(turn.figure.path, turn.value) for flip in told.flips for turn in flip.turns}

    for figure in weak_figures(world.catalogue, over_years=least == "years"):
        for value in figure.ends:
            again = plan(world.case, with_figure(world.catalogue, figure.path, value), how)
            same = again.status is found.status and (
                keys(again.best) == keys(found.best) or tied(found, again, least)
            )
            assert same is ((figure.path, value) not in turned)


def tied(found: Answer, again: Answer, least: str) -> bool:
    """The plan, at the prices of the other catalogue, costs, asks and takes as much as the one chosen there."""
    assert found.best is not None
    assert again.best is not None
    there = {candidate.key: candidate for candidate in again.problem.fit.usable}
    if not there.keys() >= {candidate.key for candidate in found.best.mix}:
        return False
    cost = again.problem.cost_of if least == "now" else again.problem.years_cost_of
    ours, theirs = [there[candidate.key] for candidate in found.best.mix], again.best.mix
    given_up = [[entry.rule.code for entry in best.given_up] for best in (found.best, again.best)]
    return (
        given_up[0] == given_up[1]
        and [
            (cost(mix).high, len({q for c in mix for q in c.questions}), sum(c.parts for c in mix))
            for mix in (ours, theirs)
        ].count((cost(theirs).high, len(again.best.questions), sum(c.parts for c in theirs)))
        == 2
    )


def test_the_play_that_is_left_where_nothing_is_free_is_varied_too() -> None:
    """A clip fixed along the path lets the base sink by the play alone: 0.32 mm of the 0.3 mm that it must."""
    clip = part("clip", movement={**FREE, "down_mm": 0})
    catalogue = with_figure(stock(clip), ("defaults", "play", "mm"), 0.32)
    told = sensitivity(plan(small_case(wanted={"level_n": 4}), catalogue))

    (flip,) = (flip for flip in told.flips if ("defaults", "play", "mm") in {turn.figure.path for turn in flip.turns})
    assert Status.RELAXED is flip.status
    assert {0.9 * 0.32} == {turn.value for turn in flip.turns if turn.figure.path[1] == "play"}
    assert flip.instead is not None
    assert [pytest.approx(0.96)] == [given_up.have for given_up in flip.instead.given_up]


def test_the_same_mix_on_other_terms_is_another_choice() -> None:
    """A less exact step leaves in doubt what held before: the mix stays the cheapest, but something must be asked."""
    cut = step("cut", "segment", makes={"undercut_mm": 0.45}, tolerance_mm=0.05)
    clip = part("clip", needs=[need("undercut_mm", at_least=0.4)])
    found = plan(small_case(ends={"E": None}), stock(clip, part("dear", price=band(90, 100)), steps=(cut,)))
    (flip,) = (
        flip
        for flip in sensitivity(found).flips
        if ("reworks", "cut", "tolerance_mm") in {turn.figure.path for turn in flip.turns}
    )

    assert (Status.FITS, Status.FITS_IF) == (found.status, flip.status)
    assert ["B=clip + cut"] == keys(found.best) == keys(flip.instead)


def test_what_falls_shorter_of_a_need_weighs_more_though_it_is_still_short() -> None:
    """0.1 mm of the 0.2 mm that may be missing is lighter than six times the cap, 0.14 mm is not."""
    short = part("short", price=band(9, 10), needs=[need("undercut_mm", at_least=0.4, waive=waive(0.2))])
    case = small_case(ends={"E": None}, money={"cap": 10})
    found = plan(case, stock(short, part("dear", price=band(60, 62))))
    (flip,) = sensitivity(found).flips

    assert (["B=short"], ["B=dear"]) == (keys(found.best), keys(flip.instead))
    assert [("attachments", "short", "needs", 0, "at_least")] == [turn.figure.path for turn in flip.turns]


def test_what_a_mirror_site_can_take_too_turns_the_choice() -> None:
    """A large ball and a small one take a part each, and two kinds go where either takes only its own.

    Where the large one could take the slim part too, the pair is unlike: two slim ones cost less than a tenth more.
    """
    ends = {"E": {"ball_mm": 2.2}, "F": {"on": "R", "length_mm": 8, "ball_mm": 2.0, "out_of_round_mm": 0}}
    big = part("big", "ball", "end", price=band(20, 20), needs=[need("ball_mm", at_least=2.15)])
    slim = part("slim", "ball", "end", price=band(26, 26), needs=[need("ball_mm", at_most=2.1)])
    catalogue = preferring(stock(big, slim), alike_saves=0.1)
    found = plan(small_case(ends=ends, wanted={"level_n": 10}), catalogue)
    instead = {keys_text(flip.instead): flip.turns for flip in sensitivity(found).flips if flip.status is Status.FITS}

    assert ["E=big", "F=slim"] == keys(found.best)
    assert {"E=big F=big", "E=slim F=slim"} == instead.keys()
    assert [("attachments", "slim", "needs", 0, "at_most")] == [t.figure.path for t in instead["E=slim F=slim"]]


def keys_text(found: Any) -> str:
    return " ".join(keys(found) or ())


def test_the_small_worlds_show_every_kind() -> None:
    """Kinds that never come up would be tested by nothing."""
    every = [answered(seed) for seed in SEEDS]
    paths = Counter(str(turn.figure.path[2]) for _, told in every for flip in told.flips for turn in flip.turns)
    turns = [sum(len(flip.turns) for flip in told.flips) for _, told in every]

    assert min(paths[of] for of in ("price", "work", "retention_n", "needs", "stack", "movement")) >= 1
    assert {Status.FITS, Status.FITS_IF, Status.RELAXED} <= {found.status for found, _ in every}
    assert min(turns) <= 1
    assert max(turns) >= 6
    assert sum(len(flip.turns) > 1 for _, told in every for flip in told.flips) >= 5


def test_running_out_of_time_is_said() -> None:
    told = sensitivity(answered(0)[0], Options(time_limit_s=0.0))

    assert not told.complete or told.solved == 0


def test_what_is_not_decided_hangs_on_nothing_known() -> None:
    undecided = Answer(answered(0)[0].problem, Status.UNDECIDED, (), answered(0)[0].proof)

    assert Sensitivity((), 0, 0, complete=False) == sensitivity(undecided)
