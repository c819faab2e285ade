"""Laws of load sharing: equilibrium, freedom of frame, and what lines and single supports leave over."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from solver.handbook.checks import OutOfDomain
from solver.handbook.point import PointLoad
from tests.published.formulas.load_sharing import (
    Arrangement,
    NoSupport,
    Sharing,
    Support,
    Unbalanced,
    share_alone,
    share_in_plane,
    share_vertical,
)

position = st.floats(-40.0, 40.0)
force = st.floats(-300.0, 300.0)
supports = st.lists(st.builds(Support, position, position, st.floats(0.1, 10.0)), min_size=1, max_size=8)
loads = st.lists(st.builds(PointLoad, position, position, force), min_size=1, max_size=4)

Sharer = Callable[[Sequence[Support], Sequence[PointLoad]], Sharing]
SHARERS = (share_vertical, share_alone)


def _spread_mm(group: Sequence[Support]) -> np.ndarray:
    """Root mean square spread along both main directions, by an eigenvalue route of its own."""
    place = np.asarray(group)[:, :2]
    centred = place - place.mean(axis=0)
    spread: np.ndarray = np.sqrt(np.abs(np.linalg.eigvalsh(centred.T @ centred / len(place))))
    return spread


def _well_apart(group: Sequence[Support]) -> bool:
    """Neither nearly on a line nor nearly at a point: the verdict on the layout is not a matter of rounding."""
    return bool((_spread_mm(group) > 1.0).all())


@pytest.mark.parametrize("share", SHARERS)
@given(group=supports, pressing=loads)
def test_equilibrium_holds_with_what_is_left_over(
    share: Sharer, group: list[Support], pressing: list[PointLoad]
) -> None:
    """Shares add up to the load, and their moments with the unbalanced one to its moment, for any layout."""
    sharing = share(group, pressing)
    shares, place = np.asarray(sharing.shares_n), np.asarray(group)[:, :2]
    load = np.asarray(pressing)

    assert load[:, 2].sum() == pytest.approx(shares.sum(), abs=1e-7)
    assert load[:, 2] @ load[:, :2] == pytest.approx(shares @ place + sharing.unbalanced_nmm, abs=1e-5)


@given(group=supports, pressing=loads)
def test_three_supports_apart_leave_nothing_over(group: list[Support], pressing: list[PointLoad]) -> None:
    assume(_well_apart(group) and len(group) >= 3)

    sharing = share_vertical(group, pressing)

    assert Arrangement.PLANE is sharing.arrangement
    assert 0.0 == pytest.approx(sharing.unbalanced_moment_nmm, abs=1e-5)
    assert sharing is sharing.require_balance(1e-5)


@given(group=supports, pressing=loads, dx=position, dy=position)
def test_moving_the_origin_changes_no_share(
    group: list[Support], pressing: list[PointLoad], dx: float, dy: float
) -> None:
    assume(_well_apart(group))
    moved = [Support(s.x_mm + dx, s.y_mm + dy, s.stiffness_n_per_mm) for s in group]
    pressed = [PointLoad(p.x_mm + dx, p.y_mm + dy, p.force_n) for p in pressing]

    assert share_vertical(group, pressing).shares_n == pytest.approx(
        share_vertical(moved, pressed).shares_n, abs=1e-6
    )


@given(group=supports, pressing=loads, factor=st.floats(-5.0, 5.0))
def test_scaling_the_load_scales_the_shares(group: list[Support], pressing: list[PointLoad], factor: float) -> None:
    scaled = [PointLoad(p.x_mm, p.y_mm, p.force_n * factor) for p in pressing]

    expected = factor * np.asarray(share_vertical(group, pressing).shares_n)
    assert expected == pytest.approx(share_vertical(group, scaled).shares_n, abs=1e-6)


@given(group=supports, pressing=loads, factor=st.floats(0.1, 100.0))
def test_only_ratios_of_stiffness_matter(group: list[Support], pressing: list[PointLoad], factor: float) -> None:
    stiffer = [Support(s.x_mm, s.y_mm, s.stiffness_n_per_mm * factor) for s in group]

    assert share_vertical(group, pressing).shares_n == pytest.approx(
        share_vertical(stiffer, pressing).shares_n, abs=1e-6
    )


@pytest.mark.parametrize("share", SHARERS)
@given(group=supports, pressing=loads)
def test_mirroring_mirrors(share: Sharer, group: list[Support], pressing: list[PointLoad]) -> None:
    """Left and right changed over, support by support, the shares stay."""
    mirrored = [Support(-s.x_mm, s.y_mm, s.stiffness_n_per_mm) for s in group]
    pressed = [PointLoad(-p.x_mm, p.y_mm, p.force_n) for p in pressing]

    assert share(group, pressing).shares_n == pytest.approx(share(mirrored, pressed).shares_n, abs=1e-6)


@given(group=supports, pressing=loads)
def test_agrees_with_least_strain_energy(group: list[Support], pressing: list[PointLoad]) -> None:
    """Second form: among all balanced shares ours has least energy sum F^2 / k (Castigliano), by least squares."""
    assume(_well_apart(group) and len(group) >= 3)
    table, load = np.asarray(group), np.asarray(pressing)
    root = np.sqrt(table[:, 2])
    statics = np.column_stack((np.ones(len(table)), table[:, :2])).T
    wanted = np.column_stack((np.ones(len(load)), load[:, :2])).T @ load[:, 2]
    shares = root * np.linalg.lstsq(statics * root, wanted, rcond=None)[0]

    assert shares == pytest.approx(share_vertical(group, pressing).shares_n, abs=1e-5)


def test_two_supports_carry_a_load_beside_their_line_only_in_part() -> None:
    """A lever along the line; 3 mm beside it is 300 N mm for the mucosa, whatever the stiffness."""
    sharing = share_vertical([Support(0, 0, 1.0), Support(0, 10, 7.0)], [PointLoad(3, 20, 100)])

    assert Arrangement.LINE is sharing.arrangement
    assert (-100.0, 200.0) == pytest.approx(sharing.shares_n)
    assert (300.0, 0.0) == pytest.approx(sharing.unbalanced_nmm, abs=1e-9)


@pytest.mark.parametrize(
    ("group", "arrangement", "moment_nmm"),
    [
        ([Support(1, 1)], Arrangement.POINT, 500.0),
        ([Support(1, 1), Support(1, 1)], Arrangement.POINT, 500.0),
        ([Support(0, 0), Support(10, 0), Support(20, 0)], Arrangement.LINE, 600.0),
        ([Support(0, 0), Support(10, 0.1), Support(20, 0)], Arrangement.LINE, 600.0),
    ],
    ids=["one", "two at one place", "three on a line", "three nearly on a line"],
)
def test_supports_that_leave_a_moment_refuse_to_be_called_balanced(
    group: list[Support], arrangement: Arrangement, moment_nmm: float
) -> None:
    sharing = share_vertical(group, [PointLoad(1, 6, 100)])

    with pytest.raises(Unbalanced) as caught:
        sharing.require_balance()
    assert arrangement is caught.value.arrangement
    assert moment_nmm == pytest.approx(caught.value.moment_nmm, rel=0.02)
    assert "for the mucosa to carry" in str(caught.value)


def test_a_line_is_a_matter_of_places_not_of_stiffness() -> None:
    """One support a thousand times stiffer than its neighbours does not make a tripod a line."""
    sharing = share_vertical([Support(0, 0, 1000.0), Support(10, 0), Support(0, 10)], [PointLoad(2, 3, 100)])

    assert (50.0, 20.0, 30.0) == pytest.approx(sharing.shares_n)


def test_supports_alone_take_what_is_nearest() -> None:
    """The nearest takes all; two equally near take half each; the lever arm is left over."""
    sharing = share_alone(
        [Support(-10, 0), Support(10, 0), Support(40, 0)], [PointLoad(0, 5, 80), PointLoad(35, 0, 20)]
    )

    assert (40.0, 40.0, 20.0) == pytest.approx(sharing.shares_n)
    assert (-100.0, 400.0) == pytest.approx(sharing.unbalanced_nmm)


@given(group=supports, fx=force, fy=force, x=position, y=position, moment=st.floats(-1e4, 1e4))
def test_equilibrium_in_the_plane(
    group: list[Support], fx: float, fy: float, x: float, y: float, moment: float
) -> None:
    """Shares add up to the force, and their moments about the origin to its moment."""
    sharing = share_in_plane(group, (fx, fy), (x, y), moment)
    shares, place = np.asarray(sharing.shares_n), np.asarray(group)[:, :2]
    turning = float(place[:, 0] @ shares[:, 1] - place[:, 1] @ shares[:, 0])

    assert (fx, fy) == pytest.approx(shares.sum(axis=0), abs=1e-6)
    assert moment + x * fy - y * fx == pytest.approx(turning + sharing.unbalanced_nmm, abs=1e-4)


def test_a_lone_support_must_resist_the_twist_itself() -> None:
    assert 1000.0 == pytest.approx(share_in_plane([Support(5, 5)], (0.0, 100.0), (15.0, 5.0)).unbalanced_nmm)


@pytest.mark.parametrize("share", SHARERS)
def test_no_support_is_refused(share: Sharer) -> None:
    with pytest.raises(NoSupport, match="no support to carry the load"):
        share([], [PointLoad(0, 0, 1)])


@pytest.mark.parametrize(
    ("support", "name"),
    [
        (Support(math.nan, 0), "x_mm"),
        (Support(0, math.inf), "y_mm"),
        (Support(0, 0, 0.0), "stiffness_n_per_mm"),
        (Support(0, 0, -1.0), "stiffness_n_per_mm"),
    ],
)
def test_numbers_without_meaning_are_refused_by_name(support: Support, name: str) -> None:
    with pytest.raises(OutOfDomain) as caught:
        share_vertical([support], [PointLoad(0, 0, 1)])
    assert name == caught.value.name


def test_no_load_no_share() -> None:
    assert (0.0, 0.0) == share_vertical([Support(0, 0), Support(9, 0)], []).shares_n
