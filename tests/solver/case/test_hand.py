"""What hands can pull: the derivation against figures worked out by hand, and which hand takes a denture out."""

from __future__ import annotations

from typing import Any

import pytest

from catalogue.load import load_catalogue
from solver.case.hand_strength import Band, hand_pull_n, most_pull_n, pinch_n
from solver.case.schema import Patient

PULL = load_catalogue([]).defaults.pull_n


@pytest.mark.parametrize(
    ("band", "low_n", "high_n"),
    [("usual", 26, 56), ("weak", 10, 31), ("strong", 37, 81)],
    ids=["women of 75", "rheumatoid hands", "men"],
)
def test_hands_of_75_years(band: Band, low_n: float, high_n: float) -> None:
    """0.6 x 43 and 1.0 x 56; times 0.39 and 0.56; divided by 0.69. Of 80 years, or of an age not known, the same."""
    assert (low_n, high_n) == pytest.approx(hand_pull_n(band, 75), abs=0.5)
    assert hand_pull_n(band, 75) == hand_pull_n(band, 80) == hand_pull_n(band)


def test_pinch_is_steady_to_59_and_falls_to_75() -> None:
    assert pinch_n(20) == pinch_n(59)
    assert (46.5, 64.5) == pytest.approx(pinch_n(67))
    assert pinch_n(59).low > pinch_n(60).low > pinch_n(74).low > pinch_n(75).low


@pytest.mark.parametrize("band", ["weak", "usual", "strong"])
def test_the_figures_of_the_starter_catalogue_lie_within_what_is_derived(band: Band) -> None:
    low_n, high_n = hand_pull_n(band)

    assert low_n < getattr(PULL, band) < high_n


@pytest.mark.parametrize(
    ("expected_n", "patient"),
    [
        (None, {}),
        (None, {"takes_out": "patient", "age": 50}),
        (40, {"hand": "usual"}),
        (40, {"hand": "usual", "age": 90}),
        (40 * (0.6 * 50 + 73) / (0.6 * 43 + 56), {"hand": "usual", "age": 40}),
        (15, {"hand": "weak", "takes_out": "patient", "age": 80}),
        (40 * (0.6 * 50 + 73) / (0.6 * 43 + 56), {"takes_out": "carer"}),
        (15 * (0.6 * 0.39 * 50 + 0.56 * 73) / (0.6 * 0.39 * 43 + 0.56 * 56), {"takes_out": "carer", "hand": "weak"}),
    ],
    ids=["nothing known", "age alone", "age not known", "old", "young", "weak", "carer", "weak carer"],
)
def test_the_most_that_is_counted_on(expected_n: float | None, patient: dict[str, Any]) -> None:
    found = most_pull_n(PULL, Patient.model_validate(patient, strict=False))

    assert (expected_n if expected_n is None else pytest.approx(expected_n)) == found
