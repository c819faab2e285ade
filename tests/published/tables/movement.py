"""Movement: mobility of joints, screws, form closure, and what bars and clips do to a denture."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from solver.mechanics.freedom import Level
from solver.mechanics.screws import adjoint, inverse_frame, screw_axis, transform_twist, transform_wrench
from tests.published.check import Check, Known
from tests.published.formulas.clip_mismatch import clip_mismatch
from tests.published.formulas.form_closure import is_form_closed
from tests.published.formulas.mobility import Joint, ball, ball_in_groove, ball_on_plane, cylindrical, hinge, mobility
from tests.solver.parts import BASE, HINGE, OUT, SETTLING_MM, model, placed

_TEXTBOOKS = "textbooks of mechanisms"
_DERIVED = "worked by hand or with another null space"
_CODE = "Lynch KM, Park FC. Modern Robotics: docstrings of the published code"
_BOOK = "Lynch KM, Park FC. Modern Robotics"
_SHAFIE = "Shafie H, Obeid G. Selected Readings in Oral and Maxillofacial Surgery vol 19 no 6, p 18"
_MISCH = "Misch CE. Dental Implant Prosthetics, overdenture chapters"

X, Y, Z = (1, 0, 0), (0, 1, 0), (0, 0, 1)
HERE, ALONG_X, BESIDE, ABOVE = (0, 0, 2), (22, 0, 2), (0, 15, 2), (22, 0, 9)
AT_30_DEG = (math.cos(math.pi / 6), math.sin(math.pi / 6), 0)

JOINTS: tuple[tuple[str, str, Known, tuple[int, int, int, int], list[Joint]], ...] = (
    ("one ball", _TEXTBOOKS, Known.MEMORY, (3, 3, 3, 0), [ball(HERE)]),
    ("collinear hinges", _TEXTBOOKS, Known.MEMORY, (1, 5, 10, 5), [hinge(HERE, X), hinge(ALONG_X, X)]),
    ("parallel hinges", _TEXTBOOKS, Known.MEMORY, (0, 6, 10, 4), [hinge(HERE, X), hinge(BESIDE, X)]),
    ("intersecting hinges", _TEXTBOOKS, Known.MEMORY, (0, 6, 10, 4), [hinge(HERE, X), hinge(HERE, Y)]),
    ("skew hinges", _TEXTBOOKS, Known.MEMORY, (0, 6, 10, 4), [hinge(HERE, X), hinge(ABOVE, Y)]),
    ("two balls 22 mm apart", _TEXTBOOKS, Known.MEMORY, (1, 5, 6, 1), [ball(HERE), ball(ALONG_X)]),
    ("three balls", _TEXTBOOKS, Known.MEMORY, (0, 6, 9, 3), [ball(HERE), ball(ALONG_X), ball(BESIDE)]),
    ("three balls in line", _DERIVED, Known.OURS, (1, 5, 9, 4), [ball(HERE), ball((9, 0, 2)), ball(ALONG_X)]),
    ("hinge, ball on its axis", _DERIVED, Known.OURS, (1, 5, 8, 3), [hinge(HERE, X), ball(ALONG_X)]),
    ("hinge, ball off its axis", _DERIVED, Known.OURS, (0, 6, 8, 2), [hinge(HERE, X), ball(BESIDE)]),
    ("collinear sleeves", _DERIVED, Known.OURS, (2, 4, 8, 4), [cylindrical(HERE, X), cylindrical(ALONG_X, X)]),
    ("parallel sleeves", _DERIVED, Known.OURS, (1, 5, 8, 3), [cylindrical(HERE, X), cylindrical(BESIDE, X)]),
    ("sleeves at 90 deg", _DERIVED, Known.OURS, (0, 6, 8, 2), [cylindrical(HERE, X), cylindrical(HERE, Y)]),
    ("sleeves at 30 deg", _DERIVED, Known.OURS, (0, 6, 8, 2), [cylindrical(HERE, X), cylindrical(HERE, AT_30_DEG)]),
    ("groove along the line", _DERIVED, Known.OURS, (1, 5, 5, 0), [ball(HERE), ball_in_groove(ALONG_X, X)]),
    ("groove across the line", _DERIVED, Known.OURS, (2, 4, 5, 1), [ball(HERE), ball_in_groove(ALONG_X, Y)]),
    ("Kelvin coupling, two-sided", "Blanding DL. Exact Constraint, 1999", Known.MEMORY, (0, 6, 6, 0),
     [ball(HERE), ball_in_groove(ALONG_X, X), ball_on_plane(BESIDE, Z)]),
)  # fmt: skip

CAR = (np.diag([-1, 1, -1]), (4, 0.4, 0))
CAR_IN_SPACE, CAR_IN_BODY = (0, 0, 2, -2, -4, 0), (0, 0, -2, 2.8, 4, 0)
PINWHEEL = [[-0.5, 1, 0], [-0.5, -1, 0], [0.5, 0, 1], [0.5, 0, -1]]


def _freedom(joints: Sequence[Joint]) -> Callable[[], tuple[int, int, int, int]]:
    def found() -> tuple[int, int, int, int]:
        left = mobility(joints)
        return left.dof, left.rank, left.constraints, left.overconstraint

    return found


def _numbers(of: Callable[[], Any]) -> Callable[[], tuple[float, ...]]:
    return lambda: tuple(float(number) for number in np.ravel(of()))


def _hand() -> Any:
    return transform_wrench([0, 0, 0, 0, -5, 0], np.eye(3), (0.10, 0, 0))


def _apple() -> Any:
    return transform_wrench([0, 0, 0, 0, 0, 1], [[1, 0, 0], [0, 0, -1], [0, 1, 0]], (0.25, 0, 0))


def _two_balls() -> Any:
    (motion,) = mobility([ball((0, 0, 2)), ball((22, 0, 2))]).motions
    return motion / motion[0]


def smallest(askew_deg: float) -> Callable[[], float]:
    """Smallest singular value of two hinges 20 mm apart, 1 mm as the length."""
    askew = math.radians(askew_deg)
    hinges = [hinge((0, 0, 0), X), hinge((20, 0, 0), (math.cos(askew), math.sin(askew), 0))]
    return lambda: float(mobility(hinges, length_mm=1.0, about=(0, 0, 0)).singular_values[-1])


def _mismatch(offset_mm: float, askew_deg: float) -> Callable[[], tuple[float, float]]:
    turn, askew = math.radians(3.0), math.radians(askew_deg)
    return lambda: tuple(clip_mismatch(turn_rad=turn, offset_mm=offset_mm, askew_rad=askew, length_mm=5.0))  # type: ignore[return-value]


def both_saddles_mm(*along_deg: float) -> float:
    """How deep the saddle ends can sink together when clips that only hinge stand on a bar each."""
    clips = [placed(f"B{i}", (16 * i - 8, 20, 4), deg, **HINGE) for i, deg in enumerate(along_deg)]
    sinking = [np.concatenate([-np.cross(p, OUT) / 10, -OUT]) for p in (BASE.left, BASE.right)]
    return float(model().range_of(clips, np.mean(sinking, axis=0))[1])


def _hinges_tilted(deg: float) -> Callable[[], int]:
    places = (([-8, 20, 4], 1), ([8, 20, 4], -1))
    return lambda: mobility([hinge(p, [1, s * np.tan(np.radians(deg)), 0]) for p, s in places]).dof


def _sides(along_deg: float) -> Callable[[], tuple[bool, bool]]:
    def found() -> tuple[bool, bool]:
        clip = [placed("B", (0, 20, 4), along_deg, **HINGE)]
        left, right = (model().reach(clip, side).reach > 0.999 for side in ("left", "right"))
        return left, right

    return found


CHECKS = (
    *(
        Check(f"{name}: degrees of freedom, rank, constraints, redundant ones", source, known, expected,
              _freedom(joints))
        for name, source, known, expected, joints in JOINTS
    ),
    Check("Adjoint matrix of the example, by rows", _CODE, Known.READ,
          (1, 0, 0, 0, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 0, 0, 3, 1, 0, 0,
          3, 0, 0, 0, 0, -1, 0, 0, 0, 0, 1, 0),
          _numbers(lambda: adjoint([[1, 0, 0], [0, 0, -1], [0, 1, 0]], (0, 0, 3)))),
    Check("Screw axis of the example", _CODE, Known.READ, (0, 0, 1, 0, -3, 2),
          _numbers(lambda: screw_axis((3, 0, 0), (0, 0, 1), 2))),
    Check("Twist of a car that turns at 2 rad/s about (2, -1, 0), in space", f"{_BOOK}, ch. 3", Known.MEMORY,
          CAR_IN_SPACE, _numbers(lambda: transform_twist(CAR_IN_BODY, *CAR)), 1e-9),
    Check("... in the car", f"{_BOOK}, ch. 3", Known.MEMORY, CAR_IN_BODY,
          _numbers(lambda: transform_twist(CAR_IN_SPACE, *inverse_frame(*CAR))), 1e-9),
    Check("... from its screw axis", f"{_BOOK}, ch. 3", Known.MEMORY, CAR_IN_SPACE,
          _numbers(lambda: 2 * screw_axis((2, -1, 0), (0, 0, 1))), 1e-9),
    Check("Wrench of a hand of 5 N at 0.10", f"{_BOOK}, section 3.4 (set-up read)", Known.MEMORY,
          (0, 0, -0.5, 0, -5, 0), _numbers(_hand), 1e-9),
    Check("Wrench of an apple of 1 N at 0.25", f"{_BOOK}, section 3.4 (set-up read)", Known.MEMORY,
          (0, 0, -0.25, 0, -1, 0), _numbers(_apple), 1e-9),
    Check("Wrench of hand and apple", f"{_BOOK}, section 3.4 (set-up read)", Known.MEMORY, (0, 0, -0.75, 0, -6, 0),
          _numbers(lambda: _hand() + _apple()), 1e-9),
    Check("Two balls leave the turn about the line that joins them", f"{_TEXTBOOKS}; t = q x s", Known.MEMORY,
          (1, 0, 0, 0, 2, 0), _numbers(_two_balls), 1e-9),
    Check("A square pushed with two moments each way is held", f"{_BOOK}, section 12.1.7: criterion", Known.DERIVED,
          True, lambda: is_form_closed(PINWHEEL)),
    Check("... with all moments one way it turns", f"{_BOOK}, section 12.1.7: criterion", Known.DERIVED, False,
          lambda: is_form_closed([*PINWHEEL[:2], [-0.5, 0, 1], [-0.5, 0, -1]])),
    Check("... pushed at mid-sides it turns", f"{_BOOK}, section 12.1.7: criterion", Known.DERIVED, False,
          lambda: is_form_closed([[0, 1, 0], [0, -1, 0], [0, 0, 1], [0, 0, -1]])),
    *(
        Check(f"Three contacts never hold in the plane, without the {nth}", f"{_BOOK}, section 12.1.7: at least four",
              Known.READ, False,
              lambda gone=gone: is_form_closed(PINWHEEL[:gone] + PINWHEEL[gone + 1 :]))  # type: ignore[misc]
        for gone, nth in enumerate(("first", "second", "third", "fourth"))
    ),
    *(
        Check(f"Two hinges 20 mm apart, {deg:g} deg out of line: smallest singular value", _DERIVED, Known.OURS,
              value,
              smallest(deg), 1e-9 if value == 0 else 5e-5)
        for deg, value in ((0.0, 0.0), (0.1, 0.0247), (1.0, 0.23665), (5.0, 0.7101))
    ),
    Check("A clip turned by 3 deg, its axis 2 mm off: gap, mm", "turn times offset", Known.OURS, (0.10472, 0.0),
          _mismatch(2.0, 0.0), 1e-4),
    Check("A clip of 5 mm turned by 3 deg, 15 deg askew: gap, mm", "half length times turn times sin(askew)",
          Known.OURS, (0.0, 0.03388), _mismatch(0.0, 15.0), 1e-4),
    Check("Clips on one axis keep the hinge: saddles sink, mm", _MISCH, Known.MEMORY, SETTLING_MM,
          lambda: both_saddles_mm(0, 0)),
    Check("Clips 40 deg apart lose it: not half as deep", f"{_MISCH}; Shafie and Obeid", Known.MEMORY, True,
          lambda: both_saddles_mm(20, -20) < SETTLING_MM / 2),
    Check("Exact hinges in line turn", _TEXTBOOKS, Known.MEMORY, 1, _hinges_tilted(0)),
    Check("Exact hinges 40 deg apart lock", _TEXTBOOKS, Known.MEMORY, 0, _hinges_tilted(20)),
    *(
        Check(f"A bar {how} leaves the hinge free to the left and to the right", _SHAFIE, Known.READ, expected,
              _sides(deg))
        for how, deg, expected in (("square to the bisector", 0, (True, True)), ("run diagonally", 25, (True, False)),
                                   ("run on the other diagonal", -25, (False, True)))
    ),
    Check("Levels of prosthesis movement: no 1 and no 5", _MISCH, Known.MEMORY, (0, 2, 3, 4, 6),
          lambda: tuple(sorted(map(int, Level)))),
)  # fmt: skip
