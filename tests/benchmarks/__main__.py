"""`make bench`: how plans and common orders grow, what is not movement, exhaustive search, what has to give."""

from __future__ import annotations

import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

from solver.audit.second_opinion.decide import decide
from solver.audit.second_opinion.world import World
from solver.choose.plan import plan
from tests.benchmarks import added, give, tiers
from tests.benchmarks.order import growth
from tests.benchmarks.worlds import sized_world

EXAMPLE = Path("docs/examples/lower-three-supports.yaml")


def median_ms(action: Callable[[], object], repeats: int = 7) -> float:
    """Median wall time of an action after one run that is not counted."""
    action()
    times = []
    for _ in range(repeats):
        start = time.perf_counter()
        action()
        times.append(time.perf_counter() - start)
    return 1000 * statistics.median(times)


def planned(world: World) -> Callable[[], object]:
    """Plan the world, as an action."""
    return lambda: plan(world.case, world.catalogue)


def sizes() -> None:
    """Growth in sites and in candidates per site."""
    print("sites  candidates  median ms  rounds  cuts")
    for sites, per_site in ((3, 40), (5, 40), (5, 80), (5, 160), (8, 40), (12, 40), (12, 150)):
        results = []
        for seed in (1, 2, 3):
            world = sized_world(sites, per_site, seed)
            proof = plan(world.case, world.catalogue).proof
            results.append((median_ms(planned(world), 5), proof.rounds, proof.cuts))
        ms, rounds, cuts = statistics.median_low(results)
        print(f"{sites:5}  {per_site:10}  {ms:9.1f}  {rounds:6}  {cuts:4}")


def against_exhaustive() -> None:
    """The same cases by both, as they grow; only the ratio means something on a shared machine."""
    for sites, per_site in ((3, 8), (3, 16), (4, 8), (4, 12)):
        world = sized_world(sites, per_site)
        ratio = median_ms(lambda w=world: decide(w), 1) / median_ms(planned(world), 3)  # type: ignore[misc]
        print(
            f"exhaustive search takes {ratio:.1f} times the time of plan: {sites} sites, {per_site} candidates each"
        )


def cold_starts() -> None:
    """Wall time of the command itself."""
    for arguments in (["--help"], ["plan", str(EXAMPLE)]):
        command = [sys.executable, "-m", "cli.main", *arguments]
        ms = median_ms(lambda c=command: subprocess.run(c, capture_output=True, check=False), 5)  # type: ignore[misc]
        print(f"regrip {' '.join(arguments)}: {ms:.0f} ms cold")


if __name__ == "__main__":
    sizes()
    added.main()
    tiers.main()
    against_exhaustive()
    cold_starts()
    give.main()
    growth()
