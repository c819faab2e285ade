"""Explanation: clashes, waiver sets and hitting sets of worked examples."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from itertools import product
from typing import Any

from solver.explain.algorithms import (
    Clash,
    Oracle,
    Verdict,
    all_clashes,
    minimal_hitting_sets,
    preferred_clash,
    waiver_sets,
)
from tests.published.check import Check, Known

Sets = frozenset[frozenset[str]]

OSULLIVAN = (
    "O'Sullivan B, Papadopoulos A, Faltings B, Pu P. Representative explanations for over-constrained problems. AAAI "
    "2007"
)
JUNKER = "Junker U. QuickXplain. AAAI 2004, pp. 167-172 (budget of 3000 from memory)"
PYSAT = "PySAT documentation, examples/optux.py"
LIFFITON = "Liffiton MH, Sakallah KA. J Autom Reason 2008;40:1-33"
REITER = "Reiter R. A theory of diagnosis from first principles. Artif Intell 1987;32:57-95"
TRIED = "by trying every subset"

WISHES = ("c1", "c2", "c3", "c4", "c5")
PRICES = {"c2": 500, "c3": 500, "c4": 500, "c5": 2600}
DROP_COSTS = {"c1": 5, "c2": 1, "c3": 2, "c4": 1, "c5": 3}
OPTIONS = {"r1": 500, "r2": 500, "r3": 800, "r4": 500, "r5": 2600}
FAMILY = ({2, 4, 5}, {1, 2, 3}, {1, 3, 5}, {2, 4, 6}, {2, 4}, {2, 3, 5}, {1, 6})
GATES = ("X1", "X2", "A1", "A2", "O1")


def sets(*texts: str) -> Sets:
    """`sets("a b", "c")` is {{a, b}, {c}}."""
    return frozenset(frozenset(text.split()) for text in texts)


def wishes_fit(kept: Collection[str]) -> Verdict:
    """c1 keeps the sum within 3000, c2 to c5 each want an option, those of c2 and c3 exclude each other."""
    within_budget = "c1" not in kept or sum(PRICES[wish] for wish in set(kept) - {"c1"}) <= 3000
    return Verdict.YES if within_budget and not {"c2", "c3"} <= set(kept) else Verdict.NO


def options_within(budget: int) -> Oracle[str]:
    """Options against a budget."""
    return lambda kept: Verdict.YES if sum(OPTIONS[each] for each in kept) <= budget else Verdict.NO


def pairwise(kept: frozenset[str]) -> Verdict:
    """Of three no two together."""
    return Verdict.YES if len(kept) <= 1 else Verdict.NO


def clauses(kept: frozenset[str]) -> Verdict:
    """(a), (not a), (not a or b), (not b)."""

    def satisfied(a: bool, b: bool) -> set[str]:
        holds = {"C1": a, "C2": not a, "C3": not a or b, "C4": not b}
        return {clause for clause, is_true in holds.items() if is_true}

    satisfiable = any(kept <= satisfied(a, b) for a, b in product((False, True), repeat=2))
    return Verdict.YES if satisfiable else Verdict.NO


def adder(working: frozenset[str]) -> Verdict:
    """Can a full adder with inputs 1, 0, 1 show sum 1 and carry 0, if these gates work (others may not)?"""
    for x1, x2, a1, a2, o1 in product((0, 1), repeat=5):
        right_output = {"X1": 1 ^ 0, "X2": x1 ^ 1, "A1": 1 & 0, "A2": x1 & 1, "O1": a1 | a2}
        output = {"X1": x1, "X2": x2, "A1": a1, "A2": a2, "O1": o1}
        if (x2, o1) == (1, 0) and all(output[gate] == right_output[gate] for gate in working):
            return Verdict.YES
    return Verdict.NO


def _clashes(order: Sequence[str], oracle: Oracle[str]) -> Callable[[], Sets]:
    return lambda: frozenset(frozenset(each.members) for each in all_clashes(order, oracle))


def _waivers(order: Sequence[str], oracle: Oracle[str]) -> Callable[[], Sets]:
    return lambda: frozenset(frozenset(each.members) for each in waiver_sets(order, oracle))


def _cheapest() -> tuple[Any, ...]:
    first, second, third, *_ = waiver_sets(WISHES, wishes_fit, weights=DROP_COSTS)
    return first.members, second.members, first.weight, second.weight, third.weight


def _preferred(order: tuple[str, ...]) -> Callable[[], Any]:
    def found() -> Any:
        clash = preferred_clash(order, options_within(3000))
        return clash.members if isinstance(clash, Clash) else clash

    return found


_R = tuple(OPTIONS)

EXAMPLES: tuple[tuple[str, tuple[str, ...], Oracle[str], Sets, tuple[str, Known], Sets, tuple[str, Known]], ...] = (
    ("Wishes over budget", WISHES, wishes_fit, sets("c2 c3", "c1 c2 c5", "c1 c3 c5", "c1 c4 c5"),
     (OSULLIVAN, Known.READ), sets("c1 c2", "c1 c3", "c2 c5", "c3 c5", "c2 c3 c4"),
     (f"{OSULLIVAN}: example; sets {TRIED}", Known.DERIVED)),
    ("Options over budget", _R, options_within(3000), sets("r1 r5", "r2 r5", "r3 r5", "r4 r5"),
     (f"{JUNKER}: conflict of r4 and r5 read; the rest {TRIED}", Known.DERIVED), sets("r5", "r1 r2 r3 r4"),
     (f"{JUNKER}: example; sets {TRIED}", Known.DERIVED)),
    ("Of three no two together", ("x1", "x2", "x3"), pairwise, sets("x1 x2", "x1 x3", "x2 x3"), (PYSAT, Known.READ),
     sets("x1 x2", "x1 x3", "x2 x3"), (f"{PYSAT}: cost 2 each read; sets {TRIED}", Known.DERIVED)),
    ("Four clauses", ("C1", "C2", "C3", "C4"), clauses, sets("C1 C2", "C1 C3 C4"),
     (f"{LIFFITON}; sets {TRIED}", Known.MEMORY), sets("C1", "C2 C3", "C2 C4"),
     (f"{LIFFITON}; sets {TRIED}", Known.MEMORY)),
    ("Full adder", GATES, adder, sets("X1 X2", "X1 A2 O1"), (REITER, Known.MEMORY), sets("X1", "X2 A2", "X2 O1"),
     (REITER, Known.MEMORY)),
)  # fmt: skip

CHECKS = (
    *(
        Check(f"{name}: every smallest clash", source, known, clash, _clashes(order, oracle))
        for name, order, oracle, clash, (source, known), _, _ in EXAMPLES
    ),
    *(
        Check(f"{name}: every smallest set of waivers", source, known, waived, _waivers(order, oracle))
        for name, order, oracle, _, _, waived, (source, known) in EXAMPLES
    ),
    *(
        Check(f"Options over a budget of {budget}, as far as what was read allows: every smallest clash",
              f"{JUNKER}; {TRIED}", Known.DERIVED, sets("r1 r5", "r2 r5", "r3 r5", "r4 r5"),
              _clashes(_R, options_within(budget)))
        for budget in (2600, 3099)
    ),
    Check("Options over budget: the clash that prefers the first", JUNKER, Known.DERIVED, ("r1", "r5"),
          _preferred(_R)),
    Check("Options over budget: the clash that prefers the last", JUNKER, Known.READ, ("r5", "r4"),
          _preferred(_R[::-1])),
    Check("Wishes: the two cheapest waiver sets tie, then 5 (drop costs 5, 1, 2, 1, 3)",
          f"{OSULLIVAN}: example; costs ours, {TRIED}", Known.DERIVED,
          (("c2", "c5"), ("c2", "c3", "c4"), 4, 4, 5), _cheapest),
    Check("Smallest hitting sets of a family of seven", f"{REITER}; sets {TRIED}", Known.MEMORY,
          ((1, 2), (1, 3, 4), (1, 4, 5), (2, 3, 6), (2, 5, 6), (3, 4, 6)),
          lambda: tuple(minimal_hitting_sets(FAMILY, range(1, 7)))),
)  # fmt: skip
