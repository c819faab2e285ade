"""`docs/dependencies.md`: the packages that regrip stands on, with the licences that they state themselves.

`python -m tests.dependencies` writes it again, from pyproject.toml, the lock file and the installed packages.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from importlib import metadata
from pathlib import Path
from typing import NamedTuple

from packaging.requirements import Requirement
from packaging.utils import NormalizedName, canonicalize_name

ROOT = Path(__file__).parents[1]
PAGE = ROOT / "docs" / "dependencies.md"
LOCK = ROOT / "requirements.lock"

ALWAYS = "always"
NOT_INSTALLED = "not installed"
COPYLEFT = re.compile(
    r"\b[AL]?GPL|General Public|\bMPL|Mozilla|\bEPL|Eclipse Public|\bEUPL|\bCDDL|CeCILL", re.IGNORECASE
)

_PIN = re.compile(r"^([A-Za-z0-9][\w.-]*)==([^\s;]+)", re.MULTILINE)
_VIA = re.compile(r"^    #(?: via|  ) +([\w.-]+)", re.MULTILINE)
_FIRST_LINES = 2

_HEAD = """\
# Packages regrip stands on

Made by `python -m tests.dependencies` from `pyproject.toml`, `requirements.lock` and what the installed packages say
of themselves; a test keeps it so. It says what they state and is no legal advice.
"""
_TAIL = """\
## Known weaknesses

There is no check for known weaknesses here: it needs a list of advisories that is fresh on the day, which no offline
run has. Who wants one runs an auditor with network over `requirements.lock`. What is checked offline: every version
is pinned with its hashes, no package index is named, and nothing that regrip needs is missing from the lock.
"""


class Direct(NamedTuple):
    """A package named in pyproject.toml, and the extras that bring it (`always` where regrip itself does)."""

    name: NormalizedName
    brought_by: tuple[str, ...]


def direct() -> tuple[Direct, ...]:
    """All packages that pyproject.toml names, in order of name."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    groups = {ALWAYS: project["dependencies"], **project["optional-dependencies"]}
    brought: dict[NormalizedName, list[str]] = {}
    for group, lines in groups.items():
        for line in lines:
            brought.setdefault(canonicalize_name(Requirement(line).name), []).append(group)
    return tuple(Direct(name, tuple(groups)) for name, groups in sorted(brought.items()))


def locked() -> dict[NormalizedName, list[str]]:
    """The versions that the lock file pins for each package; more than one where they differ by platform."""
    found: dict[NormalizedName, list[str]] = {}
    for name, version in _PIN.findall(LOCK.read_text(encoding="utf-8")):
        found.setdefault(canonicalize_name(name), []).append(version)
    return found


def needed_by(name: NormalizedName) -> list[str]:
    """The packages for which the lock file pins one, as its comments say."""
    text = LOCK.read_text(encoding="utf-8")
    ours = [at for at in _PIN.finditer(text) if canonicalize_name(at[1]) == name]
    blocks = (re.split(r"\n(?! )", text[at.start() :], maxsplit=1)[0] for at in ours)
    return sorted({via for block in blocks for via in _VIA.findall(block)})


def licence(name: str) -> str:
    """What an installed package says of its licence: expression, else classifiers, else text, else its file."""
    try:
        package = metadata.distribution(name)
    except metadata.PackageNotFoundError:
        return NOT_INSTALLED
    about = package.metadata
    classified = [
        line.rpartition(" :: ")[2] for line in about.get_all("Classifier") or () if line.startswith("License ::")
    ]
    expression, text = (next(iter(about.get_all(key) or ()), "") for key in ("License-Expression", "License"))
    stated = expression or " or ".join(classified) or text.strip()
    return stated.splitlines()[0] if stated else _licence_file(package)


def _licence_file(package: metadata.Distribution) -> str:
    """The head of the licence file, for those who state nothing else."""
    for name in package.metadata.get_all("License-File") or ():
        path = f"licenses/{name}"
        lines = [line.strip() for line in (package.read_text(path) or "").splitlines() if line.strip()]
        if lines:
            return f"its file {name} begins: {' / '.join(lines[:_FIRST_LINES])}"
    return "not stated"


def copyleft() -> Iterator[tuple[NormalizedName, str]]:
    """Installed packages of the lock whose licence, or one they let you choose, is a copyleft one."""
    for name in locked():
        stated = licence(name)
        if COPYLEFT.search(stated):
            yield name, stated


def page() -> str:
    """The whole page."""
    return "\n".join([_HEAD, *_direct(), *_others(), *_copyleft(), _TAIL])


def _direct() -> Iterator[str]:
    pinned = locked()
    yield "## Named by regrip\n"
    yield "| package | locked version | licence as stated | brought by |"
    yield "|---|---|---|---|"
    for name, groups in direct():
        yield f"| {name} | {', '.join(pinned[name])} | {licence(name).replace('|', '/')} | {', '.join(groups)} |"
    yield ""


def _others() -> Iterator[str]:
    others = set(locked()) - {name for name, _ in direct()}
    absent = sorted(name for name in others if licence(name) == NOT_INSTALLED)
    yield f"{len(others)} more are in the lock because these need them. Not installed where this was written, for"
    yield f"other systems or versions of Python, and so not looked at: {', '.join(absent) or 'none'}.\n"


def _copyleft() -> Iterator[str]:
    named = dict(direct())
    yield "## Copyleft among all of them\n"
    yield "| package | licence as stated | brought by |"
    yield "|---|---|---|"
    for name, stated in copyleft():
        yield f"| {name} | {stated} | {', '.join(named.get(name, needed_by(name)))} |"
    yield "\nregrip contains no code of theirs.\n"


def main() -> None:
    """Write the page."""
    PAGE.write_text(page(), encoding="utf-8")


if __name__ == "__main__":
    main()
