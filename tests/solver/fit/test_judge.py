"""One need, one fact: holds, ask, short or fails, and by how much."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from catalogue.blocks import Need
from solver.case.measure import UNKNOWN, Measure
from solver.case.sites import Fact
from solver.fit.needs import Verdict, judge
from tests.solver.small import need, waive

HOLDS, ASK, SHORT, FAILS = Verdict
LEAST: dict[str, Any] = {"of": "undercut_mm", "at_least": 0.3}
MOST: dict[str, Any] = {"of": "out_of_round_mm", "at_most": 0.1}
BETWEEN: dict[str, Any] = {"of": "width_mm", "at_least": 1.7, "at_most": 1.9}
ROUND: dict[str, Any] = {"of": "section", "one_of": ["round", "ovoid"]}


def asked(**fields: Any) -> Need:
    return Need.model_validate(need(**fields), strict=False)


@pytest.mark.parametrize(
    ("verdict", "short_by", "fields", "fact"),
    [
        pytest.param(HOLDS, 0, LEAST, Measure(0.4), id="more than enough"),
        pytest.param(HOLDS, 0, LEAST, Measure(0.3), id="the border itself"),
        pytest.param(HOLDS, 0, LEAST, Measure(0.3 - 1e-9), id="a rounding below the border"),
        pytest.param(FAILS, 1e-5, LEAST, Measure(0.3 - 1e-5), id="a hair below the border"),
        pytest.param(HOLDS, 0, LEAST, Measure(0.4, 0.1), id="error down to the border"),
        pytest.param(ASK, 0, LEAST, Measure(0.4, 0.11), id="error across the border"),
        pytest.param(ASK, 0, LEAST, Measure(0.2, 0.1), id="error up to the border"),
        pytest.param(FAILS, 0.1, LEAST, Measure(0.2, 0.09), id="error that does not reach it"),
        pytest.param(ASK, 0, LEAST, UNKNOWN, id="unknown"),
        pytest.param(FAILS, 0, LEAST, None, id="a site that has no such thing"),
        pytest.param(HOLDS, 0, MOST, Measure(0.1), id="most: border"),
        pytest.param(FAILS, 1e-5, MOST, Measure(0.1 + 1e-5), id="most: a hair above"),
        pytest.param(ASK, 0, MOST, Measure(0.08, 0.05), id="most: error across"),
        pytest.param(HOLDS, 0, BETWEEN, Measure(1.8, 0.1), id="band: error fills it"),
        pytest.param(ASK, 0, BETWEEN, Measure(1.8, 0.3), id="band: error beyond both"),
        pytest.param(FAILS, 0.2, BETWEEN, Measure(1.5), id="band: below"),
        pytest.param(FAILS, 0.1, BETWEEN, Measure(2.0), id="band: above"),
        pytest.param(HOLDS, 0, ROUND, "ovoid", id="word: one of them"),
        pytest.param(FAILS, 0, ROUND, "keyhole", id="word: another"),
        pytest.param(ASK, 0, ROUND, "unknown", id="word: unknown"),
        pytest.param(FAILS, 0, ROUND, None, id="word: no such thing"),
    ],
)
def test_verdict(verdict: Verdict, short_by: float, fields: dict[str, Any], fact: Fact | None) -> None:
    found = judge(asked(**fields), fact)

    assert verdict is found.verdict
    assert short_by == pytest.approx(found.short_by)


@pytest.mark.parametrize(
    ("verdict", "fields", "fact"),
    [
        pytest.param(SHORT, LEAST, Measure(0.1), id="missing just what may be waived"),
        pytest.param(FAILS, LEAST, Measure(0.1 - 1e-5), id="missing a hair more"),
        pytest.param(FAILS, LEAST, Measure(0.05), id="missing more"),
        pytest.param(HOLDS, LEAST, Measure(0.3), id="nothing missing"),
        pytest.param(ASK, LEAST, UNKNOWN, id="not known is asked, not waived"),
        pytest.param(SHORT, ROUND, "keyhole", id="a word has no amount"),
        pytest.param(FAILS, ROUND, None, id="what is not there cannot be waived"),
    ],
)
def test_a_waiver_goes_up_to_its_amount(verdict: Verdict, fields: dict[str, Any], fact: Fact | None) -> None:
    assert verdict is judge(asked(**fields, waive=waive(0.2)), fact).verdict


@pytest.mark.parametrize(
    ("want", "fields"),
    [("at least 0.3 mm", LEAST), ("at most 0.1 mm", MOST), ("1.7 to 1.9 mm", BETWEEN), ("round or ovoid", ROUND)],
    ids=["least", "most", "band", "words"],
)
def test_says_what_is_wanted(want: str, fields: dict[str, Any]) -> None:
    assert want == judge(asked(**fields), None).want


@pytest.mark.parametrize(("expected", "fields"), [("it slips off", {"why": "it slips off"}), ("", {})])
def test_gives_the_reason_of_the_need(expected: str, fields: dict[str, Any]) -> None:
    assert expected == judge(asked(**LEAST, **fields), None).why


@given(value=st.floats(0, 1), error=st.floats(0, 0.5), more=st.floats(0, 0.5))
def test_a_larger_error_never_settles_a_question(value: float, error: float, more: float) -> None:
    one = judge(asked(**LEAST), Measure(value, error)).verdict
    two = judge(asked(**LEAST), Measure(value, error + more)).verdict

    assert two in (one, Verdict.ASK)
