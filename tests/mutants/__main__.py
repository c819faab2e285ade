"""Mutation testing: `python -m tests.mutants MODULE... [--sample N] [--seed K]`, as `fit` or `catalogue/load`."""

from __future__ import annotations

import random
from collections import Counter

import click

from tests.mutants.covering import TESTS, file_of
from tests.mutants.mutate import Mutant, mutants_of
from tests.mutants.run import ROOT, End, copy_of_tree, put, tests_end

TIMES = 10
"""A fault whose tests take more than this many times the processor time of the plain run counts as found."""


@click.command()
@click.argument("modules", nargs=-1, type=click.Choice(sorted(TESTS)), required=True)
@click.option("--sample", type=click.IntRange(1), help="Take only so many faults of each module.")
@click.option("--seed", default=1, show_default=True, help="Which ones.")
@click.option("--line", "lines", multiple=True, type=int, help="Only faults on this line.")
def main(modules: tuple[str, ...], sample: int | None, seed: int, lines: tuple[int, ...]) -> None:
    """Put faults into modules one at a time and run their tests: which are not found?"""
    for module in modules:
        faults = mutants_of((ROOT / file_of(module)).read_text(encoding="utf-8"))
        taken = [fault for fault in faults if not lines or fault.line in lines]
        if sample and sample < len(taken):
            places = sorted(random.Random(seed).sample(range(len(taken)), sample))
            taken = [taken[place] for place in places]
        ends = _ends(module, taken)
        found = len(taken) - ends[End.SURVIVED]
        click.echo(
            f"{module}: {found} of {len(taken)} found ({100 * found / len(taken):.0f} %), "
            f"{ends[End.TIMEOUT]} of them by time; {len(faults)} faults in all"
        )


def _ends(module: str, faults: list[Mutant]) -> Counter[End]:
    """Try each fault; says which survive, and shows how far it is on stderr."""
    ends: Counter[End] = Counter()
    with copy_of_tree() as tree:
        plain, plain_s = tests_end(tree, TESTS[module], 600)
        if plain is not End.SURVIVED:
            raise click.ClickException(f"the tests of {module} fail without a fault")
        for number, fault in enumerate(faults, start=1):
            put(fault.text, tree / file_of(module), number)
            end, took_s = tests_end(tree, TESTS[module], TIMES * plain_s)
            ends[end] += 1
            click.echo(
                f"{module} {number}/{len(faults)} {end.value} {took_s:.1f} s (plain {plain_s:.1f} s)", err=True
            )
            if end is End.SURVIVED:
                click.echo(f"{file_of(module)}:{fault.line}: {fault.was}  ->  {fault.now}")
    return ends


if __name__ == "__main__":
    main()
