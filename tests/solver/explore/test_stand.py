"""How good a plan is when the case around it changes, and how long a better one may be looked for."""

from __future__ import annotations

import math
import time
from fractions import Fraction

import pytest

from solver.assess.problem import Least
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explore.incumbent import Incumbent
from tests.solver.small import band, part, renewal, small_case, stock

CATALOGUE = stock(part("clip", price=band(10, 12), service=renewal(12, 12)))


@pytest.mark.parametrize("least", ["now", "years"])
def test_rank_is_by_what_is_made_least(least: Least) -> None:
    """12.00 to fit; over five years four renewals of 3.00 more, and the regular visits."""
    case = small_case(wanted={"level_n": 5}, ends={"E": None}, money={"years": 5})
    found = plan(case, CATALOGUE, Options(least=least))
    cost = {"now": 1200, "years": 2400 + found.problem.recalls.high}[least]

    assert (0, Fraction(cost), 0, 1) == Incumbent(found, math.inf).rank


def test_a_search_has_the_time_that_is_left() -> None:
    found = plan(small_case(), CATALOGUE)

    assert 4 < Incumbent(found, time.monotonic() + 5).how.time_limit_s <= 5
