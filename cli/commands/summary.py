"""`regrip batch summary`: what the results of a batch have in common."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path

import click

from cli.batch.store import connected, table_of
from cli.batch.summary import costs_of, summary_of
from cli.commands.parameters import force_option, json_option
from cli.commands.say import say_json
from cli.draw.chart_summary import draw_summary
from cli.draw.charts import picture_format
from cli.exit import FITS
from cli.files.file_kinds import RESULTS
from cli.files.own import may_write, write_marked
from cli.files.reading import refuse_other
from cli.terminal.screen import console
from cli.terminal.summary import show_summary


@click.command()
@click.argument("results", type=click.Path(path_type=Path))
@click.option("--output", "-o", type=click.Path(path_type=Path), help="Draw charts into this .svg or .png file.")
@force_option
@click.option("--all", "every", is_flag=True, help="Show every row of every table.")
@json_option
def command(results: Path, output: Path | None, force: bool, every: bool, as_json: bool) -> int:
    """What the RESULTS of `regrip batch` have in common.

    Which attachments and reworks are planned, what it costs, what had to give, which reasons rule options out, and
    what nobody had measured: so what the bench lacks most. Needs the extra `batch`, charts the extra `charts`.

    \b
    regrip batch summary results.parquet
    regrip batch summary results.csv -o summary.svg
    """
    if output is not None:
        may_write(output, force=force)
    refuse_other(RESULTS, results, "results")
    format_ = picture_format(output) if output else ""
    with connected() as database:
        table_of(database, results)
        found = summary_of(database)
        costs = costs_of(database, found.costs[0].currency) if found.costs else []
    if output is not None:
        write_marked(output, draw_summary(found, costs, format_))
    if as_json:
        say_json("summary", asdict(found))
    else:
        show_summary(console(), found, every=every)
    return FITS
