"""Which test files cover a module: its own first, then the nearest others, quick ones before slow ones."""

from __future__ import annotations

_CHOOSE = ("tests/solver/test_choose.py", "tests/solver/test_choose_terms.py", "tests/solver/test_choose_least.py")
_RELAX = (
    "tests/solver/test_switches.py",
    "tests/solver/test_lightest.py",
    "tests/solver/test_give.py",
    "tests/solver/test_give_cheaper.py",
    "tests/solver/test_choose.py",
    "tests/cli/test_least.py",
)
_SHORT = ("tests/solver/test_straight.py", "tests/solver/test_knapsack.py")

TESTS: dict[str, tuple[str, ...]] = {
    "movement": (
        "tests/solver/test_movement.py",
        "tests/solver/test_stops.py",
        "tests/published/test_movement.py",
        "tests/solver/test_verify.py",
    ),
    "hold": ("tests/solver/test_hold.py",),
    "price": ("tests/solver/test_price.py", "tests/solver/test_money.py", "tests/solver/test_fit.py"),
    "money": ("tests/solver/test_money.py", "tests/solver/test_price.py"),
    "choose": (*_CHOOSE, "tests/solver/test_strategy.py"),
    "given_up": ("tests/solver/test_given_up.py",),
    "lightest": _RELAX,
    "switches": _RELAX,
    "give": _RELAX,
    "straight": _SHORT,
    "cheapest": _SHORT,
    "knapsack": _SHORT,
    "cuts": (
        "tests/solver/test_cuts.py",
        "tests/solver/test_master.py",
        "tests/solver/test_straight.py",
        "tests/solver/test_choose_terms.py",
    ),
    "keeps": ("tests/solver/test_keeps.py",),
    "ranking": ("tests/solver/test_ranking.py", "tests/solver/test_choose.py"),
    "newtons": ("tests/solver/test_newtons.py", "tests/solver/test_master.py"),
    "master": ("tests/solver/test_master.py", *_CHOOSE, "tests/solver/test_lightest.py"),
}
