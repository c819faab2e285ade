"""Which test files cover a module: its own first, then the nearest others, quick ones before slow ones."""

from __future__ import annotations

from pathlib import Path

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
_LIMITS = ("tests/solver/test_verify.py", "tests/solver/test_cuts.py", "tests/solver/test_straight.py")
_FIT = ("tests/solver/test_judge.py", "tests/solver/test_fit.py", "tests/published/test_space.py")
_HANGS = ("tests/solver/test_weak_figures.py", "tests/solver/test_hunt.py", "tests/solver/test_sensitivity.py")
_STOCK = ("tests/catalogue/test_load.py", "tests/catalogue/test_starter.py")

_ASK = ("tests/solver/test_ask.py", "tests/solver/test_provenance.py", "tests/referee/test_ask_answers.py")

TESTS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("ask", "outcomes", "windows", "extent", "reply", "worlds", "answered"), _ASK),
    **dict.fromkeys(("provenance", "bars"), ("tests/solver/test_provenance.py", "tests/solver/test_ask.py")),
    "movement": (
        "tests/solver/test_movement.py",
        "tests/solver/test_stops.py",
        "tests/published/test_movement.py",
        "tests/solver/test_verify.py",
    ),
    "movement_verdict": ("tests/solver/test_movement_verdict.py", "tests/solver/test_mechanics.py"),
    "verify_motion": ("tests/solver/test_verify_motion.py", "tests/solver/test_movement_verdict.py"),
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
    "master": (
        "tests/solver/test_master.py",
        "tests/solver/test_master_bound.py",
        *_CHOOSE,
        "tests/solver/test_lightest.py",
    ),
    "rules": ("tests/solver/test_rules.py", "tests/solver/test_keeps.py", "tests/solver/test_master.py", *_CHOOSE),
    "pulls": ("tests/solver/test_pulls.py", *_LIMITS, "tests/solver/test_choose_terms.py"),
    "mechanics": ("tests/solver/test_mechanics.py", *_LIMITS, "tests/solver/test_unsplint.py"),
    "worth": ("tests/solver/test_worth.py", "tests/solver/test_movement.py", *_LIMITS),
    "prune": ("tests/solver/test_prune.py", *_CHOOSE),
    "verify": ("tests/solver/test_verify.py", "tests/solver/test_choose_least.py"),
    "fit": (*_FIT, "tests/solver/test_strength.py", "tests/solver/test_check.py"),
    "judge": _FIT,
    "strength": ("tests/solver/test_strength.py", "tests/solver/test_bent.py", "tests/published/test_tables.py"),
    "sites": ("tests/solver/test_layout_sites.py", *_FIT),
    "layout": ("tests/solver/test_layout_sites.py", "tests/solver/test_movement.py", "tests/solver/test_verify.py"),
    "lp": ("tests/solver/test_lp.py", "tests/solver/test_movement.py", "tests/solver/test_freedom.py"),
    "placement": (
        "tests/solver/test_placement.py",
        "tests/solver/test_layout_sites.py",
        "tests/solver/test_movement.py",
        "tests/published/test_movement.py",
    ),
    "balance": ("tests/solver/test_balance.py",),
    "hunt": _HANGS,
    "stand": ("tests/solver/test_stand.py", *_HANGS),
    "weak_change": ("tests/solver/test_weak_change.py", *_HANGS),
    "weak_figures": _HANGS,
    "sensitivity": _HANGS,
    "catalogue/blocks": ("tests/catalogue/test_blocks.py", *_STOCK, "tests/catalogue/test_sheet.py", *_FIT),
    "catalogue/models": (*_STOCK, "tests/catalogue/test_sheet.py", "tests/solver/test_fit.py"),
    "catalogue/load": _STOCK,
    "catalogue/sheet": ("tests/catalogue/test_sheet.py", "tests/solver/test_read_case.py"),
    "catalogue/yaml_text": ("tests/catalogue/test_yaml_text.py", "tests/catalogue/test_load.py"),
    "catalogue/price_list": ("tests/catalogue/test_price_list.py", "tests/cli/test_prices.py"),
    "catalogue/reprice": ("tests/catalogue/test_reprice.py", "tests/cli/test_prices.py"),
    "catalogue/difference": ("tests/catalogue/test_difference.py", "tests/catalogue/test_reprice.py"),
    "catalogue/find": ("tests/cli/test_catalogue_command.py",),
}


def file_of(module: str) -> Path:
    """Where a module stands in the tree; without a room it is one of the solver."""
    return Path(f"{module}.py" if "/" in module else f"solver/{module}.py")
