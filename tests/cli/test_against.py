"""`regrip why`, `vary` and `trade` as they stand on the screen, and what they refuse."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest

from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS, UNDECIDED
from solver.choose.master import Master, Outcome, Solved
from solver.choose.shortcut import Straight
from tests.cli.ran import Run, Stage

DATA = Path(__file__).parent / "data" / "against"
CASE = (DATA / "case.yaml").read_text()


@pytest.fixture
def say(stage: Stage) -> Run:
    return stage(
        DATA,
        case=CASE,
        tight=CASE.replace("cap: 90", "cap: 60"),
        rich=CASE.replace("cap: 90", "cap: 200").replace("level_n: 5", "level_n: 3"),
        poor=CASE.replace("cap: 90", "cap: 5"),
    )


STORIES = {
    "why-all": ("why case.yaml", FITS),
    "why-site-clash": ("why tight.yaml A", FITS),
    "why-one-dearer": ("why case.yaml A clip-soft", FITS),
    "why-one-clash": ("why tight.yaml A clip-soft", DOES_NOT_FIT),
    "why-relaxed": ("why poor.yaml B", FITS),
    "vary-value": ("vary case.yaml --set segments.B.undercut_mm=0.2", FITS),
    "vary-nothing": ("vary case.yaml --set patient.hand=weak", FITS),
    "vary-gives-up": ("vary case.yaml --set money.cap=5", DOES_NOT_FIT),
    "vary-range": ("vary case.yaml --set segments.B.undercut_mm=0..0.4/0.1", FITS),
    "trade-knee": ("trade rich.yaml", FITS),
    "trade-nothing": ("trade poor.yaml", DOES_NOT_FIT),
}


@pytest.mark.parametrize(("name", "command", "code"), [(n, *story) for n, story in STORIES.items()], ids=STORIES)
def test_a_story_reads_as_it_should(name: str, command: str, code: int, say: Run) -> None:
    assert (code, (DATA / f"{name}.txt").read_text(), "") == say(*command.split(" "))


@pytest.mark.parametrize(
    ("command", "said"),
    [
        ("why case.yaml A", "Some questions are undecided in the time given; raise --time-limit.\n"),
        ("vary case.yaml --set money.cap=80", " - undecided in the time given\n"),
        ("trade case.yaml", "Bent bar: cost against least pull, undecided in the time given, there may be\nmore\n"),
    ],
    ids=["why", "vary", "trade"],
)
def test_no_time_is_no_verdict(command: str, said: str, say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    """What was not decided is never said to be impossible."""
    monkeypatch.setattr(Master, "solve", lambda *_: Solved(Outcome.UNDECIDED))
    monkeypatch.setattr(
        "solver.choose.search.go_straight", lambda *given: Straight(False, None, tuple(given[2]), 0, 0)
    )

    code, out, _ = say(*command.split(" "))

    assert UNDECIDED == code
    assert out.endswith(said)


REFUSED = {
    "no such site": ("why case.yaml Z", "no site is called 'Z'; known: A, B, L, i44, i41, i34"),
    "no such attachment": (
        "why case.yaml A clip-sift",
        "'clip-sift' cannot go on segment A; did you mean `clip-soft`?",
    ),
    "a wrong path": (
        "vary case.yaml --set segments.B.widht_mm=2",
        "--set 'segments.B.widht_mm=2': `widht_mm` is not known here; did you mean `width_mm`?",
    ),
    "a range of wrong values": (
        "vary case.yaml --set segments.B.width_mm=1..90/1",
        "--set 'segments.B.width_mm=90': 90 is no bar width, which is 0.3 to 12 mm; check the unit",
    ),
    "two ranges": (
        "vary case.yaml --set money.cap=1..9 --set wanted.hold_n=1..9",
        "more than one range; give one range, and single values for the rest",
    ),
    "another currency": (
        "vary case.yaml --set money.currency=USD",
        "--set 'money.currency=USD': prices are in EUR and the case is in USD; give `exchange`: USD for one EUR",
    ),
    "no such pair": ("trade case.yaml --between cost,hols", "'cost,hols' is no trade-off; did you mean `cost,hold`?"),
    "no picture": (
        "trade case.yaml -o front.pdf",
        "'front.pdf' is no picture; name a file that ends in .svg or .png",
    ),
}


@pytest.mark.parametrize("between", ["cost,hold", "hold,cost", "hold, cost"])
def test_a_pair_may_be_named_in_either_order(between: str, say: Run) -> None:
    assert ["cost", "hold"] == say("trade", "case.yaml", "--between", between, "--json").answer["between"]


@pytest.mark.parametrize(("command", "message"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_used_is_refused_with_advice(command: str, message: str, say: Run) -> None:
    assert (BAD_INPUT, "\n", f"regrip: {message}\n") == say(*command.split(" "))


def test_a_site_for_machines(say: Run) -> None:
    _, out, _ = say("why", "case.yaml", "A", "--json")

    site = json.loads(out)["sites"]["A"]
    fates = {entry["candidate"]["attachment"]: entry["fate"] for entry in site["attachments"]}
    soft = next(entry for entry in site["attachments"] if entry["fate"] == "dearer")
    assert {"clip-firm": "ruled-out", "clip-soft": "dearer", "stud-thread": "ruled-out"} == fates
    assert site["in_plan"] is None
    assert 5000 == site["otherwise"]["more"] == soft["more"]
    assert ["moves:front", "fights:whole"] == [obstacle["rule"] for obstacle in soft["obstacles"]]
    assert [["B"], ["B"]] == [obstacle["among"] for obstacle in soft["obstacles"]]


def test_a_clash_for_machines(say: Run) -> None:
    _, out, _ = say("why", "tight.yaml", "A", "clip-soft", "--json")

    against = json.loads(out)["against_plan"]
    assert ["budget", "level", "moves:front"] == against["clash"]
    assert against["clash_proved_smallest"]
    assert [("budget", 1000)] == [(r["rule"], r["amount"]) for r in against["instead"]["relaxations"]]


def test_a_range_for_machines(say: Run) -> None:
    _, out, _ = say("vary", "case.yaml", "--set", "segments.B.undercut_mm=0..0.4/0.2", "--json")

    answer = json.loads(out)
    assert ("segments.B.undercut_mm", "0.0001") == (answer["path"], answer["tolerance"])
    assert [8500, 7000, 2000] == [point["plan"]["cost"]["high"] for point in answer["points"]]
    assert ["0.1", "0.25"] == [flip["high"].rstrip("0") for flip in answer["flips"]]


def test_a_front_for_machines(say: Run) -> None:
    _, out, _ = say("trade", "rich.yaml", "--json")

    answer = json.loads(out)
    assert (["cost", "hold"], True, 1) == (answer["between"], answer["complete"], answer["knee"])
    assert [2000, 7000, 12000] == [point["cost"] for point in answer["points"]]
    assert pytest.approx([1.03, 2.12, 2.63], abs=0.01) == [point["hold"] for point in answer["points"]]


@pytest.mark.parametrize(("name", "start"), [("f.svg", b"<?xml"), ("f.png", b"\x89PNG")], ids=["svg", "png"])
def test_a_chart_is_the_same_every_time(name: str, start: bytes, say: Run) -> None:
    pytest.importorskip("matplotlib", reason="the extra `charts`")

    first, second = ((say("trade", "rich.yaml", "-o", name)[0], Path(name).read_bytes()) for _ in range(2))

    assert first == second
    assert FITS == first[0]
    assert first[1].startswith(start)


def test_the_letters_of_an_svg_are_paths(say: Run) -> None:
    """No font has to be at hand where the picture is shown."""
    pytest.importorskip("matplotlib", reason="the extra `charts`")

    say("trade", "rich.yaml", "-o", "f.svg")

    assert "<text" not in Path("f.svg").read_text()


def test_a_chart_without_matplotlib_says_what_to_install(say: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "matplotlib", None)

    code, _, err = say("trade", "rich.yaml", "-o", "f.svg")

    assert (BAD_INPUT, "regrip: a chart needs matplotlib; install it with `pip install 'regrip[charts]'`\n") == (
        code,
        err,
    )
    assert not Path("f.svg").exists()
