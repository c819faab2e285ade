"""What a choice hangs on: one remark for the top of a plan, and a short list of what would change it."""

from __future__ import annotations

from collections.abc import Iterator

from catalogue.models import Catalogue
from catalogue.quantities import QUANTITIES
from cli.wording import words
from cli.wording.rules import RuleWords
from solver.assess.assessment import Assessment
from solver.assess.cautions import Hazard, cautions
from solver.assess.problem import Problem
from solver.choose.plan import Answer
from solver.explore.sensitivity import Flip, Sensitivity, Turn
from solver.explore.weak_figures import WITHOUT_BAND, WeakFigure

MOST_TURNS = 4
"""Figures named for one flip; `--json` has all."""

_NAMED = {
    "price": "price", "bench": "bench minutes", "chair": "chair minutes", "months": "months between services",
    "retention_n": "hold", "part": "height of the part", "housing": "height of the housing",
    "spacer": "height of the spacer", "slide_mm": "slide along the bar", "sideways_mm": "sideways movement",
    "down_mm": "downward movement", "up_mm": "upward play", "hinge_deg": "rotation about the bar",
    "tip_deg": "tipping along the bar", "turn_deg": "turning about the path", "tolerance_mm": "error of the step",
    "play": "small play left where nothing is free", "tooth_mm": "least height of a tooth",
    "acrylic_mm": "least thickness of base", "settling_mm": "settling of the mucosa", "hold_n": "least hold",
    "pull_n": "strongest pull of the hand", "support_diameter_mm": "diameter of a collar",
    "thin_base": "thinness of the base that may be accepted",
    "centre_n": "least pull at the centre", "front_n": "least pull at the front",
    "sides_n": "least pull at the sides", "sides_many_n": "least pull at the sides on many supports",
    "spread": "least spread of the hold", "even": "least share of the stronger side",
    "alike_saves": "what a plan unlike on mirror sites must save",
    "whole_bar_saves": "what a plan that cuts a sound bar must save", "in_kind": "share of a demand in kind",
    "about_nothing_n": "pull that is about nothing",
}  # fmt: skip

_GROUPS = ("tiers", "preferences")
"""Defaults that are figures by a name of their own, not one figure."""

_UNITS = {"_mm": "mm", "_deg": "deg", "_n": "N", "part": "mm", "housing": "mm", "spacer": "mm", "thin_base": "mm"}


def remark(found: Sensitivity) -> str:
    """The one sentence for the top."""
    invented, memory = found.hangs_on("invented"), found.hangs_on("memory")
    more = "" if found.complete else " The time ran out, so more may."
    if invented or memory:
        kinds = [f"{len(group)} {name}" for group, name in ((invented, "invented"), (memory, "from memory")) if group]
        count = "figure" if len(invented) + len(memory) == 1 else "figures"
        return (
            f"This choice hangs on {count} that nobody stands behind: {' and '.join(kinds)} would turn it, each "
            f"alone within its band (see: would change if).{more}"
        )
    if not found.complete:
        return "The time ran out before it was known what this choice hangs on."
    return (
        f"Changing any one of the {found.figures} guessed figures within its range leaves this choice as it is; the "
        "cost still moves."
    )


UNTESTED = "Prices and times are placeholders; load your own before quoting."


def resting_on(found: Answer, hangs: Sensitivity | None) -> list[str]:
    """How far an answer rests on what nobody stands behind, for its top."""
    if hangs:
        return [remark(hangs)]
    mix = found.best.mix if found.best else ()
    hazards = {caution.hazard for caution in cautions(found.problem.case, found.problem.catalogue, mix)}
    return [UNTESTED] if mix and Hazard.INVENTED in hazards else []


def flips(found: Sensitivity, problem: Problem, plan: Assessment | None) -> list[str]:
    """Every other choice after the figures that lead to it."""
    return [_flip(flip, problem, plan) for flip in found.flips]


def bandless(found: Sensitivity) -> str:
    """How figures without a band were varied; empty where none of them turns the choice."""
    if all(turn.figure.banded for flip in found.flips for turn in flip.turns):
        return ""
    return f"A figure without a band is tried {WITHOUT_BAND:.0%} below and above (our own choice)."


def figure(found: WeakFigure, catalogue: Catalogue) -> str:
    """`clip-x, price`: where it stands, in words."""
    group, entry, *rest = found.path
    names = [str(part) for part in rest]
    if entry == "tiers":
        return f"{names[0]} plan, {_NAMED[names[1]]}"
    if group == "defaults":
        return _NAMED[names[0] if entry == "preferences" else str(entry)]
    if "needs" in names:
        need = getattr(catalogue, str(group))[entry].needs[int(names[1])]
        asked = "shortfall that may be waived of" if "waive" in names else f"{names[-1].replace('_', ' ')} for"
        return f"{entry}, {asked} {QUANTITIES[need.of].label}"
    service = "service, " if "service" in names else ""
    return f"{entry}, {service}{_NAMED[names[-1]]}"


def unit(found: WeakFigure, catalogue: Catalogue) -> str:
    """Unit of a figure, of money the currency of the catalogue; empty where its name says it."""
    names = [str(part) for part in found.path]
    if names[-1] == "price":
        return catalogue.currency
    if "needs" in names:
        return QUANTITIES[getattr(catalogue, names[0])[names[1]].needs[int(names[3])].of].unit
    ends = names[-1] if names[0] != "defaults" else names[-2] if names[1] in _GROUPS else names[1]
    if ends == "play":
        return names[-1]
    return next((of for ending, of in _UNITS.items() if ends.endswith(ending)), "")


def _flip(flip: Flip, problem: Problem, plan: Assessment | None) -> str:
    turns = [_turn(turn, problem.catalogue) for turn in flip.turns[:MOST_TURNS]]
    if len(flip.turns) > MOST_TURNS:
        turns.append(f"{len(flip.turns) - MOST_TURNS} more")
    return f"{'; or '.join(turns)}: {_outcome(flip, problem, plan)}"


def _turn(turn: Turn, catalogue: Catalogue) -> str:
    low, high = turn.figure.given
    of = unit(turn.figure, catalogue)
    given = f"{low:g}" if low == high else f"{low:g} to {high:g}"
    return f"{figure(turn.figure, catalogue)} {turn.value:g}{f' {of}' if of else ''} ({turn.figure.kind}: {given})"


def _outcome(flip: Flip, problem: Problem, plan: Assessment | None) -> str:
    digits, currency = problem.purse.digits, problem.case.money.currency
    if flip.instead is None:
        return words.STATUS[flip.status]
    changes = list(_changes(flip, problem, plan)) or ["the same mix"]
    given = [RuleWords.of(problem).given_up(entry) for entry in flip.instead.given_up]
    terms = ", ".join([words.STATUS[flip.status], *given])
    best = " at best" if flip.at_best else ""
    return f"{', '.join(changes)}; {terms}, {words.cost(flip.instead.cost, digits)} {currency}{best}"


def _changes(flip: Flip, problem: Problem, plan: Assessment | None) -> Iterator[str]:
    """What goes on a site instead of what is planned there."""
    mixes = (plan.mix if plan else ()), (flip.instead.mix if flip.instead else ())
    before, after = ({candidate.site.id: candidate.label for candidate in mix} for mix in mixes)
    for site in problem.site_ids:
        if before.get(site) != after.get(site):
            yield f"{site} {after.get(site, 'left empty')} instead of {before.get(site, 'nothing')}"
