"""The master problem in CP-SAT: at most one option per site, the rules in force, and the cuts learnt so far.

Data arrive prepared; there are only loops and constraints here. A rule that may be given up has a `waived` literal.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from enum import Enum
from typing import Any, assert_never

from solver import stoppable
from solver.candidate import Question
from solver.cheapest import Cheapest, CheapestMix
from solver.cuts import Cut
from solver.newtons import at_least, at_most, force
from solver.problem import Least, Option, Problem
from solver.ranking import Ranking
from solver.rules import (
    Budget,
    Covered,
    Held,
    HoldCeiling,
    HoldFloor,
    Moves,
    NeedHolds,
    NotAllowed,
    Pulls,
    Rule,
    Unsplint,
)

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


class Master:
    """Variables and constraints; `options` and indices into it name the choices.

    With `from_last` every search starts from the mix found last, which pays where questions are much alike.
    """

    def __init__(
        self, problem: Problem, options: Sequence[Option], soft: Sequence[Rule] = (), *, from_last: bool = False
    ) -> None:
        from ortools.sat.python import cp_model  # noqa: PLC0415 - a third of a second; only where needed

        self._cp, self.problem, self.options = cp_model, problem, tuple(options)
        self.model = cp_model.CpModel()
        self.pick = [self.model.new_bool_var(option.candidate.key) for option in self.options]
        self._places = [x.index for x in self.pick]
        self.at: dict[str, list[int]] = {site: [] for site in problem.site_ids}
        for index, option in enumerate(self.options):
            self.at[option.site].append(index)
        self.waived = {rule: self.model.new_bool_var(f"waive {rule.code}") for rule in soft}
        self.charge = {name: self.model.new_bool_var(name) for name in problem.charges}
        self._from_last = from_last
        self.asked: dict[Question, Any] = {}
        self.required: list[Collection[str]] = []
        self._out: dict[Rule, set[int]] = {}
        self._needing: dict[Rule | Question, tuple[Any, list[int]]] = {}
        self._ranked: tuple[Ranking, CheapestMix] | None = None
        self._post_structure()
        for rule in problem.rules:
            self._post(rule)

    @property
    def cost_high(self) -> Any:
        """High end of the cost, minor units."""
        picked = sum(x * option.candidate.cost.high for x, option in self._picks())
        return picked + sum(x * self.problem.charges[name].high for name, x in self.charge.items())

    @property
    def hold_high(self) -> Any:
        """Retention of the mix at its high end, whole millinewtons."""
        return sum(x * force(option.candidate.high_n) for x, option in self._picks())

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

    def solve(self, objective: Any, time_limit_s: float) -> tuple[Outcome, tuple[int, ...], frozenset[Rule]]:
        """Minimise an expression, or rank; the picked indices in order and the rules given up (empty if unsolved).

        Without an objective any solution is OPTIMAL.
        """
        if time_limit_s <= 0:
            return Outcome.UNDECIDED, (), frozenset()
        if isinstance(objective, Ranking):
            if (cheapest := self._cheapest(objective)) is None:
                return Outcome.INFEASIBLE, (), frozenset()
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
            return outcome, (), frozenset()
        taken = list(solver.response_proto.solution)  # all at once: asked for one by one they take longer
        picked = tuple(index for index, place in enumerate(self._places) if taken[place])
        if self._from_last:
            self._start_from(set(picked))
        return outcome, picked, frozenset(r for r, x in self.waived.items() if solver.value(x))

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
        rules = [rule for rule in self.problem.rules if _is_off(self.waived.get(rule))]
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
        """Sum of the weights of the rules given up."""
        return sum(self.waived[rule] * weight for rule, weight in weights.items())

    def add(self, cut: Cut) -> None:
        """Post a cut, rounded so that it never removes a mix that keeps the rule."""
        if cut.alone:
            self._out.setdefault(cut.rule, set()).update(cut.alone)
        if cut.least > cut.constant:
            self._add_sum(cut)
        if cut.together or cut.exactly:
            self.forbid(cut.together, exactly=cut.exactly, rule=cut.rule)

    def _add_sum(self, cut: Cut) -> None:
        slack = cut.most_grains if cut.empty_is_slack else 0
        weights = {i: cut.grains(site, i) - slack for site in cut.worth for i in self.at[site]}
        literals, factors = [self.pick[i] for i in weights], list(weights.values())
        if cut.rule in self.waived:
            literals.append(self.waived[cut.rule])
            factors.append(cut.most_grains)
        total = self._cp.LinearExpr.weighted_sum(literals, factors)
        self.model.add(total >= cut.least_grains - slack * len(cut.worth))

    def forbid(self, indices: Iterable[int], *, exactly: bool, rule: Rule | None = None) -> None:
        """Never these together; with `exactly`, only this mix and no larger one is forbidden."""
        chosen = set(indices)
        literals = [self.pick[i].negated() for i in sorted(chosen)]
        if exactly:
            taken = {self.options[i].site for i in chosen}
            literals += [self.pick[i] for site, ids in self.at.items() if site not in taken for i in ids]
        if rule in self.waived:
            literals.append(self.waived[rule])
        self.model.add_bool_or(literals)

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

    def _post(self, rule: Rule) -> None:
        match rule:
            case Budget():
                self._enforce(self.cost_high <= rule.cap, rule)
            case HoldFloor():
                self._enforce(self.hold_low >= at_least(rule.least_n), rule)
            case Held():
                holding = [x for x, option in self._picks() if option.candidate.low_n > 0]
                self._sleep(self.model.add_bool_or(holding), rule)
            case HoldCeiling():
                self._enforce(self.hold_high <= at_most(rule.most_n), rule)
            case Covered():
                self._enforce(sum(self.pick[i] for i in self.at[rule.site]) + self.bar_off >= 1, rule)
            case Unsplint():
                self._enforce(self.bar_off == 0, rule)
            case Moves() | Pulls() | NotAllowed() | NeedHolds():
                pass  # demands are posted as cuts; permissions and needs stand in every option
            case _:
                assert_never(rule)

    def _enforce(self, constraint: Any, rule: Rule) -> None:
        self._sleep(self.model.add(constraint), rule)

    def _sleep(self, posted: Any, rule: Rule) -> None:
        """A rule that may be given up does not count where it is."""
        if rule in self.waived:
            posted.only_enforce_if(self.waived[rule].negated())
