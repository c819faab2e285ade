"""The bite shared with the mucosa on whole mixes: bands, balance, mirror image; what binds against what moves."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from solver.assess.assessment import Assessment
from solver.case.bite_force import bite_force
from solver.case.layout import Layout
from solver.case.schema import Case
from solver.choose.check import check
from solver.choose.plan import plan
from solver.fit.proposal import read_put
from solver.handbook.mucosa import whole_base_n_per_mm
from solver.mechanics.bar_rods import bar_pieces
from solver.mechanics.bearing import BearingModel, Part, Stiffness, bed_along
from solver.mechanics.bites import BITES, bite_points
from solver.mechanics.placement import placements_of
from solver.mechanics.shared_bites import BarUnder, SharedBite, borne
from tests.solver.small import part, small_case, small_problem, stock
from tests.test_examples import EXAMPLES, checked, desk

NAMES = sorted(path.stem for path in EXAMPLES.glob("*.yaml"))


def planned(name: str) -> Assessment:
    opened = desk(name)
    best = plan(opened.case, opened.catalogue).best
    assert best is not None
    return best


def shared(found: Assessment) -> dict[str, SharedBite]:
    return {bite.name: bite for bite in found.loads.bites}


@pytest.mark.parametrize("name", NAMES)
def test_every_example_has_a_band_for_every_bite_and_support(name: str) -> None:
    best = planned(name)

    assert list(BITES) == [bite.name for bite in best.loads.bites]
    for bite in best.loads.bites:
        assert bite.share.low <= bite.share.high <= 1 + 1e-4
        for low, high in bite.support_n.values():
            assert low <= high


@pytest.mark.parametrize("name", ["hinge-against-resilience", "lower-three-supports"])
def test_the_band_covers_what_lies_between(name: str) -> None:
    """Nine springs, both ends of the retention, the bar at its strongest and weakest: none strays from the band by
    more than 5 % of the bite.
    """
    opened, best = desk(name), planned(name)
    layout, defaults = Layout(opened.case), opened.catalogue.defaults
    placed = [(c, p) for c in best.mix for p in placements_of(c, defaults.play)]
    model = BearingModel(
        bed_along(layout.base), [Part(p, (c.attachment.length_mm or 0) / 2) for c, p in placed], layout.out
    )
    pieces, at = bar_pieces(opened.case, defaults, best.mix), [(p.site, p.at) for _, p in placed]
    bar = BarUnder(opened.case, layout, defaults, pieces, at)
    soft = [Stiffness(spring, 100 * spring) for spring in np.geomspace(*whole_base_n_per_mm(opened.case.arch), 9)]
    ways = [(each, bar.frame(each, strong=strong)) for each in soft for strong in (True, False)]

    for bite, end in itertools.product(BITES, ("low", "high")):
        presses = bite_points(layout, bite, bite_force(opened.case).band_n.high)
        holds = [getattr(c.attachment.retention_n, end) for c, _ in placed]
        band = shared(best)[bite].share
        for stiffness, frame in ways:
            mucosa_n = model.bear(presses, stiffness, holds, frame.gives).mucosa_n.sum()
            share = 1 - mucosa_n / sum(p.force_n for p in presses)
            assert band.low - 0.05 <= share <= band.high + 0.05


def test_a_mix_that_binds_puts_a_bite_on_the_supports_that_one_that_moves_leaves_to_the_mucosa() -> None:
    """The clip that only turns takes most of a bite at the front; balls that sink leave all of it to the mucosa."""
    balls = checked("hinge-against-resilience", R="ball-flex-2.2", L="ball-flex-2.2")
    binds, moves = shared(checked("hinge-against-resilience").plan), shared(balls.plan)

    assert binds["front"].share.high > 0.5
    assert moves["front"].share.high <= 0
    assert binds["front"].support_n["S1"].high > 4 * max(moves["front"].support_n["S1"].high, 1)


def test_forces_on_one_bar_add_up_to_its_share() -> None:
    found = checked("two-angled-segments").plan
    for bite in found.loads.bites:
        at_softest = [sum(band) for band in zip(*bite.support_n.values(), strict=True)]

        assert at_softest[0] <= bite.force_n * bite.share.low + 0.1
        assert at_softest[1] >= bite.force_n * bite.share.high - 0.1


def test_with_nothing_fitted_the_mucosa_bears_all() -> None:
    case = small_case()
    found = borne(case, Layout(case), (), stock(part("clip")).defaults).bites

    for bite in found:
        assert (0, 0) == pytest.approx(tuple(bite.share), abs=1e-4)
        assert {(0.0, 0.0)} == {tuple(band) for band in bite.support_n.values()}


@pytest.mark.parametrize("arch", ["lower", "upper"])
def test_a_mirrored_mouth_shares_the_mirrored_bite(arch: str) -> None:
    once, image = _mixed(_case(1, arch)), _mixed(_case(-1, arch))

    for name, other in (("left", "right"), ("right", "left"), ("both", "both"), ("front", "front")):
        assert tuple(once[name].share) == pytest.approx(tuple(image[other].share), abs=2e-4)
        for support in ("a", "b", "c"):
            assert tuple(once[name].support_n[support]) == pytest.approx(
                tuple(image[other].support_n[support]), abs=0.05
            )


def _case(side: int, arch: str) -> Case:
    supports = {n: {"at_mm": [side * x, y, 0]} for n, (x, y) in {"a": (-14, 18), "b": (2, 26), "c": (17, 15)}.items()}
    return small_case(
        arch=arch,
        supports={"R": None, "L": None, **supports},
        segments={"B": None, "A": {"between": ["a", "b"]}, "C": {"between": ["b", "c"]}},
        ends={"E": None},
        bite={"force_n": 100},
        denture={"left": [24, 0], "right": [-24, 0], "front": [0, 28]},
    )


def _mixed(case: Case) -> dict[str, SharedBite]:
    clip = {"hinge_deg": 20, "source": "invented"}
    catalogue = stock(part("clip", movement=clip), part("loose", movement={**clip, "down_mm": 0.3}))
    found = check(case, catalogue, {"A": read_put("clip"), "C": read_put("loose")})
    return shared(found.plan)


def test_with_the_bar_off_a_lone_support_bears_the_whole_share() -> None:
    movement = {"turn_deg": "free", "hinge_deg": "free", "tip_deg": "free", "source": "invented"}
    catalogue = stock(part("stud", kind="stud", at="support", movement=movement))
    mix = tuple(c for c in small_problem(catalogue).fit.usable if c.site.id == "R")
    case = small_case(bite={"force_n": 100})
    found = {b.name: b for b in borne(case, Layout(case), mix, catalogue.defaults).bites}

    for bite in BITES:
        total_n = sum(press.force_n for press in bite_points(Layout(case), bite, 100))
        assert {"R": pytest.approx([total_n * share for share in found[bite].share], abs=0.05)} == {
            support: [*band] for support, band in found[bite].support_n.items()
        }
    assert found["front"].support_n["R"].low < -1
