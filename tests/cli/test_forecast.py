"""`regrip stock forecast` on an invented outlook."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.exit import BAD_INPUT, FITS
from tests.cli.ran import Run

MIX = "invented: true\ncases_per_month: 5\nmix:\n  - {share: 1, parts: {clip-spring: 2}}\n"


@pytest.fixture
def outlook(tmp_path: Path) -> Path:
    path = tmp_path / "outlook.yaml"
    path.write_text(MIX)
    return path


def test_what_to_have_and_to_buy(run: Run, outlook: Path, tmp_path: Path) -> None:
    stock = tmp_path / "stock.yaml"
    stock.write_text("parts: {clip-spring: {lots: [{pieces: 4}, {pieces: 9, expires: 2001-01-01}]}}\n")
    (row,) = run("forecast", outlook, "--stock", stock, "--json").answer["parts"]

    assert ("clip-spring", 4) == (row["part"], row["on_hand"])
    assert row["level"] - 4 == row["to_buy"] > 0


def test_costs_give_the_service(run: Run, outlook: Path) -> None:
    by_cost = run("forecast", outlook, "--short", "9", "--over", "1", "--json").answer
    by_service = run("forecast", outlook, "--service", "90%", "--json").answer

    assert by_service == by_cost


def test_the_page_says_that_it_is_invented(run: Run, outlook: Path) -> None:
    ran = run("forecast", outlook, "--months", "1")

    assert FITS == ran.code
    assert ran.out.startswith("Parts for 1 month: chance of not running out 95.0%\n")
    assert "The outlook is invented." in ran.out


BAD = {
    "part": (MIX.replace("clip-spring", "clip"), [], "mix.0.parts.clip: no attachment is called 'clip'"),
    "both": (MIX + "history: [{}]\n", [], "give either `mix`"),
    "neither": ("invented: true\n", [], "give either `mix`"),
    "rate": (MIX.replace("cases_per_month: 5\n", ""), [], "`cases_per_month` goes with `mix`"),
    "service": (MIX, ["--service", "100%"], "'100%' is no service level"),
    "one cost": (MIX, ["--short", "3"], "--short and --over go together"),
    "costs too far apart": (
        MIX,
        ["--short", "1e300", "--over", "1"],
        "regrip: a missing piece at 1e+300 beside a left one at 1 asks for a service of 100%; no stock lasts for "
        "ever; give what one piece costs in each case\n",
    ),
    "costs too far apart the other way": (MIX, ["--short", "1e-300", "--over", "1e300"], "asks for a service of 0%"),
    "no cost of a missing piece": (MIX, ["--short", "nan", "--over", "1"], "costs must be positive and finite"),
    "a share": (MIX, ["--service", "0.95"], "'0.95' could be 95% or 0.95%; write `95%` or `0.95%`"),
    "a share in full": (MIX, ["--service", "1"], "'1' could be 100% or 1%; write `1%`, or less than 100%"),
    "a share of a thousandth": (
        MIX,
        ["--service", ".001"],
        "'.001' could be 0.1% or 0.001%; write `0.1%` or `0.001%`",
    ),
    "no cost": (MIX, ["--short", "3", "--over", "0"], "costs must be positive"),
}


@pytest.mark.parametrize("service", ["95", "95%", "95 %", " 95.0%"])
def test_a_service_above_one_needs_no_sign(run: Run, outlook: Path, service: str) -> None:
    assert 0.95 == run("forecast", outlook, "--service", service, "--json").answer["service"]


def test_with_its_sign_a_service_may_be_small(run: Run, outlook: Path) -> None:
    assert pytest.approx(0.0095) == run("forecast", outlook, "--service", "0.95%", "--json").answer["service"]


def test_costs_as_large_as_numbers_go_still_give_a_share(run: Run, outlook: Path) -> None:
    assert 0.5 == run("forecast", outlook, "--short", "1e308", "--over", "1e308", "--json").answer["service"]


@pytest.mark.parametrize(("text", "options", "said"), BAD.values(), ids=BAD)
def test_what_cannot_be_forecast(run: Run, outlook: Path, text: str, options: list[str], said: str) -> None:
    outlook.write_text(text)
    ran = run("forecast", outlook, *options)

    assert BAD_INPUT == ran.code
    assert said in ran.err
