"""Ctrl-C stays Ctrl-C: a solve by CP-SAT leaves the handler as it was, in whatever thread."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from types import SimpleNamespace
from typing import Any

import pytest
from ortools.sat.python import cp_model

from solver.choose import cpsat as stoppable

AFTER_A_SOLVE = """
import signal, threading
from ortools.sat.python import cp_model
from solver.choose import cpsat as stoppable

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


MANY_SHORT_ONES = """
import os, signal, threading
from ortools.sat.python import cp_model
from solver.choose import cpsat as stoppable

signal.signal(signal.SIGINT, signal.default_int_handler)

def solve():
    model = cp_model.CpModel()
    xs = [model.new_int_var(0, 9, "") for _ in range(50)]
    model.add(sum(xs) >= 100)
    model.minimize(sum(i * x for i, x in enumerate(xs)))
    assert stoppable.solve(cp_model.CpSolver(), model, 60.0) == cp_model.OPTIMAL

heard = 0
for draw in range(12):
    timer = threading.Timer(0.05 + 0.003 * draw, os.kill, (os.getpid(), signal.SIGINT))
    timer.start()
    try:
        while timer.is_alive():
            solve()
        solve()
    except KeyboardInterrupt:
        heard += 1
    timer.join()
print(heard)
"""


def test_an_interrupt_in_the_midst_of_a_solve_that_ends_with_a_proof_is_not_lost() -> None:
    ran = subprocess.run([sys.executable, "-c", MANY_SHORT_ONES], capture_output=True, text=True, check=False)

    assert (0, "12\n", "") == (ran.returncode, ran.stdout, ran.stderr)


A_LONG_ONE = """
import os, signal, threading, time
from ortools.sat.python import cp_model
from solver.choose import cpsat as stoppable

signal.signal(signal.SIGINT, signal.default_int_handler)
model, n = cp_model.CpModel(), 40
x = [[model.new_bool_var("") for _ in range(n)] for _ in range(n + 1)]
for pigeon in x:
    model.add_bool_or(pigeon)
for hole in zip(*x):
    model.add_bool_or([~hole[0], ~hole[1]])
    for i in range(n + 1):
        for j in range(i):
            model.add_bool_or([~hole[i], ~hole[j]])
solver = cp_model.CpSolver()
solver.parameters.num_workers = 1
solver.parameters.cp_model_presolve = False
solver.parameters.symmetry_level = 0
solver.parameters.linearization_level = 0
threading.Timer(0.5, os.kill, (os.getpid(), signal.SIGINT)).start()
began = time.monotonic()
try:
    stoppable.solve(solver, model, 120.0)
except KeyboardInterrupt:
    print("stopped", "soon" if time.monotonic() - began < 60 else "late")
"""


def test_a_long_solve_is_stopped_by_it() -> None:
    """More pigeons than holes: nothing that clauses prove in any time."""
    ran = subprocess.run([sys.executable, "-c", A_LONG_ONE], capture_output=True, text=True, check=False)

    assert (0, "stopped soon\n", "") == (ran.returncode, ran.stdout, ran.stderr)


@pytest.mark.parametrize(
    "solve",
    [
        pytest.param(lambda call: call(), id="main thread"),
        pytest.param(lambda call: ThreadPoolExecutor(1).submit(call).result(), id="another thread"),
    ],
)
def test_a_fault_within_the_solver_is_raised_where_it_was_asked(solve: Callable[[Callable[[], Any]], Any]) -> None:
    def breaks(_: object) -> int:
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        solve(lambda: stoppable.solve(SimpleNamespace(parameters=SimpleNamespace(), solve=breaks), None, 10.0))


def test_the_time_limit_is_handed_on_and_never_none_at_all() -> None:
    solver = SimpleNamespace(parameters=SimpleNamespace(), solve=lambda _: cp_model.UNKNOWN)

    assert cp_model.UNKNOWN == stoppable.solve(solver, None, 7.5)
    assert 7.5 == solver.parameters.max_time_in_seconds
    assert cp_model.UNKNOWN == stoppable.solve(solver, None, -1.0)
    assert 0.001 == solver.parameters.max_time_in_seconds
