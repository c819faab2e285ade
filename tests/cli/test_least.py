"""Answers at least cost over the years, as they stand on the screen: every amount says which cost it is."""

from __future__ import annotations

import io
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest
from rich.console import Console

from catalogue.models import Catalogue
from catalogue.yaml_text import parse_yaml
from cli.exit import BAD_INPUT
from cli.terminal.comparison import show_against, show_sites
from cli.terminal.questions import show_ask
from cli.terminal.waivers import show_give
from cli.terminal.what_if import show_sweep, show_varied
from solver.case.overrides import Span
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.explain.comparison import Comparison
from solver.explain.waivers import Give
from solver.explore.questions import ask
from solver.explore.what_if import Point, Sweep, Varied
from solver.fit.proposal import read_put
from tests.cli.ran import CASE, Run
from tests.cli.test_aftercare import CHEAP, LASTING
from tests.solver.small import need, small_case, stock

YEARS = Options(least="years")


def case(**money: Any) -> Case:
    return small_case(wanted={"level_n": 4}, money={"years": 3, **money})


def read(show: Callable[[Console], None]) -> str:
    page = io.StringIO()
    show(Console(file=page, width=80, highlight=False))
    return "\n".join(line.rstrip() for line in page.getvalue().splitlines())


BOTH: Catalogue = stock(CHEAP, LASTING)


def test_what_costs_less_over_the_years_may_need_a_higher_cap() -> None:
    document = parse_yaml("case: small", "case.yaml")
    years, now = Give(case(cap=45), BOTH, YEARS), Give(case(cap=45), BOTH)
    assert list(years.steps())
    assert list(now.steps())

    assert read(lambda page: show_give(page, years, document)) == (
        "small: fits, 50.00 to 112.00 EUR over 3 years\n"
        "\n"
        "To pay less over 3 years  each by itself is enough; the easiest first\n"
        " 1. 50.00 EUR over 3 years, 62.00 less\n"
        " - raise the cap by 5.00 EUR\n"
        " - the plan: B lasting\n"
        "\n"
        " These are all that give up 1 rule; no plan that costs less gives up fewer."
    )
    assert [] == now.ways


def test_an_answer_saves_over_the_years() -> None:
    asking = LASTING | {"needs": [need("gap_mm", at_least=1)]}
    unsure = small_case(wanted={"level_n": 4}, money={"years": 3}, segments={"B": {"gap_mm": "unknown"}})
    found = ask(unsure, stock(CHEAP, asking), YEARS)

    shown = read(lambda page: show_ask(page, found))
    assert "small: something fits without any answer, for 50.00 to 112.00 EUR over 3 years" in shown
    assert " answers  EUR over 3 years  plan       hangs on" in shown
    assert " - a bad answer costs 62.00 EUR over 3 years more; odds of a good answer: 50%" in shown
    assert " - if it comes out well, 1 mm or more: B lasting for 50.00 EUR over 3 years" in shown


def test_an_attachment_costs_so_much_more_over_the_years() -> None:
    compared = Comparison(case(), BOTH, YEARS)
    entry = compared.put("B", read_put("cheap"))

    assert read(lambda page: show_against(page, compared.answer, entry)) == (
        "\n"
        "Against the plan  50.00 over 3 years\n"
        " - the cheapest plan with cheap costs 62.00 EUR more over 3 years: B cheap"
    )
    assert read(lambda page: show_sites(page, compared.answer, [compared.site("B")])).splitlines()[:2] == [
        "small: fits, 50.00 EUR",
        " - costs compared are those over 3 years",
    ]


def test_what_another_value_changes_over_the_years() -> None:
    before, after = plan(case(), BOTH, YEARS), plan(case(cap=45), BOTH, YEARS)

    assert read(lambda page: show_varied(page, Varied(before, after), ["money.cap=45"])).splitlines()[3:6] == [
        "               as it is   with it",
        " cost          50.00 EUR  10.00 to 12.00 EUR",
        " over 3 years  50.00 EUR  50.00 to 112.00 EUR",
    ]


def test_a_range_is_charted_by_the_cost_that_is_made_least() -> None:
    low, high = Decimal(45), Decimal(55)
    points = tuple(Point(value, plan(case(cap=int(value)), BOTH, YEARS)) for value in (low, high))
    sweep = Sweep(Span(("money", "cap"), (low, high), None, "money.cap=45..55/10"), Decimal("0.01"), points, ())

    assert read(lambda page: show_sweep(page, sweep)).splitlines()[2:6] == [
        "Along the range  bars show the high end of the cost over 3 years, EUR",
        " money.cap  plan  status    cost",
        " 45         a     fits    112.00  ####################",
        " 55         b     fits     50.00  #########",
    ]


@pytest.mark.parametrize("command", ["why", "give", "ask"])
def test_commands_take_the_choice_of_cost(command: str, run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)

    now, years = (run(command, path, "--json", "--least", least) for least in ("now", "years"))

    assert (now.code, "", "") == (years.code, years.err, now.err)
    assert ("now", "years") == (now.answer["least"], years.answer["least"])


def test_a_trade_off_makes_no_cost_least(run: Run, tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)

    assert run("trade", path, "--least", "years") == (
        BAD_INPUT,
        "",
        "regrip: a trade-off makes no cost least by itself; weigh both costs with `--between cost,years`\n",
    )
