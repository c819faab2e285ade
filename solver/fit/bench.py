"""Candidates per site: every need judged, every rework that helps tried, every rejection kept with its reason."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations, permutations

from catalogue.blocks import Band, Movement, Need, Stack, Work
from catalogue.models import Attachment, Catalogue, Rework
from catalogue.quantities import QUANTITIES
from solver.case.bite_force import bite_force
from solver.case.money import Cost, Purse
from solver.case.schema import Case
from solver.case.sites import Fact, Facts, Site, known, loose_under, reworked, sites_of
from solver.fit.bar_strength import judge_strength
from solver.fit.candidate import Candidate
from solver.fit.needs import STRENGTH, Judgement, Verdict, judge
from solver.fit.pricing import candidate_cost

LEFT_BARE = "left_bare"
"""No attachment of a catalogue is called so: names there have no underscore."""

MOST_REWORKS = 2
"""Extra reworks tried together on one site; more is a new bar by another name."""


@dataclass(frozen=True, slots=True)
class SiteFit:
    """One site with the candidates that may be used there, and those that may not."""

    site: Site
    usable: tuple[Candidate, ...]
    rejected: tuple[Candidate, ...]
    bare: Judgement | None
    """Whether the site may be left without an attachment; None where it may in any case."""

    @property
    def every(self) -> tuple[Candidate, ...]:
        """Usable and rejected together."""
        return self.usable + self.rejected


def left_bare(source: str) -> Attachment:
    """No attachment: a bar end is left as it is, which hangs on an answer where its room is not known for certain."""
    nothing = Band(low=0.0, high=0.0, source=source)
    return Attachment(
        id=LEFT_BARE, kind="bare", name="Bar end left as it is", at=("end",), stack=Stack(part=0.0, source=source),
        movement=Movement(source=source), retention_n=nothing, price=nothing, work=Work(source=source),
    )  # fmt: skip


class NoSuchSite(Exception):
    """A site that the case does not have."""

    def __init__(self, site_id: str, known: tuple[str, ...]) -> None:
        super().__init__(site_id, known)
        self.problem = f"no site is called '{site_id}'"
        self.advice = f"known: {', '.join(known)}"


@dataclass(frozen=True)
class Fit:
    """What can be fitted where."""

    sites: tuple[SiteFit, ...]

    @cached_property
    def usable(self) -> tuple[Candidate, ...]:
        """Every usable candidate, in order of site and key."""
        return tuple(candidate for site in self.sites for candidate in site.usable)

    def at(self, site_id: str) -> SiteFit:
        """The fit of one site; raises `NoSuchSite`."""
        for found in self.sites:
            if found.site.id == site_id:
                return found
        raise NoSuchSite(site_id, tuple(found.site.id for found in self.sites))


def fit(case: Case, catalogue: Catalogue, purse: Purse) -> Fit:
    """Judge every attachment of the catalogue at every site of the case."""
    bench = Bench(case, catalogue, purse)
    return Fit(tuple(bench.fit_site(site) for site in sites_of(case, catalogue.defaults)))


@dataclass(frozen=True)
class _Variant:
    """An attachment at a site with one set of reworks, before it is counted and priced."""

    extra: tuple[Rework, ...]
    reworks: tuple[Rework, ...]
    facts: Facts
    judged: tuple[Judgement, ...]
    brought: frozenset[str]
    """Steps that go before some rework: of two variants one may have them and the other not."""

    def spares(self, other: _Variant) -> bool:
        """True where the further reworks of `other` gain nothing over this one."""
        names = {r.id for r in self.extra}
        if not names < {r.id for r in other.extra} or any(self._fails(name) for name in names):
            return False
        badness = zip(self._badness, other._badness, strict=True)
        return self._weakness() <= other._weakness() and all(mine <= theirs for mine, theirs in badness)

    def _fails(self, step: str) -> bool:
        return any(j.step == step and j.verdict is Verdict.FAILS for j in self.judged)

    @cached_property
    def _badness(self) -> list[tuple[int, float]]:
        apart = self.brought | {r.id for r in self.extra}
        return [j.badness for j in self.judged if j.step not in apart and j.of != STRENGTH]

    def _weakness(self) -> tuple[int, float]:
        """How badly the bar bears what is cut from it; a bar left whole is best."""
        return max((j.badness for j in self.judged if j.of == STRENGTH), default=(-1, 0.0))


class Bench:
    """Judges candidates of one case against one catalogue."""

    def __init__(self, case: Case, catalogue: Catalogue, purse: Purse) -> None:
        self.case, self.catalogue, self.purse = case, catalogue, purse
        defaults, denture = catalogue.defaults, case.denture
        acrylic = defaults.acrylic_mm.value if denture.acrylic_mm is None else denture.acrylic_mm
        tooth = defaults.tooth_mm.value if denture.tooth_mm is None else denture.tooth_mm
        self.cover_mm = acrylic + tooth
        self.bite_n = bite_force(case).band_n
        self._after: dict[tuple[str, ...], tuple[Facts, tuple[Judgement, ...]]] = {}
        self._judged: dict[int, tuple[Need, dict[tuple[Fact | None, str], Judgement]]] = {}
        self._stacks: dict[int, tuple[Stack, Need]] = {}
        self._tried = set[tuple[str, str, str]]()
        self._brought = frozenset(step for rework in catalogue.reworks.values() for step in rework.steps)

    def fit_site(self, site: Site) -> SiteFit:
        """All candidates of a site, the usable ones in order of their key."""
        every = [c for a in self.catalogue.attachments.values() if site.kind in a.at for c in self.variants(site, a)]
        bare = self._bare(site)
        if bare is not None and bare.verdict is Verdict.ASK:
            every.append(Candidate(site, left_bare(bare.source), 1, (), (bare,), Cost()))
        every.sort(key=lambda candidate: candidate.key)
        usable = tuple(c for c in every if c.verdict is not Verdict.FAILS)
        rejected = tuple(c for c in every if c.verdict is Verdict.FAILS)
        return SiteFit(site, usable, rejected, bare)

    def variants(self, site: Site, attachment: Attachment) -> Iterator[Candidate]:
        """The attachment in every count, with every set of reworks of which none is idle."""
        for variant in self._rework_sets(site, attachment):
            for count in range(1, (attachment.most if site.kind == "segment" else 1) + 1):
                judgements = (*variant.judged, *self._length(attachment, count, variant.facts))
                cost = candidate_cost(attachment, count, variant.reworks, self.purse)
                yield Candidate(site, attachment, count, variant.reworks, judgements, cost)

    def judged(self, candidate: Candidate, site: Site) -> tuple[Judgement, ...]:
        """The needs of a candidate by other facts of its site."""
        if candidate.attachment.id == LEFT_BARE:
            return tuple(judgement for judgement in (self._bare(site),) if judgement)
        variant = self._variant(site, candidate.attachment, (), candidate.reworks)
        return (*variant.judged, *self._length(candidate.attachment, candidate.count, variant.facts))

    def has_tried(self, site: Site, attachment: Attachment, rework: Rework) -> bool:
        """True where a step goes with the attachment at a site judged here, or was tried for it."""
        return (site.id, attachment.id, rework.id) in self._tried

    def _rework_sets(self, site: Site, attachment: Attachment) -> list[_Variant]:
        """The attachment with its own steps, then with every set of extra reworks that gains something.

        A step of its own is done once, whatever it would gain if done again.
        """
        steps = self._own_steps(attachment)
        plain = self._variant(site, attachment, (), steps)
        helpful = [rework for rework in self._helpful(site, plain.judged) if rework.id not in attachment.steps]
        tried = self._with_steps((*helpful, *steps))
        self._tried.update((site.id, attachment.id, rework.id) for rework in tried)
        kept = [plain]
        for size in range(1, MOST_REWORKS + 1):
            for extra in combinations(helpful, size):
                variant = self._variant(site, attachment, extra, steps)
                if not any(smaller.spares(variant) for smaller in kept):
                    kept.append(variant)
        return kept

    def _own_steps(self, attachment: Attachment) -> tuple[Rework, ...]:
        """Reworks that always go with an attachment; a case without segments has no bar that could come off."""
        steps = (self.catalogue.reworks[step] for step in attachment.steps)
        return tuple(step for step in steps if self.case.segments or "bar_off" not in step.permissions)

    def _with_steps(self, reworks: Iterable[Rework]) -> tuple[Rework, ...]:
        """Every rework once, after those that always go before it."""
        known = self.catalogue.reworks
        every = ((*(known[step] for step in rework.steps), rework) for rework in reworks)
        return tuple({rework.id: rework for group in every for rework in group}.values())

    def _helpful(self, site: Site, judged: Sequence[Judgement]) -> list[Rework]:
        """Reworks that touch a quantity which does not hold as it is."""
        open_needs = {j.of for j in judged if j.verdict is not Verdict.HOLDS}
        return [
            rework
            for rework in self.catalogue.reworks.values()
            if site.kind in rework.at and not rework.always_with and open_needs & {*rework.makes, *rework.changes}
        ]

    def _variant(
        self, site: Site, attachment: Attachment, extra: tuple[Rework, ...], steps: tuple[Rework, ...]
    ) -> _Variant:
        """Facts after the reworks, and the verdict on every need along the way."""
        reworks = self._with_steps((*extra, *steps))
        facts, judged = self._worked(site, reworks)
        room = self._room(attachment)
        asked = (need for need in attachment.needs if not self._follows(need, room, facts))
        own = [self._judge(need, facts.get(need.of)) for need in (*asked, *room)]
        return _Variant(
            extra,
            reworks,
            facts,
            (*own, *self._patient(attachment), *self._loose(site, attachment), *judged),
            self._brought,
        )

    @staticmethod
    def _follows(need: Need, room: Sequence[Need], facts: Facts) -> bool:
        """True for a space that nobody has measured, where the room above the bar that is asked too is no less.

        From the ridge to the opposing teeth it is never less than from the top of the bar.
        """
        if need.of != "space_mm" or known(facts.get("space_mm", "unknown")) or need.at_most is not None:
            return False
        least = [(one.at_least or 0.0) - (one.waive.up_to if one.waive else 0.0) for one in room]
        return max(least, default=0.0) >= (need.at_least or 0.0)

    def _judge(self, need: Need, fact: Fact | None, step: str = "") -> Judgement:
        """The verdict on a need; most reworks leave most facts as they are."""
        # A need that is kept shares its id with no other.
        _, verdicts = self._judged.setdefault(id(need), (need, {}))
        if (fact, step) not in verdicts:
            verdicts[fact, step] = judge(need, fact, step)
        return verdicts[fact, step]

    def judged_alike(self, need: Need, other: Need) -> bool:
        """True where `other` in place of `need` would change no verdict given here, nor which of two is worse.

        Nor by how much what may be waived is short: that weighs where it is given up.
        """
        _, verdicts = self._judged.get(id(need), (need, {}))
        before = [judgement.badness for judgement in verdicts.values()]
        after = [judge(other, fact, step).badness for fact, step in verdicts]
        same = all(
            new == old if old[0] == Verdict.SHORT else new[0] == old[0]
            for old, new in zip(before, after, strict=True)
        )
        return same and all(
            (one <= two) == (new_one <= new_two)
            for (one, new_one), (two, new_two) in permutations(zip(before, after, strict=True), 2)
        )

    def _worked(self, site: Site, reworks: tuple[Rework, ...]) -> tuple[Facts, tuple[Judgement, ...]]:
        """A site after reworks: its facts, what they need, what the bar bears; many parts come with the same."""
        key = (site.id, *(rework.id for rework in reworks))
        if key not in self._after:
            facts, judged = site.facts, list[Judgement]()
            for rework in reworks:
                judged += [self._judge(need, facts.get(need.of), rework.id) for need in rework.needs]
                facts = reworked(facts, rework)
            self._after[key] = facts, (*judged, *judge_strength(site.facts, reworks, self.bite_n))
        return self._after[key]

    def _room(self, attachment: Attachment) -> tuple[Need, ...]:
        return () if attachment.kind == "bare" else (self.room_for(attachment.stack),)

    def room_for(self, stack: Stack) -> Need:
        """The stack of part, housing, spacer, acrylic and tooth must stay under the opposing teeth."""
        if id(stack) not in self._stacks:
            self._stacks[id(stack)] = stack, self._stack_need(stack)
        return self._stacks[id(stack)][1]

    def _stack_need(self, stack: Stack) -> Need:
        return Need(
            of="room_mm",
            at_least=round(stack.height_mm + self.cover_mm, 6),
            source=stack.source,
            waive=self.catalogue.defaults.thin_base,
            why="part, housing and spacer with acrylic and tooth above",
        )

    def _bare(self, site: Site) -> Judgement | None:
        """A bar end stands up into the denture: without an attachment it still needs acrylic and tooth above it."""
        if site.kind != "end":
            return None
        nothing = Stack(part=0.0, source=self.catalogue.defaults.acrylic_mm.source)
        return judge(self._stack_need(nothing), site.facts["room_mm"])

    def _length(self, attachment: Attachment, count: int, facts: Facts) -> tuple[Judgement, ...]:
        if attachment.length_mm is None or "length_mm" not in facts:
            return ()
        want = count * attachment.length_mm + (count - 1) * attachment.spacing_mm
        need = Need(of="length_mm", at_least=round(want, 6), source=attachment.stack.source, why=f"room for {count}")
        return (judge(need, facts["length_mm"]),)

    def _loose(self, site: Site, attachment: Attachment) -> Iterator[Judgement]:
        """Nothing is built on a part of the bar whose implant is known to move; that it stands firm is not asked."""
        if attachment.kind != "bare" and (loose := loose_under(self.case, site.id)):
            why = self.catalogue.defaults.loose
            yield Judgement(
                "mobility", QUANTITIES["mobility"].label, f"loose at {', '.join(loose)}", "firm",
                Verdict.FAILS, 0.0, "", why.source, why=why.text,
            )  # fmt: skip

    def _patient(self, attachment: Attachment) -> Iterator[Judgement]:
        patient, defaults = self.case.patient, self.catalogue.defaults
        sensitive = {metal.lower() for metal in patient.sensitivities}
        if touching := sorted(metal for metal in attachment.metals if metal.lower() in sensitive):
            yield Judgement(
                "metals", "metals in the mouth", ", ".join(touching), "none the patient is sensitive to",
                Verdict.FAILS, 0.0, "", defaults.metals.source, why=defaults.metals.text,
            )  # fmt: skip
        ground = {"natural": "natural teeth", "implants": "implants"}.get(self.case.opposing)
        if attachment.wears_by_grinding and patient.bruxism == "yes" and ground:
            yield Judgement(
                "grinding", "grinding", f"on {ground}", "no elastomer or soft polymer under a grinder",
                Verdict.SHORT, 0.0, "", defaults.grinding.source, defaults.grinding,
            )  # fmt: skip
        if attachment.magnetic and patient.scans_expected != "no":
            expected = patient.scans_expected == "yes"
            yield Judgement(
                "scans", "magnetic scans", patient.scans_expected if expected else "unknown", "none expected",
                Verdict.SHORT if expected else Verdict.ASK, 0.0, "", defaults.scans.source, defaults.scans,
            )  # fmt: skip
