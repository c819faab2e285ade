"""`python -m tests.benchmarks.alternatives`: regrip against what one would use instead, in one run.

On the same cases each must find the same optimum. Times are those of the processor, from the options to the optimum
with its proof. Draws docs/dev/alternatives.svg.
"""

from __future__ import annotations

import multiprocessing
import statistics
import time
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection
from pathlib import Path
from typing import Any, NamedTuple

from solver.assess.oracle import Mechanics
from solver.assess.problem import Problem, problem_of
from solver.choose import hold_bound as cheapest
from solver.choose.master import Master, Outcome
from solver.choose.search import Options, choose
from solver.explain.waivers import Give
from solver.mechanics.lp import LinearProgram
from tests.benchmarks.rival_waivers import correction_sets
from tests.benchmarks.rivals import OutOfTime, big_constants, enumerated, question_of, whole_numbers
from tests.benchmarks.worlds import sized_world, tight_world

LIMIT_S = 20.0
"""Each rival on each case."""

SEEDS = (1, 2, 3)
MOST_MIXES = 1e6
"""Beyond this many combinations nothing is enumerated."""

CHART = Path("docs/dev/alternatives.svg")


class Size(NamedTuple):
    """Sites, candidates a site."""

    sites: int
    per_site: int


SIZES = (
    Size(3, 8), Size(4, 8), Size(3, 16), Size(3, 40), Size(5, 40), Size(8, 40), Size(12, 40), Size(12, 150),
)  # fmt: skip


def ours(problem: Problem) -> int | None:
    """Least cost by regrip, None where nothing fits."""
    found = choose(problem, Mechanics(problem), Options())
    if found.outcome is Outcome.UNDECIDED:
        raise OutOfTime
    return problem.cost_of([o.candidate for o in found.mixes[0].options]).high if found.mixes else None


def _few_enough(problem: Problem, limit_s: float) -> int | None:
    question, mixes = question_of(problem), 1
    for indices in question.sites:
        mixes *= len(indices) + 1
    if mixes > MOST_MIXES:
        raise OutOfTime
    return enumerated(question, limit_s)


RIVALS: dict[str, Callable[[Problem], int | None]] = {
    "every mix (python-constraint, linprog)": lambda problem: _few_enough(problem, LIMIT_S),
    "one CP-SAT model in whole numbers": lambda problem: whole_numbers(question_of(problem), LIMIT_S),
    "one MILP with big constants (HiGHS)": lambda problem: big_constants(question_of(problem), LIMIT_S),
}
REGRIP = "regrip"


def processor_ms(action: Callable[[], Any]) -> tuple[float, Any]:
    """Processor time of an action, and what it gives; infinite where time runs out."""
    start = time.process_time()
    try:
        found = action()
    except OutOfTime:
        return float("inf"), OutOfTime
    return 1000 * (time.process_time() - start), found


def measured(size: Size) -> dict[str, float]:
    """Median over the seeds for each way; raises where two ways do not agree."""
    times: dict[str, list[float]] = {name: [] for name in (REGRIP, *RIVALS)}
    for seed in SEEDS:
        problem = problem_of(*sized_world(*size, seed))
        assert problem.options
        ms, best = processor_ms(lambda: ours(problem))  # noqa: B023 - called at once
        again = [processor_ms(lambda: ours(problem))[0] for _ in range(2)]  # noqa: B023
        times[REGRIP].append(statistics.median([ms, *again]))
        for name, rival in RIVALS.items():
            ms, found = processor_ms(lambda: rival(problem))  # noqa: B023
            if found not in (OutOfTime, best):
                raise ValueError(f"{name} finds {found}, regrip {best}: {size}, seed {seed}")
            times[name].append(ms)
    return {name: statistics.median(each) for name, each in times.items()}


def shares(size: Size) -> dict[str, float]:
    """Which share of the time of the choice is spent inside HiGHS, CP-SAT and the knapsack tables."""
    inside = {"HiGHS": 0.0, "CP-SAT": 0.0, "knapsack": 0.0, "all": 0.0}

    def clocked(name: str, call: Callable[..., Any]) -> Callable[..., Any]:
        def timed(*given: Any) -> Any:
            start = time.process_time()
            try:
                return call(*given)
            finally:
                inside[name] += time.process_time() - start

        return timed

    calls = [
        ("HiGHS", LinearProgram, "maximise"), ("HiGHS", LinearProgram, "load"),
        ("CP-SAT", Master, "solve"), ("knapsack", cheapest, "lightest"),
    ]  # fmt: skip
    kept = [getattr(owner, call) for _, owner, call in calls]
    for name, owner, call in calls:
        setattr(owner, call, clocked(name, getattr(owner, call)))
    try:
        for seed in SEEDS:
            problem = problem_of(*sized_world(*size, seed))
            assert problem.options
            clocked("all", ours)(problem)
    finally:
        for (_, owner, call), was in zip(calls, kept, strict=True):
            setattr(owner, call, was)
    return {name: seconds / inside["all"] for name, seconds in inside.items() if name != "all"}


def waivers() -> Iterator[str]:
    """Smallest sets to give up, at most three rules each: ours, and CPMpy's in a process that may be stopped."""
    for size in ((4, 6, 9), (4, 10, 10), (6, 20, 14)):
        world = tight_world(*size)
        start = time.perf_counter()
        found = Give(*world)
        for step in found.steps():
            if step == "the smallest clash":
                break
        our_s, sets = time.perf_counter() - start, {frozenset(way.rules) for way in found.ways}
        theirs = stopped_after(LIMIT_S, problem_of(*world))
        if not {rules for _, rules in theirs.sets} <= sets:
            raise ValueError(f"CPMpy finds other sets: {size}")
        ended = f"ended after {theirs.ended_s:.1f} s" if theirs.ended_s else f"no end in {LIMIT_S:.0f} s"
        last = max((s for s, _ in theirs.sets), default=0.0)
        yield (
            f"| {size[0]} | {size[1]} | {len(found.problem.options)} | {len(sets)} in {our_s:.2f} s, proved | "
            f"{len(theirs.sets)} in {last:.2f} s, {ended} |"
        )


class Stopped(NamedTuple):
    """Sets with the seconds after which each was found, and the seconds to the end if it came."""

    sets: list[tuple[float, Any]]
    ended_s: float | None


def stopped_after(limit_s: float, problem: Problem) -> Stopped:
    """Let CPMpy list in a process of its own."""
    here, there = multiprocessing.get_context("fork").Pipe(duplex=False)
    child = multiprocessing.get_context("fork").Process(target=_listing, args=(problem, there))
    child.start()
    start, found, ended = time.perf_counter(), [], None
    while here.poll(max(limit_s - (time.perf_counter() - start), 0.0)):
        rules, now = here.recv(), time.perf_counter() - start
        if rules is None:
            ended = now
            break
        found.append((now, rules))
    child.kill()
    child.join()
    return Stopped(found, ended)


def _listing(problem: Problem, to: Connection) -> None:
    for rules in correction_sets(problem):
        to.send(rules)
    to.send(None)


def chart(table: dict[Size, dict[str, float]]) -> None:
    """Times over the sizes, in order of how long the slowest takes; what ran out of time stands at the limit."""
    import matplotlib  # noqa: PLC0415 - optional

    matplotlib.use("svg")
    from matplotlib import pyplot  # noqa: PLC0415

    matplotlib.rcParams["svg.hashsalt"] = "regrip"
    figure, axes = pyplot.subplots(figsize=(8, 4.5))
    labels = [f"{size.sites} x {size.per_site}" for size in table]
    for name, mark in zip((REGRIP, *RIVALS), "osd^", strict=True):
        times = [row[name] for row in table.values()]
        axes.plot(labels, [min(ms, 1000 * LIMIT_S) for ms in times], marker=mark, label=name)
    axes.axhline(1000 * LIMIT_S, color="grey", linestyle=":", label=f"limit of {LIMIT_S:.0f} s")
    axes.set(yscale="log", xlabel="sites x candidates a site", ylabel="processor time, ms (median of 3 cases)")
    axes.legend(fontsize=8)
    figure.tight_layout()
    figure.savefig(CHART, metadata={"Date": None})


def main() -> None:
    """Print the tables as they stand in docs/dev/benchmarks.md, and draw the chart."""
    ours(_ready())
    table = {}
    print("| sites | candidates a site | " + " | ".join((REGRIP, *RIVALS)) + " |", "|---" * 6 + "|", sep="\n")
    for size in SIZES:
        table[size] = measured(size)
        cells = [f"{ms:.0f}" if ms < float("inf") else "-" for ms in table[size].values()]
        print(f"| {size.sites} | {size.per_site} | " + " | ".join(cells) + " |", flush=True)
    for size in (Size(5, 40), Size(12, 40), Size(12, 150)):
        print(size, {name: f"{share:.0%}" for name, share in shares(size).items()})
    for line in waivers():
        print(line, flush=True)
    chart(table)


def _ready() -> Problem:
    """A first case, so that imports are not counted."""
    problem = problem_of(*sized_world(3, 10))
    Master(problem, problem.options, Mechanics(problem))
    return problem


if __name__ == "__main__":
    main()
