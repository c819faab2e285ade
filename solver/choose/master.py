"""The master problem in CP-SAT: at most one option per site, the rules in force, and the cuts learnt so far.

Data arrive prepared; there are only loops and constraints here. A rule that may be given up has a `waived` literal.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from enum import Enum
from math import ceil, floor
from types import MappingProxyType
from typing import Any, NamedTuple, assert_never

from solver.assess.mirror import likes
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least, Problem
from solver.case.rule_set import MOST_OVERSHOOT, WITHIN_PER_CENT, overshoot_percent, weight_of
from solver.case.rules import (
    THREE,
    Alike,
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
    Preference,
    Pulls,
    Rule,
    Shortfall,
    Spread,
    ThreePoints,
    Unsplint,
    WholeBar,
)
from solver.case.schema import DEMANDS
from solver.choose import cpsat as stoppable
from solver.choose.cuts import CUT_SCALE, AnyCut, CoverCut, Cut, LinearCut, MixCut
from solver.choose.cutter import GRIPS_PER_N, grip_cut
from solver.choose.hold_bound import Cheapest, CheapestMix
from solver.choose.millinewtons import at_least, force
from solver.choose.ranking import Ranking
from solver.fit.candidate import Question
from solver.mechanics.option import Option
from solver.mechanics.verdicts import Kind

_PARAMETERS = {
    "num_workers": 1,  # the same answer every time
    "random_seed": 1,
    # By trial on 5 and 12 sites: a full linear relaxation and no probing halve the time of these small knapsacks.
    "linearization_level": 2,
    "cp_model_probing_level": 0,
    "symmetry_level": 0,
    "exploit_best_solution": True,
}


def bound(variable: Any, low: int, high: int) -> None:
    """Set the domain of a variable anew; what was learnt from constraints stays valid."""
    domain = variable.proto.domain
    domain.clear()
    domain.extend([low, high])


def _is_off(literal: Any | None) -> bool:
    """True where a switch is missing or cannot be set."""
    if literal is None:
        return True
    _, high = literal.proto.domain
    return bool(high == 0)


class Outcome(Enum):
    """How a search ended; UNDECIDED is never read as infeasible."""

    OPTIMAL = "optimal"
    FEASIBLE = "feasible"
    INFEASIBLE = "infeasible"
    UNDECIDED = "undecided"


class Solved(NamedTuple):
    """What the master proposes: indices in order, rules given up, overshoot paid for (per cent), least pull claimed.

    All empty where nothing was found.
    """

    outcome: Outcome
    picked: tuple[int, ...] = ()
    given_up: frozenset[Rule] = frozenset()
    over: Mapping[Rule, int] = MappingProxyType({})
    grip: int = 0


class Master:
    """Variables and constraints; `options` and indices into it name the choices.

    Rules in `soft` may be given up; where the search is `weighing`, by how much counts. Preferences are always
    switches. With `from_last` every search starts from the mix found last, which pays where questions are much alike.
    """

    def __init__(
        self,
        problem: Problem,
        options: Sequence[Option],
        mechanics: Mechanics,
        soft: Sequence[Rule] = (),
        *,
        rules: Sequence[Rule] | None = None,
        weighing: bool = False,
        from_last: bool = False,
    ) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - a third of a second; only where needed

        self._cp, self.problem, self.options, self._mechanics = cp_model, problem, tuple(options), mechanics
        self.rules = tuple(problem.rules if rules is None else rules)
        self.model = cp_model.CpModel()
        self.pick = [self.model.new_bool_var(option.candidate.key) for option in self.options]
        self._places = [x.index for x in self.pick]
        self.at: dict[str, list[int]] = {site: [] for site in problem.site_ids}
        for index, option in enumerate(self.options):
            self.at[option.site].append(index)
        self.waived = {rule: self.model.new_bool_var(f"waive {rule.code}") for rule in soft}
        self.unpreferred = {rule: self.model.new_bool_var(f"without {rule.code}") for rule in problem.preferences}
        self.charge = {name: self.model.new_bool_var(name) for name in problem.charges}
        self.over = self._overshoots() if weighing else {}
        self._from_last = from_last
        self.asked: dict[Question, Any] = {}
        self.required: list[Collection[str]] = []
        self._out: dict[Rule, set[int]] = {}
        self._needing: dict[Rule | Question, tuple[Any, list[int]]] = {}
        self._ranked: tuple[Ranking, CheapestMix] | None = None
        self._grip: Any | None = None
        self._post_structure()
        self._post_kinds()
        for rule in self.rules:
            self._post(rule)
        for preference in problem.preferences:
            self._post_preference(preference)

    def _overshoots(self) -> dict[Rule, Any]:
        """Per cent of its limit by which each weighed rule that is given up is missed; 0 where it is kept."""
        found = {}
        for rule, waived in self.waived.items():
            if (most := self._most_overshoot(rule)) > 0:
                found[rule] = self.model.new_int_var(0, most, f"over {rule.code}")
                self.model.add(found[rule] <= most * waived)
        return found

    def _most_overshoot(self, rule: Rule) -> int:
        match rule:
            case Pulls() | LevelPull() | EnoughSupports():
                return 100
            case Budget():
                dearest = sum(self._most_at(lambda o: o.candidate.cost.high))
                dearest += sum(cost.high for cost in self.problem.charges.values())
                return overshoot_percent(rule, Shortfall(max(dearest, rule.cap), rule.cap, "money"))
            case Peel():
                firmest = sum(self._most_at(lambda o: o.candidate.high_n))
                return overshoot_percent(rule, Shortfall(max(firmest, rule.most_n), rule.most_n, "N"))
            case _:
                return 0

    def _most_at(self, figure: Callable[[Option], float]) -> Iterator[Any]:
        """The largest figure of an option at each site."""
        return (max((figure(self.options[i]) for i in here), default=0) for here in self.at.values())

    @property
    def cost_high(self) -> Any:
        """High end of the cost, minor units."""
        picked = sum(x * option.candidate.cost.high for x, option in self._picks())
        return picked + sum(x * self.problem.charges[name].high for name, x in self.charge.items())

    @property
    def grip(self) -> Any:
        """The least pull of the mix that a tier asks of, whole hundredths of a newton; cuts bring it down."""
        if self._grip is None:
            most_n = sum(self._most_at(lambda option: option.candidate.low_n))
            self._grip = self.model.new_int_var(0, int(most_n * GRIPS_PER_N) + 1, "least pull")
            self.add(grip_cut({i: o.candidate.low_n for i, o in enumerate(self.options)}))
        return self._grip

    @property
    def counts_grip(self) -> bool:
        """True where the least pull has been asked for."""
        return self._grip is not None

    @property
    def years_high(self) -> Any:
        """High end of the cost over the years of the case, minor units."""
        upkeep = sum(x * self.problem.upkeep_of(option.candidate).high for x, option in self._picks())
        return self.cost_high + upkeep + self.problem.recalls.high

    def paid_high(self, least: Least) -> Any:
        """High end of the cost that is made least, minor units."""
        return self.cost_high if least == "now" else self.years_high

    @property
    def hold_low(self) -> Any:
        """Retention of the mix at its low end, whole millinewtons."""
        return sum(x * force(option.candidate.low_n) for x, option in self._picks())

    def restrict(self, require: Iterable[Collection[str]], without: Iterable[Rule] = ()) -> None:
        """Of each set of candidate keys one is picked; these soft rules are given up for good."""
        self.required.extend(require)
        for keys in self.required:
            self.model.add_bool_or(x for x, option in self._picks() if option.candidate.key in keys)
        for rule in without:
            self.model.add(self.waived[rule] == 1)

    def switch(self, kept: Collection[Rule], given_up: Collection[Rule] = ()) -> None:
        """Soft rules in `kept` hold, those in `given_up` do not, all others are free again."""
        for rule, literal in self.waived.items():
            bound(literal, int(rule in given_up), int(rule not in kept))

    def prefer(self, kept: Collection[Preference]) -> None:
        """These preferences hold, the others need not."""
        for preference, literal in self.unpreferred.items():
            bound(literal, 0, int(preference not in kept))

    def solve(self, objective: Any, time_limit_s: float) -> Solved:
        """Minimise an expression, or rank.

        Without an objective any solution is OPTIMAL.
        """
        if time_limit_s <= 0:
            return Solved(Outcome.UNDECIDED)
        if isinstance(objective, Ranking):
            if (cheapest := self._cheapest(objective)) is None:
                return Solved(Outcome.INFEASIBLE)
            self._rank(objective, cheapest)
        elif objective is not None:
            self.model.minimize(objective)
        else:
            self.model.clear_objective()  # type: ignore[no-untyped-call]
        solver = self._cp.CpSolver()
        for name, value in _PARAMETERS.items():
            setattr(solver.parameters, name, value)
        # Whether there is any mix at all is settled sooner than the model is simplified.
        solver.parameters.cp_model_presolve = objective is not None
        status = stoppable.solve(solver, self.model, time_limit_s)
        outcome = {
            self._cp.OPTIMAL: Outcome.OPTIMAL,
            self._cp.FEASIBLE: Outcome.FEASIBLE,
            self._cp.INFEASIBLE: Outcome.INFEASIBLE,
        }.get(status, Outcome.UNDECIDED)
        if outcome not in (Outcome.OPTIMAL, Outcome.FEASIBLE):
            return Solved(outcome)
        taken = list(solver.response_proto.solution)  # all at once: asked for one by one they take longer
        picked = tuple(index for index, place in enumerate(self._places) if taken[place])
        if self._from_last:
            self._start_from(set(picked))
        given_up = frozenset(r for r, x in self.waived.items() if solver.value(x))
        over = {rule: int(solver.value(x)) for rule, x in self.over.items()}
        return Solved(outcome, picked, given_up, over, int(solver.value(self._grip)) if self._grip is not None else 0)

    def _rank(self, ranking: Ranking, cheapest: Cheapest) -> None:
        """Minimise the ranking, from the mix that is cheapest by hold and never below its weight."""
        self.model.minimize(self.weight(ranking))
        most = sum(ranking.options) + sum(ranking.once.values())
        self.model.proto.objective.domain.extend([cheapest.least, most])
        self._start_from(cheapest.picked)

    def _cheapest(self, ranking: Ranking) -> Cheapest | None:
        """The bound by hold alone with the switches as they stand."""
        if self._ranked is None or self._ranked[0] is not ranking:
            self._ranked = ranking, CheapestMix(self.options, ranking)
        rules = [rule for rule in self.rules if _is_off(self.waived.get(rule))]
        left_out = {i for rule in rules for i in self._out.get(rule, ())}
        left_out.update(i for literal, indices in self._needing.values() if _is_off(literal) for i in indices)
        return self._ranked[1].of(left_out, rules)

    def weight(self, ranking: Ranking) -> Any:
        """Weight of the mix."""
        once = (self.asked[each] if isinstance(each, Question) else self.charge[each] for each in ranking.once)
        literals = [*self.pick, *once]
        weights = [*ranking.options, *ranking.once.values()]
        return self._cp.LinearExpr.weighted_sum(literals, weights)

    def severity_of_waivers(self, weights: Mapping[Rule, int]) -> Any:
        """Sum of the weights of the rules given up, whatever the amount."""
        return sum(self.waived[rule] * weight for rule, weight in weights.items())

    @property
    def given_up(self) -> Any:
        """What all that is given up weighs, with the amounts (see `Assessment.weight`)."""
        case = self.problem.case
        total = sum(literal * 100 * weight_of(rule, case) for rule, literal in self.waived.items())
        total += sum(over * weight_of(rule, case) for rule, over in self.over.items())
        return total + sum(x * amount for x, option in self._picks() if (amount := self._short_weight(option)))

    def weight_given_up(self, found: Solved) -> int:
        """What `given_up` comes to for what was found."""
        case = self.problem.case
        total = sum(100 * weight_of(rule, case) for rule in found.given_up)
        total += sum(over * weight_of(rule, case) for rule, over in found.over.items())
        return total + sum(self._short_weight(self.options[i]) for i in found.picked)

    @property
    def most_given_up(self) -> int:
        """No mix gives up more."""
        case = self.problem.case
        total = sum(100 * weight_of(rule, case) for rule in self.waived)
        total += sum(max(x.proto.domain) * weight_of(rule, case) for rule, x in self.over.items())
        return int(total + sum(self._most_at(self._short_weight)))

    def _short_weight(self, option: Option) -> int:
        """What the amounts weigh by which an option is short of needs."""
        return sum(
            weight_of(rule, self.problem.case) * percent
            for rule, percent in option.short_percent.items()
            if rule in self.waived
        )

    def add(self, cut: AnyCut) -> None:
        """Post a cut, rounded so that it never removes a mix that keeps the rule."""
        match cut:
            case Cut():
                self._add_movement(cut)
            case LinearCut():
                self._add_linear(cut)
            case CoverCut():
                self._add_cover(cut)
            case MixCut():
                self._add_of_mix(cut)

    def _add_movement(self, cut: Cut) -> None:
        if cut.alone and isinstance(cut.rule, Moves):
            self._out.setdefault(cut.rule, set()).update(cut.alone)
        slack = [self.waived[cut.rule]] if cut.rule in self.waived else []
        if cut.least > cut.constant:
            weights = {i: cut.grains(site, i) - cut.most_grains for site in cut.worth for i in self.at[site]}
            literals = [self.pick[i] for i in weights] + slack
            factors = list(weights.values()) + [cut.most_grains] * len(slack)
            total = self._cp.LinearExpr.weighted_sum(literals, factors)
            self.model.add(total >= cut.least_grains - cut.most_grains * len(cut.worth))
        if cut.together:
            self.forbid(cut.together, exactly=False, slack=slack)

    def _add_linear(self, cut: LinearCut) -> None:
        """Worths rounded up, the limit down; a rule that is given up by an amount is given what rounding may take."""
        factors = {i: ceil(worth * CUT_SCALE) for i, worth in cut.worth.items() if worth}
        if not cut.grip and cut.least > 0 and min(factors.values(), default=0) >= 0:  # no more than is asked counts
            factors = {i: min(factor, ceil(cut.least * CUT_SCALE)) for i, factor in factors.items()}
        least = floor(cut.least * CUT_SCALE)
        literals, weights = [self.pick[i] for i in factors], list(factors.values())
        if cut.grip:
            literals.append(self.grip)
            weights.append(-(CUT_SCALE // GRIPS_PER_N))
        if cut.rule in self.over:
            literals += [self.over[cut.rule], self.waived[cut.rule]]
            weights += [ceil(cut.slack_per_cent * per_cent * CUT_SCALE) for per_cent in (1, WITHIN_PER_CENT)]
        elif cut.rule in self.waived:
            literals.append(self.waived[cut.rule])
            weights.append(least - self._least_of(factors))
        self.model.add(self._cp.LinearExpr.weighted_sum(literals, weights) >= least)

    def _add_cover(self, cut: CoverCut) -> None:
        """Where all sites are covered, the overshoot is paid for, or the others are worth enough."""
        literals = [self.pick[i] for covering in cut.covers.values() for i in covering]
        free = len(cut.covers) - 1
        if cut.worth is not None:
            factors = {i: min(ceil(worth * CUT_SCALE), ceil(cut.least * CUT_SCALE)) for i, worth in cut.worth.items()}
            least = floor(cut.least * CUT_SCALE)
            total = self._cp.LinearExpr.weighted_sum([self.pick[i] for i in factors], list(factors.values()))
            slack = sum(self._slack(cut.rule)) * least
            self.model.add(total + slack >= least * (sum(literals) - free))
        elif cut.rule in self.over:
            self.model.add(cut.per_cent * (sum(literals) - free) <= self.over[cut.rule])
            self.model.add(sum(literals) <= free + self.waived[cut.rule])
        else:
            self.model.add(sum(literals) <= free + sum(self._slack(cut.rule)))

    def _add_of_mix(self, cut: MixCut) -> None:
        """It is not that mix, or the rule is given up by so much; or the least pull is no more."""
        this = self._others(cut.picked, exactly=True)
        if cut.rule is None:
            self.model.add(self.grip <= cut.grip).only_enforce_if([x.negated() for x in this])
            return
        self.model.add_bool_or([*this, *self._slack(cut.rule)])
        if cut.rule in self.over:
            owed = self.model.add(self.over[cut.rule] >= cut.per_cent)
            owed.only_enforce_if([x.negated() for x in this])

    def _slack(self, rule: Rule) -> list[Any]:
        return [self.waived[rule]] if rule in self.waived else []

    def _least_of(self, factors: Mapping[int, int]) -> int:
        """The least that a mix can sum to: at most one option a site, and none where none is better."""
        return sum(min(0, *(factors.get(i, 0) for i in here)) for here in self.at.values() if here)

    def forbid(self, indices: Iterable[int], *, exactly: bool, slack: Sequence[Any] = ()) -> None:
        """Never these together; with `exactly`, only this mix and no larger one is forbidden."""
        self.model.add_bool_or([*self._others(indices, exactly=exactly), *slack])

    def _others(self, indices: Iterable[int], *, exactly: bool) -> list[Any]:
        """Literals of which one is true in every mix without all of these, with `exactly` also in larger ones."""
        chosen = set(indices)
        literals = [self.pick[i].negated() for i in sorted(chosen)]
        if exactly:
            taken = {self.options[i].site for i in chosen}
            literals += [self.pick[i] for site, ids in self.at.items() if site not in taken for i in ids]
        return literals

    def _start_from(self, picked: Collection[int]) -> None:
        self.model.clear_hints()  # type: ignore[no-untyped-call]
        hint = self.model.proto.solution_hint  # all at once: one by one takes longer than many a solve
        hint.vars.extend(self._places)
        hint.values.extend([int(index in picked) for index in range(len(self.pick))])

    def _picks(self) -> Iterable[tuple[Any, Option]]:
        return zip(self.pick, self.options, strict=True)

    def _post_structure(self) -> None:
        """One option per site; bar and bare supports exclude each other; shared charges; waivers; questions."""
        for indices in self.at.values():
            self.model.add_at_most_one(self.pick[i] for i in indices)
        bar_off = self.model.new_bool_var("bar off")
        for index, (x, option) in enumerate(self._picks()):
            candidate = option.candidate
            self.model.add_implication(x, bar_off if candidate.takes_bar_off else bar_off.negated())
            for name in candidate.charges:
                self.model.add_implication(x, self.charge[name])
            for question in candidate.questions:
                if question not in self.asked:
                    self.asked[question] = self.model.new_bool_var(f"ask {question}")
            for need in (*option.needs_waived, *candidate.questions):
                literal = self.asked[need] if isinstance(need, Question) else self.waived[need]
                self.model.add_implication(x, literal)
                self._needing.setdefault(need, (literal, []))[1].append(index)
        self.model.add_bool_or([bar_off.negated(), *(x for x, o in self._picks() if o.candidate.takes_bar_off)])
        self.bar_off = bar_off

    def _post_kinds(self) -> None:
        """In each demand what stops and what gives exclude each other, and nothing is picked that fights itself.

        A literal says of a demand whether anything stops it.
        """
        for rule in self.rules:
            if not isinstance(rule, NoFight):
                continue
            stop = self.model.new_bool_var(f"stops {rule.demand}")
            for here in self.at.values():  # one option a site at most, so a sum a site says it for all
                kinds = {i: self._mechanics.kind_of(self.options[i], rule.demand) for i in here}
                stoppers, givers, fighters = (
                    [self.pick[i] for i, kind in kinds.items() if kind is wanted]
                    for wanted in (Kind.STOPPER, Kind.GIVER, Kind.FIGHTS_ITSELF)
                )
                posted = [self.model.add(x == 0) for x in fighters]
                if stoppers:
                    posted.append(self.model.add(self._cp.LinearExpr.sum(stoppers) <= stop))
                if givers:
                    posted.append(self.model.add(self._cp.LinearExpr.sum(givers) + stop <= 1))
                for constraint in posted:
                    self._sleep(constraint, rule)

    def _post(self, rule: Rule) -> None:  # noqa: C901 - a branch for each rule
        match rule:
            case Budget():
                self._post_budget(rule)
            case LevelPull():
                self._post_level(rule)
            case Held():
                holding = [x for x, option in self._picks() if option.candidate.low_n > 0]
                self._sleep(self.model.add_bool_or(holding), rule)
            case Covered():
                self._enforce(sum(self.pick[i] for i in self.at[rule.site]) + self.bar_off >= 1, rule)
            case Unsplint():
                self._enforce(self.bar_off == 0, rule)
            case FirmBar():
                self._enforce(self.bar_off == 1, rule)
            case LinedAlone():
                self._post_lined(rule)
            case Borne():
                self._post_borne(rule)
            case EnoughSupports():
                self._post_supports(rule)
            case Pulls() | Peel() | Spread() | Even() | Moves() | NoFight() | NotAllowed() | NeedHolds():
                pass  # posted as cuts, in the kinds, or standing in every option
            case _:
                assert_never(rule)

    def _post_lined(self, rule: LinedAlone) -> None:
        lined = self.model.new_bool_var("lined")
        for x, option in self._picks():
            if option.candidate.is_lining:
                self._enforce(lined >= x, rule)
            elif option.candidate.parts:
                self._enforce(lined + x <= 1, rule)

    def _post_level(self, rule: LevelPull) -> None:
        least = at_least(rule.least_n)
        if rule in self.over:
            self.model.add(100 * self.hold_low + least * self.over[rule] >= 100 * least)
        else:
            self._enforce(self.hold_low >= least, rule)

    def _post_supports(self, rule: EnoughSupports) -> None:
        used = sum(x for x, option in self._picks() if option.candidate.takes_bar_off)
        if rule in self.over:
            self.model.add(100 * used + rule.least * self.over[rule] >= 100 * rule.least * self.bar_off)
        else:
            self._enforce(used >= rule.least * self.bar_off, rule)

    def _post_budget(self, rule: Budget) -> None:
        if rule not in self.over:
            self._enforce(self.cost_high <= rule.cap, rule)
            return
        over, rounding = self.over[rule], floor(rule.cap * WITHIN_PER_CENT) * self.waived[rule]
        paid = self.model.add(100 * self.cost_high <= 100 * rule.cap + rule.cap * over + rounding)
        if max(over.proto.domain) == MOST_OVERSHOOT:  # beyond it no amount counts
            far = self.model.new_bool_var("far over the cap")
            self.model.add(over == MOST_OVERSHOOT).only_enforce_if(far)
            paid.only_enforce_if(far.negated())

    def _post_borne(self, rule: Borne) -> None:
        """Beside what stands in every demand something does not, unless the bar stays on supports enough."""
        parts = [index for index, option in enumerate(self.options) if option.placements]
        standing = {index for index in parts if self._stands(self.options[index])}
        moving = [self.pick[index] for index in parts if index not in standing]
        stands = self.model.new_bool_var("something that stands")
        for here in self.at.values():
            self.model.add(sum(self.pick[i] for i in here if i in standing) <= stands)
        borne = [self.bar_off.negated()] if rule.splinted and rule.supports >= rule.enough else []
        self._sleep(self.model.add_bool_or([stands.negated(), *moving, *borne]), rule)

    def _stands(self, option: Option) -> bool:
        """True where no part of an option gives in any demand."""
        return all(self._mechanics.kind_of(option, demand) is Kind.STOPPER for demand in DEMANDS)

    def _post_preference(self, rule: Preference) -> None:
        without = self.unpreferred[rule]
        match rule:
            case WholeBar():
                for x, option in self._picks():
                    if option.candidate.harms_bar:
                        self.model.add_implication(x, without)
            case OneKind():
                self._post_one_kind(without)
            case ThreePoints():
                self._post_three_points(without)
            case Alike():
                for site, mirror in self.problem.mirrors.items():
                    self._post_alike(site, mirror, without)

    def _post_three_points(self, without: Any) -> None:
        """While the bar stays there are three parts or more, one of them on a free end, one between the supports."""
        parts = [(x, option.candidate.site.kind) for x, option in self._picks() if option.candidate.parts]
        spared = [self.bar_off, without]
        for kind in ("end", "segment"):
            self.model.add_bool_or([*(x for x, of in parts if of == kind), *spared])
        three = self.model.add(sum(x for x, _ in parts) >= THREE)
        three.only_enforce_if([literal.negated() for literal in spared])

    def _post_one_kind(self, without: Any) -> None:
        """At most one attachment is used, wherever and however often."""
        by_id: dict[str, list[Any]] = {}
        for x, option in self._picks():
            if option.candidate.parts:
                by_id.setdefault(option.candidate.attachment.id, []).append(x)
        used = {name: self.model.new_bool_var(f"uses {name}") for name in by_id}
        for name, picks in by_id.items():
            self.model.add(self._cp.LinearExpr.sum(picks) <= len(self.at) * used[name])
        self.model.add(sum(used.values()) <= 1).only_enforce_if(without.negated())

    def _post_alike(self, site: str, mirror: str, without: Any) -> None:
        """An option goes with its like on the mirror site, if that site could take it at all."""
        everything = self.problem.options_at(mirror)
        index_of = {self.options[i].candidate.key: i for i in self.at[mirror]}
        for i in self.at[site]:
            wanted = [everything[j].candidate.key for j in likes(self.options[i], everything)]
            if wanted:
                there = [self.pick[index_of[key]] for key in wanted if key in index_of]
                self.model.add_bool_or([self.pick[i].negated(), *there, without])

    def _enforce(self, constraint: Any, rule: Rule) -> None:
        self._sleep(self.model.add(constraint), rule)

    def _sleep(self, posted: Any, rule: Rule) -> None:
        """A rule that may be given up does not count where it is."""
        if rule in self.waived:
            posted.only_enforce_if(self.waived[rule].negated())
