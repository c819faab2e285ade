"""Which rules bind a case, what a tier promises beside them, and what giving one up weighs."""

from __future__ import annotations

from itertools import groupby
from typing import Any, Literal, get_args

import pytest

from catalogue.models import Catalogue
from solver.assess.assessment import assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.case.retention import Condition
from solver.case.rule_set import (
    HEAVY,
    MOST_OVERSHOOT,
    PERMISSIONS,
    SEVERITY,
    of_usual_tier,
    overshoot_percent,
    preferences,
    promises,
    severity,
    weight_of,
)
from solver.case.rules import (
    Alike,
    BestShares,
    Borne,
    Budget,
    Covered,
    EnoughSupports,
    Even,
    FirmBar,
    Held,
    LevelPull,
    LinedAlone,
    Moves,
    NeedHolds,
    NoFight,
    NotAllowed,
    OneKind,
    Peel,
    Pulls,
    Rule,
    Shortfall,
    Spread,
    ThreePoints,
    Unsplint,
    WholeBar,
    waivable,
)
from solver.case.schema import DEMANDS, PULLS, Waivable
from tests.referee.random_case import INVENTED
from tests.solver.small import part, preferring, promising, small_case, small_problem, stock

STILL = dict.fromkeys(DEMANDS, 0)
BEST = BestShares(0.4, 0.3)
USUAL_PULL = Pulls("left", 1, Condition.WORN, "usual")
EVERY: tuple[Rule, ...] = (
    Budget(1),
    Pulls("front", 1),
    Pulls("front", 1, tier="stopgap"),
    LevelPull(1),
    Held(),
    Peel(1),
    Spread(0.6, BEST, ""),
    Even(0.5, ""),
    Moves("whole", 1),
    NoFight("whole"),
    Borne(2, 4, splinted=True),
    EnoughSupports(2),
    NotAllowed("weld"),
    NeedHolds("A", "width_mm"),
    Covered("E", 0.1, thin=True),
    Unsplint(4),
    FirmBar(("S1",)),
    LinedAlone(),
)
KINDS = {rule.code.partition(":")[0] for rule in EVERY if waivable(rule)}
OLDER = {"hold", "pull"}
"""Names of older case files for `pulls` and `peel`."""


def test_every_kind_of_rule_that_may_be_given_up_has_a_weight_that_a_case_can_set() -> None:
    """The floor of a stopgap goes with the pulls."""
    assert set(get_args(Rule)) == {type(rule) for rule in EVERY}
    assert KINDS == set(SEVERITY)
    works = {NotAllowed(work).code for work in PERMISSIONS}
    assert {*KINDS, *works, *OLDER} - {"stopgap"} == set(get_args(Waivable))


def test_our_own_order_of_what_is_given_up() -> None:
    """Money and what only a person can judge first, the motion that a denture leaves last.

    A case may say otherwise, in weights of the same span.
    """
    ranked = sorted(SEVERITY, key=lambda kind: SEVERITY[kind])
    order = [set(kinds) for _, kinds in groupby(ranked, key=lambda kind: SEVERITY[kind])]

    assert [
        {"budget", "firm-bar"},
        {"allowed"},
        {"peel", "level", "stopgap", "pulls", "spread", "even"},
        {"need", "cover", "borne", "supports", "lined"},
        {"moves", "unsplint"},
    ] == order
    assert all(1 <= weight <= 100 for weight in SEVERITY.values())


@pytest.mark.parametrize(
    ("expected", "own", "rule"),
    [
        (SEVERITY["allowed"], {}, NotAllowed("weld")),
        (SEVERITY["allowed"], {"need": 9}, NotAllowed("weld")),
        (9, {"allowed": 9}, NotAllowed("weld")),
        (7, {"allowed": 9, "allowed:weld": 7}, NotAllowed("weld")),
        (9, {"allowed": 9, "allowed:weld": 7}, NotAllowed("send_out")),
        (8, {"pulls": 8}, Pulls("left", 1)),
        (8, {"hold": 8}, Pulls("left", 1)),
        (8, {"pulls": 8}, Pulls("left", 1, tier="stopgap")),
        (SEVERITY["stopgap"], {"peel": 8}, Pulls("left", 1, tier="stopgap")),
        (8, {"peel": 8}, Peel(1)),
        (8, {"pull": 8}, Peel(1)),
        (SEVERITY["level"], {"hold": 8}, LevelPull(1)),
        (6, {"budget": 6}, Budget(1)),
    ],
    ids=[
        "ours", "another kind", "the kind", "the work itself", "other work", "a pull at any point", "its older name",
        "the stopgap's pull", "ours for a stopgap", "a peel", "a peel by its older name", "not the level pull",
        "no kind within",
    ],
)  # fmt: skip
def test_the_narrowest_weight_of_a_case_goes_before_ours(expected: int, own: dict[str, int], rule: Rule) -> None:
    assert expected == severity(rule, small_case(severity=own))


@pytest.mark.parametrize(
    ("expected", "rule"),
    [
        (True, USUAL_PULL),
        (True, Spread(0.6, BEST, "")),
        (True, Even(0.5, "")),
        (False, Pulls("left", 1)),
        (False, Pulls("left", 1, tier="stopgap")),
        (False, Budget(1)),
        (False, Peel(1)),
    ],
    ids=["pull", "spread", "even", "pull of the case", "pull of a stopgap", "budget", "peel"],
)
def test_what_only_the_usual_tier_promises_weighs_next_to_nothing(expected: bool, rule: Rule) -> None:
    case = small_case()

    assert expected is of_usual_tier(rule)
    assert severity(rule, case) * (1 if expected else HEAVY) == weight_of(rule, case)


def test_all_that_a_usual_plan_promises_weighs_less_than_any_rule_of_the_case() -> None:
    """Four pulls given up wholly, spread and even, beside the cap missed by nothing yet."""
    case = small_case()
    promised = 4 * 200 * weight_of(USUAL_PULL, case) + 100 * sum(
        weight_of(rule, case) for rule in (Spread(0.6, BEST, ""), Even(0.5, ""))
    )

    assert promised < 100 * weight_of(Budget(1), case)


OVERSHOOTS: dict[str, tuple[int, Rule, Shortfall, float]] = {
    "kept": (0, Peel(15), Shortfall(15, 15, "N"), 0),
    "16 against 15": (7, Peel(15), Shortfall(16, 15, "N"), 0),
    "48 against 15": (220, Peel(15), Shortfall(48, 15, "N"), 0),
    "a pull of nothing": (100, Pulls("left", 2), Shortfall(0, 2, "N"), 0),
    "half a pull": (50, Pulls("left", 2), Shortfall(1, 2, "N"), 0),
    "a cent over": (1, Budget(5000), Shortfall(5001, 5000, "money"), 0),
    "one per cent, to rounding": (1, Peel(10), Shortfall(10.1 + 1e-9, 10, "N"), 0),
    "far over": (MOST_OVERSHOOT, Budget(100), Shortfall(9900, 100, "money"), 0),
    "a cap of nothing": (0, Budget(0), Shortfall(9900, 0, "money"), 0),
    "a need by what may be waived": (75, NeedHolds("B", "width_mm"), Shortfall(0.15, 0, "mm"), 0.2),
    "a need of a word": (0, NeedHolds("B", "section"), Shortfall(0, 0, ""), 0),
    "half a level pull": (50, LevelPull(10), Shortfall(5, 10, "N"), 0),
    "spread is not weighed": (0, Spread(0.6, BEST, ""), Shortfall(0.1, 0.2, "share"), 0),
    "nor is movement": (0, Moves("whole", 1), Shortfall(0.1, 1, "share"), 0),
    "nor work": (0, NotAllowed("weld"), Shortfall(), 0),
}


@pytest.mark.parametrize(("expected", "rule", "missed", "up_to"), OVERSHOOTS.values(), ids=OVERSHOOTS)
def test_overshoot_in_per_cent_of_the_limit_rounded_up(
    expected: int, rule: Rule, missed: Shortfall, up_to: float
) -> None:
    assert expected == overshoot_percent(rule, missed, up_to)


TWINS: dict[str, tuple[Rule, Shortfall, Shortfall]] = {
    "48 N against 15 N, 16 N against 15": (Peel(15), Shortfall(48, 15, "N"), Shortfall(16, 15, "N")),
    "twice the cap, a tenth over": (Budget(100), Shortfall(200, 100, "money"), Shortfall(110, 100, "money")),
    "no pull at all, half of it": (Pulls("left", 2), Shortfall(0, 2, "N"), Shortfall(1, 2, "N")),
}


@pytest.mark.parametrize(("rule", "far", "near"), TWINS.values(), ids=TWINS)
def test_of_twins_the_one_farther_over_weighs_more(rule: Rule, far: Shortfall, near: Shortfall) -> None:
    assert overshoot_percent(rule, far) > overshoot_percent(rule, near) > 0


@pytest.mark.parametrize(("most_n", "percent"), [(2, 22), (1, 144), (0.5, 388)])
def test_a_mix_weighs_its_severity_and_more_the_farther_it_is_over(most_n: float, percent: int) -> None:
    """A clip takes 0.305 of its 8 N at the easiest edge: 2.44 N."""
    problem = small_problem(stock(part("clip")), wanted={"most_n": most_n})
    found = assess(problem, Mechanics(problem), [problem.option_of["B=clip"]])

    assert [(Peel(most_n), percent)] == [(each.rule, each.percent) for each in found.given_up]
    assert SEVERITY["peel"] * HEAVY * (100 + percent) == found.weight


def problem(catalogue: Catalogue | None = None, **changes: Any) -> Problem:
    """The small case without an end; all work is allowed and no demand asked unless said."""
    allowed = dict.fromkeys(PERMISSIONS, True)
    plain: dict[str, Any] = {"ends": {"E": None}, "allowed": allowed, "wanted": {"movement": STILL}}
    return small_problem(catalogue or stock(part("clip")), **{**plain, **changes})


ALWAYS = (*(NoFight(demand) for demand in DEMANDS), Borne(2, 4, splinted=True), EnoughSupports(2))
"""What is asked of every mix for the lower jaw of these tests, but that it holds."""
FOUND: dict[str, tuple[tuple[Rule, ...], tuple[Rule, ...], dict[str, Any]]] = {
    "nothing is asked": ((Held(),), (), {}),
    "a cap": ((Budget(1250), Held()), (), {"money": {"cap": 12.5}}),
    "a cap of nothing": ((Budget(0), Held()), (), {"money": {"cap": 0}}),
    "a level pull": ((Held(), LevelPull(3)), (), {"wanted": {"level_n": 3, "movement": STILL}}),
    "a level pull of nothing": ((Held(),), (), {"wanted": {"level_n": 0, "movement": STILL}}),
    "a hold is a pull at the centre": (
        (Held(), Pulls("centre", 0.5)), (), {"wanted": {"hold_n": 0.5, "movement": STILL}},
    ),
    "the centre's own goes before the hold": (
        (Held(), Pulls("centre", 2)), (), {"wanted": {"hold_n": 0.5, "pull_n": {"centre": 2}, "movement": STILL}},
    ),
    "the most that a patient lifts": ((Held(), Peel(0)), (), {"wanted": {"most_n": 0, "movement": STILL}}),
    "the most that a weak hand lifts": (
        (Held(), Peel(15, assumed=True, source=INVENTED)), (), {"patient": {"hand": "weak"}},
    ),
    "a peel told goes before the hand": (
        (Held(), Peel(9)), (), {"patient": {"hand": "weak"}, "wanted": {"most_n": 9, "movement": STILL}},
    ),
    "pulls at points": (
        (Held(), Pulls("left", 0.5), Pulls("front", 2)), (),
        {"wanted": {"movement": STILL, "pull_n": {"front": 2, "left": 0.5, "right": 0}}},
    ),
    "demands": (
        (Held(), Moves("whole", 0.5), Moves("left", 1)), (),
        {"wanted": {"movement": {**STILL, "whole": 0.5, "left": 1}}},
    ),
    "loose implants": ((Held(),), (FirmBar(("L",)),), {"supports": {"L": {"mobility": "loose"}}}),
    "work": (
        (Held(),), (NotAllowed("weld"),), {"allowed": {**dict.fromkeys(PERMISSIONS, True), "weld": False}},
    ),
}  # fmt: skip


@pytest.mark.parametrize(("before", "after", "changes"), FOUND.values(), ids=FOUND)
def test_the_rules_of_a_case_in_a_fixed_order(
    before: tuple[Rule, ...], after: tuple[Rule, ...], changes: dict[str, Any]
) -> None:
    assert (*before, *ALWAYS, *after) == problem(**changes).rules


@pytest.mark.parametrize(
    ("expected", "changes"),
    [
        ((Borne(2, 4, splinted=True), EnoughSupports(4), Unsplint(2)), {}),
        ((Borne(2, 4, splinted=False), EnoughSupports(4)), {"segments": {"B": None}}),
    ],
    ids=["a bar", "no bar"],
)
def test_an_upper_jaw_wants_four_supports_and_keeps_its_bar(
    expected: tuple[Rule, ...], changes: dict[str, Any]
) -> None:
    """Four: Sadowsky and Zitzmann 2016 (abstract)."""
    upper: dict[str, Any] = {"arch": "upper", "denture": {"left": None, "right": None, "front": None}}

    assert expected == problem(**upper, **changes).rules[5:]


@pytest.mark.parametrize(("expected", "supports"), [(True, 3), (False, 4), (False, 5)])
def test_fewer_than_four_supports_are_few(expected: bool, supports: int) -> None:
    """Four is where Kern et al., Clin Oral Implants Res 2016;27:174-195, draw the line (read in the abstract)."""
    assert expected is Unsplint(supports).few


Tier = Literal["stopgap", "usual"]
PROMISES: dict[str, tuple[tuple[Rule, ...], Tier, dict[str, float], dict[str, Any]]] = {
    "a stopgap, new": (
        (
            Pulls("centre", 1.5, Condition.NEW, "stopgap", INVENTED),
            Pulls("left", 0.5, Condition.NEW, "stopgap", INVENTED),
            Pulls("right", 0.5, Condition.NEW, "stopgap", INVENTED),
            Pulls("front", 0.25, Condition.NEW, "stopgap", INVENTED),
        ),
        "stopgap", {"centre_n": 1.5, "sides_n": 0.5, "front_n": 0.25}, {},
    ),
    "nothing promised, nothing asked": ((), "stopgap", {"centre_n": 0}, {}),
    "usual, spread and even after the pulls": (
        (
            Pulls("centre", 3, Condition.WORN, "usual", INVENTED), Spread(0.6, BEST, INVENTED), Even(0.5, INVENTED),
        ),
        "usual", {"centre_n": 3, "spread": 0.6, "even": 0.5, "until_renewal": True}, {},
    ),
    "usual, as fitted": (
        (Pulls("front", 2, Condition.NEW, "usual", INVENTED),), "usual", {"front_n": 2, "until_renewal": False}, {},
    ),
    "usual, on few supports": (
        (Pulls("left", 1, Condition.NEW, "usual", INVENTED), Pulls("right", 1, Condition.NEW, "usual", INVENTED)),
        "usual", {"sides_n": 1, "sides_many_n": 2, "many_supports": 3}, {},
    ),
    "usual, on many supports": (
        (Pulls("left", 2, Condition.NEW, "usual", INVENTED), Pulls("right", 2, Condition.NEW, "usual", INVENTED)),
        "usual", {"sides_n": 1, "sides_many_n": 2, "many_supports": 2}, {},
    ),
    "a pull that the case asks is not asked again": (
        (Pulls("right", 1, Condition.NEW, "usual", INVENTED),),
        "usual", {"sides_n": 1}, {"wanted": {"pull_n": {"left": 0.2}}},
    ),
    "nor one that the case says is not asked": (
        (Pulls("centre", 3, Condition.NEW, "usual", INVENTED), Pulls("right", 1, Condition.NEW, "usual", INVENTED)),
        "usual", {"centre_n": 3, "sides_n": 1}, {"wanted": {"pull_n": {"left": 0}}},
    ),
    "a hold stands for the centre": ((), "usual", {"centre_n": 3}, {"wanted": {"hold_n": 1}}),
}  # fmt: skip


@pytest.mark.parametrize(("expected", "tier", "figures", "changes"), PROMISES.values(), ids=PROMISES)
def test_the_promise_of_a_tier(
    expected: tuple[Rule, ...], tier: Tier, figures: dict[str, Any], changes: dict[str, Any]
) -> None:
    figures = dict(figures)
    until = figures.pop("until_renewal", False)
    catalogue = promising(stock(part("clip")), tier, **figures)
    catalogue = _until_renewal(catalogue, until=until)

    assert expected == promises(small_case(**changes), catalogue, tier, BEST)


def _until_renewal(catalogue: Catalogue, *, until: bool) -> Catalogue:
    tiers = catalogue.defaults.tiers
    usual = tiers.usual.model_copy(update={"until_renewal": until})
    defaults = catalogue.defaults.model_copy(update={"tiers": tiers.model_copy(update={"usual": usual})})
    return catalogue.model_copy(update={"defaults": defaults})


def test_both_heels_are_asked_by_no_tier() -> None:
    """They are told, and asked where a case does."""
    catalogue = promising(stock(part("clip")), "usual", centre_n=1, sides_n=1, front_n=1)
    asked = {rule.pull for rule in promises(small_case(), catalogue, "usual", BEST) if isinstance(rule, Pulls)}

    assert set(PULLS) - {"behind"} == asked


def test_a_problem_has_the_rules_of_its_case_then_the_usual_promise_and_the_stopgap_beside_them() -> None:
    catalogue = promising(promising(stock(part("clip")), "usual", centre_n=3), "stopgap", centre_n=1)
    found = problem(catalogue)

    assert (*problem().rules, Pulls("centre", 3, tier="usual", source=INVENTED)) == found.rules
    assert (Pulls("centre", 1, tier="stopgap", source=INVENTED),) == found.stopgap


@pytest.mark.parametrize(
    ("expected", "figures"),
    [
        ((), {}),
        ((Alike(0.1, INVENTED), OneKind(0.1, INVENTED)), {"alike_saves": 0.1}),
        ((WholeBar(0.3, INVENTED),), {"whole_bar_saves": 0.3}),
        (
            (Alike(0.1, INVENTED), OneKind(0.1, INVENTED), WholeBar(0.3, INVENTED)),
            {"alike_saves": 0.1, "whole_bar_saves": 0.3},
        ),
    ],
    ids=["none", "alike", "whole bar", "both"],
)
def test_what_must_save_nothing_is_not_preferred(expected: tuple[object, ...], figures: dict[str, float]) -> None:
    assert expected == preferences(small_case(), preferring(stock(part("clip")), **figures))


@pytest.mark.parametrize(
    ("expected", "catalogue", "ends"),
    [
        ((ThreePoints(0.4, INVENTED),), preferring(stock(part("clip")), three_points_saves=0.4), True),
        ((), preferring(stock(part("clip")), three_points_saves=0), True),
        ((), stock(part("clip")), True),
        ((), preferring(stock(part("clip")), three_points_saves=0.4), False),
    ],
    ids=["free ends", "saves nothing", "not told", "no free end"],
)
def test_three_points_are_preferred_on_a_bar_with_free_ends(
    expected: tuple[object, ...], catalogue: Catalogue, ends: bool
) -> None:
    case = small_case()

    assert expected == preferences(case if ends else case.model_copy(update={"ends": {}}), catalogue)
