"""What a plan hangs on: the remark at its top, the short list, the JSON, the report, and a plan without it."""

from __future__ import annotations

from pathlib import Path

import pytest

from catalogue import load
from cli.wording.sensitivity import figure, remark, unit
from solver.explore.sensitivity import Sensitivity
from solver.explore.weak_figures import weak_figures
from tests.cli.ran import CASE, Run

OWN_PRICES = """\
sources:
  our-prices: {kind: common-practice, text: price list of our supplier}
attachments:
  clip-spring:
    price: {low: 8, high: 12, source: our-prices}
    work: {bench: [5, 10], chair: [5, 10], source: our-prices}
"""


@pytest.fixture
def case(tmp_path: Path) -> Path:
    path = tmp_path / "case.yaml"
    path.write_text(CASE)
    return path


def test_a_plan_on_invented_prices_says_so_at_the_top(case: Path, run: Run) -> None:
    top = run("plan", case, "--full", "--no-sensitivity").out.split("\n\n")[0].replace("\n", " ")

    assert top.endswith("Prices and times are placeholders; load your own before quoting.")
    assert "sensitivity" not in run("plan", case, "--no-sensitivity", "--json").answer


def test_every_plan_says_what_it_hangs_on(case: Path, run: Run) -> None:
    assert run("plan", case, "--full", "--sensitivity").out == run("plan", case, "--full").out
    assert run("plan", case, "--sensitivity", "--json").answer == run("plan", case, "--json").answer


def test_a_report_says_it_where_it_is_asked(run: Run, tmp_path: Path) -> None:
    case = Path(__file__).parents[2] / "docs" / "examples" / "over-budget.yaml"
    told = run("plan", case, "--json").answer["sensitivity"]
    run("report", case, "-o", tmp_path / "plain.html")
    run("report", case, "--sensitivity", "-o", tmp_path / "told.html")
    plain, report = ((tmp_path / name).read_text() for name in ("plain.html", "told.html"))

    assert told["would_change"]
    assert ("This choice hangs on" in report, "This choice" in plain) == (True, False)
    assert report.count("<li>", report.index("<h2>Would change if"), report.index("<h2>Ways out")) == len(
        told["would_change"]
    )


def test_a_mix_put_by_hand_hangs_on_nothing_chosen(case: Path, run: Run, tmp_path: Path) -> None:
    refused = run("report", case, "--put", "B=clip-spring", "--sensitivity", "-o", tmp_path / "out.html")

    assert 2 == refused.code
    assert "leave out --plans, --least and --sensitivity" in refused.err


def test_the_remark_at_the_top_agrees_with_the_json(case: Path, run: Run) -> None:
    top = run("plan", case, "--full").out.split("\n\n")[0].replace("\n", " ")
    told = run("plan", case, "--json").answer["sensitivity"]

    assert told["complete"]
    hangs = any(told["hangs_on"].values())
    assert ("This choice hangs on" in top) is hangs
    assert ("leaves this choice as it is" in top) is not hangs
    named = {(tuple(turn["path"]), turn["source_kind"]) for flip in told["would_change"] for turn in flip["if"]}
    assert told["hangs_on"] == {kind: sum(of == kind for _, of in named) for kind in ("invented", "memory")}


def test_every_flip_says_what_goes_where_instead(case: Path, run: Run) -> None:
    told = run("plan", case, "--json").answer
    out = " ".join(run("plan", case, "--full").out.split())

    for flip in told["sensitivity"]["would_change"]:
        planned = {site: entry["attachment"] for site, entry in told["mix"].items()}
        assert flip["mix"] != planned or flip["status"] != told["status"]
        assert f"{flip['if'][0]['value']:g}" in out
    assert ("Would change if" in out) is bool(told["sensitivity"]["would_change"])


def test_the_cost_of_a_flip_is_called_at_best_in_both_where_several_figures_lead_to_it(
    run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the whole catalogue, for in the small one no example hangs on several figures."""
    monkeypatch.setattr(load, "STARTER", Path(load.__file__).parent / "starter")
    case = Path(__file__).parents[2] / "docs" / "examples" / "two-angled-segments.yaml"
    told = run("plan", case, "--json").answer["sensitivity"]["would_change"]
    out = run("plan", case, "--full").out

    at_best = [flip["cost_is_at_best"] for flip in told]
    assert [flip["cost"] is not None and len(flip["if"]) > 1 for flip in told] == at_best
    assert {True, False} == set(at_best)
    assert sum(at_best) == " ".join(out.split()).count(" at best")


def test_figures_of_ones_own_are_not_varied(case: Path, run: Run, tmp_path: Path) -> None:
    own = tmp_path / "own.yaml"
    own.write_text(OWN_PRICES)

    plain = run("plan", case, "--json").answer["sensitivity"]["figures"]
    ours = run("plan", case, "--json", "--catalogue", own).answer["sensitivity"]["figures"]
    assert plain - 3 <= ours < plain


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ("Changing any one of the 7 guessed figures", Sensitivity((), 7, 3, complete=True)),
        ("The time ran out before it was known", Sensitivity((), 7, 3, complete=False)),
    ],
    ids=["stands", "no time"],
)
def test_remarks(said: str, found: Sensitivity) -> None:
    assert remark(found).startswith(said)


def test_every_weak_figure_of_the_starter_has_words_and_a_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(load, "STARTER", Path(load.__file__).parent / "starter")
    catalogue = load.load_catalogue([])
    unitless = {"months", "bench", "chair"}
    shares = {"spread", "even", "in_kind"}

    for found in weak_figures(catalogue, over_years=True):
        said = figure(found, catalogue)
        assert "_" not in said.partition(", ")[2]
        assert unit(found, catalogue) or str(found.path[-1]) in unitless or shares & set(found.path)
