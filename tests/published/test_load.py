"""What load sharing keeps and what it does not, beyond the figures in the table of checks."""

from __future__ import annotations

import numpy as np
import pytest

from solver.handbook.point import PointLoad
from tests.published.formulas.load_sharing import Support, share_vertical
from tests.published.tables.load import AT_TEN_DEGREES, VERTICAL, Group, arc


@pytest.mark.parametrize("group", VERTICAL.values(), ids=VERTICAL.keys())
def test_vertical_shares_leave_no_moment(group: Group) -> None:
    """The shares themselves stand in the table of checks."""
    sharing = share_vertical([Support(*s) for s in group.supports], [PointLoad(*group.load)])

    assert 0.0 == pytest.approx(sharing.unbalanced_moment_nmm, abs=1e-6)


def test_one_pier_lifts() -> None:
    """The thread on the piers makes the point that one of them is pulled upon."""
    group = VERTICAL["four piers"]

    sharing = share_vertical([Support(*s) for s in group.supports], [PointLoad(*group.load)])

    assert [False, False, True, False] == [share < 0.0 for share in sharing.shares_n]


def test_two_term_form_breaks_equilibrium_where_ours_keeps_it() -> None:
    """The form with one term per axis is wrong off the principal axes: residuals 1449.65 and -529.19 (computed)."""
    group = VERTICAL["piles out of place"]
    place = np.asarray(group.supports)
    load = group.load[2]

    exact = np.asarray(share_vertical([Support(*s) for s in group.supports], [PointLoad(*group.load)]).shares_n)
    two_term = _two_term(place, np.zeros(2), load)

    assert (406.501, 382.911, 440.547, 463.041) == pytest.approx(two_term, abs=0.001)
    assert (1449.65, -529.19) == pytest.approx(two_term @ place, abs=0.01)
    assert (0.0, 0.0) == pytest.approx(exact @ place, abs=1e-6 * load * 400)


def test_two_term_form_is_right_on_principal_axes() -> None:
    """Where the layout is symmetric both forms agree: the fault above is the form's, not the test's."""
    group = VERTICAL["four piers"]
    two_term = _two_term(np.asarray(group.supports), np.asarray(group.load[:2]), group.load[2])

    assert group.shares == pytest.approx(two_term, abs=0.001)


def _two_term(place: np.ndarray, at: np.ndarray, load: float) -> np.ndarray:
    """Textbook form P/N + P ex x / sum x^2 + P ey y / sum y^2 about the centroid; for this check only."""
    offset = place - place.mean(axis=0)
    arm = at - place.mean(axis=0)
    shares: np.ndarray = load / len(place) + load * (offset * arm / (offset**2).sum(axis=0)).sum(axis=1)
    return shares


def test_more_implants_on_the_same_arc_help_little() -> None:
    """From four to six on one arc the worst share falls by 11 % only (set-up recalled with doubt, computed)."""
    worst = [max(VERTICAL[name].shares) for name in ("four on an arc", "six on an arc")]
    solved = [
        max(share_vertical([Support(*s) for s in arc(n)], [PointLoad(*AT_TEN_DEGREES)]).shares_n) for n in (4, 6)
    ]

    assert worst == pytest.approx(solved, abs=0.01)
    assert 0.89 == pytest.approx(solved[1] / solved[0], abs=0.005)
