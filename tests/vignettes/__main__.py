"""`python -m tests.vignettes [GLOB ...]`: one line a vignette, then how many agree. Exit code 0 where all do."""

from __future__ import annotations

import sys
from collections.abc import Sequence
from fnmatch import fnmatchcase

from tests.vignettes.answers import NoAnswer, differs
from tests.vignettes.expectation import EXPECTED
from tests.vignettes.known import KNOWN


def line(name: str) -> tuple[bool, str]:
    """Whether a vignette agrees, and its line."""
    try:
        short = differs(name, EXPECTED[name])
    except NoAnswer as error:
        return False, f"FAILS    {name}: {error}"
    if short:
        return False, f"{'known  ' if name in KNOWN else 'DIFFERS'}  {name}: {'; '.join(short)}"
    return True, f"agrees   {name}{': no longer a known difference' if name in KNOWN else ''}"


def main(globs: Sequence[str]) -> int:
    """Print the lines of the vignettes that any of the globs names, all where there is none."""
    names = [name for name in EXPECTED if not globs or any(fnmatchcase(name, glob) for glob in globs)]
    agreed = 0
    for name in names:
        agrees, told = line(name)
        agreed += agrees
        print(told, flush=True)
    print(f"{agreed} of {len(names)} agree")
    return int(agreed != len(names))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
