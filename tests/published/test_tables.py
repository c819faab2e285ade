"""Every check of every subject, that there are enough of them, and that the page made from them is not stale."""

from __future__ import annotations

import pytest

from tests.published.check import LEGEND, Check, Known
from tests.published.conflicts import CONFLICTS, Conflict
from tests.published.page import PAGE, page
from tests.published.proof import Proof, idle_exceptions, proof_of
from tests.published.tables import SUBJECTS

EVERY = [(subject, check) for subject, rows in SUBJECTS.items() for check in rows]


@pytest.mark.parametrize("check", [check for _, check in EVERY], ids=[f"{of}: {row.claim}" for of, row in EVERY])
def test_published(check: Check) -> None:
    value = check.ours()

    assert check.agrees_with(value), f"{check.expected} stated by {check.source} ({check.known}), {value} found"


@pytest.mark.parametrize("conflict", CONFLICTS, ids=[conflict.about for conflict in CONFLICTS])
def test_the_source_that_is_said_to_be_followed_is(conflict: Conflict) -> None:
    assert (
        pytest.approx(conflict.followed) == conflict.ours()
        if _flat(conflict)
        else conflict.followed == conflict.ours()
    )


def _flat(conflict: Conflict) -> bool:
    return isinstance(conflict.followed, int | float)


def test_every_subject_rests_on_something_outside_regrip() -> None:
    subjects = ("Space", "Movement", "Hold", "Load", "Strength", "Wear", "Magnets", "Survival", "Arch form")
    outside = {subject: sum(row.known is not Known.OURS for row in rows) for subject, rows in SUBJECTS.items()}

    assert {*subjects, "Purchasing", "Explanation"} == set(outside)
    assert min(outside.values()) >= 3
    assert sum(outside.values()) >= 60


def test_every_check_has_a_claim_of_its_own_a_citation_and_says_how_it_is_known() -> None:
    claims = [(subject, row.claim, row.source) for subject, row in EVERY]

    assert len(set(claims)) == len(claims)
    assert all(len(row.source) >= 8 for _, row in EVERY)
    assert set(LEGEND) == set(Known)


def test_a_wrong_figure_would_be_noticed() -> None:
    """Each number moved by more than its tolerance no longer agrees."""
    for _, check in EVERY:
        if isinstance(check.expected, int | float) and not isinstance(check.expected, bool):
            off = 2 * (check.tolerance * (abs(check.expected) if check.relative else 1) or 1e-3)
            assert not check.agrees_with(check.expected + off), check.claim


def test_the_page_is_not_stale() -> None:
    """`python -m tests.published` writes it."""
    assert PAGE.read_text(encoding="utf-8") == page()


def test_every_check_is_sorted_by_what_it_proves_and_no_exception_is_idle() -> None:
    counts = {proof: sum(proof_of(*each) is proof for each in EVERY) for proof in Proof}

    assert min(counts.values()) > 0
    assert len(EVERY) == sum(counts.values())
    for subject, rows in SUBJECTS.items():
        assert [] == idle_exceptions(subject, [check.claim for check in rows])


def test_what_regrip_merely_holds_is_no_formula_of_its_own() -> None:
    held = [check.claim for subject, check in EVERY if proof_of(subject, check) is Proof.LOOK_UP]

    assert "Gap under the bar of 2 mm" in held
    assert "simple span in inches and pounds: moment, stress, sag" not in held
