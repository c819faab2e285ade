"""The smallest clash against the list of all clashes."""

from __future__ import annotations

from collections.abc import Callable

from hypothesis import given
from hypothesis import strategies as st

from solver.explain.algorithms import Clash, Verdict, all_clashes, smallest_clash, waiver_sets

MEMBERS = "abcdef"
clashes = st.lists(st.frozensets(st.sampled_from(MEMBERS), min_size=1), min_size=1, max_size=6)


def oracle(clashing: list[frozenset[str]]) -> Callable[[frozenset[str]], Verdict]:
    return lambda kept: Verdict.NO if any(clash <= kept for clash in clashing) else Verdict.YES


@given(clashes)
def test_no_clash_is_smaller(clashing: list[frozenset[str]]) -> None:
    found = smallest_clash(MEMBERS, oracle(clashing))

    assert isinstance(found, Clash)
    assert found.proved_minimal
    assert min(len(clash.members) for clash in all_clashes(MEMBERS, oracle(clashing))) == len(found.members)
    assert frozenset(found.members) in clashing


@given(clashes, st.data())
def test_waiver_sets_known_before_change_nothing(clashing: list[frozenset[str]], data: st.DataObject) -> None:
    every = [frozenset(each.members) for each in waiver_sets(MEMBERS, oracle(clashing))]
    known = data.draw(st.lists(st.sampled_from(every)))

    assert smallest_clash(MEMBERS, oracle(clashing)) == smallest_clash(MEMBERS, oracle(clashing), corrections=known)


def test_removal_decides_between_equals() -> None:
    """Its last members are tried first, so the clash of the earlier ones is left."""
    clashing = [frozenset("ef"), frozenset("ab"), frozenset("acd")]

    assert Clash(("a", "b"), True) == smallest_clash(MEMBERS, oracle(clashing))


def test_a_smaller_clash_than_removal_leaves_is_found() -> None:
    clashing = [frozenset("f"), frozenset("ab")]

    assert Clash(("f",), True) == smallest_clash(MEMBERS, oracle(clashing))


def test_what_can_be_kept_is_no_clash() -> None:
    assert smallest_clash(MEMBERS, lambda kept: Verdict.YES) is Verdict.YES


def test_what_is_not_decided_is_not_proved_smallest() -> None:
    def unsure(kept: frozenset[str]) -> Verdict:
        if frozenset("ab") <= kept:
            return Verdict.NO
        return Verdict.UNDECIDED if "c" in kept else Verdict.YES

    assert Clash(("a", "b"), False) == smallest_clash("abc", unsure)
