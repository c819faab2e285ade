"""Figures follow the locale; expected forms are those of CLDR (Unicode Common Locale Data Repository)."""

from __future__ import annotations

import datetime

import pytest

from cli.wording.numbers import Figures
from cli.wording.reasons import relocated
from solver.case.measure import Measure
from solver.case.money import Cost

NBSP, NARROW = "\N{NO-BREAK SPACE}", "\N{NARROW NO-BREAK SPACE}"
MONEY = {
    "en": "€1,234.50 to €2,000.00",
    "de_DE": f"1.234,50{NBSP}€ to 2.000,00{NBSP}€",
    "fr_FR": f"1{NARROW}234,50{NBSP}€ to 2{NARROW}000,00{NBSP}€",
}


@pytest.mark.parametrize(("name", "written"), MONEY.items(), ids=MONEY)
def test_money(name: str, written: str) -> None:
    assert written == Figures.of(name).cost(Cost(123450, 200000), "EUR", 2)


def test_money_without_decimals() -> None:
    assert "¥1,500" == Figures.of("en").cost(Cost(1500, 1500), "JPY", 0)


DATES = {"en": "Mar 9, 2026", "de_DE": "09.03.2026", "fr_FR": "9 mars 2026"}


@pytest.mark.parametrize(("name", "written"), DATES.items(), ids=DATES)
def test_date(name: str, written: str) -> None:
    assert written == Figures.of(name).date(datetime.date(2026, 3, 9))


def test_numbers_and_measures() -> None:
    german = Figures.of("de_DE")

    assert "0,0" == german.number(-0.001)
    assert "1.234,57" == german.number(1234.567, 2)
    assert "1,8 ± 0,05" == german.measure(Measure(1.8, 0.05))
    assert "unknown" == german.measure(Measure())
    assert "5,0 to 12,0" == german.span(5, 12)
    assert "5,0" == german.span(5, 5.01)
    assert f"25{NBSP}%" == german.share(0.25)


SENTENCES = {
    "bound": ("at least 0.3 mm", "at least 0,3 mm"),
    "span": ("1.45 to 1.9 mm", "1,45 to 1,9 mm"),
    "words": ("round or ovoid", "round or ovoid"),
    "names and versions": ("S1.5 1.5.2 S10 25.0 deg", "S1.5 1.5.2 S10 25,0 deg"),
}


@pytest.mark.parametrize(("sentence", "written"), SENTENCES.values(), ids=SENTENCES)
def test_decimals_in_a_sentence_follow_the_locale(sentence: str, written: str) -> None:
    assert written == relocated(sentence, Figures.of("de_DE"))
