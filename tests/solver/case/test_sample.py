"""Sampled cases are cases, follow their distributions and say that they are invented."""

from __future__ import annotations

import random
from collections import Counter
from pathlib import Path

import pytest
import yaml

from catalogue.load import load_catalogue
from catalogue.yaml_text import parse_yaml
from solver.assess.assessment import Status
from solver.case.reading import read_case
from solver.case.sampling import DISTRIBUTIONS, Choice, Triangle, sample_case
from solver.case.schema import Case
from solver.choose.plan import plan
from solver.choose.search import Options

DOCUMENT = Path(__file__).parents[3] / "docs" / "sampled-cases.md"


def sampled(number: int, seed: int = 1) -> Case:
    return read_case(parse_yaml(yaml.safe_dump(sample_case(seed, number)), "sample"))


def test_every_sample_is_a_case_that_says_it_is_invented() -> None:
    cases = [sampled(number) for number in range(300)]

    assert all(case.invented for case in cases)
    assert {"lower", "upper"} == {case.arch for case in cases}


def test_the_same_number_of_a_seed_is_the_same_case() -> None:
    assert sample_case(3, 7) == sample_case(3, 7)
    assert sample_case(3, 7) != sample_case(3, 8)
    assert sample_case(4, 7) != sample_case(3, 7)


def test_the_bar_lies_between_ridge_and_top() -> None:
    """Top of the bar above the ridge is its gap and its height."""
    for number in range(100):
        case = sampled(number)
        first = next(iter(case.segments.values()))
        if None not in (first.gap_mm.value, first.height_mm.value):
            assert (first.gap_mm.value or 0) + (first.height_mm.value or 0) == pytest.approx(case.room.top_mm.value)


def test_samples_come_out_both_ways() -> None:
    """With the starter catalogue some cases fit and some do not: a trial on them tries both."""
    catalogue = load_catalogue()
    statuses = {plan(sampled(number), catalogue, Options(time_limit_s=60)).status for number in range(12)}

    assert statuses & {Status.FITS, Status.FITS_IF}
    assert statuses & {Status.RELAXED, Status.NONE}


@pytest.mark.parametrize("name", [name for name, d in DISTRIBUTIONS.items() if isinstance(d, Choice)])
def test_choices_follow_their_weights(name: str) -> None:
    choice = DISTRIBUTIONS[name]
    assert isinstance(choice, Choice)
    dice, draws = random.Random(1), 20_000
    seen = Counter(choice.draw(dice) for _ in range(draws))

    assert 100 == sum(choice.weights.values())
    assert {value: pytest.approx(w / 100, abs=0.02) for value, w in choice.weights.items()} == {
        value: seen[value] / draws for value in choice.weights
    }


@pytest.mark.parametrize("name", [name for name, d in DISTRIBUTIONS.items() if isinstance(d, Triangle)])
def test_triangles_have_the_mean_of_theirs(name: str) -> None:
    """The mean of a triangular distribution is that of its three corners."""
    triangle = DISTRIBUTIONS[name]
    assert isinstance(triangle, Triangle)
    dice, draws = random.Random(1), 20_000
    values = [triangle.draw(dice) for _ in range(draws)]
    corners = (triangle.low + triangle.mode + triangle.high) / 3

    assert sum(values) / draws == pytest.approx(corners, abs=0.02 * (triangle.high - triangle.low))
    assert triangle.low - triangle.step < min(values) <= max(values) < triangle.high + triangle.step


def test_every_distribution_is_documented() -> None:
    rows = [line for line in DOCUMENT.read_text().splitlines() if line.startswith("| ")]

    assert [f"| {name} | {distribution} |" for name, distribution in DISTRIBUTIONS.items()] == rows[2:]
