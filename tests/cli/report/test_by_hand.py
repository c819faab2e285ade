"""The report of a mix that somebody puts: judged as by `regrip check`; no work is ordered for what cannot be."""

from __future__ import annotations

from pathlib import Path

import pytest

from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS
from tests.cli.ran import Run
from tests.cli.report.cases import BINDS, HOSTILE, WORN_BALL
from tests.cli.report.test_load import tables, text
from tests.cli.report.test_report import squeezed, tree


def page_of(run: Run, output: Path, code: int, case: Path, *arguments: str) -> str:
    ran = run("report", case, "-o", output, *arguments)
    assert (code, "", f"regrip: wrote {output}\n") == tuple(ran)
    return text(tree(output))


def test_a_mix_that_binds_says_what_it_breaks_and_orders_no_work(run: Run, tmp_path: Path) -> None:
    answer = run("check", BINDS, "--json").answer
    page = page_of(run, tmp_path / "a.html", DOES_NOT_FIT, BINDS, "--proposed")

    assert "none" == answer["status"]
    assert "Does not fit, at €" in page
    assert "This mix was put by hand" in page
    assert squeezed(
        "the whole base settles: fights: B (clip-round-polymer-3 x2) stops vertical movement, "
        "A (stud-thread-medium) gives"
    ) in squeezed(page)
    assert "There is no work to order." in page
    assert "What will be done" not in page
    assert {"Considered and ruled out", "Ways out"}.isdisjoint(tables(tmp_path / "a.html"))


def test_a_need_that_fails_for_good_stands_first(run: Run, tmp_path: Path) -> None:
    """A tapped hole wants a bar at least 4 mm wide and 3 mm high (starter catalogue)."""
    page_of(run, tmp_path / "a.html", DOES_NOT_FIT, WORN_BALL, "--put", "A=stud-thread-medium")
    ((width, *_),) = tables(tmp_path / "a.html")["Cannot be"]

    assert ["A", "stud-thread-medium", "bar width", "1.8 mm", "at least 4 mm", "2.2 mm"] == width[:6]


@pytest.mark.parametrize("suffix", [".html", ".pdf"])
def test_a_mix_put_by_hand_is_priced_and_ordered_like_a_plan(run: Run, tmp_path: Path, suffix: str) -> None:
    """As the plan names it, with the steps that go before others by themselves."""
    plan = run("plan", WORN_BALL, "--json").answer
    put = [part for site, fitted in plan["mix"].items() for part in ("--put", f"{site}={label(fitted)}")]
    assert run("check", WORN_BALL, *put, "--json").answer["cost"] == plan["cost"]

    output = tmp_path / f"case{suffix}"
    ran = run("report", WORN_BALL, "-o", output, *put)

    assert (FITS, "", f"regrip: wrote {output}\n") == tuple(ran)
    if suffix == ".html":
        page = squeezed(text(tree(output)))
        assert squeezed("This mix was put by hand") in page
        assert squeezed("proved") not in page
        assert squeezed("Parts pieces mark part order by") in page


def label(fitted: dict[str, object]) -> str:
    count = f" x{fitted['count']}" if fitted["count"] != 1 else ""
    reworks = fitted["reworks"]
    assert isinstance(reworks, list)
    return " + ".join([f"{fitted['attachment']}{count}", *reworks])


def test_what_a_patient_must_not_touch_is_left_out_where_patient_data_are(run: Run, tmp_path: Path) -> None:
    """The case expects scans and names a sensitivity; the magnet is ruled out by the one, its source names both."""
    mix = ("--put", "A-very-long-name-20x=magnet-flat-weld")
    plain = page_of(run, tmp_path / "a.html", DOES_NOT_FIT, HOSTILE, *mix)
    redacted = page_of(run, tmp_path / "b.html", DOES_NOT_FIT, HOSTILE, *mix, "--redact")

    for told in ("magnetic scans", "metals in the mouth"):
        assert told in plain
        assert told not in redacted


REFUSED = {
    "plans": (
        ["--put", "A=clip-round-metal-5", "--plans", "2"],
        "nothing is chosen where a mix is put; leave out --plans",
    ),
    "least": (
        ["--put", "A=clip-round-metal-5", "--least", "years"],
        "nothing is chosen where a mix is put; leave out",
    ),
    "no mix": (["--proposed"], "no mix to report; add `mix:` to the case or give `--put SITE=ATTACHMENT`"),
    "no site": (["--put", "clip-round-metal-5"], "'clip-round-metal-5' names no site; write `--put SITE=ATTACHMENT`"),
    "unknown site": (["--put", "Z=clip-round-metal-5"], "no site is called 'Z'"),
    "bar on and off": (
        ["--put", "A=clip-round-metal-5", "--put", "S1=stud-single-medium"],
        "the mix needs the bar in the mouth and off it",
    ),
}


@pytest.mark.parametrize(("arguments", "said"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_put_is_refused(arguments: list[str], said: str, run: Run, tmp_path: Path) -> None:
    ran = run("report", WORN_BALL, "-o", tmp_path / "a.html", *arguments)

    assert (BAD_INPUT, "") == (ran.code, ran.out)
    assert ran.err.startswith(f"regrip: {said}")
    assert [] == list(tmp_path.iterdir())


def test_a_report_of_least_cost_over_the_years_says_so(run: Run, tmp_path: Path) -> None:
    least = run("plan", WORN_BALL, "--least", "years", "--json").answer
    page = page_of(run, tmp_path / "a.html", FITS, WORN_BALL, "--least", "years")

    assert "proved to cost the least over 5 years." in page
    assert "years" == least["proof"]["least"]
