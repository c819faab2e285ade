"""Why an attachment is not in the plan: what the cheapest plan with it costs more, or what it clashes with.

For each question the plan is sought again with a candidate forced in (or a site forced empty). Where no plan with
it keeps every rule, the smallest set of rules that by themselves forbid it is named.
"""

from __future__ import annotations

import time
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from enum import Enum

from catalogue.models import Catalogue
from solver.assess.assessment import Assessment, Status, assess
from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut, nearest_miss
from solver.case.rules import Moves, NeedHolds, NoFight, NotAllowed, Rule, waivable
from solver.case.schema import Case
from solver.choose.master import Outcome
from solver.choose.plan import Answer, plan, verified
from solver.choose.search import Choice, Options, choose, choose_relaxed
from solver.explain.algorithms import Clash, Verdict, smallest_clash
from solver.fit.bench import SiteFit
from solver.fit.candidate import Candidate
from solver.fit.proposal import Put
from solver.mechanics.movement import Reach
from solver.mechanics.option import Option


class Fate(Enum):
    """What came of a candidate; the value is its name in answers for machines."""

    IN_PLAN = "in-plan"
    DEARER = "dearer"
    CLASHES = "clashes"
    RULED_OUT = "ruled-out"
    UNDECIDED = "undecided"


@dataclass(frozen=True, slots=True)
class Obstacle:
    """What breaks when a candidate is put into the plan and all else stays.

    `rule` None: it wants the bar off and the plan wants it on, or the other way round. `among`: the fewest parts of
    the plan that break it together with the candidate, empty where the sum of all does. `have` is the sum (minor
    units, N) that the rule limits; `reach` that of a demand, with `among` alone.
    """

    rule: Rule | None
    among: tuple[Candidate, ...] = ()
    have: float = 0.0
    reach: Reach | None = None


@dataclass(frozen=True, slots=True)
class WhyNot:
    """The fate of one attachment (or of leaving the site empty), against the plan.

    DEARER: `instead` is the cheapest plan with it, `more` what it costs more (high end, minor units, of the cost that
    is made least; 0 where only questions, parts or the order decide). CLASHES: `clash` holds the fewest rules that
    forbid it, `instead` is the plan with it that gives up the least (None where physics is against every one). In
    both, `obstacles` tell what breaks in the plan as it stands. RULED_OUT: `ruled_out` says by what.
    """

    candidate: Candidate | None
    fate: Fate
    instead: Assessment | None = None
    more: int = 0
    obstacles: tuple[Obstacle, ...] = ()
    clash: Clash[Rule] | None = None
    ruled_out: RuledOut | None = None


@dataclass(frozen=True, slots=True)
class SiteWhy:
    """One site: what the plan has there, what the opposite would cost, and the fate of every attachment.

    `otherwise` is the cheapest plan with anything there where the site is left empty, and without where it is not;
    None where nothing at all can go there.
    """

    fit: SiteFit
    planned: Candidate | None
    otherwise: WhyNot | None
    entries: tuple[WhyNot, ...]


class Comparison:
    """A case planned, and the plan compared with others; all questions together take at most `how.time_limit_s`."""

    def __init__(self, case: Case, catalogue: Catalogue, how: Options = Options()) -> None:  # noqa: B008 - frozen
        self._until, self._least = time.monotonic() + how.time_limit_s, how.least
        self.answer: Answer = plan(case, catalogue, how)
        self.problem: Problem = self.answer.problem
        self._mechanics = Mechanics(self.problem)
        self._options = self.problem.option_of
        self._relaxed = self.answer.status is Status.RELAXED
        best = self.answer.best
        self._planned = {c.site.id: self._options[c.key] for c in best.mix} if best else {}

    def put(self, site: str, put: Put) -> WhyNot:
        """The fate of what a person proposes for a site; raises `NoSuchSite`."""
        fit = self.problem.fit.at(site)
        return self._fate(fit, [c for c in fit.every if _means(put, c)])

    def site(self, site: str) -> SiteWhy:
        """The fate of everything that the catalogue has for a site; raises `NoSuchSite`."""
        fit = self.problem.fit.at(site)
        planned = self._planned.get(site)
        entries = tuple(self._fate(fit, found) for found in _by_attachment(fit))
        return SiteWhy(fit, planned.candidate if planned else None, self._otherwise(fit), entries)

    def sites(self) -> tuple[SiteWhy, ...]:
        """Every site in order."""
        return tuple(self.site(site) for site in self.problem.site_ids)

    def _fate(self, fit: SiteFit, candidates: Sequence[Candidate]) -> WhyNot:
        planned = self._planned.get(fit.site.id)
        if planned and planned.candidate in candidates:
            return WhyNot(planned.candidate, Fate.IN_PLAN)
        usable = self._usable(candidates)
        if not usable:
            out = nearest_miss(candidates, self._options, self._mechanics)
            return WhyNot(out.candidate if out else None, Fate.RULED_OUT, ruled_out=out)
        return self._forced(usable)

    def _otherwise(self, fit: SiteFit) -> WhyNot | None:
        if fit.site.id in self._planned:
            keys = [candidate.key for candidate in fit.usable]
            return self._compared(None, self._choice(forbid=keys), require=(), forbid=keys)
        usable = self._usable(fit.usable)
        return self._forced(usable) if usable else None

    def _usable(self, candidates: Sequence[Candidate]) -> list[Option]:
        options = [self._options[c.key] for c in candidates if c.key in self._options]
        return [o for o in options if not o.needs_waived and not self._mechanics.binds_alone(o)]

    def _forced(self, options: Sequence[Option]) -> WhyNot:
        """One of these options, whichever comes cheapest."""
        keys = [option.candidate.key for option in options]
        choice = self._choice(require=[keys])
        picked = [o for o in choice.mixes[0].options if o.candidate.key in keys] if choice.mixes else []
        return self._compared(picked[0] if picked else _plainest(options), choice, require=[keys], forbid=())

    def _compared(
        self, option: Option | None, choice: Choice, require: Sequence[Collection[str]], forbid: Collection[str]
    ) -> WhyNot:
        candidate = option.candidate if option else None
        if choice.outcome is Outcome.UNDECIDED:
            return WhyNot(candidate, Fate.UNDECIDED)
        best, obstacles = self.answer.best, tuple(self._obstacles(option)) if option else ()
        if choice.mixes and best:
            instead = verified(choice.mixes[0])
            return WhyNot(candidate, Fate.DEARER, instead, self._more(instead), obstacles)
        clash = self._clash(require, forbid)
        if isinstance(clash, Verdict):
            return WhyNot(candidate, Fate.UNDECIDED)
        given = None if self._relaxed else self._giving_up(require, forbid)
        return WhyNot(candidate, Fate.CLASHES, given, self._more(given), obstacles, clash)

    def _more(self, instead: Assessment | None) -> int:
        best = self.answer.best
        return instead.paid(self._least).high - best.paid(self._least).high if instead and best else 0

    def _choice(self, require: Sequence[Collection[str]] = (), forbid: Collection[str] = ()) -> Choice:
        """With as much given up as the plan itself has to."""
        search = choose_relaxed if self._relaxed else choose
        return search(self.problem, self._mechanics, self._how(), require=require, forbid=forbid)

    def _giving_up(self, require: Sequence[Collection[str]], forbid: Collection[str]) -> Assessment | None:
        """The plan that gives up the least, None where physics is against it or time ran out."""
        choice = choose_relaxed(self.problem, self._mechanics, self._how(), require=require, forbid=forbid)
        return verified(choice.mixes[0]) if choice.mixes else None

    def _clash(self, require: Sequence[Collection[str]], forbid: Collection[str]) -> Clash[Rule] | Verdict:
        """The fewest rules that no mix with what is required (and without what is forbidden) keeps together."""
        limits = [rule for rule in _limits(self.problem) if not (self._relaxed and waivable(rule))]
        waived = [rule for rule in _limits(self.problem) if rule not in limits]

        def keep(kept: frozenset[Rule]) -> Verdict:
            idle = [*waived, *(rule for rule in limits if rule not in kept)]
            found = choose(self.problem, self._mechanics, self._how(), require=require, forbid=forbid, without=idle)
            return _VERDICTS[found.outcome]

        return smallest_clash(limits, keep)

    def _obstacles(self, option: Option) -> Iterator[Obstacle]:
        """What the plan as it stands has against an option, with whatever is at its site taken away."""
        best = self.answer.best
        if best is None:
            return
        others = [o for site, o in self._planned.items() if site != option.site]
        barred = [o for o in others if o.candidate.takes_bar_off != option.candidate.takes_bar_off]
        if barred:
            yield Obstacle(None, tuple(o.candidate for o in barred))
            return
        options = [option, *others]
        given_up = frozenset(entry.rule for entry in best.given_up)
        asked = [rule for rule in self.problem.rules if isinstance(rule, Moves) and rule not in given_up]
        for found in self._mechanics.conflicts(options, asked):
            # The plan alone does not bind, so the candidate stands in every conflict.
            among = tuple(o.candidate for o in found.options if o is not option)
            yield Obstacle(found.rule, among, found.reach.reach, found.reach)
        together = assess(self.problem, self._mechanics, options)
        for rule in _limits(self.problem):
            if rule in given_up or isinstance(rule, Moves) or rule.kept(together):
                continue
            among = self._fighting(together, option, rule) if isinstance(rule, NoFight) else ()
            yield Obstacle(rule, among, have=rule.shortfall(together).have)

    def _fighting(self, together: Assessment, option: Option, rule: NoFight) -> tuple[Candidate, ...]:
        """The part of the plan that fights a candidate in a demand, or is wedged by it."""
        verdict = next(v for v in together.verdicts if v.demand == rule.demand)
        sites = {part.site for part in verdict.pair or ()} - {option.site}
        return tuple(candidate for candidate in together.mix if candidate.site.id in sites)

    def _how(self) -> Options:
        return Options(least=self._least).left(self._until)


_VERDICTS = {
    Outcome.OPTIMAL: Verdict.YES,
    Outcome.FEASIBLE: Verdict.YES,
    Outcome.INFEASIBLE: Verdict.NO,
    Outcome.UNDECIDED: Verdict.UNDECIDED,
}


def _limits(problem: Problem) -> list[Rule]:
    """The rules that bind a mix as a whole; needs and permissions are settled for each candidate."""
    return [rule for rule in dict.fromkeys(problem.rules) if not isinstance(rule, NotAllowed | NeedHolds)]


def _means(put: Put, candidate: Candidate) -> bool:
    """True where a proposal names this candidate; reworks not named are left open."""
    reworks = put.reworks is None or {r.id for r in candidate.extra_reworks} == set(put.reworks)
    return candidate.attachment.id == put.attachment and candidate.count == put.count and reworks


def _by_attachment(fit: SiteFit) -> list[list[Candidate]]:
    """The candidates of a site in groups of one attachment, by its name."""
    found: dict[str, list[Candidate]] = {}
    for candidate in fit.every:
        found.setdefault(candidate.attachment.id, []).append(candidate)
    return [found[name] for name in sorted(found)]


def _plainest(options: Sequence[Option]) -> Option:
    """The option that a reader would think of first: least cost, then fewest parts."""
    return min(options, key=lambda o: (o.candidate.cost.high, o.candidate.parts, o.candidate.key))
