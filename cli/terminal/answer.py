"""A plan on the screen: verdict, mix, movement, hold, load, questions, what was ruled out, cautions, sources."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from rich.console import Console
from rich.text import Text

from catalogue.models import Catalogue
from cli.terminal.loads import show_loads
from cli.terminal.screen import bullets, heading, table
from cli.terminal.sensitivity import show_sensitivity
from cli.terminal.strategies import show_short
from cli.terminal.years import show_aftercare
from cli.wording import insertion, teeth, words
from cli.wording import rules as rule_words
from cli.wording.remarks import remark
from cli.wording.rules import RuleWords
from cli.wording.sensitivity import resting_on
from solver.assess.assessment import Assessment, Status
from solver.assess.problem import Problem
from solver.assess.rejections import RuledOut
from solver.case.rules import Even, LevelPull, Moves, Peel, Pulls, Spread
from solver.choose.master import Outcome
from solver.choose.plan import Answer
from solver.explore.sensitivity import Sensitivity
from solver.explore.strategies import Strategy
from solver.fit.candidate import Candidate
from solver.mechanics.pulls import PullHold


def show_answer(
    page: Console,
    found: Answer,
    out: Sequence[RuledOut],
    ways: Sequence[Strategy] = (),
    *,
    every_reason: bool = False,
    first: Sequence[str] = (),
    hangs: Sensitivity | None = None,
) -> None:
    """The whole answer of `plan`; `first` are remarks on it as a whole, `hangs` what it hangs on."""
    problem, best = found.problem, found.best
    verdict(page, problem, found.status, best, _proof(found))
    if said := teeth.supports(problem.case):
        page.print(Text(said, style="dim"))
    for sentence in (*resting_on(found, hangs), *first):
        page.print(Text(sentence))
    if best:
        show_plan(page, problem, best)
    if hangs:
        show_sensitivity(page, hangs, problem, best)
    for number, other in enumerate(found.plans[1:], 2):
        heading(
            page,
            f"Plan {number}",
            f"{words.cost(other.cost, problem.purse.digits)} {problem.case.money.currency}",
        )
        _mix(page, problem, other)
    if ways:
        show_short(page, problem, ways)
    show_ruled_out(page, out, every_reason=every_reason)
    if best:
        show_notes(page, problem, best)


def verdict(page: Console, problem: Problem, status: Status, best: Assessment | None, proof: str) -> None:
    """The answer in one sentence."""
    parts = [words.STATUS[status]]
    if best and best.mix:
        parts.append(f"{words.cost(best.cost, problem.purse.digits)} {problem.case.money.currency}")
    if proof:
        parts.append(proof)
    page.print(Text(problem.case.case, style="bold") + Text(": " + ", ".join(parts), style="not bold"))
    if problem.case.about:
        page.print(Text(problem.case.about, style="dim"))


def show_plan(page: Console, problem: Problem, plan: Assessment) -> None:
    """Mix, what is given up, movement, hold and questions."""
    say = RuleWords.of(problem)
    if plan.given_up:
        heading(page, "What has to give")
        bullets(page, map(say.given_up, plan.given_up))
    heading(page, "Plan", f"{words.LEVEL[plan.level]}")
    _mix(page, problem, plan)
    if plan.unpreferred:
        bullets(page, map(say.without, plan.unpreferred))
    _show_movement(page, problem, plan)
    _show_hold(page, problem, plan)
    show_loads(page, plan.loads)
    show_aftercare(page, problem, plan)
    if plan.questions:
        heading(page, "Ask or measure first")
        bullets(page, (words.question(question) for question in plan.questions))


def _show_movement(page: Console, problem: Problem, plan: Assessment) -> None:
    say = RuleWords.of(problem)
    heading(page, "Movement", f"mucosa settles {problem.settling_mm:g} mm")
    table(page, ("demand", "does the base move?"), ((words.demand(v.demand), say.verdict(v)) for v in plan.verdicts))
    if plan.insertion:
        bullets(page, [insertion.sentence(plan.insertion)])
    if plan.freedoms:
        heading(page, "Play of each attachment", "alone, and with the others fitted")
        table(page, ("site", "motion", ">alone", ">with the others"), _freedoms(plan))


def _show_hold(page: Console, problem: Problem, plan: Assessment) -> None:
    say = RuleWords.of(problem)
    heading(page, "Hold", f"a level pull in a test rig takes {plan.low_n:.1f} to {plan.high_n:.1f} N")
    table(page, ("asked", ">asked", ">got", "met"), _asked(plan, say))
    table(page, ("pull straight up", ">N", "tips about"), (_pull(pull) for pull in plan.pulls))


PARTS = ("hold", "movement", "load", "years", "reasons", "sources", "trust")
"""Tables that can be asked for by themselves."""


def show_parts(
    page: Console, parts: Sequence[str], found: Answer, out: Sequence[RuledOut], hangs: Sensitivity | None
) -> None:
    """Some tables of an answer, in the order in which they were asked for."""
    problem, best = found.problem, found.best
    for part in parts:
        if part == "reasons":
            show_ruled_out(page, out, every_reason=True)
        elif part == "trust" and hangs:
            show_sensitivity(page, hangs, problem, best)
        elif best:
            show = {
                "hold": lambda: _show_hold(page, problem, best),
                "movement": lambda: _show_movement(page, problem, best),
                "load": lambda: show_loads(page, best.loads),
                "years": lambda: show_aftercare(page, problem, best),
                "sources": lambda: bullets(page, _sources(problem.catalogue, best.mix)),
            }.get(part)
            if show:
                show()


def show_ruled_out(page: Console, out: Sequence[RuledOut], *, every_reason: bool = False) -> None:
    """What was considered and why it is out; what is out for the same reason stands together."""
    if not out:
        return
    heading(page, "Ruled out", "" if every_reason else "the first reason of each; --all shows every one")
    together: dict[tuple[str, ...], dict[str, list[str]]] = {}
    for entry in out:
        for reason in _reasons(entry, every_reason):
            sites = together.setdefault(reason, {})
            sites.setdefault(entry.candidate.attachment.id, []).append(entry.candidate.site.id)
    rows = [
        (", ".join(sites), "\n".join(ids), *reason)
        for reason, found in together.items()
        for sites, ids in _by_sites(found).items()
    ]
    table(page, ("site", "=attachment", "need", "have", "want", ">short"), rows)


def _by_sites(found: dict[str, list[str]]) -> dict[tuple[str, ...], list[str]]:
    """Attachments that are out at the same sites."""
    grouped: dict[tuple[str, ...], list[str]] = {}
    for attachment, sites in found.items():
        grouped.setdefault(tuple(sites), []).append(attachment)
    return grouped


def show_notes(page: Console, problem: Problem, plan: Assessment) -> None:
    """Published facts beside the plan, cautions and sources."""
    if plan.remarks:
        heading(page, "Worth knowing", "published facts; nothing is decided by them")
        bullets(page, map(remark, plan.remarks))
    heading(page, "Cautions")
    bullets(page, map(words.caution, plan.cautions))
    heading(page, "Sources")
    bullets(page, _sources(problem.catalogue, plan.mix))


def _proof(found: Answer) -> str:
    if found.proof.outcome is Outcome.OPTIMAL and found.best:
        if found.status is Status.RELAXED:
            return "no plan breaks fewer of your limits, or by less"
        over = "" if found.least == "now" else f" over {found.best.aftercare.years} years"
        return f"nothing in the catalogue costs less{over}"
    return "proved that nothing does" if found.proof.outcome is Outcome.INFEASIBLE else ""


def _mix(page: Console, problem: Problem, plan: Assessment) -> None:
    digits = problem.purse.digits
    rows = [(c.site.id, _fitted(c), words.cost(c.cost, digits), f"{c.low_n:.1f} to {c.high_n:.1f}") for c in plan.mix]
    charges = dict.fromkeys(charge for c in plan.mix for charge in c.charges)
    rows += [
        ("", problem.catalogue.reworks[name].name, words.cost(problem.charges[name], digits), "") for name in charges
    ]
    empty = [site for site in problem.site_ids if site not in {c.site.id for c in plan.mix}]
    table(page, ("site", "fitted", f">{problem.case.money.currency}", ">N"), rows)
    if empty:
        page.print(Text(f" left empty: {', '.join(empty)}", style="dim"))


def _fitted(candidate: Candidate) -> str:
    count = f"{candidate.count} x " if candidate.count > 1 else ""
    steps = "".join(
        f"; {rework.name[:1].lower()}{rework.name[1:]}" for rework in candidate.reworks if not rework.once
    )
    return f"{count}{candidate.attachment.name}{steps}"


def _pull(pull: PullHold) -> tuple[str, str, str]:
    return words.PULL[pull.name], f"{pull.hold_n:.1f}", words.tipping(pull.pull.lift.tipping_line())


def _freedoms(plan: Assessment) -> Iterator[tuple[str, str, str, str]]:
    for use in plan.freedoms:
        own, left = (f"{span[0]:.2f} to {span[1]:.2f} {use.unit}" for span in (use.own, use.left))
        yield use.site, use.component, own, left


def _asked(plan: Assessment, say: RuleWords) -> Iterator[tuple[str, str, str, str]]:
    """What is asked of the hold, what the plan has, and whether it is met: never a rule as a fact."""
    for rule in plan.problem.rules:
        if isinstance(rule, Pulls | Peel | Spread | Even | LevelPull):
            found = rule.shortfall(plan)
            share = found.unit == "share"
            asked, got = (f"{x:.0%}" if share else f"{x:.1f} N" for x in (found.want, found.have))
            yield say.rule(rule), asked, got, "yes" if rule.kept(plan) else "no"


def _reasons(entry: RuledOut, every_reason: bool) -> list[tuple[str, str, str, str]]:
    """Need, have, want and amount of each reason, the gravest first; a wrong kind of thing goes before an amount."""
    judged = sorted(entry.judgements, key=lambda j: (-j.verdict, j.unit != "", -j.short_by))
    rows = [(j.label, words.have(j), j.want, words.short(j)) for j in judged]
    rows += [rule_words.closed(r) for r in entry.rules]
    if entry.binds:
        rule, reach = entry.binds
        stops = "; ".join(dict.fromkeys(words.motion(stop) for stop in reach.stops[:2]))
        want = f"{rule.share:g}" if isinstance(rule, Moves) else "parts that agree"
        rows.append((f"to move: {words.demand(rule.demand)}", f"reach {reach.reach:.2f}: {stops}", want, ""))
    return rows if every_reason else rows[:1]


def _sources(catalogue: Catalogue, mix: Sequence[Candidate]) -> Iterator[str]:
    keys: dict[str, None] = {}
    for candidate in mix:
        attachment = candidate.attachment
        used = [attachment.retention_n.source, attachment.movement.source, attachment.stack.source]
        used += [j.source for j in candidate.judgements] + [r.source for r in candidate.reworks]
        used.append(attachment.price.source)
        keys |= dict.fromkeys(used)
    for key in keys:
        yield words.source(catalogue.sources[key])
