"""The judge finds each kind of shortfall, and nothing where there is none."""

from __future__ import annotations

from typing import Any

import pytest
from pydantic import ValidationError

from tests.vignettes.expectation import Expectation
from tests.vignettes.judge import Fitted, Recommended, shortfalls

CAPPED = Fitted("ball-ring-2.2", ("cap-ball-2.2",))
PAIR = {"R": Fitted("ball-ring-2.2"), "L": Fitted("ball-ring-2.2")}
QUESTIONS = ("B: undercut? Gauge.", "A: width? Calliper.", "A: room? Gauge.", "R: ball diameter? Micrometer.")


def judged(wanted: dict[str, Any], mix: dict[str, Fitted], **more: Any) -> tuple[str, ...]:
    expected = Expectation.model_validate(wanted | {"why": "tests the judge", "source": "tests"})
    questions = more.pop("questions", ())
    plan = Recommended(**({"status": "fits", "mix": mix, "pull_n": {"left": 1.2}} | more))
    return shortfalls(expected, plan, questions)


@pytest.mark.parametrize(
    ("wanted", "mix"),
    [
        ({"use": [{"R": "ball-*", "L": "ball-*"}]}, PAIR),
        ({"use": [{"R": "stud-*"}, {"R": "stud-*|ball-ring-*", "A": "none"}]}, PAIR),
        ({"use": [{"A": "clip-*|none"}]}, PAIR),
        ({"never": [{"only": ["R"]}, {"A": "*"}, {"R": "ball-flex-*"}]}, PAIR),
        ({"never": [{"only": ["R"]}]}, {}),
        ({"alike": [["R", "L"], ["A", "C"]]}, PAIR),
        ({"parts": 2}, PAIR),
        ({"parts": 2}, {"A": Fitted("clip-round-metal-5", (), 2)}),
        ({"status": ["fits-if", "fits"]}, PAIR),
        ({"pull_n": {"left": 1.2}}, PAIR),
    ],
)
def test_a_plan_as_expected_has_no_shortfall(wanted: dict[str, Any], mix: dict[str, Fitted]) -> None:
    assert judged(wanted, mix) == ()


@pytest.mark.parametrize(
    ("wanted", "mix", "short"),
    [
        ({"use": [{"R": "ball-*", "L": "ball-*"}]}, {"R": PAIR["R"]}, "plans R ball-ring-2.2"),
        ({"use": [{"R": "ball-*", "L": "none"}]}, PAIR, "plans R ball-ring-2.2, L ball-ring-2.2"),
        ({"use": [{"R": "clip-*|none"}]}, PAIR, "plans R ball-ring-2.2, L ball-ring-2.2"),
        ({"use": [{"R": "*"}]}, {}, "plans nothing"),
        ({"never": [{"only": ["R"]}]}, {"R": PAIR["R"]}, "never only R"),
        ({"never": [{"R": "*ring*", "A": "none"}]}, PAIR, "never R *ring* A none"),
        ({"alike": [["R", "L"]]}, {"R": PAIR["R"]}, "R and L not alike"),
        ({"alike": [["R", "L"]]}, PAIR | {"L": CAPPED}, "R and L not alike"),
        ({"parts": 3}, PAIR, "2 of 3 parts"),
        ({"status": ["fits-if"]}, PAIR, "status fits"),
        ({"pull_n": {"left": 1.3}}, PAIR, "pull left 1.2 of 1.3 N"),
        ({"pull_n": {"front": 1.0}}, PAIR, "pull front 0.0 of 1 N"),
        ({"peel_n": 15}, PAIR, "peel not told, 15 at most"),
    ],
)
def test_a_shortfall_is_told(wanted: dict[str, Any], mix: dict[str, Fitted], short: str) -> None:
    assert judged(wanted, mix) == (short,)


def test_only_means_that_and_nothing_less() -> None:
    both = {"never": [{"only": ["R", "L"]}]}

    assert judged(both, PAIR) == ("never only R L",)
    assert judged(both, {"R": PAIR["R"]}) == ()
    assert judged(both, PAIR | {"A": Fitted("clip-round-metal-5")}) == ()


def test_a_peel_is_at_most_what_the_hand_can_do() -> None:
    assert judged({"peel_n": 15}, PAIR, peel_n=15.0) == ()
    assert judged({"peel_n": 15}, PAIR, peel_n=15.1) == ("peel 15.1 N, 15 at most",)


def test_a_question_counts_among_the_first_three() -> None:
    assert judged({"ask": ["room"]}, PAIR, questions=QUESTIONS) == ()
    assert judged({"ask": ["diameter"]}, PAIR, questions=QUESTIONS) == ("asks b: undercut; a: width; a: room first",)
    assert judged({"ask": ["room"]}, PAIR) == ("asks nothing first",)


def test_too_many_questions_are_counted() -> None:
    assert judged({"ask_most": 4}, PAIR, questions=QUESTIONS) == ()
    assert judged({"ask_most": 3}, PAIR, questions=QUESTIONS) == ("4 questions, 3 at most",)


@pytest.mark.parametrize(
    "wanted",
    [{"uses": []}, {"use": [{}]}, {"use": ["A"]}, {"never": [{"only": ["A"], "B": "*"}]}, {"status": [""]}],
)
def test_what_is_misspelt_is_refused(wanted: dict[str, Any]) -> None:
    with pytest.raises(ValidationError):
        judged(wanted, PAIR)


def test_an_expectation_says_why_and_who_says_so() -> None:
    with pytest.raises(ValidationError, match="why"):
        Expectation.model_validate({"parts": 1, "source": "tests"})
