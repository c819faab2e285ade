"""Arch curves, crown widths and tooth numbers against publications; each row says how it is known.

"read": seen in the publication named. "memory": recalled from it. "derived": follows from the formula, worked with
another program.
"""

from __future__ import annotations

import math

import numpy as np
import pytest

from solver.arch import DEFAULT_CURVES, WIDTHS_MM, Arch, Tooth, tooth_position
from solver.arch_curve import BetaCurve
from solver.arch_forms import Catenary, Parabola, Sextic

LOWER = {"width_mm": 54.19, "depth_mm": 28.10}
"""First molars of 54 adolescents, Mina et al., Odontology 2017;105:229-236 (read)."""


@pytest.mark.parametrize(
    ("share_of_width", "share_of_depth"),
    [
        pytest.param(0.0, 0.99999, id="front"),
        pytest.param(0.25, 0.794409, id="quarter"),
        pytest.param(0.5, 0.0, id="left end"),
        pytest.param(-0.5, 0.0, id="right end"),
    ],
)
def test_beta_function(share_of_width: float, share_of_depth: float) -> None:
    """Braun et al., Angle Orthodontist 1998;68(1):29-36 (coefficients from memory; rows derived)."""
    y_mm = BetaCurve(50.0, 40.0).forward_mm(np.array(50.0 * share_of_width))

    assert pytest.approx(40.0 * share_of_depth, abs=40.0 * 5e-6) == float(y_mm)


@pytest.mark.parametrize(
    ("arch", "length_mm", "at_10_mm"), [("lower", 83.055, 24.9935), ("upper", 91.204, 28.5386)], ids=str
)
def test_default_arch(arch: Arch, length_mm: float, at_10_mm: float) -> None:
    """Beta curve with the widths and depths of Mina et al., Odontology 2017;105:229-236 (read; results derived)."""
    curve = DEFAULT_CURVES[arch]

    assert pytest.approx(length_mm, abs=1e-3) == curve.length_mm
    assert pytest.approx(at_10_mm, abs=1e-3) == float(curve.forward_mm(np.array(10.0)))


@pytest.mark.parametrize(
    ("fdi", "x_mm", "y_mm"),
    [
        (31, 2.49, 27.91),
        (32, 7.49, 26.37),
        (33, 12.74, 23.01),
        (34, 17.66, 18.05),
        (35, 21.72, 12.35),
        (36, 25.76, 4.32),
        (43, -12.74, 23.01),
        (21, 4.21, 31.06),
        (22, 10.97, 27.91),
        (23, 16.26, 23.34),
        (24, 20.79, 17.69),
        (25, 24.42, 11.71),
        (26, 27.86, 3.95),
        (13, -16.26, 23.34),
    ],
    ids=str,
)
def test_tooth_centres(fdi: int, x_mm: float, y_mm: float) -> None:
    """Crown widths of Wheeler's table (memory) along the default arch (derived)."""
    assert pytest.approx((x_mm, y_mm), abs=0.02) == tooth_position(fdi)


def test_parabola_and_catenary() -> None:
    """Closed formulas of geometry; the numbers are derived."""
    assert pytest.approx(81.6758, abs=1e-3) == Parabola(**LOWER).length_mm
    assert pytest.approx(16.3431, abs=1e-3) == Catenary(**LOWER).parameter_mm
    assert pytest.approx(82.6581, abs=1e-3) == Catenary(**LOWER).length_mm


def test_sextic_through_canine_and_second_molar() -> None:
    """Noroozi, Nik and Saeeda, Angle Orthodontist 2001;71(5):386-389 (method read; invented teeth, derived)."""
    curve = Sextic(width_mm=54.0, depth_mm=37.0, canine_x_mm=13.0, canine_back_mm=5.5)

    assert pytest.approx((3.62116e-08, 0.0315101), rel=1e-5) == curve.coefficients


@pytest.mark.parametrize(
    ("teeth", "lower_mm", "upper_mm", "ratio", "bolton"),
    [
        pytest.param(3, 35.0, 45.0, 0.7778, 0.772, id="front six"),
        pytest.param(6, 85.0, 93.0, 0.91398, 0.913, id="first molar to first molar"),
    ],
)
def test_crown_widths(teeth: int, lower_mm: float, upper_mm: float, ratio: float, bolton: float) -> None:
    """Wheeler's table (upper 8.5 and 6.5 read, the rest memory) agrees with Bolton's ratios (memory) to 1 %."""
    lower, upper = (2 * sum(WIDTHS_MM[arch][:teeth]) for arch in ("lower", "upper"))

    assert (lower_mm, upper_mm) == (lower, upper)
    assert pytest.approx(ratio, abs=5e-5) == lower / upper
    assert math.isclose(bolton, lower / upper, rel_tol=0.01)


@pytest.mark.parametrize(
    ("fdi", "name", "mirrored"),
    [
        (13, "upper right canine", 23),
        (33, "lower left canine", 43),
        (46, "lower right first molar", 36),
        (36, "lower left first molar", 46),
        (21, "upper left central incisor", 11),
    ],
    ids=str,
)
def test_tooth_numbers(fdi: int, name: str, mirrored: int) -> None:
    """ISO 3950 (read in an encyclopaedia's account of the notation)."""
    tooth = Tooth.from_fdi(fdi)

    assert name == tooth.name
    assert mirrored == tooth.mirror().fdi
