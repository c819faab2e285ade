"""CP-SAT under a time limit and Ctrl-C.

Left to itself CP-SAT takes Ctrl-C away: it stops early without a word, or not at all where it was about to end with a
proof, and the signal is lost. So it is kept from touching signals, and solves in a thread of its own while the main
thread waits, which Python can interrupt.
"""

from __future__ import annotations

import threading
from concurrent.futures import Future
from contextlib import suppress
from typing import Any


def solve(solver: Any, model: Any, time_limit_s: float) -> Any:
    """The status after at most so many seconds; Ctrl-C in the main thread ends it with `KeyboardInterrupt`."""
    solver.parameters.max_time_in_seconds = max(time_limit_s, 0.001)
    # This step of the presolve of ortools 9.15.6755 calls some models infeasible that are not (9.14.6206 does not);
    # tests/solver/explore/test_hunt.py has one. It saves no time here.
    solver.parameters.presolve_inclusion_work_limit = 0
    solver.parameters.catch_sigint_signal = False
    if threading.current_thread() is not threading.main_thread():
        return solver.solve(model)  # signals go to the main thread alone
    return _beside(solver, model)


def _beside(solver: Any, model: Any) -> Any:
    """Solve in another thread; it has stopped solving whichever way this is left."""
    found: Future[Any] = Future()

    def run() -> None:
        if found.set_running_or_notify_cancel():
            try:
                found.set_result(solver.solve(model))
            except BaseException as error:
                found.set_exception(error)

    try:
        threading.Thread(target=run, daemon=True).start()
        found.exception()
    except BaseException:
        while not (found.cancel() or found.done()):
            solver.stop_search()  # again and again: a search that is just about to begin does not hear it
            with suppress(TimeoutError, KeyboardInterrupt):
                found.exception(0.01)
        raise
    return found.result()
