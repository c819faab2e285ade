"""Ctrl-C stays Ctrl-C: a solve by CP-SAT leaves the handler as it was, in whatever thread."""

from __future__ import annotations

import subprocess
import sys
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from solver import stoppable

AFTER_A_SOLVE = """
import signal, threading
from ortools.sat.python import cp_model
from solver import stoppable

signal.signal(signal.SIGINT, signal.default_int_handler)  # it may have been inherited as ignored

def solve():
    model = cp_model.CpModel()
    model.minimize(model.new_int_var(0, 9, "x"))
    return stoppable.solve(cp_model.CpSolver(), model, 10.0)

{solve}
try:
    signal.raise_signal(signal.SIGINT)
except KeyboardInterrupt:
    print("stopped cleanly")
"""
WHERE = {
    "main thread": "solve()",
    "another thread": "thread = threading.Thread(target=solve)\nthread.start()\nthread.join()",
}


@pytest.mark.parametrize("solve", WHERE.values(), ids=WHERE)
def test_an_interrupt_after_a_solve_is_still_one(solve: str) -> None:
    """Else the signal would end the process at once, and what was found would be lost."""
    script = AFTER_A_SOLVE.format(solve=solve)
    ran = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=False)

    assert (0, "stopped cleanly\n", "") == (ran.returncode, ran.stdout, ran.stderr)


def ended(status: Any, wall_time: float) -> Any:
    """A solver that ended so, after so many seconds."""
    return SimpleNamespace(parameters=SimpleNamespace(), solve=lambda _: status, wall_time=wall_time)


@pytest.mark.parametrize("status", [cp_model.UNKNOWN, cp_model.FEASIBLE], ids=["nothing found", "not proved"])
def test_an_early_end_without_proof_is_an_interrupt(status: Any) -> None:
    with pytest.raises(KeyboardInterrupt):
        stoppable.solve(ended(status, 1.0), None, 10.0)


@pytest.mark.parametrize(
    ("status", "wall_time"),
    [(cp_model.UNKNOWN, 10.0), (cp_model.FEASIBLE, 9.9), (cp_model.OPTIMAL, 0.0), (cp_model.INFEASIBLE, 0.0)],
    ids=["nothing found in time", "not proved in time", "optimal", "infeasible"],
)
def test_any_other_end_is_an_answer(status: Any, wall_time: float) -> None:
    assert status == stoppable.solve(ended(status, wall_time), None, 10.0)
