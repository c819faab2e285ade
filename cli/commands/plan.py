"""`regrip plan`: the cheapest mix that fits, moves and holds."""

from __future__ import annotations

from typing import Any

import click

from cli.commands.parameters import case_argument, catalogue_option, json_option, least_option, time_option
from cli.commands.say import say_json
from cli.extras import extra
from cli.files.desk import open_desk
from cli.json_out.whole import planned
from cli.progress import working
from cli.status import exit_code
from cli.terminal.answer import PARTS, show_answer, show_parts
from cli.terminal.first_screen import show_first_screen
from cli.terminal.screen import console, lines
from cli.wording import agreement as second_opinion
from cli.wording.first_screen import Told, screen_of
from solver.assess.oracle import Mechanics
from solver.assess.problem import Least
from solver.assess.rejections import ruled_out
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.choose.tiers import tiers
from solver.errors import InternalFault
from solver.explore.agreement import Accord, agreement
from solver.explore.sensitivity import ENOUGH_S, sensitivity
from solver.explore.strategies import strategies


class Parts(click.ParamType[tuple[str, ...]]):
    """Names of tables, with commas between them."""

    name = "parts"

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> tuple[str, ...]:
        """The names; refuses one that there is not."""
        if isinstance(value, tuple):
            return value
        names = tuple(part.strip() for part in str(value).split(","))
        if unknown := [name for name in names if name not in PARTS]:
            self.fail(f"there is no table '{unknown[0]}'; write {', '.join(PARTS)}", param, ctx)
        return names


@click.command()
@case_argument
@catalogue_option
@click.option("--plans", type=click.IntRange(1, 20), default=1, show_default=True, help="How many best plans.")
@click.option("--full", is_flag=True, help="Everything that was worked out, with all tables.")
@click.option(
    "--show",
    "parts",
    type=Parts(),
    default=(),
    metavar="PART,...",
    help=f"Only these tables: {', '.join(PARTS)}.",
)
@click.option("--all", "every_reason", is_flag=True, help="Show every reason why something is ruled out.")
@click.option(
    "--second-opinion",
    "second",
    is_flag=True,
    help="Decide again by trying every mix with other code, where there are not too many; exit 4 where it differs.",
)
@click.option(
    "--sensitivity/--no-sensitivity",
    "varied",
    default=None,
    help="Tell which figures from memory or invented the choice hangs on, each varied alone within its band.  "
    "[default: yes, for at most 10 s]",
)
@least_option
@time_option
@json_option
def command(
    case: str,
    overlays: tuple[str, ...],
    plans: int,
    full: bool,
    parts: tuple[str, ...],
    every_reason: bool,
    least: Least,
    second: bool,
    varied: bool | None,
    time_limit: float,
    as_json: bool,
) -> int:
    """Plan CASE: per site of the bar the attachment that fits at least cost, proved, with every option explained.

    \b
    regrip plan docs/examples/lower-three-supports.yaml
    regrip plan case.yaml --full
    regrip plan case.yaml --show hold,load,years
    regrip plan case.yaml --plans 3
    regrip plan case.yaml --least years
    regrip plan case.yaml --catalogue our-prices.yaml --json
    """
    desk = open_desk(case, overlays)
    if second:
        extra("constraint", "referee")
    with working("planning"):
        found = plan(desk.case, desk.catalogue, Options(time_limit_s=time_limit, plans=plans, least=least))
        out = ruled_out(found.problem, Mechanics(found.problem))
        ways = strategies(found.problem, Options(time_limit_s=time_limit, least=least))
        opinion = agreement(found) if second else None
        levels = tiers(found, Options(time_limit_s=time_limit, least=least))
        hangs = None
        if varied is not False:
            enough_s = time_limit if varied else min(time_limit, ENOUGH_S)
            hangs = sensitivity(found, Options(time_limit_s=enough_s))
    if opinion and opinion.accord is Accord.DIFFERS:
        raise InternalFault(second_opinion.sentence(opinion, found.problem))
    if as_json:
        content = planned(found, out, ways, levels, hangs, opinion)
        say_json("plan", content, desk.case.money.currency)
    else:
        first = [second_opinion.sentence(opinion, found.problem)] if opinion else []
        page = console()
        if full or every_reason or plans > 1:
            show_answer(page, found, out, ways, every_reason=every_reason, first=first, hangs=hangs)
        elif parts:
            show_parts(page, parts, found, out, hangs)
        else:
            show_first_screen(page, screen_of(found.problem, Told(found, out, ways, levels, hangs)))
            lines(page, first)
    return exit_code(found.status)
