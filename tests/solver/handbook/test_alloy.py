"""The alloy record is consistent with itself and never claims more than is known."""

from __future__ import annotations

import pytest

from solver.handbook.alloys import ALLOY_TYPES, ALLOYS, Alloy
from solver.handbook.sourced import Known, Place


@pytest.mark.parametrize("number", [1, 2, 3, 4])
def test_stronger_types_stretch_less(number: int) -> None:
    row, following = ALLOY_TYPES[number], ALLOY_TYPES[number + 1]

    assert row.proof_mpa.middle < following.proof_mpa.middle
    assert row.elongation_percent.middle >= following.elongation_percent.middle


def test_only_type_5_is_published_and_has_a_modulus() -> None:
    published = [n for n, row in ALLOY_TYPES.items() if row.proof_mpa.known is Known.PUBLISHED]
    with_modulus = [n for n, row in ALLOY_TYPES.items() if row.modulus_mpa is not None]

    assert published == with_modulus == [5]


@pytest.mark.parametrize("alloy", ALLOYS.values(), ids=ALLOYS.keys())
def test_bands_of_alloys_rise_and_name_their_origin(alloy: Alloy) -> None:
    for figure in (alloy.modulus_mpa, alloy.proof_mpa):
        assert 0.0 < figure.interval.low <= figure.interval.high
        assert figure.unit == "MPa"
        assert figure.source


def test_laser_built_alloy_fails_type_5_on_modulus_as_its_note_says() -> None:
    modulus = ALLOY_TYPES[5].modulus_mpa

    assert modulus is not None
    assert Place.ABOVE is ALLOYS["cocrmo-laser"].modulus_mpa.interval.place(modulus.middle)
    assert "would fail type 5" in ALLOYS["cocrmo-laser"].modulus_mpa.note
