"""The report says what the answer says, in HTML and in PDF, and holds together whatever a case says."""

from __future__ import annotations

import hashlib
import io
import json
import re
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from catalogue.load import load_catalogue
from cli.exit import BAD_INPUT, DOES_NOT_FIT, FITS
from cli.legible import legible
from cli.wording.numbers import Figures
from solver.case.money import Cost
from tests.cli.ran import Run
from tests.cli.report.cases import EXAMPLES, HOSTILE, WORN_BALL, Reports

SHEETS = EXAMPLES | {"worn-ball": WORN_BALL}
HTML = "{http://www.w3.org/1999/xhtml}"


def written(run: Run, case: Path, output: Path, *more: str) -> Path:
    assert (FITS, "", f"regrip: wrote {output}\n") == tuple(run("report", case, "-o", output, *more))
    return output


def tree(page: Path) -> ET.Element:
    """The page read as XML: every tag closed, every text escaped."""
    return ET.fromstring(page.read_text(encoding="utf-8").partition("<!DOCTYPE html>")[2])


def squeezed(text: str) -> str:
    """Without spaces and line ends: a PDF breaks lines where it will."""
    return re.sub(r"[\s\N{REPLACEMENT CHARACTER}\N{SOFT HYPHEN}]", "", text)


def pdf_text(path: Path) -> str:
    return squeezed("".join(page.extract_text() for page in PdfReader(path).pages))


@pytest.fixture(scope="module")
def names_by_id() -> dict[str, str]:
    return {key: entry.name for key, entry in load_catalogue().attachments.items()}


def facts(answer: dict[str, Any], names: dict[str, str]) -> list[str]:
    """What the report must say, written as the locale `en` writes it."""
    figures = Figures.of("en")
    said = [figures.cost(Cost(answer["cost"]["low"], answer["cost"]["high"]), "EUR", 2)]
    said += [names[fitted["attachment"]] for fitted in answer["mix"].values()]
    said += [figures.number(answer["hold"]["sum_low_n"]), figures.number(answer["hold"]["sum_high_n"])]
    said += [figures.number(answer["hold"][pull]) for pull in ("centre", "left", "right", "front", "behind")]
    said += [figures.number(reach, 2) for reach in answer["reach"].values()]
    said += [entry["ask"] for entry in answer["questions"]]
    said += [*answer["remarks"], *answer["cautions"]]
    said += [entry["attachment"] for entry in answer["ruled_out"]]
    return said


@pytest.mark.parametrize("case", SHEETS.values(), ids=SHEETS)
def test_pdf_says_what_the_json_answer_says(
    run: Run, reports: Reports, names_by_id: dict[str, str], case: Path
) -> None:
    answer = json.loads(run("plan", case, "--json").out)
    text = pdf_text(reports(case, ".pdf"))

    assert [] == [fact for fact in facts(answer, names_by_id) if squeezed(fact) not in text]


def test_html_and_pdf_say_the_same(run: Run, tmp_path: Path) -> None:
    page = tree(written(run, WORN_BALL, tmp_path / "case.html"))
    text = pdf_text(written(run, WORN_BALL, tmp_path / "case.pdf"))
    body = page.find(f"{HTML}body")
    assert body is not None
    said = [
        "".join(each.itertext())
        for each in body.iter()
        if each.tag in {f"{HTML}{t}" for t in ("p", "li", "h2", "td")}
    ]

    assert [] == [line for line in said if squeezed(line) not in text]


def test_digest_and_versions_stand_in_the_report(run: Run, tmp_path: Path) -> None:
    """The digest is that of `sha256sum`, on the bytes of the file."""
    text = written(run, WORN_BALL, tmp_path / "case.html").read_text()
    digest = re.search(r"SHA-256 of the case file: ([0-9a-f]{64})", text)
    assert digest is not None

    assert hashlib.sha256(WORN_BALL.read_bytes()).hexdigest() == digest[1]
    assert f"catalogue <bdi>{load_catalogue().version}</bdi>" in text


PAPERS = {"A4": (210 / 25.4 * 72, 297 / 25.4 * 72), "Letter": (8.5 * 72, 11 * 72)}
"""ISO 216 and ANSI/ASME Y14.1, in points."""


@pytest.mark.parametrize(("paper", "size"), PAPERS.items(), ids=PAPERS)
def test_paper(run: Run, tmp_path: Path, paper: str, size: tuple[float, float]) -> None:
    pages = PdfReader(written(run, WORN_BALL, tmp_path / "case.pdf", "--paper", paper)).pages

    assert pages
    for page in pages:
        assert size == pytest.approx((float(page.mediabox.width), float(page.mediabox.height)), abs=0.1)


def test_fonts_are_in_the_file(run: Run, tmp_path: Path) -> None:
    reader = PdfReader(written(run, WORN_BALL, tmp_path / "case.pdf"))
    embedded = []
    for page in reader.pages:
        for font in page["/Resources"]["/Font"].values():  # type: ignore[index]  # pypdf types a page loosely
            descendant = font.get_object()["/DescendantFonts"][0].get_object()
            descriptor = descendant["/FontDescriptor"].get_object()
            embedded.append(bool({"/FontFile", "/FontFile2", "/FontFile3"} & set(descriptor)))

    assert embedded
    assert all(embedded)


@pytest.mark.parametrize("path", [WORN_BALL, HOSTILE], ids=["plain", "hostile"])
def test_page_runs_no_script_and_fetches_nothing(run: Run, tmp_path: Path, path: Path) -> None:
    page = tree(written(run, path, tmp_path / "case.html", "--plans", "3"))
    names = {element.tag.rpartition("}")[2] for element in page.iter()}
    attributes = {name.rpartition("}")[2] for element in page.iter() for name in element.attrib}
    ids = [element.attrib["id"] for element in page.iter() if "id" in element.attrib]

    assert not names & {"script", "img", "iframe", "link", "object", "foreignObject", "image"}
    assert not {name for name in attributes if name.startswith("on")} | (attributes & {"src", "href", "style"})
    assert len(ids) == len(set(ids))


def test_hostile_text_is_shown_as_text(run: Run, tmp_path: Path) -> None:
    page = tree(written(run, HOSTILE, tmp_path / "case.html"))
    text = "".join(page.itertext())

    assert '<script>alert(1)</script> עברית evil & "quoted" 😀' in text
    assert "<img src=x onerror=alert(1)> مرحبا </svg></style></title> {{ 7*7 }} {% raw %} ]]> " in text
    assert "]]> \N{REPLACEMENT CHARACTER} 漢字漢字" in text
    assert "\u202e" not in text


def test_hostile_text_stands_in_the_pdf(run: Run, tmp_path: Path) -> None:
    text = pdf_text(written(run, HOSTILE, tmp_path / "case.pdf"))

    assert "<script>alert(1)</script>" in text
    assert "Donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft" in text


@pytest.mark.parametrize(
    "given", ["\ud800", "\x00", "\ufffe", "a\u202eb"], ids=["surrogate", "null", "noncharacter", "turn"]
)
def test_legible_text_can_be_written_as_xml(given: str) -> None:
    element = ET.Element("p")
    element.text = legible(given)

    assert element.text == ET.fromstring(ET.tostring(element, encoding="utf-8")).text


SECRETS = ("alert(1)", "Donaudampf", "evil", "Ms Doe", "born 1940", "nickel", "مرحبا", "hostile.yaml")


@pytest.mark.parametrize("suffix", [".html", ".pdf"])
def test_redacted_report_tells_nothing_of_the_patient(run: Run, tmp_path: Path, suffix: str) -> None:
    output = written(run, HOSTILE, tmp_path / f"case{suffix}", "--redact", "--plans", "2")
    text = pdf_text(output) if suffix == ".pdf" else output.read_text(encoding="utf-8")
    if suffix == ".pdf":
        text += str(PdfReader(output).metadata)
    ours = re.sub("Ask for sensitivities before ordering.|Metals in the mouth: [^.]*", "", text)

    assert [] == [secret for secret in SECRETS if squeezed(secret) in squeezed(ours)]
    assert squeezed("Patient data are left out of this sheet.") in squeezed(text)
    assert squeezed("taken to pull at most") not in squeezed(text)


def test_redacted_drawing_has_no_title_of_the_patient(run: Run, tmp_path: Path) -> None:
    run("draw", HOSTILE, "-o", tmp_path / "case.svg", "--redact")

    assert [] == [secret for secret in SECRETS if secret in (tmp_path / "case.svg").read_text(encoding="utf-8")]


def test_sections_are_chosen_and_keep_their_order(run: Run, tmp_path: Path) -> None:
    page = tree(written(run, WORN_BALL, tmp_path / "case.html", "--only", "patient,work"))

    assert ["work", "patient"] == [part.attrib["id"] for part in page.iter(f"{HTML}article")]


def test_patient_page_is_one_page(run: Run, tmp_path: Path) -> None:
    for paper in PAPERS:
        assert 1 == len(
            PdfReader(written(run, WORN_BALL, tmp_path / "p.pdf", "--only", "patient", "--paper", paper)).pages
        )


def test_patient_page_is_easy_to_read(run: Run, tmp_path: Path) -> None:
    """Reading ease of at least 70, "fairly easy" (Flesch R. A new readability yardstick. J Appl Psychol 1948;32:221).

    206.835 - 1.015 words per sentence - 84.6 syllables per word (formula from memory); syllables as groups of vowels.
    """
    page = tree(written(run, WORN_BALL, tmp_path / "case.html", "--only", "patient"))
    parts = [e for e in page.iter() if e.tag in {f"{HTML}p", f"{HTML}li"} and "note" not in e.attrib.get("class", "")]
    text = " ".join("".join(part.itertext()) for part in parts[1:-2])
    words = re.findall(r"[a-zA-Z]+", text)
    sentences = len(re.findall(r"[.:]\s|$", text))
    syllables = sum(max(1, len(re.findall(r"[aeiouy]+", word.lower().removesuffix("e")))) for word in words)

    assert 206.835 - 1.015 * len(words) / sentences - 84.6 * syllables / len(words) >= 70


def test_plans_stand_side_by_side(run: Run, tmp_path: Path) -> None:
    answer = json.loads(run("plan", WORN_BALL, "--json", "--plans", "3").out)
    text = "".join(tree(written(run, WORN_BALL, tmp_path / "case.html", "--plans", "3")).itertext())
    figures = Figures.of("en")

    for other in (answer, *answer["alternatives"]):
        assert figures.cost(Cost(other["cost"]["low"], other["cost"]["high"]), "EUR", 2) in text
    assert "plan 3" in text
    assert "plan 4" not in text


def test_locale_of_the_option_goes_before_that_of_the_case(run: Run, tmp_path: Path) -> None:
    german = "".join(tree(written(run, HOSTILE, tmp_path / "a.html")).itertext())
    english = "".join(tree(written(run, HOSTILE, tmp_path / "b.html", "--locale", "en_GB")).itertext())

    assert "1.400,00\N{NO-BREAK SPACE}€" in german
    assert "€1,400.00" in english


REFUSED = {
    "ending": (
        ["-o", "case.doc"],
        "'case.doc' does not say what to write; end the name in .html or .pdf or .svg or .png",
    ),
    "section": (["-o", "case.pdf", "--only", "case,bill"], "there is no section 'bill'; known: case, work, patient"),
    "locale": (["-o", "case.pdf", "--locale", "xx_YY"], "'xx_YY' is no locale; e.g. `--locale de_DE`"),
}


@pytest.mark.parametrize(("arguments", "message"), REFUSED.values(), ids=REFUSED)
def test_what_cannot_be_written_is_refused(run: Run, arguments: list[str], message: str) -> None:
    assert (BAD_INPUT, "", f"regrip: {message}\n") == tuple(run("report", WORN_BALL, *arguments))


def test_nothing_is_left_where_a_report_cannot_be_written(run: Run, tmp_path: Path) -> None:
    ran = run("report", WORN_BALL, "-o", tmp_path / "none" / "case.html")

    assert BAD_INPUT == ran.code
    assert [] == list(tmp_path.iterdir())


def test_case_where_nothing_fits_is_reported_too(run: Run, tmp_path: Path) -> None:
    case = tmp_path / "case.yaml"
    case.write_text(WORN_BALL.read_text().replace("wanted: {hold_n: 12}", "wanted: {hold_n: 200}"))
    ran = run("report", case, "-o", tmp_path / "case.html")

    assert DOES_NOT_FIT == ran.code
    assert "where 200.0 N are asked" in re.sub(r"\s+", " ", "".join(tree(tmp_path / "case.html").itertext()))


@pytest.mark.parametrize("suffix", [".svg", ".png"])
def test_drawing_is_written(run: Run, tmp_path: Path, suffix: str) -> None:
    output = tmp_path / f"case{suffix}"
    ran = run("draw", WORN_BALL, "-o", output)

    assert (FITS, "", f"regrip: wrote {output}\n") == tuple(ran)
    if suffix == ".svg":
        assert "A worn ball on the left" in output.read_text()
    else:
        assert b"\x89PNG\r\n\x1a\n" == output.read_bytes()[:8]


def test_same_case_same_bytes(run: Run, tmp_path: Path) -> None:
    for name in ("a", "b"):
        run("draw", WORN_BALL, "-o", tmp_path / f"{name}.svg")
        written(run, WORN_BALL, tmp_path / f"{name}.pdf")

    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()
    one, other = (PdfReader(io.BytesIO((tmp_path / f"{name}.pdf").read_bytes())) for name in "ab")
    assert [p.extract_text() for p in one.pages] == [p.extract_text() for p in other.pages]
