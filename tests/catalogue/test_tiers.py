"""The tiers of hold and the preferences: what the starter catalogue says, and what a user may set."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from tests.catalogue.starter import CATALOGUE

TIERS, PREFERENCES = CATALOGUE.defaults.tiers, CATALOGUE.defaults.preferences


def test_a_stopgap_stays_in_at_rest() -> None:
    """Chosen, no source."""
    assert (1.5, 0.5, 0.5) == (TIERS.stopgap.centre_n.value, TIERS.stopgap.front_n.value, TIERS.stopgap.sides_n.value)


def test_the_usual_plan_takes_the_low_end_of_what_sticky_food_pulls() -> None:
    """1.7 to 12.2 N on one denture tooth: Alageel et al., J Prosthet Dent (read in the abstract)."""
    usual = TIERS.usual

    assert (3, 1.7, 1.7) == (usual.centre_n.value, usual.front_n.value, usual.sides_n.value)
    assert {"sticky-food"} == {usual.front_n.source, usual.sides_n.source}
    assert "1.7 to 12.2 N on one denture tooth" in CATALOGUE.sources["sticky-food"].text


def test_on_four_supports_a_side_takes_more() -> None:
    """Chosen, no source."""
    assert (2.5, 4) == (TIERS.usual.sides_many_n.value, TIERS.usual.many_supports.value)


def test_the_usual_plan_is_spread_and_even_until_the_first_renewal() -> None:
    """Chosen, no source."""
    assert (0.6, 0.5, True) == (TIERS.usual.spread.value, TIERS.usual.even.value, TIERS.usual.until_renewal)


@pytest.mark.parametrize("name", ["centre_n", "front_n", "sides_n"])
def test_the_usual_plan_asks_more_than_a_stopgap(name: str) -> None:
    assert getattr(TIERS.stopgap, name).value < getattr(TIERS.usual, name).value


@pytest.mark.parametrize(
    ("name", "value", "kind"),
    [
        ("alike_saves", 0.1, "common-practice"),
        ("whole_bar_saves", 0.333, "common-practice"),
        ("in_kind", 0.5, "invented"),
        ("about_nothing_n", 0.5, "invented"),
    ],
)
def test_preferences(name: str, value: float, kind: str) -> None:
    """Each chosen, no source."""
    figure = getattr(PREFERENCES, name)

    assert (value, kind) == (figure.value, CATALOGUE.sources[figure.source].kind)


def test_what_is_chosen_says_so() -> None:
    keys = {key for loc, key in CATALOGUE.iter_source_keys() if loc[1] in ("tiers", "preferences")}

    assert [] == [key for key in keys if "chosen" not in CATALOGUE.sources[key].text]


@pytest.fixture
def overlay(tmp_path: Path) -> Callable[[str], Path]:
    def _write(text: str) -> Path:
        path = tmp_path / "mine.yaml"
        path.write_text(text, encoding="utf-8")
        return path

    return _write


def test_a_user_changes_one_figure_and_keeps_the_rest(overlay: Callable[[str], Path]) -> None:
    path = overlay("defaults: {tiers: {usual: {sides_n: {value: 2}}}, preferences: {alike_saves: {value: 0}}}\n")

    defaults = load_catalogue([path]).defaults

    assert (2, "sticky-food") == (defaults.tiers.usual.sides_n.value, defaults.tiers.usual.sides_n.source)
    assert TIERS.usual.model_copy(update={"sides_n": defaults.tiers.usual.sides_n}) == defaults.tiers.usual
    assert 0 == defaults.preferences.alike_saves.value


@pytest.mark.parametrize(
    ("text", "said"),
    [
        pytest.param("tiers: {usual: {spread: {value: 60}}}", "expected at most 1, got 60", id="per cent"),
        pytest.param("tiers: {usual: {sides_n: {value: -1}}}", "expected at least 0, got -1", id="a push"),
        pytest.param("tiers: {usual: {many_supports: {value: 2.5}}}", "expected a whole number", id="half a support"),
        pytest.param("tiers: {usual: {side_n: {value: 2}}}", "did you mean `sides_n`?", id="a slip of the pen"),
    ],
)
def test_what_no_tier_can_be_is_refused_at_its_place(overlay: Callable[[str], Path], text: str, said: str) -> None:
    with pytest.raises(InputError) as caught:
        load_catalogue([overlay(f"defaults:\n  {text}\n")])

    assert said in str(caught.value)
    assert ":2:" in str(caught.value)
