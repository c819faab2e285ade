"""`regrip draw`, now `regrip report -o FILE.svg`: the bar, what is fitted and how it moves, to scale."""

from __future__ import annotations

from pathlib import Path

import click

from cli.commands.parameters import case_argument, catalogue_option, force_option, time_option
from cli.commands.sheet_parameters import locale_option, output_option, redact_option, suffix_of
from cli.draw.picture import png
from cli.draw.poster import poster
from cli.exit import BadInput
from cli.files.desk import open_desk
from cli.files.own import may_write, write_marked
from cli.files.proposal import checked, proposed
from cli.progress import working
from cli.status import exit_code
from cli.wording.numbers import Figures, figures_of
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.choose.plan import plan
from solver.choose.search import Options

REDACTED_TITLE = "Patient data left out"
DRAWINGS = (".svg", ".png")


@click.command()
@case_argument
@output_option
@click.option(
    "--proposed", "as_proposed", is_flag=True, help="Draw the mix in the `mix:` lines of CASE, not the plan."
)
@force_option
@redact_option
@locale_option
@catalogue_option
@time_option
def command(
    case: str,
    output: Path,
    as_proposed: bool,
    force: bool,
    redact: bool,
    locale: str | None,
    overlays: tuple[str, ...],
    time_limit: float,
) -> int:
    """Draw CASE to scale: the view from above, the motion of the base, heights and sections. SVG or PNG.

    \b
    regrip report docs/examples/lower-three-supports.yaml -o drawing.svg
    regrip report case.yaml --proposed -o drawing.png
    """
    suffix_of(output, DRAWINGS)
    may_write(output, force=force)
    desk = open_desk(case, overlays)
    figures = figures_of(locale, desk.case)
    best: Assessment | None
    if as_proposed:
        if not desk.case.mix:
            raise BadInput("no mix to draw", "add `mix:` to the case, or leave --proposed out to draw the plan")
        judged = checked(desk, proposed(desk))
        problem, best, status = judged.problem, judged.plan, judged.status
    else:
        with working("planning"):
            found = plan(desk.case, desk.catalogue, Options(time_limit_s=time_limit))
        problem, best, status = found.problem, found.best, found.status
    write_drawing(output, problem, best, figures, redacted=redact)
    return exit_code(status)


def write_drawing(
    output: Path, problem: Problem, best: Assessment | None, figures: Figures, *, redacted: bool
) -> None:
    """Draw a mix, or a case without one, in the form that the name says; raises `BadInput` and `OSError`."""
    svg = poster(problem, best, figures, REDACTED_TITLE if redacted else problem.case.case)
    write_marked(output, png(svg) if output.suffix.lower() == ".png" else svg)
