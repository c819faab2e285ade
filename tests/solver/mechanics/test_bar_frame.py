"""A bar as a frame: the formulas of the beam tables, a bent bar of a textbook, statics in the limits, reciprocity."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from solver.handbook.point import PointLoad
from solver.handbook.sections import round_bar
from solver.mechanics.bar_frame import BarFrame, Rod, Spring, Stretch, rod
from tests.published.formulas.load_sharing import Support, share_vertical

EI, GJ, Z = 56_000.0, 43_000.0, 0.57
ROD = Rod(EI, GJ, Z)
NO_COLLAR = (0.0, 0.0)
CLAMPED, FREE = Spring(1e9, 1e12), Spring(1e9, 1e-3)


def at(x: float, y: float = 0.0) -> np.ndarray:
    return np.array([x, y, 0.0])


def one_span(spring: Spring, place: float, length: float = 16.0, rod_of: Rod = ROD) -> BarFrame:
    supports = {"a": at(0), "b": at(length)}
    bar = Stretch("A", at(0), at(length), rod_of, NO_COLLAR)
    return BarFrame.of(supports, dict.fromkeys(supports, spring), [bar], [("A", at(place))])


def sag_and_stress(frame: BarFrame, force_n: float = -100.0) -> tuple[float, float]:
    loads = np.array([force_n, 0.0, 0.0])
    return float(-(frame.gives @ loads)[0]), float(np.abs(frame.stress_mpa @ loads).max())


@pytest.mark.parametrize(
    ("spring", "sag_mm3", "lever_mm"),
    [(FREE, 16**3 / 48, 16 / 4), (CLAMPED, 16**3 / 192, 16 / 8)],
    ids=["ends free to turn: P L^3 / 48, P L / 4", "clamped: P L^3 / 192, P L / 8"],
)
def test_a_span_loaded_at_its_middle(spring: Spring, sag_mm3: float, lever_mm: float) -> None:
    """Roark, Table 8.1, 1d and 1e (memory)."""
    assert (100 * sag_mm3 / EI, 100 * lever_mm / Z) == pytest.approx(sag_and_stress(one_span(spring, 8.0)), rel=1e-4)


def test_a_span_loaded_anywhere() -> None:
    """P a^2 b^2 / 3 E I L with ends free to turn, moment P a b / L (AISC beam tables, memory)."""
    a, b, length = 5.0, 11.0, 16.0
    found = sag_and_stress(one_span(FREE, a))

    assert (100 * a**2 * b**2 / (3 * EI * length), 100 * a * b / length / Z) == pytest.approx(found, rel=1e-4)


def test_an_end_beyond_a_span() -> None:
    """P a^2 (a + b) / 3 E I and P a; the near support bears P (1 + a / b), the far one is pulled by P a / b."""
    a, b = 7.0, 16.0
    supports = {"far": at(0), "near": at(b)}
    bars = [Stretch("A", at(0), at(b), ROD, NO_COLLAR), Stretch("E", at(b), at(a + b), ROD, NO_COLLAR)]
    frame = BarFrame.of(supports, dict.fromkeys(supports, FREE), bars, [("E", at(a + b))])
    loads = np.array([-100.0, 0.0, 0.0])

    assert (100 * a**2 * (a + b) / (3 * EI), 100 * a / Z) == pytest.approx(sag_and_stress(frame), rel=1e-4)
    assert (-100 * a / b, 100 * (1 + a / b)) == pytest.approx(tuple(frame.support_n @ loads), rel=1e-6)
    assert {"A", "E"} == set(frame.where)


def test_a_collar_takes_its_length_from_the_lever() -> None:
    supports = {"a": at(0)}
    bar = Stretch("E", at(0), at(8), ROD, (2.0, 0.0))
    frame = BarFrame.of(supports, {"a": CLAMPED}, [bar], [("E", at(8))])

    assert 100 * 6 / Z == pytest.approx(sag_and_stress(frame)[1], rel=1e-6)
    assert 100 * 6**3 / (3 * EI) == pytest.approx(sag_and_stress(frame)[0], rel=0.02)


def test_a_bar_bent_at_a_right_angle_twists() -> None:
    """Clamped, a long, then b across, loaded at the tip out of its plane: P (a^3 + b^3) / 3 E I + P a b^2 / G J
    (Timoshenko, Strength of Materials, memory).
    """
    a, b = 9.0, 5.0
    supports = {"root": at(0)}
    bars = [Stretch("A", at(0), at(a), ROD, NO_COLLAR), Stretch("B", at(a), at(a, b), ROD, NO_COLLAR)]
    frame = BarFrame.of(supports, {"root": CLAMPED}, bars, [("B", at(a, b))])

    assert 100 * ((a**3 + b**3) / (3 * EI) + a * b**2 / GJ) == pytest.approx(sag_and_stress(frame)[0], rel=1e-4)


def test_twist_of_a_round_bar() -> None:
    """J = pi d^4 / 32; Saint-Venant's estimate is known to be within a few per cent."""
    section = round_bar(2.0)
    found = rod(section.second_moment_mm4, section.area_mm2, section.modulus_mm3, 110_000.0)

    assert 110_000 * np.pi * 2**4 / 64 == pytest.approx(found.bending_nmm2)
    assert 110_000 / 2.6 * np.pi * 2**4 / 32 == pytest.approx(found.twist_nmm2, rel=0.02)


places = st.tuples(st.floats(-25, 25), st.floats(0, 30))


@given(x=st.floats(-30, 30), y=st.floats(-10, 40), bow=st.floats(6, 25))
def test_a_rigid_bar_shares_as_statics_does(x: float, y: float, bow: float) -> None:
    """Skalak's rigid superstructure on equal springs that do not resist turning."""
    spots = [(-20.0, 5.0), (-7.0, 5 + bow), (9.0, 4 + bow), (21.0, 6.0)]
    supports = {str(n): at(*spot) for n, spot in enumerate(spots)}
    rigid = Rod(1e12, 1e12, 1.0)
    bars = [Stretch(f"B{n}", at(*spots[n]), at(*spots[n + 1]), rigid, NO_COLLAR) for n in range(3)]
    arm = Stretch("arm", at(*spots[0]), at(x, y), rigid, NO_COLLAR)
    frame = BarFrame.of(supports, dict.fromkeys(supports, Spring(1e4, 1e-3)), [*bars, arm], [("arm", at(x, y))])
    expected = share_vertical([Support(*spot) for spot in spots], [PointLoad(x, y, 100.0)])

    assert expected.shares_n == pytest.approx(tuple(frame.support_n @ np.array([-100.0, 0, 0])), abs=0.02)


@given(first=st.floats(1, 15), second=st.floats(1, 15), turn=st.floats(1e3, 1e6))
def test_what_one_place_gives_under_another_is_the_same_the_other_way_round(
    first: float, second: float, turn: float
) -> None:
    """Maxwell's law; and all that is put on comes out at the supports."""
    supports = {"a": at(0), "b": at(16)}
    bar = Stretch("A", at(0), at(16), ROD, (2.0, 2.0))
    frame = BarFrame.of(
        supports, dict.fromkeys(supports, Spring(4e4, turn)), [bar], [("A", at(first)), ("A", at(second))]
    )

    assert frame.gives == pytest.approx(frame.gives.T)
    assert np.linalg.eigvalsh(frame.gives).min() > -1e-9
    assert [-1, 0, 0, -1, 0, 0] == pytest.approx(frame.support_n.sum(axis=0).tolist(), abs=1e-6)


def test_a_part_on_a_support_of_its_own_bends_no_bar() -> None:
    supports = {"a": at(0), "b": at(20)}
    frame = BarFrame.of(supports, dict.fromkeys(supports, CLAMPED), [], [("b", at(20))])

    assert (0, 100) == pytest.approx(tuple(frame.support_n @ np.array([-100.0, 0.0, 0.0])), abs=1e-6)
    assert (0, 3) == frame.stress_mpa.shape
