"""CP-SAT under a time limit and Ctrl-C.

CP-SAT takes Ctrl-C for itself: it stops early without a word, and leaves the signal to end the process from then on.
So its answer is looked at for an early end, and the handler that stood before is put back.
"""

from __future__ import annotations

import signal
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any


def solve(solver: Any, model: Any, time_limit_s: float) -> Any:
    """The status after at most so many seconds; raises `KeyboardInterrupt` where it was stopped long before."""
    from ortools.sat.python import cp_model  # noqa: PLC0415 - a third of a second; only where needed

    solver.parameters.max_time_in_seconds = max(time_limit_s, 0.001)
    # This step of the presolve of ortools 9.15.6755 calls some models infeasible that are not (9.14.6206 does not);
    # tests/solver/test_hunt.py has one. It saves no time here.
    solver.parameters.presolve_inclusion_work_limit = 0
    with _handler_kept(solver):
        status = solver.solve(model)
    if status in (cp_model.UNKNOWN, cp_model.FEASIBLE) and solver.wall_time < time_limit_s / 2:
        raise KeyboardInterrupt
    return status


@contextmanager
def _handler_kept(solver: Any) -> Iterator[None]:
    """Handlers can be set in the main thread alone; elsewhere CP-SAT is kept from touching them."""
    if threading.current_thread() is not threading.main_thread():
        solver.parameters.catch_sigint_signal = False
        yield
        return
    before = signal.getsignal(signal.SIGINT)
    try:
        yield
    finally:
        if before is not None:  # None: not set from Python
            signal.signal(signal.SIGINT, before)
