"""What hold, load and time add to a plan that only fits and moves: a ratio of times in one run.

Moved alone: candidates, the choice for cost, sum of retentions and movement, the movement left, all derived
a second time. Whole: the same with pulls that must be taken, the load on the supports, and the years.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable
from typing import NamedTuple

from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.audit.certificate import verify
from solver.audit.second_opinion.world import World
from solver.choose.plan import plan
from solver.choose.search import Options, choose
from tests.benchmarks.worlds import sized_world

PULLS_N = {"left": 2.0, "right": 2.0}


class Added(NamedTuple):
    """Milliseconds of processor time, medians."""

    moved_ms: float
    whole_ms: float

    @property
    def ratio(self) -> float:
        """What is added, as a share of the plan that only moves."""
        return self.whole_ms / self.moved_ms - 1.0


def added(sites: int = 5, per_site: int = 40, seed: int = 1, repeats: int = 9) -> Added:
    """Both on the same case, by turns, so that a busy machine slows both."""
    case, catalogue = sized_world(sites, per_site, seed)
    wanted = case.wanted.model_copy(update={"pull_n": PULLS_N})
    plain, pulled = World(case, catalogue), World(case.model_copy(update={"wanted": wanted}), catalogue)
    return Added(*medians_ms(lambda: moved(plain), lambda: plan(*pulled), repeats))


def moved(world: World) -> None:
    """The least cost that fits and moves, and the movement left."""
    problem = problem_of(*world)
    mechanics = Mechanics(problem)
    for mix in choose(problem, mechanics, Options()).mixes:
        assert mix.reaches
        assert mix.freedoms is not None
        verify(mix)


def medians_ms(one: Callable[[], object], other: Callable[[], object], repeats: int) -> tuple[float, float]:
    """Median processor times of two actions, by turns after a first round that is not counted."""
    pairs = [(_ms(one), _ms(other)) for _ in range(repeats + 1)][1:]
    ones, others = zip(*pairs, strict=True)
    return statistics.median(ones), statistics.median(others)


def _ms(action: Callable[[], object]) -> float:
    start = time.process_time()
    action()
    return 1000 * (time.process_time() - start)


def main() -> None:
    """Print a line for each seed."""
    for seed in (1, 2, 3):
        found = added(seed=seed)
        print(
            f"hold, load and time add {found.ratio:.0%} to a plan that only moves: "
            f"{found.moved_ms:.0f} and {found.whole_ms:.0f} ms, 5 sites, 40 candidates each, seed {seed}"
        )


if __name__ == "__main__":
    main()
