"""`python -m tests.benchmarks.give`: how long it takes to list what has to give, and how that grows."""

from __future__ import annotations

import statistics
import time
from collections.abc import Iterator
from typing import NamedTuple

from solver.audit.second_opinion.world import World
from solver.explain.rule_switches import soft_rules
from solver.explain.waivers import Footing, Give
from tests.benchmarks.worlds import tight_world


class Timed(NamedTuple):
    """Milliseconds to the first way and to the end of the list, and to the proof; ways found; rules that may give."""

    first: float
    listed: float
    proved: float
    ways: int
    rules: int


def timed(world: World, most: int = 3) -> Timed:
    """One search; the import of the solver is not counted."""
    start = time.perf_counter()
    found, first, listed = Give(*world, most=most), 0.0, 0.0
    for step in found.steps():
        now = 1000 * (time.perf_counter() - start)
        first = first or (now if found.ways else 0.0)
        listed = now if step == "the smallest clash" else listed
    if found.footing is not Footing.GIVES:
        raise ValueError(f"the case was meant to be infeasible, it is: {found.footing.value}")
    end = 1000 * (time.perf_counter() - start)
    return Timed(first, listed, end, len(found.ways), len(soft_rules(found.problem)))


def rows() -> Iterator[tuple[int, int, int]]:
    """Sites, candidates per site, rules that may be given up."""
    yield from ((12, 40, 20), (6, 40, 20), (12, 20, 20), (12, 80, 20), (12, 160, 20), (12, 40, 10), (12, 40, 28))


def main() -> None:
    """Print a table."""
    timed(tight_world(4, 10, 8))
    print("sites  candidates  rules  ways  first ms  listed ms  with proof ms")
    for sites, per_site, rules in rows():
        found = [timed(tight_world(sites, per_site, rules, seed)) for seed in (1, 2, 3)]
        ms = [statistics.median(getattr(each, name) for each in found) for name in ("first", "listed", "proved")]
        ways = statistics.median_low(each.ways for each in found)
        print(f"{sites:5}  {per_site:10}  {found[0].rules:5}  {ways:4}  {ms[0]:8.0f}  {ms[1]:9.0f}  {ms[2]:13.0f}")


if __name__ == "__main__":
    main()
