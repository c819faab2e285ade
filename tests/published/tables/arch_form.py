"""Arch form: curves, crown widths, tooth numbers and centres."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np

from solver.handbook.arch_curve import BetaCurve
from solver.handbook.teeth import DEFAULT_CURVES, WIDTHS_MM, Tooth, tooth_position
from tests.published.check import Check, Known
from tests.published.formulas.arch_forms import Catenary, Parabola, Sextic

_BRAUN = "Braun S et al. Angle Orthodontist 1998;68(1):29-36: coefficients of the beta function"
_MINA = "Mina et al., Odontology 2017;105:229-236: first molars of 54 adolescents"
_WHEELER = "Wheeler's table of crown widths, along the default arch"
_ISO = "ISO 3950, read in an encyclopaedia's account of the notation"
_NOROOZI = "Noroozi, Nik, Saeeda. Angle Orthodontist 2001;71(5):386-389: method; teeth invented"
_BOLTON = "Bolton's ratio; widths of Wheeler's table (upper 8.5 and 6.5 read, the rest from memory)"

LOWER = {"width_mm": 54.19, "depth_mm": 28.10}

_CENTRES = (
    (31, 2.49, 27.91), (32, 7.49, 26.37), (33, 12.74, 23.01), (34, 17.66, 18.05), (35, 21.72, 12.35),
    (36, 25.76, 4.32), (43, -12.74, 23.01), (21, 4.21, 31.06), (22, 10.97, 27.91), (23, 16.26, 23.34),
    (24, 20.79, 17.69), (25, 24.42, 11.71), (26, 27.86, 3.95), (13, -16.26, 23.34),
)  # fmt: skip

_NUMBERS = (
    (13, "upper right canine", 23), (33, "lower left canine", 43), (46, "lower right first molar", 36),
    (36, "lower left first molar", 46), (21, "upper left central incisor", 11),
)  # fmt: skip


def _widths(teeth: int) -> tuple[float, float]:
    lower, upper = (2 * sum(WIDTHS_MM[arch][:teeth]) for arch in ("lower", "upper"))
    return lower, upper


def _ratio(teeth: int) -> Callable[[], float]:
    return lambda: _widths(teeth)[0] / _widths(teeth)[1]


CHECKS = (
    *(
        Check(f"Beta function at {share:g} of the width: share of the depth", _BRAUN, Known.MEMORY, depth,
              lambda share=share: float(  # type: ignore[misc]
                  BetaCurve(50.0, 40.0).forward_mm(np.array(50.0 * share))) / 40.0, 5e-6)
        for share, depth in ((0.0, 0.99999), (0.25, 0.794409), (0.5, 0.0), (-0.5, 0.0))
    ),
    *(
        Check(f"Default {arch} arch: length, and forward at 10 mm, mm", _MINA, Known.DERIVED, figures,
              lambda arch=arch: (DEFAULT_CURVES[arch].length_mm,  # type: ignore[misc]
                                 float(DEFAULT_CURVES[arch].forward_mm(np.array(10.0)))), 1e-3)
        for arch, figures in (("lower", (83.055, 24.9935)), ("upper", (91.204, 28.5386)))
    ),
    *(
        Check(f"Centre of tooth {fdi}, x and y, mm", _WHEELER, Known.MEMORY, (x_mm, y_mm),
              lambda fdi=fdi: tuple(tooth_position(fdi)), 0.02)  # type: ignore[misc]
        for fdi, x_mm, y_mm in _CENTRES
    ),
    Check("Parabola over the lower arch: length, mm", "closed formula of geometry", Known.OURS, 81.6758,
          lambda: Parabola(**LOWER).length_mm, 1e-3),
    Check("Catenary over the lower arch: parameter and length, mm", "closed formula of geometry", Known.OURS,
          (16.3431, 82.6581), lambda: (Catenary(**LOWER).parameter_mm, Catenary(**LOWER).length_mm), 1e-3),
    Check("Sextic through canine and second molar: coefficients", _NOROOZI, Known.DERIVED, (3.62116e-08, 0.0315101),
          lambda: tuple(Sextic(width_mm=54.0, depth_mm=37.0, canine_x_mm=13.0, canine_back_mm=5.5).coefficients),
          1e-5,
          relative=True),
    *(
        Check(f"{what}: lower and upper widths, mm", _BOLTON, Known.MEMORY, widths,
              lambda teeth=teeth: _widths(teeth))  # type: ignore[misc]
        for what, teeth, widths in (("Front six", 3, (35.0, 45.0)), ("First molar to first molar", 6, (85.0, 93.0)))
    ),
    *(
        Check(f"{what}: lower widths against upper", _BOLTON, Known.MEMORY, ratio, _ratio(teeth), 5e-5)
        for what, teeth, ratio in (("Front six", 3, 0.7778), ("First molar to first molar", 6, 0.91398))
    ),
    *(
        Check(f"{what}: within 1 % of Bolton's ratio", _BOLTON, Known.MEMORY, bolton, _ratio(teeth), 0.01,
              relative=True)
        for what, teeth, bolton in (("Front six", 3, 0.772), ("First molar to first molar", 6, 0.913))
    ),
    *(
        Check(f"Tooth {fdi}, and its mirror image", _ISO, Known.SECOND_HAND, (name, mirrored),
              lambda fdi=fdi: (Tooth.from_fdi(fdi).name, Tooth.from_fdi(fdi).mirror().fdi))  # type: ignore[misc]
        for fdi, name, mirrored in _NUMBERS
    ),
)  # fmt: skip
