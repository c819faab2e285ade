"""placeholder until the branch lands"""

from solver.assessment import Assessment
from solver.movement_verdict import DemandVerdict


def check_verdict(found: Assessment, verdict: DemandVerdict) -> None:
    """Nothing yet."""
