"""One number ranks mixes as cost, then open questions, then parts do; of the rest the earlier options come first."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest

from solver.assess.problem import Least
from solver.choose.ranking import best_first
from tests.referee.every_mix import Broken
from tests.solver.small import band, need, part, small_problem, stock
from tests.solver.trying_all import FIT, GIVE, mixes, problem, rank


@pytest.mark.parametrize("least", ["now", "years"])
@pytest.mark.parametrize("seed", [*FIT, *GIVE])
def test_the_number_orders_every_mix_as_its_figures_do(seed: int, least: Least) -> None:
    """Exactly: better figures are a smaller number, however many questions or parts stand against a cent."""
    asked, options = problem(seed), problem(seed).options
    ranking, place = best_first(asked, options, least), {id(option): i for i, option in enumerate(options)}

    def number(mix: Broken) -> int:
        return ranking.of((place[id(option)], option.candidate) for option in mix.options)

    ordered = sorted((rank(mix, least), number(mix)) for mix in mixes(seed))
    for (better, less), (worse, more) in pairwise(ordered):
        assert less < more if better < worse else less <= more


def test_a_cent_outweighs_all_questions_these_all_parts_and_those_the_order() -> None:
    """Two questions and two parts for a cent less; a question at the same cost; a part more; alike in all."""
    asking = [need("gap_mm", at_least=1), need("height_mm", at_least=1)]
    two: dict[str, Any] = {"length_mm": 4, "most": 2}
    clips = {
        "a": part("a", price=band(9, 9), needs=asking, **two),
        "b": part("b", price=band(18.01, 18.01), needs=asking[:1]),
        "c": part("c", price=band(18.01, 18.01)),
        "d": part("d", price=band(18.01, 18.01)),
        "e": part("e", price=band(10, 10), **two),
        "f": part("f", price=band(20, 20)),
    }
    asked = small_problem(stock(*clips.values()))
    weights = best_first(asked, asked.options).options
    named = {option.candidate.label: weight for option, weight in zip(asked.options, weights, strict=True)}

    assert ["a", "e", "a x2", "c", "d", "b", "f", "e x2"] == sorted(named, key=lambda label: named[label])


def of_the_end(name: str, kind: str, price: float, *needs: Any) -> dict[str, Any]:
    return part(name, kind, "end", price=band(price, price), needs=list(needs))


SIZE = need("ball_mm", at_least=2.2, at_most=2.2)


@pytest.mark.parametrize(
    ("first", "second"),
    [
        (of_the_end("z", "ball", 9.99, SIZE), of_the_end("a", "ball", 10)),
        (of_the_end("z", "ball", 10), of_the_end("a", "bare", 10, SIZE)),
        (of_the_end("z", "bare", 10), of_the_end("a", "ball", 10)),
        (of_the_end("a", "ball", 10), of_the_end("z", "ball", 10)),
    ],
    ids=["a cent to the only question", "a question to the only part", "a part to the order", "the order"],
)
def test_a_unit_outweighs_the_most_there_is_of_the_next(first: dict[str, Any], second: dict[str, Any]) -> None:
    """Two options for one end: the best has the most that there is of the next kind, and the later place."""
    asked = small_problem(stock(first, second), ends={"E": {"ball_mm": "unknown"}})
    weights = best_first(asked, asked.options).options
    named = {option.candidate.label: weight for option, weight in zip(asked.options, weights, strict=True)}

    assert named[first["id"]] < named[second["id"]]
