"""The one boundary where failures become messages and exit codes."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Sequence
from typing import Any

import click

from catalogue.mistakes import InputError
from cli.legible import harmless
from cli.version import FORMAT, version
from solver.errors import InternalFault

FITS, DOES_NOT_FIT, BAD_INPUT, UNDECIDED, FAULT, INTERRUPTED = 0, 1, 2, 3, 4, 130

EXIT_CODES = """\b
Exit codes:
    0  fits, or did what was asked
    1  does not fit without giving something up, or too little known
    2  usage or input file
    3  undecided in the time given
    4  internal fault
  130  stopped by Ctrl-C"""


class BadInput(Exception):
    """Something on the command line that cannot be used; `advice` says what to write instead."""

    def __init__(self, problem: str, advice: str = "") -> None:
        super().__init__(problem, advice)
        self.problem, self.advice = problem, advice

    def __str__(self) -> str:
        return f"{self.problem}; {self.advice}" if self.advice else self.problem


def guarded(command: click.Command, arguments: Sequence[str] | None) -> int:
    """Run a command; return its exit code, with failures told on stderr (as JSON on stdout where asked)."""
    as_json = "--json" in (sys.argv[1:] if arguments is None else arguments)
    try:
        return int(command.main(arguments, prog_name="regrip", standalone_mode=False) or FITS)
    except InputError as error:
        return _fail(BAD_INPUT, "input", str(error), as_json, _mistakes(error))
    except BadInput as error:
        return _fail(BAD_INPUT, "usage", str(error), as_json)
    except click.ClickException as error:
        where = f"\n{error.ctx.get_usage()}" if isinstance(error, click.UsageError) and error.ctx else ""
        return _fail(BAD_INPUT, "usage", error.format_message() + ("" if as_json else where), as_json)
    except (click.Abort, KeyboardInterrupt):
        return _fail(INTERRUPTED, "interrupted", "stopped", as_json)
    except UnicodeDecodeError as error:  # files have words of their own for it
        return _fail(BAD_INPUT, "input", f"the input is not {error.encoding} text; give it in that encoding", as_json)
    except OSError as error:
        name = f"{error.filename}: " if error.filename else ""
        return _fail(BAD_INPUT, "file", f"{name}{(error.strerror or str(error)).lower()}", as_json)
    except Exception as error:
        if os.environ.get("REGRIP_TRACEBACK"):
            raise
        what = error.what if isinstance(error, InternalFault) else f"{type(error).__name__}: {error}"
        advice = "this is a fault of regrip, not of the case; REGRIP_TRACEBACK=1 shows where"
        return _fail(FAULT, "internal", f"internal fault, no answer is given: {what}; {advice}", as_json)


def _mistakes(error: InputError) -> list[dict[str, Any]]:
    return [
        {
            "file": m.place.path,
            "line": m.place.line,
            "column": m.place.column,
            "where": m.where,
            "problem": m.problem,
            "advice": m.advice,
        }
        for m in error.mistakes
    ]


def failure(code: int, kind: str, message: str) -> dict[str, Any]:
    """A failure for machines, under the head of every answer."""
    head = {"format": FORMAT, "program": f"regrip {version()}", "answer": "failure"}
    return head | {"status": "error", "kind": kind, "message": message, "exit": code}


def _fail(code: int, kind: str, message: str, as_json: bool, mistakes: list[dict[str, Any]] | None = None) -> int:
    if as_json:
        told = failure(code, kind, message) | ({} if mistakes is None else {"mistakes": mistakes})
        click.echo(json.dumps(told, indent=2, ensure_ascii=False))
    else:
        # A mistake in a file starts its line with the place, where editors and people look for it.
        click.echo(harmless(message if mistakes else f"regrip: {message}"), err=True)
    return code
