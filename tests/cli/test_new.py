"""`regrip new`: answers become a case file that loads, reads back as answered, and can be planned."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from catalogue.yaml_text import parse_yaml, read_yaml
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS
from cli.files.case_text import case_text
from cli.interview.prompts import Script, is_not_known
from cli.interview.questions import interview
from solver.case.measure import Measure
from solver.case.reading import read_case
from tests.cli.ran import Run

DATA = Path(__file__).parent / "data"
LOWER = [
    *("Lower bar", "lower", "denture", "43 41 33", "no"),
    *("yes", "", "yes", "8", "n"),
    "cobalt",
    *("round", "1.8 +- 0.1", "2.4", "?", "1.5"),
    *("", "1.9", "2.4", "0.3", "don't know"),
    *("2.2", "1.6", "", ""),
    *("unknown", "14", "5 +- 0.5", "9"),
    *("", "47", "0.3"),
    *("weak", "no", "nickel, cobalt", "?"),
    *("", "no", "yes", ""),
    *("", "40", "100.50", "900"),
]


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)


def answers(*lines: str) -> str:
    return "".join(f"{line}\n" for line in lines)


def test_a_whole_interview(run: Run) -> None:
    ran = run("new", "case.yaml", stdin=answers(*LOWER))

    assert (FITS, "") == (ran.code, ran.out)
    assert ran.err.endswith("regrip: wrote case.yaml; 6 answers are still `unknown`\nnext: regrip plan case.yaml\n")
    assert (DATA / "new-lower.yaml").read_text() == Path("case.yaml").read_text()


def test_teeth_are_shown_back_by_their_names(run: Run) -> None:
    """In the upper jaw 11 and 14 are teeth in two systems, but not the same ones."""
    lower = run("new", "case.yaml", stdin=answers(*LOWER)).err
    upper = run("new", "other.yaml", "--defaults", stdin=answers("upper", "11 14", "?", "?")).err

    assert "43 lower right canine, 41 lower right central incisor, 33 lower left canine" in " ".join(lower.split())
    assert "\n  47 lower right second molar\n" in lower
    assert "11 upper right central incisor, 14 upper right first premolar" in " ".join(upper.split())


def test_the_case_is_as_answered(run: Run) -> None:
    run("new", "case.yaml", stdin=answers(*LOWER))

    case = read_case(read_yaml("case.yaml"))

    assert ("Lower bar", "lower", "denture") == (case.case, case.arch, case.opposing)
    assert [("A", ("i43", "i41")), ("B", ("i41", "i33"))] == [(n, s.between) for n, s in case.segments.items()]
    assert {"E43": ("i43", 8.0)} == {name: (end.on, end.length_mm) for name, end in case.ends.items()}
    assert (Measure(1.8, 0.1), Measure(), "round") == (
        case.segments["A"].width_mm,
        case.segments["A"].undercut_mm,
        case.segments["B"].section,
    )
    assert ["cobalt-chromium"] * 2 == [segment.alloy for segment in case.segments.values()]
    assert "cobalt-chromium" == case.ends["E43"].alloy
    assert (Measure(), Measure(14), Measure(5, 0.5)) == (case.room.room_mm, case.room.space_mm, case.room.top_mm)
    assert (None, 47, Measure(0.3)) == (case.denture.left, case.denture.right, case.denture.settling_mm)
    assert ("weak", "no", ("nickel", "cobalt"), "unknown") == (
        case.patient.hand,
        case.patient.scans_expected,
        case.patient.sensitivities,
        case.patient.bruxism,
    )
    assert (True, False, True, False) == (
        case.allowed.send_out,
        case.allowed.weld,
        case.allowed.cut_bar,
        case.allowed.bar_off,
    )
    assert ("EUR", 40, 100.5, 900) == (
        case.money.currency,
        case.money.bench_per_hour,
        case.money.chair_per_hour,
        case.money.cap,
    )


def test_a_list_that_is_longer_tells_of_the_bar_and_the_hand_too(run: Run) -> None:
    """Lists that end with the cap stay good; what comes after it may be told as well."""
    ran = run("new", "case.yaml", stdin=answers(*LOWER, "screwed", "tight", "patient", "84 years"))

    assert FITS == ran.code
    case = read_case(read_yaml("case.yaml"))
    assert ("screwed", "tight", "patient", 84) == (
        case.bar.fixing,
        case.bar.screws,
        case.patient.takes_out,
        case.patient.age,
    )


def test_units_and_commas_are_understood(run: Run) -> None:
    lines = [*LOWER]
    lines[12] = "1,8 +- 0,1 mm"
    lines[-2] = "100,50 EUR"

    assert FITS == run("new", "case.yaml", stdin=answers(*lines)).code
    assert (DATA / "new-lower.yaml").read_text() == Path("case.yaml").read_text()


def test_a_plan_runs_on_it(run: Run) -> None:
    run("new", "case.yaml", stdin=answers(*LOWER))

    ran = run("plan", "case.yaml", "--json")

    assert ran.code in (FITS, DOES_NOT_FIT)
    assert "optimal" == ran.answer["proof"]["outcome"]


@pytest.mark.parametrize("jaw", ["lower", "upper"])
def test_a_person_who_knows_next_to_nothing(run: Run, jaw: str) -> None:
    """The jaw and where the implants are cannot be left open; all else can."""
    teeth = {"lower": "43 33", "upper": "13 11 21 23"}[jaw]

    ran = run("new", "case.yaml", "--defaults", stdin=answers(jaw, teeth, "?", "?"))

    assert FITS == ran.code
    case = read_case(read_yaml("case.yaml"))
    assert (len(teeth.split()) - 1, {}, 0, 0) == (
        len(case.segments),
        case.ends,
        case.money.bench_per_hour,
        case.money.chair_per_hour,
    )
    assert run("plan", "case.yaml").code in (FITS, DOES_NOT_FIT)


def test_one_implant_carries_no_bar(run: Run) -> None:
    assert FITS == run("new", "case.yaml", "--defaults", stdin=answers("lower", "43", "40", "100")).code
    assert {} == read_case(read_yaml("case.yaml")).segments


def test_another_currency_needs_a_rate_of_exchange(run: Run) -> None:
    lines = [*LOWER[:-4], "usd", "1.1", *LOWER[-3:]]

    assert FITS == run("new", "case.yaml", stdin=answers(*lines)).code
    money = read_case(read_yaml("case.yaml")).money
    assert ("USD", 1.1) == (money.currency, money.exchange)
    assert run("plan", "case.yaml").code in (FITS, DOES_NOT_FIT)


BAD = {
    "jaw": (1, "left", "answer 2, Which jaw carries the bar? (lower, upper): 'left' is not one of lower, upper"),
    "jaw left open": (
        1, "?", "answer 2, Which jaw carries the bar? (lower, upper): this cannot be left open; "
        "a rough answer will do; correct it in the file later"),
    "jaw not answered": (
        1, "", "answer 2, Which jaw carries the bar? (lower, upper): an answer is needed; "
        '`?` is "don\'t know"'),
    "tooth of the other jaw": (
        3, "43 23", "answer 4, Where are the implants? FDI positions, e.g. 43 41 33: "
        "23 is not in the lower jaw; lower teeth are 31 to 48"
        " by FDI; if 23 is a Universal number, write `32` (lower left lateral incisor)"),
    "tooth twice": (
        3, "43, 43", "answer 4, Where are the implants? FDI positions, e.g. 43 41 33: "
        "43 stands twice; name every implant once"),
    "tooth in words": (
        3, "canine", "answer 4, Where are the implants? FDI positions, e.g. 43 41 33: "
        "expected the number of a tooth, got 'canine'; "
        "write its FDI number: the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right), "
        "then its place from the midline, e.g. `43`"),
    "tooth with a letter": (
        3, "22R", "answer 4, Where are the implants? FDI positions, e.g. 43 41 33: "
        "expected the number of a tooth, got '22R'; "
        "write its FDI number: the quadrant (1 upper right, 2 upper left, 3 lower left, 4 lower right), "
        "then its place from the midline, e.g. `43`"),
    "neither yes nor no": (
        5, "perhaps", "answer 6, Does the bar join 43 and 41? (yes, no): 'perhaps' is neither; answer `yes` or `no`"),
    "length below nothing": (
        8, "-8", "answer 9, Free end beyond 43: length, mm (centre of the implant to the ball): "
        "expected more than 0, got -8; check the unit"),
    "unit": (
        12, "1.8 cm", "answer 13, Stretch A, 43 to 41: bar width, mm (calliper, bucco-lingual, at the widest place): "
        "expected a number, got '1.8 cm'; 1.8 cm is 18 mm: write `18`"),
    "inches": (
        12, "1/8 in", "answer 13, Stretch A, 43 to 41: bar width, mm (calliper, bucco-lingual, at the widest place): "
        "'1/8 in' is in inches, and all here is in mm; it is 3.175 mm: write `3.175`"),
    "beyond any bar": (
        12, "18", "answer 13, Stretch A, 43 to 41: bar width, mm (calliper, bucco-lingual, at the widest place): "
        "18 is no bar width, which is 0.3 to 12 mm; check the unit"),
    "currency": (
        -4, "QQQ", "answer 41, Currency of the case, ISO 4217: 'QQQ' is no currency of ISO 4217 in use; e.g. EUR"),
    "cap in half cents": (
        -1, "9.995", "answer 44, Most that the whole may cost, EUR: EUR has 2 decimals; write 9.99"),
}  # fmt: skip


@pytest.mark.parametrize(("index", "answer", "message"), BAD.values(), ids=BAD)
def test_a_bad_line_ends_it_and_nothing_is_written(run: Run, index: int, answer: str, message: str) -> None:
    """The lines after it would answer other questions."""
    lines = list(LOWER)
    lines[index] = answer

    ran = run("new", "case.yaml", stdin=answers(*lines))

    assert (BAD_INPUT, f"regrip: {message}") == (ran.code, ran.err.splitlines()[-1])
    assert [] == os.listdir()


def test_answers_that_end_too_soon(run: Run) -> None:
    ran = run("new", "case.yaml", stdin=answers(*LOWER[:3]))

    assert BAD_INPUT == ran.code
    assert (
        "regrip: the answers end before 'Where are the implants? FDI positions, e.g. 43 41 33'; "
        "one line an answer; an empty line is the default"
    ) == ran.err.splitlines()[-1]
    assert [] == os.listdir()


def test_a_file_that_is_there_is_kept(run: Run) -> None:
    Path("case.yaml").write_text("mine")

    message = "regrip: case.yaml exists already; give `--force` to overwrite it, or another name\n"
    assert (BAD_INPUT, "", message) == run("new", "case.yaml", stdin=answers(*LOWER))
    assert "mine" == Path("case.yaml").read_text()

    assert FITS == run("new", "case.yaml", "--force", stdin=answers(*LOWER)).code
    assert "Lower bar" == read_case(read_yaml("case.yaml")).case


@pytest.mark.parametrize("path", ["none/case.yaml", "."])
def test_a_place_where_no_file_can_be(run: Run, path: str) -> None:
    message = f"regrip: {path} cannot be written; name a file in a folder that exists\n"

    assert (BAD_INPUT, "", message) == run("new", path, stdin=answers(*LOWER))


titles = st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1, max_size=200)


@given(titles.map(str.strip).filter(lambda title: title and not is_not_known(title)))
@example("0")
@example("null")
@example("no")
@example("1:30")
@example("a: b # c")
@example("'")
@example("- [x")
@example("line\N{LINE SEPARATOR}line")
def test_any_title_reads_back(title: str) -> None:
    """Words that look like numbers, quotes, colons, hashes: the file means what was answered."""
    data = interview(Script([title, *LOWER[1:]]), "other", "EUR")

    assert title == data["case"]
    assert data == parse_yaml(case_text(data), "case.yaml").data
