"""What all three tiers cost beside the plan alone: a ratio of processor times in one run.

Alone: the plan that is recommended, proved and derived a second time. All: with the stopgap, the steps of money above
it and the firmest plan, as `regrip plan` shows them. The aim is twice at most.
"""

from __future__ import annotations

from typing import NamedTuple

from catalogue.load import load_catalogue
from solver.audit.second_opinion.world import World
from solver.choose.plan import plan
from solver.choose.tiers import tiers
from tests.benchmarks.added import medians_ms
from tests.benchmarks.worlds import sized_world


class Compared(NamedTuple):
    """Milliseconds of processor time, medians."""

    alone_ms: float
    all_ms: float

    @property
    def ratio(self) -> float:
        """All three over the plan alone."""
        return self.all_ms / self.alone_ms


def promising_world(sites: int, per_site: int, seed: int) -> World:
    """A sized world that asks what the tiers of the starter catalogue promise, and no hold of its own."""
    case, catalogue = sized_world(sites, per_site, seed)
    starter = load_catalogue()
    promised = starter.defaults
    defaults = catalogue.defaults.model_copy(
        update={"tiers": promised.tiers, "preferences": promised.preferences, "pull_n": promised.pull_n}
    )
    asks = case.wanted.model_copy(update={"hold_n": None})
    return World(
        case.model_copy(update={"wanted": asks}),
        catalogue.model_copy(update={"defaults": defaults, "sources": {**catalogue.sources, **starter.sources}}),
    )


def compared(sites: int = 5, per_site: int = 40, seed: int = 1, repeats: int = 7) -> Compared:
    """Both on the same case, by turns, so that a busy machine slows both."""
    world = promising_world(sites, per_site, seed)
    return Compared(*medians_ms(lambda: plan(*world), lambda: tiers(plan(*world)), repeats))


def main() -> None:
    """Print a line for each seed."""
    for seed in (1, 2, 3):
        found = compared(seed=seed)
        print(
            f"three tiers take {found.ratio:.2f} times the plan alone: "
            f"{found.all_ms:.0f} and {found.alone_ms:.0f} ms, "
            f"5 sites, 40 candidates each, seed {seed}"
        )


if __name__ == "__main__":
    main()
