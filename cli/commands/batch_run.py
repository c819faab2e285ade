"""`regrip batch run`: thousands of cases planned, and a results file made of them."""

from __future__ import annotations

import json
import os
from collections import Counter
from collections.abc import Iterable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import click

from cli.batch.engine import Engine, Processes
from cli.batch.files import case_files
from cli.batch.journal import Journal, journal_of, opened
from cli.batch.row import EXIT
from cli.batch.run import Batch, Ran
from cli.batch.store import connected, format_of, is_results, write
from cli.batch.worker import Setting
from cli.commands.parameters import catalogue_option, force_option, json_option, time_option
from cli.commands.say import say_json
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FAULT, FITS, INTERRUPTED, UNDECIDED, BadInput, failure
from cli.files.own import may_write
from cli.files.reading import catalogue_of
from cli.progress import counting
from cli.terminal.batch import Told, show_batch, stopped
from cli.terminal.screen import console
from solver.assess.problem import Least
from solver.choose.search import Options

WORST_FIRST = (FAULT, BAD_INPUT, UNDECIDED, DOES_NOT_FIT, FITS)


@click.command()
@click.argument("cases", nargs=-1, type=click.Path(path_type=str))
@click.option(
    "--output",
    "-o",
    type=click.Path(path_type=Path, dir_okay=False),
    required=True,
    help="Results: a .parquet, .csv or .jsonl file.",
)
@force_option
@catalogue_option
@click.option("--workers", type=click.IntRange(1), help="Processes that plan; one a core if left out.")
@click.option("--cluster", metavar="ADDRESS", help="Plan on the Dask cluster of this scheduler instead.")
@click.option(
    "--least",
    type=click.Choice(["now", "years"]),
    default="now",
    show_default=True,
    help="Which cost is made least: that of fitting, or that over the years of the case.",
)
@time_option
@json_option
def command(
    cases: tuple[str, ...],
    output: Path,
    force: bool,
    overlays: tuple[str, ...],
    workers: int | None,
    cluster: str | None,
    least: Least,
    time_limit: float,
    as_json: bool,
) -> int:
    """Plan many CASES, files or folders of them, each as `regrip plan` does; one row a case into --output.

    Every case is noted in a journal beside the results as it is planned. The same command goes on after any end, and
    plans again only what has changed: a case, the catalogue, the options, the version. A bad file is reported and
    stops no other. The time limit is that of each case.

    The exit code is that of the worst case: 4 a fault, 2 a bad file, 3 undecided, 1 does not fit, 0 all fit.

    \b
    regrip batch run cases/ -o results.parquet
    regrip batch run cases/ -o results.csv --workers 4
    regrip batch run cases/ -o results.parquet --cluster tcp://10.0.0.5:8786
    """
    if format_of(output) == "parquet":
        connected().close()  # better told now than at the end
    may_write(output, force=force, is_ours=is_results)
    files = case_files(cases)
    setting = Setting(catalogue_of(overlays), Options(time_limit_s=time_limit, least=least))
    with opened(journal_of(output)) as journal:
        ran = _through(files, setting, journal, workers, cluster)
        if ran.stopped:
            return _stopped(ran, len(files), as_json=as_json)
        outcomes: Counter[str] = Counter()
        bad: list[str] = []
        write(output, _noted(journal.rows(files), outcomes, bad))
    told = Told(output, outcomes, ran, tuple(bad))
    if as_json:
        say_json("batch", told.as_json())
    else:
        show_batch(console(), told)
    codes = {EXIT[outcome] for outcome in EXIT if outcomes[outcome]}
    return next(code for code in WORST_FIRST if code in codes)


def _through(files: list[str], setting: Setting, journal: Journal, workers: int | None, cluster: str | None) -> Ran:
    with ExitStack() as open_things:
        engine: Engine
        if cluster is None:
            engine = open_things.enter_context(Processes(setting, workers or _cores()))
        elif workers is None:
            engine = open_things.enter_context(_cluster()(setting, cluster))
        else:
            raise BadInput("--workers is for this machine", "a cluster has the workers it has")
        tally = open_things.enter_context(counting("planning", len(files)))
        return Batch(files, setting, journal, tally).through(engine)


def _cluster() -> Any:
    try:
        from cli.batch.cluster import Cluster  # noqa: PLC0415 - a second, and only with the extra `cluster`
    except ModuleNotFoundError:
        raise BadInput("--cluster needs Dask", "install it with `pip install 'regrip[cluster]'`") from None
    return Cluster


def _cores() -> int:
    """Those this process may use, where the system tells."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _noted(rows: Iterable[dict[str, Any]], outcomes: Counter[str], bad: list[str]) -> Iterator[dict[str, Any]]:
    """The rows as they pass, with what is to be told of them."""
    for row in rows:
        outcomes[row["outcome"]] += 1
        bad += row["errors"]
        yield row


def _stopped(ran: Ran, total: int, *, as_json: bool) -> int:
    message = stopped(ran, total)
    if as_json:
        click.echo(json.dumps(failure(INTERRUPTED, "interrupted", message), indent=2, ensure_ascii=False))
    else:
        click.echo(f"regrip: {message}", err=True)
    return INTERRUPTED
