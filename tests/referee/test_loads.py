"""What a bite puts on supports and bar: the same by an independent model of motion, on a hundred random worlds."""

from __future__ import annotations

import random
from typing import TypeAlias

import numpy as np
import pytest

from solver.assess.problem import problem_of
from solver.case.bite_force import bite_force
from solver.case.layout import Layout
from solver.fit.candidate import Candidate
from solver.handbook.mucosa import LOOSE_TURN_NMM, SUPPORT_TURN_MM2
from solver.handbook.teeth import Arch
from solver.mechanics.bar_rods import BarPiece, bar_pieces, stretches_of
from solver.mechanics.bearing import Stiffness
from solver.mechanics.bites import splinted
from solver.mechanics.shared_bites import borne, stiffnesses
from tests.referee.loads_by_motion import ByMotion, Run, Supports
from tests.referee.random_case import random_world
from tests.referee.wide_case import wide_world
from tests.referee.worlds import ALL

WORLDS = [random_world(seed) for seed in range(70)] + [wide_world(seed) for seed in range(30)]
NUMBERS = range(len(WORLDS)) if ALL else range(2, len(WORLDS), 7)
"""Every one takes seconds: `make referee` looks at all hundred."""

Told: TypeAlias = tuple[list[float], dict[str, list[float]], dict[str, list[float]]]
"""Share, force on each support and stress of each bar, in every way."""

OF_THE_BITE = 0.03
"""Both beds stand for the same even one, with 17 and with 49 stations."""


def mix_of(number: int) -> tuple[Candidate, ...]:
    """Something at every site that can take it, at random."""
    problem, dice = problem_of(*WORLDS[number]), random.Random(number)
    by_site: dict[str, list[Candidate]] = {}
    for option in problem.options:
        if not option.candidate.takes_bar_off:
            by_site.setdefault(option.site, []).append(option.candidate)
    return tuple(dice.choice(found) for found in by_site.values())


@pytest.mark.parametrize("number", NUMBERS)
def test_an_independent_model_bears_alike(number: int) -> None:
    case, catalogue = WORLDS[number]
    mix, layout, defaults = mix_of(number), Layout(case), catalogue.defaults
    found = borne(case, layout, mix, defaults)
    pieces = bar_pieces(case, defaults, mix)
    bite_n = bite_force(case).band_n.high
    base, up = layout.base, float(layout.out[2])
    half = 0.65 * bite_n
    presses = {
        "left": [(*base.bitten_left[:2], bite_n)],
        "right": [(*base.bitten_right[:2], bite_n)],
        "both": [(*base.bitten_left[:2], half), (*base.bitten_right[:2], half)],
        "front": [(*base.front[:2], bite_n / 3)],
    }
    joined = set().union(*splinted(case))
    told: dict[str, Told] = {name: ([], {}, {}) for name in presses}
    for stiffness, end in zip(_four_ways(case.arch), ("low", "high", "high", "high"), strict=True):
        for strong in (True, False):
            held = SUPPORT_TURN_MM2.middle * stiffness.part_n_per_mm
            turn = {name: held if strong or name not in joined else LOOSE_TURN_NMM for name in case.supports}
            runs = [
                Run(s.name, s.start, s.stop, s.rod.bending_nmm2, s.rod.twist_nmm2, s.rod.modulus_mm3, s.collars_mm)
                for s in stretches_of(case, layout, defaults, pieces, strong=strong)
            ]
            model = ByMotion(
                base, up, Supports(layout.supports, stiffness.part_n_per_mm, turn), runs, mix, defaults.play
            )
            holds = [getattr(c.attachment.retention_n, end) for c, _ in model.parts]
            for name, pressed in presses.items():
                share, on_each, stress = model.bear(pressed, *stiffness, holds)
                told[name][0].append(share)
                for where, into in ((on_each, told[name][1]), (stress, told[name][2])):
                    for key, value in where.items():
                        into.setdefault(key, []).append(value)

    for bite in found.bites:
        shares, supports, _ = told[bite.name]
        near = OF_THE_BITE * bite.force_n
        assert tuple(bite.share) == pytest.approx((min(shares), max(shares)), abs=OF_THE_BITE)
        for place, band in bite.support_n.items():
            assert tuple(band) == pytest.approx((min(supports[place]), max(supports[place])), abs=near)
    for name, bent in found.bent.items():
        worst = np.max([told[bite][2].get(name, [0.0] * 8) for bite in presses], axis=0)
        if np.isfinite(bent.stress_mpa.high):
            near = OF_THE_BITE * _full_mpa(found.pieces[name], bite_n)
            assert tuple(bent.stress_mpa) == pytest.approx((min(worst), max(worst)), rel=0.1, abs=near), name


def _four_ways(arch: Arch) -> tuple[Stiffness, ...]:
    """As docs/mechanics.md has it: softest, once more, middling, firmest."""
    softest, middling, firmest = stiffnesses(arch)
    return softest, softest, middling, firmest


def _full_mpa(piece: BarPiece, bite_n: float) -> float:
    """Stress of the weakest section under the whole bite 5 mm away."""
    return 5 * bite_n / piece.weak.modulus_mm3 if piece.weak else np.inf
