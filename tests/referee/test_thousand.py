"""Every law of a plan against the second opinion, on a thousand cases in ten strata (`tests/referee/worlds.py`).

A default run takes a few of each; `REGRIP_REFEREE=all` takes all (`make referee`).
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator

import pytest

from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import EDGES, Mechanics
from solver.audit.certificate_motion import check_verdicts
from solver.audit.second_opinion.asked import Tier
from solver.audit.second_opinion.decide import Found, question_curve, waiver_sets
from solver.audit.second_opinion.mixes import Mix
from solver.audit.second_opinion.pieces import Piece
from solver.audit.second_opinion.tiers import cheapest_with, firmest, stopgap
from solver.case.retention import Condition
from solver.case.schema import DEMANDS, PULLS
from solver.choose.cutter import grip_of
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.choose.tiers import STEP_N, STEP_SHARE, Tiers, tiers
from solver.explain.waivers import Footing, Give
from solver.explore.agreement import Accord, agreement
from solver.explore.questions import ask
from solver.fit.bench import LEFT_BARE
from solver.mechanics.option import Option
from solver.mechanics.side_share import best_shares
from tests.referee.strata import strata
from tests.referee.worlds import ALL, STRATA, answered, hold_on, mixes_of, world

FEW = 6
"""Cases of each stratum in a default run."""

KEEPS = (Status.FITS, Status.FITS_IF, Status.TOO_LITTLE_KNOWN)

every_stratum = pytest.mark.parametrize("stratum", STRATA)


@every_stratum
def test_the_plan_is_the_same(stratum: str) -> None:
    """Yes or no, cost, terms, questions and parts; else what is given up, by how much, and the best that does."""

    def law(seed: int) -> None:
        assert Accord.AGREES is agreement(answered(stratum, seed)).accord

    hold_on(STRATA[stratum].seeds(FEW), law)


@every_stratum
def test_the_plan_of_least_cost_over_the_years_is_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        assert Accord.AGREES is agreement(plan(*world(stratum, seed), Options(least="years"))).accord

    hold_on(STRATA[stratum].seeds(FEW)[::5], law)


@every_stratum
def test_the_smallest_sets_of_waivers_are_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        if answered(stratum, seed).status in KEEPS:
            return
        given = Give(*world(stratum, seed), most=99)
        assert list(given.steps())
        sets = [frozenset(rule.code for rule in way.rules) for way in given.ways]

        assert len(sets) == len(set(sets))
        assert waiver_sets(mixes_of(stratum, seed)) == set(sets)
        assert (Footing.GIVES if sets else Footing.FIXED) is given.footing

    hold_on(STRATA[stratum].seeds(FEW), law)


@pytest.mark.parametrize("stratum", ["plain", "pulls", "wide"])
def test_the_least_cost_for_every_number_of_questions_is_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        curve = ask(*world(stratum, seed)).curve
        assert question_curve(mixes_of(stratum, seed)) == [(len(p.questions), p.cost.high) for p in curve]

    hold_on(STRATA[stratum].seeds(FEW), law)


@every_stratum
def test_stopgap_usual_and_firm_are_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        answer = answered(stratum, seed)
        told = tiers(answer)
        assert told.complete
        assert (answer.best if answer.status in KEEPS else None) is told.usual
        same_stopgap(told, stopgap(world(stratum, seed)).found)
        same_steps(told, stratum, seed)

    hold_on(STRATA[stratum].seeds(FEW), law)


def same_stopgap(told: Tiers, theirs: Found | None) -> None:
    """A stopgap that saves nothing beside the usual plan is not told."""
    if told.stopgap:
        assert theirs is not None
        mix = told.stopgap
        assert (mix.cost.high, len(mix.questions), sum(c.parts for c in mix.mix)) == theirs.rank
        assert {preference.code for preference in mix.unpreferred} == theirs.without
    elif told.usual:
        assert theirs is None or theirs.rank[0] >= told.usual.cost.high
    else:
        assert theirs is None


def same_steps(told: Tiers, stratum: str, seed: int) -> None:
    """Each step is the cheapest that is firmer by enough, the last the cheapest of the firmest.

    Both among the mixes that keep whatever is preferred of the plan.
    """
    before = told.usual or told.stopgap
    if before is None:
        assert not told.steps
        return
    tier: Tier = "usual" if told.usual else "stopgap"
    without = {preference.code for preference in before.unpreferred}
    best = firmest(world(stratum, seed), tier, without)
    assert best is not None
    assert best == ((grip_of(told.firm), told.firm.cost.high) if told.firm else (grip_of(before), best[1]))
    for number, step in enumerate(told.steps):
        assert step.more == step.plan.cost.high - before.cost.high >= 0
        wanted = grip_of(before) + max(int(100 * STEP_N), int(STEP_SHARE * grip_of(before)))
        if number < len(told.steps) - 1:
            assert grip_of(step.plan) >= wanted
            assert step.plan.cost.high == cheapest_with(world(stratum, seed), tier, wanted, without)
        before = step.plan


@every_stratum
def test_what_can_be_fitted_is_the_same(stratum: str) -> None:
    """Each way to fill a site with its cost and questions, what it gives up, and whether it harms the bar."""

    def law(seed: int) -> None:
        every = answered(stratum, seed).problem.options
        # To leave an end bare is no piece of the second opinion: it counts what that hangs on with the whole mix.
        ours = {named(option): told(option) for option in every if option.candidate.attachment.id != LEFT_BARE}
        theirs = {
            (piece.site.id, piece.attachment.id, piece.count, piece.extra): (
                piece.cost, len(piece.asks), piece.broken, piece.harms_bar,
            )
            for pieces in mixes_of(stratum, seed).useful.values()
            for piece in pieces
        }  # fmt: skip
        assert ours == theirs

    hold_on(STRATA[stratum].seeds(FEW), law)


def told(option: Option) -> tuple[object, ...]:
    candidate = option.candidate
    codes = frozenset(rule.code for rule in option.needs_waived)
    return candidate.cost.high, len(candidate.questions), codes, candidate.harms_bar


Name = tuple[str, str, int, frozenset[str]]


def named(option: Option) -> Name:
    candidate = option.candidate
    return option.site, candidate.attachment.id, candidate.count, frozenset(r.id for r in candidate.extra_reworks)


@every_stratum
def test_pulls_peel_and_spread_are_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        pulls, problem = mixes_of(stratum, seed).hold.pulls, answered(stratum, seed).problem
        best = best_shares(problem.layout, [option for option in problem.options if not option.needs_waived])
        assert pulls.best_shares == pytest.approx(best, abs=1e-6)
        for theirs, ours in drawn(stratum, seed):
            for condition in Condition:
                expected = {name: pulls.n(theirs, name, condition.value) for name in PULLS}
                assert expected == pytest.approx({name: ours.hold_n(name, condition) for name in PULLS}, abs=1e-6)
            assert min(pulls.n(theirs, name, "tight") for name in EDGES) == pytest.approx(ours.peel_n, abs=1e-6)

    hold_on(STRATA[stratum].seeds(FEW), law)


@every_stratum
def test_verdicts_on_movement_are_the_same(stratum: str) -> None:
    """By programme, certificate and second opinion; and what fights by kinds alone."""

    def law(seed: int) -> None:
        motion = mixes_of(stratum, seed).motion
        for theirs, ours in drawn(stratum, seed):
            verdicts = [verdict.verdict.value for verdict in ours.verdicts]
            assert [motion.verdict(theirs, demand) for demand in DEMANDS] == verdicts
            check_verdicts(ours.problem, ours.mix, ours.verdicts, mixes_of(stratum, seed).asked.in_kind)
            assert [verdict == "fights" for verdict in verdicts] == [ours.fights(demand) for demand in DEMANDS]
            assert [motion.reach(theirs, d) for d in DEMANDS] == pytest.approx(
                [r.reach for r in ours.reaches], abs=1e-6
            )

    hold_on(STRATA[stratum].seeds(FEW), law)


@every_stratum
def test_mirror_sites_and_what_is_unlike_are_the_same(stratum: str) -> None:
    def law(seed: int) -> None:
        mixes = mixes_of(stratum, seed)
        assert mixes.mirrors == dict(answered(stratum, seed).problem.mirrors)
        for theirs, ours in drawn(stratum, seed):
            assert mixes.likeness.unlike(theirs) is bool(ours.unlike)

    hold_on(STRATA[stratum].seeds(FEW), law)


def drawn(stratum: str, seed: int) -> Iterator[tuple[Mix, Assessment]]:
    """Some mixes, as the second opinion has them and as ours."""
    problem, mixes = answered(stratum, seed).problem, mixes_of(stratum, seed)
    ours, mechanics = {named(option): option for option in problem.options}, Mechanics(problem)
    dice = random.Random(f"mixes {seed}")
    useful = [mixes.useful[site] for site in problem.site_ids]
    for bar_off in (False, True, False):
        sites = [pieces for pieces in useful if pieces and (pieces[0].site.kind == "support") is bar_off]
        picked = [dice.choice([None, *pieces, *pieces]) for pieces in sites]
        mix: list[Piece] = [piece for piece in picked if piece]
        options = [ours[piece.site.id, piece.attachment.id, piece.count, piece.extra] for piece in mix]
        yield tuple(mix), assess(problem, mechanics, options)


COMMON: dict[str, tuple[str, ...]] = {
    "jaw": ("lower", "upper"),
    "answer": ("fits", "fits-if", "relaxed", "none", "too-little-known"),
    "tier": ("usual", "stopgap", "none"),
    "kind": ("clip", "stud"),
    "strategy": ("bar kept", "bar off"),
    "questions": ("0", "1", "2"),
    "given up": ("allowed", "pulls", "even"),
    "without": ("alike", "whole-bar", "three-points"),
    "verdict": ("moves", "stands"),
    "mechanics": ("cuts", "none needed"),
    "pulls": ("asked", "none"),
    "money": ("own", "foreign"),
    "scans": ("no", "unknown"),
    "hand": ("weak", "usual", "strong", "unknown"),
    "section": ("round", "ovoid", "parallel", "keyhole", "unknown"),
    "sites filled": ("1", "2"),
}
"""What must be there each day, so that nothing is agreed on only where it never comes up."""

RARE: dict[str, tuple[str, ...]] = {
    "scans": ("yes",),
    "kind": ("ball", "magnet", "bare"),
    "asks": ("alloy", "height_mm", "room_mm", "scans", "section", "strength", "undercut_mm", "width_mm"),
    "given up": ("budget", "level", "peel", "spread", "need", "cover", "borne", "supports", "moves", "unsplint"),
    "verdict": ("bottoms",),
    "sites filled": ("3",),
    "work": ("rework",),
}
"""What must be there among all thousand, at least three times."""


def test_every_stratum_is_really_there() -> None:
    counts: Counter[str] = Counter()
    for stratum, kind in STRATA.items():
        for seed in kind.seeds(FEW):
            counts.update(strata(world(stratum, seed), answered(stratum, seed)))

    needed = [f"{name}: {value}" for name, values in COMMON.items() for value in values]
    if ALL:
        needed += [f"{name}: {value}" for name, values in RARE.items() for value in values]
    least = 3 if ALL else 1
    assert {} == {label: counts[label] for label in needed if counts[label] < least}
