"""What the commands answer on a case, asked in this process through `--json`, as a user's program would."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stderr, redirect_stdout
from functools import cache
from pathlib import Path
from typing import Any

from cli.exit import DOES_NOT_FIT, FITS, UNDECIDED, guarded
from cli.files.reading import catalogue_of
from cli.main import regrip
from tests.vignettes.expectation import Expectation, case_path
from tests.vignettes.judge import Fitted, Recommended, shortfalls


class NoAnswer(Exception):
    """A command that failed: a fault of the file or of regrip, never a difference of opinion."""


def answer(verb: str, path: Path, *options: str) -> Any:
    """The JSON of `regrip VERB PATH OPTIONS`; raises `NoAnswer`."""
    out, err = io.StringIO(), io.StringIO()
    arguments = [verb, str(path), *options, "--json"]
    with redirect_stdout(out), redirect_stderr(err):
        code = guarded(regrip, arguments)
    if code not in (FITS, DOES_NOT_FIT, UNDECIDED):
        raise NoAnswer(f"regrip {' '.join(arguments)}: exit {code}: {out.getvalue()}{err.getvalue()}")
    return json.loads(out.getvalue())


def plan_of(path: Path) -> Any:
    """What `plan` answers; which figures the choice hangs on is left out, for it takes its time."""
    return answer("plan", path, "--no-sensitivity")


def recommended(plan: Any) -> Recommended:
    """The plan of an answer, without what only leaves a site bare."""
    mix = {
        site: Fitted(found["attachment"], tuple(found["reworks"]), found["count"])
        for site, found in plan.get("mix", {}).items()
        if found["attachment"] not in _bare()
    }
    hold = plan.get("hold", {})
    return Recommended(plan["status"], mix, hold, hold.get("peel_n"))


def differs(name: str, wanted: Expectation) -> tuple[str, ...]:
    """All in which the answer on a vignette falls short of what practice expects."""
    path = case_path(name)
    questions = [each["ask"] for each in answer("ask", path)["ask"]] if wanted.asks else []
    return shortfalls(wanted, recommended(plan_of(path)), questions)


@cache
def _bare() -> frozenset[str]:
    return frozenset(name for name, part in catalogue_of().attachments.items() if part.kind == "bare")
