"""Which test files cover a module: its own first, then the nearest others, quick ones before slow ones."""

from __future__ import annotations

from pathlib import Path

_CHOOSE = (
    "tests/solver/choose/test_choose.py",
    "tests/solver/choose/test_choose_terms.py",
    "tests/solver/choose/test_choose_least.py",
)
_RELAX = (
    "tests/solver/explain/test_switches.py",
    "tests/solver/explain/test_lightest.py",
    "tests/solver/explain/test_give.py",
    "tests/solver/explain/test_give_cheaper.py",
    "tests/solver/choose/test_choose.py",
    "tests/cli/test_least.py",
)
_SHORT = ("tests/solver/choose/test_straight.py", "tests/solver/choose/test_knapsack.py")
_LIMITS = (
    "tests/solver/audit/test_verify.py",
    "tests/solver/choose/test_cuts.py",
    "tests/solver/choose/test_straight.py",
)
_FIT = ("tests/solver/fit/test_judge.py", "tests/solver/fit/test_fit.py", "tests/published/test_space.py")
_HANGS = (
    "tests/solver/explore/test_weak_figures.py",
    "tests/solver/explore/test_hunt.py",
    "tests/solver/explore/test_sensitivity.py",
)
_STOCK = ("tests/catalogue/test_load.py", "tests/catalogue/test_starter.py")

_ASK = (
    "tests/solver/explore/test_ask.py",
    "tests/solver/case/test_provenance.py",
    "tests/referee/test_ask_answers.py",
)

TESTS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(("ask", "outcomes", "windows", "extent", "reply", "worlds", "answered"), _ASK),
    **dict.fromkeys(
        ("provenance", "bars"), ("tests/solver/case/test_provenance.py", "tests/solver/explore/test_ask.py")
    ),
    "movement": (
        "tests/solver/mechanics/test_movement.py",
        "tests/solver/mechanics/test_stops.py",
        "tests/published/test_movement.py",
        "tests/solver/audit/test_verify.py",
    ),
    "movement_verdict": ("tests/solver/mechanics/test_movement_verdict.py", "tests/solver/assess/test_mechanics.py"),
    "verify_motion": ("tests/solver/audit/test_verify_motion.py", "tests/solver/mechanics/test_movement_verdict.py"),
    "hold": ("tests/solver/mechanics/test_hold.py",),
    "price": ("tests/solver/fit/test_price.py", "tests/solver/case/test_money.py", "tests/solver/fit/test_fit.py"),
    "money": ("tests/solver/case/test_money.py", "tests/solver/fit/test_price.py"),
    "choose": (*_CHOOSE, "tests/solver/explore/test_strategy.py"),
    "given_up": ("tests/solver/test_given_up.py",),
    "lightest": _RELAX,
    "switches": _RELAX,
    "give": _RELAX,
    "straight": _SHORT,
    "cheapest": _SHORT,
    "knapsack": _SHORT,
    "cuts": (
        "tests/solver/choose/test_cuts.py",
        "tests/solver/choose/test_master.py",
        "tests/solver/choose/test_straight.py",
        "tests/solver/choose/test_choose_terms.py",
    ),
    "keeps": ("tests/solver/test_keeps.py",),
    "ranking": ("tests/solver/choose/test_ranking.py", "tests/solver/choose/test_choose.py"),
    "newtons": ("tests/solver/choose/test_newtons.py", "tests/solver/choose/test_master.py"),
    "master": (
        "tests/solver/choose/test_master.py",
        "tests/solver/choose/test_master_bound.py",
        *_CHOOSE,
        "tests/solver/explain/test_lightest.py",
    ),
    "rules": (
        "tests/solver/case/test_rules.py",
        "tests/solver/test_keeps.py",
        "tests/solver/choose/test_master.py",
        *_CHOOSE,
    ),
    "pulls": ("tests/solver/mechanics/test_pulls.py", *_LIMITS, "tests/solver/choose/test_choose_terms.py"),
    "mechanics": ("tests/solver/assess/test_mechanics.py", *_LIMITS, "tests/solver/choose/test_unsplint.py"),
    "worth": ("tests/solver/choose/test_worth.py", "tests/solver/mechanics/test_movement.py", *_LIMITS),
    "prune": ("tests/solver/choose/test_prune.py", *_CHOOSE),
    "verify": ("tests/solver/audit/test_verify.py", "tests/solver/choose/test_choose_least.py"),
    "fit": (*_FIT, "tests/solver/fit/test_strength.py", "tests/solver/choose/test_check.py"),
    "judge": _FIT,
    "strength": (
        "tests/solver/fit/test_strength.py",
        "tests/solver/mechanics/test_bent.py",
        "tests/published/test_tables.py",
    ),
    "sites": ("tests/solver/case/test_layout_sites.py", *_FIT),
    "layout": (
        "tests/solver/case/test_layout_sites.py",
        "tests/solver/mechanics/test_movement.py",
        "tests/solver/audit/test_verify.py",
    ),
    "lp": (
        "tests/solver/mechanics/test_lp.py",
        "tests/solver/mechanics/test_movement.py",
        "tests/solver/mechanics/test_freedom.py",
    ),
    "placement": (
        "tests/solver/mechanics/test_placement.py",
        "tests/solver/case/test_layout_sites.py",
        "tests/solver/mechanics/test_movement.py",
        "tests/published/test_movement.py",
    ),
    "balance": ("tests/solver/choose/test_balance.py",),
    "hunt": _HANGS,
    "stand": ("tests/solver/explore/test_stand.py", *_HANGS),
    "weak_change": ("tests/solver/explore/test_weak_change.py", *_HANGS),
    "weak_figures": _HANGS,
    "sensitivity": _HANGS,
    "catalogue/blocks": ("tests/catalogue/test_blocks.py", *_STOCK, "tests/catalogue/test_sheet.py", *_FIT),
    "catalogue/models": (*_STOCK, "tests/catalogue/test_sheet.py", "tests/solver/fit/test_fit.py"),
    "catalogue/load": _STOCK,
    "catalogue/sheet": ("tests/catalogue/test_sheet.py", "tests/solver/case/test_read_case.py"),
    "catalogue/yaml_text": ("tests/catalogue/test_yaml_text.py", "tests/catalogue/test_load.py"),
    "catalogue/price_list": ("tests/catalogue/test_price_list.py", "tests/cli/test_prices.py"),
    "catalogue/reprice": ("tests/catalogue/test_reprice.py", "tests/cli/test_prices.py"),
    "catalogue/difference": ("tests/catalogue/test_difference.py", "tests/catalogue/test_reprice.py"),
    "catalogue/find": ("tests/cli/test_catalogue_command.py",),
}


def file_of(module: str) -> Path:
    """Where a module stands in the tree; without a room it is one of the solver."""
    return Path(f"{module}.py" if "/" in module else f"solver/{module}.py")
