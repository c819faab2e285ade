"""regrip for programs: read a case and a catalogue, plan, check, ask why, ask what to ask, write a report.

    import regrip

    case = regrip.load_case("case.yaml")
    catalogue = regrip.load_catalogue("our-prices.yaml")
    found = regrip.plan(case, catalogue)
    print(found["status"], found["cost"]["high"], found["money"]["unit"])

Every answer is a dict: what the command prints with `--json`, by the schema of `regrip schema answer`. What cannot be
used raises `regrip.InputError`, with every mistake at its line and column, or `regrip.BadInput`.

regrip supports a decision and takes none: the makers' instructions, local rules and the licensed clinician go before
it. Prices and minutes of the starter catalogue are invented.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from cli.api import (
        BadInput,
        CaseFile,
        Catalogue,
        InputError,
        InternalFault,
        ask,
        check,
        load_case,
        load_catalogue,
        plan,
        read_case,
        report,
        schema,
        version,
        why,
    )

__all__ = [
    "BadInput",
    "CaseFile",
    "Catalogue",
    "InputError",
    "InternalFault",
    "ask",
    "check",
    "load_case",
    "load_catalogue",
    "plan",
    "read_case",
    "report",
    "schema",
    "version",
    "why",
]


def __getattr__(name: str) -> Any:
    """Load the programming interface when something of it is first used: a command must not wait for it."""
    if name not in __all__:
        raise AttributeError(f"module 'regrip' has no attribute '{name}'")
    from cli import api  # noqa: PLC0415

    return getattr(api, name)


def __dir__() -> list[str]:
    return __all__


def main() -> None:
    """Run the command `regrip`."""
    from cli.main import main as run  # noqa: PLC0415

    run()
