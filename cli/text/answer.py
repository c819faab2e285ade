"""A plan on the screen: verdict, mix, movement, hold, load, questions, what was ruled out, cautions, sources."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from rich.console import Console
from rich.text import Text

from catalogue.models import Catalogue
from cli.text import insertion, rule_words, teeth, words
from cli.text.aftercare import show_aftercare
from cli.text.load import show_loads
from cli.text.page import bullets, heading, table
from cli.text.remarks import remark
from cli.text.sensitivity import resting_on, show_sensitivity
from cli.text.strategy import show_short
from solver.candidate import Candidate
from solver.cautions import cautions
from solver.master import Outcome
from solver.movement import Reach
from solver.plan import Answer, Plan, Status
from solver.problem import Problem
from solver.pulls import PullHold
from solver.ruled_out import RuledOut
from solver.rules import Pulls
from solver.sensitivity import Sensitivity
from solver.strategy import Strategy


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
            page, f"Plan {number}", f"{words.cost(other.cost, problem.purse.digits)} {problem.case.money.currency}"
        )
        _mix(page, problem, other)
    if ways:
        show_short(page, problem, ways)
    show_ruled_out(page, out, every_reason=every_reason)
    if best:
        show_notes(page, problem, best)


def verdict(page: Console, problem: Problem, status: Status, best: Plan | None, proof: str) -> None:
    """The answer in one sentence."""
    parts = [words.STATUS[status]]
    if best and best.mix:
        parts.append(f"{words.cost(best.cost, problem.purse.digits)} {problem.case.money.currency}")
    if proof:
        parts.append(proof)
    page.print(Text(problem.case.case, style="bold") + Text(": " + ", ".join(parts), style="not bold"))
    if problem.case.about:
        page.print(Text(problem.case.about, style="dim"))


def show_plan(page: Console, problem: Problem, plan: Plan) -> None:
    """Mix, what is given up, movement, hold and questions."""
    digits, currency = problem.purse.digits, problem.case.money.currency
    if plan.given_up:
        heading(page, "What has to give")
        bullets(page, (rule_words.given_up(entry, digits, currency) for entry in plan.given_up))
    heading(page, "Plan", f"{words.LEVEL[plan.level]}")
    _mix(page, problem, plan)
    heading(page, "Movement", f"mucosa settles {problem.settling_mm:g} mm")
    table(page, ("demand", ">reach", "stopped by"), (_reach(reach) for reach in plan.reaches))
    if plan.insertion:
        bullets(page, [insertion.sentence(plan.insertion)])
    if plan.freedoms:
        heading(page, "Freedom of each part", "its own, and what the rest of the mix leaves")
        table(page, ("site", "motion", ">own", ">left"), _freedoms(plan))
    heading(page, "Hold", f"{plan.low_n:.1f} to {plan.high_n:.1f} N together")
    bullets(page, _hold_lines(problem))
    table(page, ("pull straight up", ">N", "tips about"), (_pull(pull) for pull in plan.pulls))
    show_loads(page, plan.loads)
    show_aftercare(page, problem, plan)
    if plan.questions:
        heading(page, "Ask or measure first")
        bullets(page, (words.question(question) for question in plan.questions))


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


def show_notes(page: Console, problem: Problem, plan: Plan) -> None:
    """Published facts beside the plan, cautions and sources."""
    if plan.remarks:
        heading(page, "Worth knowing", "published facts; nothing is decided by them")
        bullets(page, map(remark, plan.remarks))
    heading(page, "Cautions")
    bullets(page, (words.caution(entry) for entry in cautions(problem.case, problem.catalogue, plan.mix)))
    heading(page, "Sources")
    bullets(page, _sources(problem.catalogue, plan.mix))


def _proof(found: Answer) -> str:
    if found.proof.outcome is Outcome.OPTIMAL and found.best:
        if found.status is Status.RELAXED:
            return "proved to give up the least"
        return "proved least" if found.least == "now" else f"proved least over {found.best.aftercare.years} years"
    return "proved that nothing does" if found.proof.outcome is Outcome.INFEASIBLE else ""


def _mix(page: Console, problem: Problem, plan: Plan) -> None:
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


def _reach(reach: Reach) -> tuple[str, str, str]:
    stops = dict.fromkeys(words.stop(stop) for stop in reach.stops) if reach.reach < 1 - 1e-6 else {}
    return words.demand(reach.demand), f"{reach.reach:.2f}", "; ".join(list(stops)[:3])


def _pull(pull: PullHold) -> tuple[str, str, str]:
    return words.PULL[pull.name], f"{pull.hold_n:.1f}", words.tipping(pull.pull.lift.tipping_line())


def _freedoms(plan: Plan) -> Iterator[tuple[str, str, str, str]]:
    for use in plan.freedoms:
        own, left = (f"{span[0]:.2f} to {span[1]:.2f} {use.unit}" for span in (use.own, use.left))
        yield use.site, use.component, own, left


def _hold_lines(problem: Problem) -> Iterable[str]:
    digits, currency = problem.purse.digits, problem.case.money.currency
    return (
        rule_words.rule(rule, digits, currency)
        for rule in problem.rules
        if rule.code in ("hold", "pull") or isinstance(rule, Pulls)
    )


def _reasons(entry: RuledOut, every_reason: bool) -> list[tuple[str, str, str, str]]:
    """Need, have, want and amount of each reason, the gravest first; a wrong kind of thing goes before an amount."""
    judged = sorted(entry.judgements, key=lambda j: (-j.verdict, j.unit != "", -j.short_by))
    rows = [(j.label, words.have(j), j.want, words.short(j)) for j in judged]
    rows += [rule_words.closed(r) for r in entry.rules]
    if entry.binds:
        rule, reach = entry.binds
        stops = "; ".join(dict.fromkeys(words.motion(stop) for stop in reach.stops[:2]))
        rows.append(
            (f"to move: {words.demand(rule.demand)}", f"reach {reach.reach:.2f}: {stops}", f"{rule.share:g}", "")
        )
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
