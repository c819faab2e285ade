"""What has to give, on the screen: the verdict, the ways with their plans, and why nothing fits as it is."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import Console
from rich.text import Text

from catalogue.models import Catalogue
from catalogue.yaml_text import Document
from cli.files.cite import lines_of
from cli.terminal.screen import bullets, heading, lines
from cli.wording import words
from cli.wording.rules import RuleWords
from cli.wording.words import mix
from solver.assess.assessment import Assessment, Status
from solver.assess.problem import Problem
from solver.case.rules import Budget, Covered, Moves, NeedHolds, NotAllowed, Pulls
from solver.explain.algorithms import Ending
from solver.explain.proof import Proof, Reason
from solver.explain.waivers import Footing, Give, Way

_VERDICT = {
    Footing.FITS: "fits",
    Footing.GIVES: "fits only if something is given up",
    Footing.FIXED: "does not fit, whatever is given up",
    Footing.OPEN: "undecided in the time given",
}


def show_give(page: Console, found: Give, document: Document) -> None:
    """The whole answer of `give`, as far as the search came."""
    problem, best = found.problem, found.best
    status = words.STATUS[Status.FITS_IF] if best and best.questions else _verdict(found)
    said = status + (f", {_paid(found, best)}" if best else "")
    page.print(Text(problem.case.case, style="bold") + Text(f": {said}", style="not bold"))
    if found.proof:
        heading(page, "Why nothing fits", "" if found.proof.proved_minimal else "a shorter reason may exist")
        lines(page, because(problem, found, document))
        if found.proof.bare:
            sites = ", ".join(found.proof.bare)
            bullets(page, [f"nothing can be fitted at {sites} then; `regrip why {document.path} SITE` says why"])
    if found.footing in (Footing.GIVES, Footing.FITS):
        _show_ways(page, found)
    if found.proof is None and found.footing in (Footing.GIVES, Footing.FIXED):
        lines(page, ["Why nothing fits was not worked out to the end."])


def _verdict(found: Give) -> str:
    stopped = found.footing is Footing.OPEN and found.ending is Ending.STOPPED
    return "undecided, stopped before anything was known" if stopped else _VERDICT[found.footing]


def _show_ways(page: Console, found: Give) -> None:
    cheaper = found.footing is Footing.FITS
    note = "each by itself is enough; the easiest first" if found.ways else ""
    heading(page, f"To pay less{_over(found)}" if cheaper else "What would have to give", note)
    for number, way in enumerate(found.ways, 1):
        page.print(Text(f" {number}. {head(found, way)}"))
        bullets(page, told(found, way))
    page.print()
    lines(page, [ending(found)])


def head(found: Give, way: Way) -> str:
    """What a way costs, and what it saves."""
    priced = _paid(found, way.best)
    if found.best is None:
        return priced
    saved = found.best.paid(found.least).high - way.best.paid(found.least).high
    return f"{priced}, {words.money(saved, found.problem.purse.digits)} less"


def told(found: Give, way: Way) -> Iterator[str]:
    """What a way gives up, its plan, and what that hangs on."""
    problem = found.problem
    yield from _given_up(problem, way.best)
    yield f"the plan: {mix(way.best.mix)}"
    if way.best.questions:
        yield f"it hangs on: {'; '.join(map(words.asked, way.best.questions))}"


def _given_up(problem: Problem, plan: Assessment) -> list[str]:
    return [RuleWords.of(problem).given_up(entry) for entry in plan.given_up]


def ending(found: Give) -> str:
    """Whether these are all."""
    cheaper = found.footing is Footing.FITS
    size = len(found.ways[0].rules) if found.ways else found.most
    rules = f"{size} rule{'s' if size > 1 else ''}"
    match found.ending:
        case Ending.COMPLETE if cheaper and not found.ways:
            return "No plan costs less, whatever is given up."
        case Ending.COMPLETE if cheaper:
            return f"These are all that give up {rules}; no plan that costs less gives up fewer."
        case Ending.COMPLETE:
            return "There is no smaller concession."
        case Ending.BOUNDED:
            most = f"{found.most} rule{'s' if found.most > 1 else ''}"
            these = "These are all" if found.ways else "There are none"
            return f"{these} of at most {most}; larger sets exist, raise --most to see them."
        case Ending.UNDECIDED:
            return f"The time is over, {_so_far(found)}; raise --time-limit."
        case _:
            return f"Stopped, {_so_far(found)}."


def _so_far(found: Give) -> str:
    return "there may be more" if found.ways else "none was found so far"


def because(problem: Problem, found: Give, document: Document) -> list[str]:
    """Because-lines that end in the conflict."""
    proof = found.proof
    if proof is None or not proof.reasons:
        return []
    said = [_because(problem, reason, document) for reason in proof.reasons]
    if proof.closest:
        said.insert(-1, _closest(problem, proof, proof.closest))
    said = [f"{'and because' if n else 'Because'} {line}," for n, line in enumerate(said)]
    end = (
        "nothing fits."
        if found.footing is Footing.GIVES
        else "nothing fits. No concession helps; it cannot be made to fit."
    )
    return [*said, end]


def _because(problem: Problem, reason: Reason, document: Document) -> str:
    say = RuleWords.of(problem)
    cited = _cited(problem.catalogue, reason, document)
    judgement = reason.judgement
    match reason.rule:
        case NeedHolds() if judgement and reason.candidate:
            return (
                f"{reason.rule.site}: {judgement.label} is {words.have(judgement)} and "
                f"{reason.candidate.attachment.id} needs {judgement.want}{cited}"
            )
        case Covered() if judgement:
            return (
                f"{say.rule(reason.rule)}: {judgement.label} is {words.have(judgement)} and "
                f"must be {judgement.want}{cited}"
            )
        case Moves():
            return f"the denture must move: {say.rule(reason.rule)}{cited}"
        case _:
            return f"{say.rule(reason.rule)}{cited}"


def _cited(catalogue: Catalogue, reason: Reason, document: Document) -> str:
    """Lines of the case file and the source of the figure."""
    cited = lines_of(document, reason.places)
    if reason.source:
        cited.append(words.source(catalogue.sources[reason.source]))
    elif not cited and isinstance(reason.rule, Moves | NotAllowed):
        cited.append("unless the case says otherwise")
    return f" ({'; '.join(cited)})" if cited else ""


def _closest(problem: Problem, proof: Proof, closest: Assessment) -> str:
    """How near a mix comes to the last rule of the clash."""
    kept = "that does all this " if len(proof.reasons) > 1 else ""
    match proof.reasons[-1].rule:
        case Budget():
            return f"the cheapest mix {kept}costs {_priced(problem, closest)} ({mix(closest.mix)})"
        case Pulls():
            weakest = f"{words.newtons(closest.weakest.hold_n)} {words.PULL[closest.weakest.name]}"
            return f"of all mixes that do this, the firmest takes {weakest} ({mix(closest.mix)})"
        case _:
            return ""


def _paid(found: Give, plan: Assessment) -> str:
    """The cost that is made least."""
    paid = words.cost(plan.paid(found.least), found.problem.purse.digits)
    return f"{paid} {found.problem.case.money.currency}{_over(found)}"


def _over(found: Give) -> str:
    return words.over(found.least, found.problem.case.money.years)


def _priced(problem: Problem, plan: Assessment) -> str:
    return f"{words.cost(plan.cost, problem.purse.digits)} {problem.case.money.currency}"
