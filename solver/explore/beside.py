"""What of patient and work is worth asking beside the measures: each only where some answer changes what is said.

A need that is open is a question of the plan and stands in `so_far`. Here is what a plan does not hang on, yet would
be another under some answer, or carry another caution: who takes the denture out, grinding, metals, work allowed.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from solver.assess.assessment import Assessment, Status
from solver.assess.cautions import Hazard
from solver.case.hand_strength import most_pull_n
from solver.case.provenance import Place
from solver.case.rules import Peel
from solver.case.schema import Allowed
from solver.explore.so_far import SoFar

TAKES_OUT: Place = ("patient", "takes_out")
HAND: Place = ("patient", "hand")
AGE: Place = ("patient", "age")
GRINDS: Place = ("patient", "bruxism")
OPPOSING: Place = ("opposing",)
METALS: Place = ("patient", "sensitivities")
STATE: Place = ("denture", "state")
HOUSINGS: Place = ("denture", "housings")
PALATE: Place = ("denture", "palate")
CAP: Place = ("money", "cap")
BAR_OFF: Place = ("allowed", "bar_off")


def beside(found: SoFar) -> tuple[Place, ...]:
    """Places of the case that are worth asking about now, in the order in which to ask; some may be told already."""
    return tuple(chain(_of_a_dead_end(found), *(_of_plan(found.best) if found.best else ())))


def _of_a_dead_end(found: SoFar) -> Iterator[Place]:
    """Where nothing keeps the limits, a bar that may come off opens another way."""
    case = found.problem.case
    if case.segments and not case.allowed.bar_off and found.status in (Status.RELAXED, Status.NONE):
        yield BAR_OFF


def _of_plan(best: Assessment) -> Iterator[Iterator[Place]]:
    yield _of_the_denture(best)
    yield _of_the_hand(best)
    yield _of_the_bite(best)
    if any(candidate.attachment.metals for candidate in best.mix):
        yield iter((METALS,))
    yield (("allowed", work) for work in Allowed.model_fields if _does(best, work))
    yield iter((CAP,))


def _of_the_denture(best: Assessment) -> Iterator[Place]:
    """A lost one is made anew, old housings may serve, and single implants want the palate covered."""
    case = best.problem.case
    if any(candidate.parts for candidate in best.mix):
        yield STATE
        if case.segments and case.denture.state in ("present", "cracked"):
            yield HOUSINGS
    if case.arch == "upper" and best.takes_bar_off:
        yield PALATE


def _of_the_hand(best: Assessment) -> Iterator[Place]:
    """A hand that can lift the firmest edge whoever it is of is not asked about."""
    pull, patient = best.problem.catalogue.defaults.pull_n, best.problem.case.patient
    weakest = most_pull_n(pull, patient.model_copy(update={"hand": "weak", "takes_out": "patient", "age": None}))
    limited = any(isinstance(rule, Peel) for rule in best.problem.rules)
    if limited or (weakest is not None and best.peel_n > weakest):
        yield TAKES_OUT
        yield HAND
    if limited and patient.hand == "weak" and patient.takes_out != "carer":
        # The limit of a weak hand is that of an old one where no age is told; it may keep cheaper plans out.
        yield AGE


def _of_the_bite(best: Assessment) -> Iterator[Place]:
    hazards = {caution.hazard for caution in best.cautions}
    if Hazard.BRUXISM in hazards:
        yield GRINDS
    if best.problem.case.patient.bruxism == "yes" or hazards & {Hazard.BAR_BENDS, Hazard.BAR_CRACKS}:
        yield OPPOSING


def _does(best: Assessment, work: str) -> bool:
    """True where the plan does work that a case may forbid, and the case does not say that it may."""
    return any(work in candidate.permissions for candidate in best.mix)
