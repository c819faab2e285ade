"""The steps of a candidate gone through a second time: all there, each once, each after what goes before it."""

from __future__ import annotations

from catalogue.models import Catalogue
from solver.case.schema import Case
from solver.errors import InternalFault
from solver.fit.candidate import Candidate


def check_steps(case: Case, catalogue: Catalogue, candidate: Candidate) -> None:
    """Raise `InternalFault` where a step is missing, done twice or too late, or takes off a bar that is not there."""
    done: list[str] = []
    for rework in candidate.reworks:
        if rework.id in done or any(step not in done for step in rework.steps):
            raise InternalFault(f"{candidate.key}: {rework.id} is done twice, or without {', '.join(rework.steps)}")
        done.append(rework.id)
    idle = set() if case.segments else {r.id for r in catalogue.reworks.values() if "bar_off" in r.permissions}
    if missing := set(candidate.attachment.steps) - idle - set(done):
        raise InternalFault(f"{candidate.key} lacks its steps {sorted(missing)}")
    if needless := idle & set(done):
        raise InternalFault(f"{candidate.key}: no bar stands for {sorted(needless)}")
