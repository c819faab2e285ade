"""The years after fitting as they stand on the screen and in JSON."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from rich.console import Console

from cli.json_out.answer import answer
from cli.terminal.answer import show_answer
from cli.terminal.years import show_aftercare
from solver.assess.problem import Least
from solver.choose.plan import Answer, plan
from solver.choose.search import Options
from tests.referee.random_case import INVENTED
from tests.solver.small import band, part, small_case, stock


def service(months: int, price: float) -> dict[str, Any]:
    return {
        "what": "renew the insert", "months": [months, 2 * months], "price": band(price, price),
        "work": {"chair": [5, 5], "source": INVENTED}, "source": INVENTED,
    }  # fmt: skip


CHEAP = part("cheap", wear={"loss": [0.1, 0.5], "cycles": 2000, "source": INVENTED}, service=service(6, 10))
LASTING = part("lasting", price=band(50, 50), wear={"loss": [0, 0.1], "cycles": 5000, "source": INVENTED})


def planned(*parts: dict[str, Any], least: Least = "now", **changes: Any) -> Answer:
    case = small_case(wanted={"level_n": 4}, money={"years": 3}, **changes)
    return plan(case, stock(*parts), Options(least=least))


def shown(found: Answer) -> str:
    page = Console(file=io.StringIO(), width=80, highlight=False)
    assert found.best is not None
    show_aftercare(page, found.problem, found.best)
    assert isinstance(page.file, io.StringIO)
    return "\n".join(line.rstrip() for line in page.file.getvalue().splitlines())


STORIES = {
    "wears out": (
        CHEAP,
        """
Over 3 years  3 to 5 insertions a day (assumed; studies differ)
 - hold if nothing is renewed: 5.0 to 8.0 N at fitting; after 1 year 2.7 to 7.6;
   2 years 1.4 to 7.1; 3 years 0.7 to 6.7
 - may drop below 4.0 N after 5 months; may also stay above it for all 3 years
 - with renewals on schedule 2.7 N (renewed late) to 3.6 N (renewed early) at
   worst, below 4.0 N; renew when the patient notices
 site  what               times              EUR
 B     renew the insert  2 to 5  40.00 to 100.00
 - cost over 3 years: 50.00 to 112.00 EUR (fitting 10.00 to 12.00, renewals
   40.00 to 100.00)""",
    ),
    "lasts": (
        LASTING,
        """
Over 3 years  3 to 5 insertions a day (assumed; studies differ)
 - hold if nothing is renewed: 5.0 to 8.0 N at fitting; after 1 year 4.8 to 8.0;
   2 years 4.6 to 8.0; 3 years 4.5 to 8.0
 - cost over 3 years: 50.00 EUR (fitting 50.00, renewals 0.00)""",
    ),
}


@pytest.mark.parametrize(("clip", "text"), STORIES.values(), ids=STORIES)
def test_the_years_read_as_they_should(clip: dict[str, Any], text: str) -> None:
    assert text == shown(planned(clip))


@pytest.mark.parametrize(
    ("least", "attachment", "verdict"),
    [
        ("now", "cheap", "small: fits, 10.00 to 12.00 EUR, nothing in the catalogue costs less"),
        ("years", "lasting", "small: fits, 50.00 EUR, nothing in the catalogue costs less over 3 years"),
    ],
)
def test_the_cheapest_now_need_not_be_the_cheapest_in_time(least: Least, attachment: str, verdict: str) -> None:
    found = planned(CHEAP, LASTING, least=least)
    page = io.StringIO()

    show_answer(Console(file=page, width=80, highlight=False), found, [])

    assert found.best is not None
    assert [attachment] == [candidate.attachment.id for candidate in found.best.mix]
    assert verdict == page.getvalue().splitlines()[0]


def test_the_years_for_machines() -> None:
    found = json.loads(json.dumps(answer(planned(CHEAP, least="years"), [])))

    assert {"low": 5000, "high": 11200} == found["aftercare"]["cost"]
    assert 11200 == found["proof"]["bound"]
    assert {"soonest": 5, "latest": None} == found["aftercare"]["months_to_floor"]
    assert [0, 12, 24, 36] == [held["month"] for held in found["aftercare"]["hold"]]
    assert {"low": 2, "high": 5} == found["aftercare"]["renewals"][0]["times"]
