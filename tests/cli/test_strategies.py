"""The ways out side by side, on the screen and in JSON."""

from __future__ import annotations

import io
import json

from rich.console import Console

from cli.json_out.strategy import strategies as for_machines
from cli.terminal.strategies import show_short
from solver.explore.strategies import strategies
from tests.solver.explore.test_strategy import STOCK, UPPER, with_what_ifs
from tests.solver.small import small_problem

UPPER_TABLE = """
Ways out  costs at the high end; what is not open, with what it would need
 way                           EUR  in 5 years             N  reach  cautions
 keep the bar      open      12.00       12.00    5.0 to 8.0   1.00         5
 take the bar off  only if   40.00       40.00  10.0 to 16.0   1.00         7
 new bar           only if  500.00                                          2
 no attachment     only if   40.00       40.00    0.0 to 0.0   1.00         2
 - take the bar off: accept single attachments on 2 implants where 4 are wanted;
   accept implants that no bar splints, once mobility and bone of each are
   checked; upper jaw: bone is commonly taken as about half as dense as in the
   lower jaw (common practice, no source); with fewer than four implants about
   three times as many are lost (Kern et al. 2016, read in abstract)
 - new bar: allow making a new bar
 - no attachment: accept a level pull of 0.0 N where 5.0 N are asked"""


def test_the_upper_jaw_reads_as_it_should() -> None:
    problem = small_problem(with_what_ifs(STOCK), **UPPER, wanted={"level_n": 5}, allowed={"bar_off": True})
    page = io.StringIO()

    show_short(Console(file=page, width=80, highlight=False), problem, strategies(problem))

    assert UPPER_TABLE == "\n".join(line.rstrip() for line in page.getvalue().splitlines())


def test_the_ways_for_machines() -> None:
    problem = small_problem(with_what_ifs(STOCK), wanted={"level_n": 5})

    found = json.loads(json.dumps(for_machines(problem, strategies(problem))))

    assert ["keep-bar", "bar-off", "new-bar", "no-attachment"] == [each["way"] for each in found]
    assert ["open", "what-if", "what-if", "what-if"] == [each["standing"] for each in found]
    assert ["allowed:bar_off"] == [need["rule"] for need in found[1]["needs"]]
    assert {"low": 50000, "high": 50000} == found[2]["cost"]
    assert found[2]["mix"] is found[2]["cost_years"] is None
