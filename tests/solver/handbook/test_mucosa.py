"""The mucosa as a spring: laws of the formula, and presets that say how they are known."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.handbook.mucosa import (
    BASE_AREA_MM2,
    BITE_N,
    FRONT_BITE_SHARE,
    MODULUS_MPA,
    START_MODULUS_MPA,
    THICKNESS_MM,
    settling,
    spring_n_per_mm,
)
from solver.handbook.sourced import Known, Place

positive = st.floats(0.1, 1000.0)


@given(force_n=st.floats(0.0, 500.0), modulus=positive, area=positive, thickness=positive)
def test_spring_and_settling_agree(force_n: float, modulus: float, area: float, thickness: float) -> None:
    """Force = spring x depth, and pressure = modulus x strain (kPa against MPa)."""
    settled = settling(force_n, modulus_mpa=modulus, area_mm2=area, thickness_mm=thickness)

    assert force_n == pytest.approx(spring_n_per_mm(modulus, area, thickness) * settled.depth_mm)
    assert 1000.0 * modulus * settled.depth_mm / thickness == pytest.approx(settled.pressure_kpa)


def test_mucosa_cannot_pull() -> None:
    with pytest.raises(OutOfDomain) as caught:
        settling(-1.0, modulus_mpa=1.0, area_mm2=100.0, thickness_mm=2.0)
    assert caught.value.name == "force_n"


def test_start_lies_in_the_band() -> None:
    assert MODULUS_MPA.interval.place(START_MODULUS_MPA) is Place.INSIDE
    assert MODULUS_MPA.known is Known.CHOSEN


@pytest.mark.parametrize("jaw", ["upper", "lower"])
def test_bearing_area_is_the_smaller_and_not_sourced(jaw: str) -> None:
    scanned, bearing = BASE_AREA_MM2[jaw], BASE_AREA_MM2[f"{jaw}-bearing"]

    assert bearing.middle < scanned.middle
    assert (scanned.known, bearing.known) == (Known.PUBLISHED, Known.MEMORY)


def test_upper_mucosa_is_the_thicker() -> None:
    assert THICKNESS_MM["upper"].interval.low > THICKNESS_MM["lower"].interval.high


def test_bites_rise_from_denture_to_natural_teeth() -> None:
    order = ["denture-new", "denture-old", "overdenture", "natural-one-side", "natural-both-sides"]
    bites = [BITE_N[name].middle for name in order]

    assert sorted(bites) == bites
    assert all(BITE_N[name].known is Known.PUBLISHED for name in order)


@pytest.mark.parametrize("name", ["working", "worst"])
def test_defaults_do_not_pose_as_published(name: str) -> None:
    assert BITE_N[name].known is Known.CHOSEN


def test_front_bite_is_a_third() -> None:
    assert 1.0 == pytest.approx(FRONT_BITE_SHARE.middle * 3.0)
