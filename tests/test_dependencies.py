"""The lock file pins all that is installed, and the page of dependencies names it."""

from __future__ import annotations

import re

import pytest

from tests.dependencies import LOCK, NOT_INSTALLED, PAGE, copyleft, direct, licence, locked, needed_by

PINS = re.split(r"\n(?=\S)", LOCK.read_text(encoding="utf-8").strip())
ONE_PIN = re.compile(
    r"""[A-Za-z0-9][\w.-]*==[\w.]+        # one version, nothing else
        (?:\ ;\ [^\\]+)?                  # on these platforms
        (?:\ \\\n\ {4}--hash=sha256:[0-9a-f]{64})+
        (?:\n\ {4}\#[^\n]*)*              # who needs it
    """,
    re.VERBOSE,
)


@pytest.mark.parametrize("pin", PINS, ids=[pin.split(" ")[0] for pin in PINS])
def test_a_package_is_pinned_to_one_version_with_its_hashes(pin: str) -> None:
    """Nothing else stands in the lock either: no option, no address, no file."""
    assert ONE_PIN.fullmatch(pin)


def test_the_lock_names_no_address() -> None:
    text = LOCK.read_text(encoding="utf-8")

    assert [] == [word for word in ("://", "index-url", "find-links", "trusted-host", " @ ") if word in text]


def test_all_that_pyproject_names_is_in_the_lock() -> None:
    assert set() == {name for name, _ in direct()} - set(locked())


def test_the_page_has_every_direct_dependency_as_it_is_locked() -> None:
    """Where this fails: `python -m tests.dependencies`, and read the difference before it is committed."""
    rows = dict(re.findall(r"^\| ([\w.-]+) \| (\d[^|]*) \|", PAGE.read_text(encoding="utf-8"), re.MULTILINE))

    assert {name: ", ".join(locked()[name]) for name, _ in direct()} == rows


def test_the_page_states_the_licences_that_the_packages_state() -> None:
    text = PAGE.read_text(encoding="utf-8")
    stated = {name: licence(name) for name, _ in direct()}

    assert {} == {name: says for name, says in stated.items() if says != NOT_INSTALLED and f"| {says} |" not in text}
    assert [] == [name for name, says in copyleft() if f"| {name} | {says} |" not in text]


def test_who_needs_a_package_is_read_from_the_lock() -> None:
    assert ["weasyprint"] == needed_by(next(name for name in locked() if name == "pyphen"))
