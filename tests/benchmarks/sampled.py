"""What the plans of a batch are worth by the rules of today: `python -m tests.benchmarks.sampled FOLDER RESULTS`.

FOLDER holds the cases, RESULTS (JSON lines) is what `regrip batch` made of them, now or at an earlier day. Each mix
is put into its case again and judged anew, so that plans of two versions are measured by one rule.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from solver.assess.assessment import Assessment
from solver.case.reading import read_case
from solver.case.rule_set import FLOORS
from solver.case.rules import Pulls
from solver.case.schema import DEMANDS, Case
from solver.choose.check import check
from solver.fit.bench import LEFT_BARE
from solver.fit.proposal import BadPut, read_put

NOTHING_N = 0.05
"""A pull below this is printed as 0.0 N."""


def labels_of(row: dict[str, Any], case: Case, catalogue: Catalogue) -> Iterator[str]:
    """What counts for a row: its outcome, then its plan by the rules of today."""
    yield f"outcome: {row['outcome']}"
    if not row["mix"]:
        yield "no plan"
        return
    try:
        found = check(case, catalogue, {one["site"]: read_put(_put(one)) for one in _put_by_hand(row)})
    except BadPut:
        yield "a plan that can no longer be put by hand"
        return
    yield "plans judged"
    yield from _of_plan(found.plan, row["outcome"])
    if found.refusals:
        yield "a need of today fails"


def _of_plan(mix: Assessment, outcome: str) -> Iterator[str]:
    fits = outcome != "relaxed"
    pulls = [mix.hold_n(name) for name in FLOORS]
    kept = all(rule.kept(mix) for rule in mix.problem.rules if isinstance(rule, Pulls))
    stays = all(rule.kept(mix) for rule in mix.problem.stopgap)
    if max(pulls) < NOTHING_N:
        yield "0.0 N at all four pulls"
    if not stays:
        yield "under the pulls of a stopgap"
    if not kept:
        yield "under the pulls of the usual tier"
        if fits:
            yield "under the pulls of the usual tier, and called fitting"
    if mix.unlike:
        yield "unlike on mirror sites"
    if any(mix.fights(demand) for demand in DEMANDS):
        yield "parts fight"


def _put_by_hand(row: dict[str, Any]) -> list[dict[str, Any]]:
    """The parts of a row; an end left as it is needs no hand."""
    return [one for one in row["mix"] if one["attachment"] != LEFT_BARE]


def _put(one: dict[str, Any]) -> str:
    """A part of a row as a person puts it by hand."""
    steps = "".join(f" + {step}" for step in one["reworks"] or ())
    return str(one["attachment"]) + (f" x{one['count']}" if one["count"] > 1 else "") + steps


def main(folder: Path, results: Path) -> None:
    """Print every label with the number of cases."""
    counts: Counter[str] = Counter()
    catalogue = load_catalogue()
    for line in results.read_text(encoding="utf-8").splitlines():
        row = json.loads(line)
        path = folder / Path(row["file"]).name
        case = read_case(parse_yaml(path.read_text(encoding="utf-8"), str(path)))
        counts.update(labels_of(row, case, catalogue))
    for label, number in sorted(counts.items()):
        print(f"{number:6,}  {label}")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
