"""What another value changes, and where along a range the decision flips."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import catalogue.load
from catalogue.load import load_catalogue
from catalogue.models import Catalogue
from catalogue.yaml_text import Document, read_yaml
from solver.assess.assessment import Status
from solver.case.overrides import Setting, Span, changed_case, read_setting
from solver.choose.plan import plan
from solver.explore.what_if import TOLERANCE, Decision, decision_of, flips_between, sweep, vary

DATA = Path(__file__).parents[2] / "cli" / "data" / "against"


@pytest.fixture
def stock(monkeypatch: pytest.MonkeyPatch) -> Catalogue:
    monkeypatch.setattr(catalogue.load, "STARTER", DATA / "catalogue")
    return load_catalogue()


@pytest.fixture
def document() -> Document:
    return read_yaml(DATA / "case.yaml")


def span(text: str) -> Span:
    found = read_setting(text)
    assert isinstance(found, Span)
    return found


def setting(text: str) -> Setting:
    found = read_setting(text)
    assert isinstance(found, Setting)
    return found


@pytest.mark.parametrize(
    ("path", "low", "high"),
    [
        ("segments.B.undercut_mm", "0", "0.4"),
        ("denture.settling_mm", "0.05", "0.6"),
        ("wanted.movement.left", "0.2", "1"),
        ("wanted.hold_n", "0", "13"),
    ],
)
def test_flips_are_those_of_a_dense_scan(
    path: str, low: str, high: str, document: Document, stock: Catalogue
) -> None:
    """Each flip stands in a gap of the scan where the decision changes, and each such gap holds one."""
    steps = [Decimal(low) + (Decimal(high) - Decimal(low)) * n / 40 for n in range(41)]
    scanned = [decision_of(plan(changed_case(document, [span(f"{path}={low}..{high}").at(v)]), stock)) for v in steps]
    pairs = zip(zip(steps, scanned, strict=True), zip(steps[1:], scanned[1:], strict=True), strict=False)
    expected = [(one[0], other[0], one[1], other[1]) for one, other in pairs if one[1] != other[1]]

    found = sweep(document, [], span(f"{path}={low}..{high}"), stock)

    assert expected
    assert [(before, after) for _, _, before, after in expected] == [(f.before, f.after) for f in found.flips]
    for (least, most, _, _), flip in zip(expected, found.flips, strict=True):
        assert least <= flip.high
        assert flip.low <= most
        assert flip.high - flip.low <= TOLERANCE


def test_a_need_flips_at_its_figure(document: Document, stock: Catalogue) -> None:
    """The firm clip wants an undercut of 0.25 mm, the soft one 0.1 mm."""
    found = sweep(document, [], span("segments.B.undercut_mm=0..0.4/0.1"), stock)

    expected = [(Decimal("0.0999"), Decimal("0.1")), (Decimal("0.2499"), Decimal("0.25"))]
    assert expected == [(flip.low, flip.high) for flip in found.flips]
    assert 3 == len(found.decisions)


def test_a_measuring_error_moves_the_flip_and_brings_a_question(document: Document, stock: Catalogue) -> None:
    """Within the error the need is open: from 0.25 - 0.02 it may hold, from 0.25 + 0.02 it does."""
    found = sweep(document, [], span("segments.B.undercut_mm=0.2..0.3/0.1 +- 0.02"), stock)

    assert [Decimal("0.23"), Decimal("0.27")] == [flip.high for flip in found.flips]
    assert [Status.FITS, Status.FITS_IF, Status.FITS] == [decision.status for decision in found.decisions]


def test_money_flips_at_a_cent(document: Document, stock: Catalogue) -> None:
    found = sweep(document, [], span("money.cap=0..50/25"), stock)

    assert Decimal("0.01") == found.grain
    assert [(Decimal("19.99"), Decimal("20.00"))] == [(flip.low, flip.high) for flip in found.flips]


def test_a_tooth_is_searched_by_whole_numbers(document: Document, stock: Catalogue) -> None:
    found = sweep(document, [], span("supports.i34.tooth=33..36/1"), stock)

    assert Decimal(1) == found.grain
    assert all(flip.high - flip.low == 1 for flip in found.flips)


def test_varying_shows_both_plans(document: Document, stock: Catalogue) -> None:
    found = vary(document, [setting("segments.B.undercut_mm=0.2")], stock)

    assert ("B=clip-firm",) == decision_of(found.before).mix
    assert ("A=clip-soft", "B=clip-soft") == decision_of(found.after).mix
    assert found.flips


def test_the_document_itself_is_left_alone(document: Document, stock: Catalogue) -> None:
    vary(document, [setting("segments.B.undercut_mm=0.2"), setting("patient.hand=weak")], stock)

    assert read_yaml(DATA / "case.yaml").data == document.data


def staircase(thresholds: list[int], value: Decimal) -> Decision:
    steps = sum(value >= Decimal(t) / 1000 for t in thresholds)
    return Decision(Status.FITS, (str(steps),), ())


@given(st.lists(st.integers(1, 9999), unique=True, max_size=5))
def test_every_step_of_a_staircase_is_found(thresholds: list[int]) -> None:
    """A decision that never comes back is found at each of its steps, to the grain."""
    flips = [*flips_between(Decimal(0), Decimal(10), lambda v: staircase(thresholds, v), TOLERANCE)]

    assert [Decimal(t) / 1000 for t in sorted(thresholds)] == [flip.high for flip in flips]
    assert all(flip.high - flip.low == TOLERANCE for flip in flips)
