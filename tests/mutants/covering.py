"""Which test files cover a module: its own first, then the nearest others, quick ones before slow ones."""

from __future__ import annotations

_RELAX = (
    "tests/solver/test_switches.py",
    "tests/solver/test_give.py",
    "tests/solver/test_choose.py",
    "tests/cli/test_least.py",
)

TESTS: dict[str, tuple[str, ...]] = {
    "movement": ("tests/solver/test_movement.py", "tests/published/test_movement.py", "tests/solver/test_verify.py"),
    "hold": ("tests/solver/test_hold.py",),
    "price": ("tests/solver/test_price.py", "tests/solver/test_money.py", "tests/solver/test_fit.py"),
    "money": ("tests/solver/test_money.py", "tests/solver/test_price.py"),
    "choose": ("tests/solver/test_choose.py", "tests/solver/test_strategy.py"),
    "given_up": ("tests/solver/test_given_up.py",),
    "lightest": _RELAX,
    "switches": _RELAX,
    "give": _RELAX,
}
