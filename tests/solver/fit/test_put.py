"""A mix as a person writes it, and the candidate that is meant."""

from __future__ import annotations

import pytest

from solver.fit.proposal import BadPut, Put, candidate_for, read_put, written
from tests.solver.small import band, need, part, small_problem, step, stock

DEEPEN = step("deepen", "segment", makes={"undercut_mm": 0.35}, price=band(9, 9))
WELD = step("weld", "segment", makes={"undercut_mm": 0.5}, price=band(4, 4))
CATALOGUE = stock(
    part("clip", needs=[need("undercut_mm", at_least=0.35)], length_mm=5, most=2),
    part("box-2", "stud"),
    part("ball", "ball", "end"),
    steps=(DEEPEN, WELD),
)
FITTED = small_problem(CATALOGUE).fit.at("B")


@pytest.mark.parametrize(
    ("expected", "text"),
    [
        (Put("clip"), "clip"),
        (Put("clip", 2), "clip x2"),
        (Put("clip", 2), " clip x 2 "),
        (Put("clip", 2), "clipx2"),
        (Put("clip", 1, ("deepen",)), "clip + deepen"),
        (Put("clip", 2, ("deepen", "weld")), "clip x2+deepen +weld"),
        (Put("clip", 2, ()), "clip x2 + none"),
        (Put("box-2"), "box-2 x1"),
        (Put("clip-round-5"), "clip-round-5"),
    ],
    ids=[
        "one",
        "two",
        "loose",
        "tight",
        "rework",
        "all",
        "without",
        "a name that ends like a count is written with its own",
        "a number in the name",
    ],
)
def test_reads(expected: Put, text: str) -> None:
    assert expected == read_put(text)


@pytest.mark.parametrize("text", ["", "+ deepen", "Clip", "clip x0", "clip x10", "clip, ball", "clip +", "2 clips"])
def test_refuses(text: str) -> None:
    with pytest.raises(BadPut) as caught:
        read_put(text)

    said = f"'{text}' is no proposal; write `attachment`, `attachment x2` or `attachment + rework`"
    assert said == str(caught.value)


@pytest.mark.parametrize(
    ("label", "put"),
    [
        ("clip + weld", Put("clip")),
        ("clip x2 + weld", Put("clip", 2)),
        ("clip + deepen", Put("clip", 1, ("deepen",))),
        ("clip", Put("clip", 1, ())),
    ],
    ids=["cheapest that fits", "two of them", "as named, though dearer", "as it is, though it fails"],
)
def test_finds_the_candidate_that_is_meant(label: str, put: Put) -> None:
    assert label == candidate_for(put, FITTED).label


def test_every_candidate_is_found_again_by_what_is_written_for_it() -> None:
    assert FITTED.every == tuple(candidate_for(read_put(written(one)), FITTED) for one in FITTED.every)


@pytest.mark.parametrize(
    ("message", "put"),
    [
        ("'clp' cannot go on segment B; did you mean `clip`?", Put("clp")),
        ("'ball' cannot go on segment B; see `regrip catalogue list`", Put("ball")),
        ("3 of 'clip' on B; at most 2 on one segment", Put("clip", 3)),
        (
            "'box-2' is not tried with those reworks on B; tried: no rework",
            Put("box-2", 1, ("weld",)),
        ),
    ],
    ids=["near", "another kind of site", "too many", "idle rework"],
)
def test_says_what_cannot_be_put(message: str, put: Put) -> None:
    with pytest.raises(BadPut) as caught:
        candidate_for(put, FITTED)

    assert message == str(caught.value)


@pytest.mark.parametrize(
    "text", ["a" + " " * 100_000 + "!", "a" * 100_000 + "!", "a x" * 50_000], ids=["gap", "word", "x"]
)
def test_a_very_long_text_is_refused_like_any_other(text: str) -> None:
    """Until they were written without two ways to read a text these took minutes."""
    with pytest.raises(BadPut):
        read_put(text)
