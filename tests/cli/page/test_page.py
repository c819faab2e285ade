"""The page over HTTP: editing, answering, saving, and what may go wrong between."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from cli.page.document.recovery import recovery_path
from tests.cli.page.cases import TEXT
from tests.cli.page.client import served
from tests.cli.ran import Run

WIDTH = "segments.A.width_mm"


def test_an_edit_changes_the_answer_and_saving_keeps_the_comments(case: Path) -> None:
    with served(case) as page:
        before = page.get("/answer", job="plan")
        facts = page.post("/edit", at="money.cap", value="10")
        after = page.get("/answer", job="plan")
        page.post("/save")

    assert facts["unsaved"]
    assert (before["of"], after["of"]) == (1, 2)
    assert before["html"]["verdict"] != after["html"]["verdict"]
    assert TEXT.replace("cap: 400", "cap: 10") == case.read_text()


def test_the_answer_for_machines_is_that_of_the_command(case: Path, run: Run) -> None:
    with served(case) as page:
        page.post("/edit", at="segments.A.undercut_mm", value="0,4", error="0,05")
        page.post("/save")
        shown = page.client.get("/answer.json").json()

    assert json.loads(run("plan", case, "--json").out) == shown


def test_every_job_answers(case: Path) -> None:
    with served(case) as page:
        page.post("/edit", at="mix.A", value="clip-round")
        jobs = ("plan", "view", "more", "give", "compare", "hangs")
        shown = {job: page.get("/answer", job=job).get("html", {}) for job in jobs}

    assert {
        "plan": ["asks", "glance", "plan", "status", "verdict"],
        "view": ["drawing", "hand", "motion"],
        "more": ["cautions", "out", "ways", "worth"],
        "give": ["give"],
        "compare": ["compare"],
        "hangs": ["hangs", "resting"],
    } == {job: sorted(fragments) for job, fragments in shown.items()}


def test_what_cannot_be_asked_is_told(case: Path) -> None:
    with served(case) as page:
        told = page.get("/answer", job="why", site="Q", attachment="clip-round")

    assert "no site is called 'Q'" in told["problem"]


class TestFile:
    """The file under the page."""

    def test_changed_on_disk_it_is_noticed_and_not_written_over(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
            case.write_text(TEXT.replace("1.8 +- 0.05", "1.9"))
            noticed = page.get("/state")["disk"]
            refused = page.post("/save")
            on_disk = case.read_text()
            page.post("/save", over=True)

        assert noticed
        assert ("case.yaml on disk is not what was opened here", "load it, or save over it") == (
            refused["problem"],
            refused["advice"],
        )
        assert "1.9" in on_disk
        assert TEXT.replace("1.8 +- 0.05", "2") == case.read_text()

    def test_loaded_it_takes_the_place_of_what_is_here_and_undo_brings_that_back(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
            case.write_text(TEXT.replace("1.8 +- 0.05", "1.9"))
            loaded = page.post("/load")
            text = page.client.get("/case.yaml").text
            page.post("/undo")
            back = page.client.get("/case.yaml").text

        assert not loaded["unsaved"]
        assert (TEXT.replace("1.8 +- 0.05", "1.9"), TEXT.replace("1.8 +- 0.05", "2")) == (text, back)

    def test_unsaved_work_is_found_again(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
        left = recovery_path(case).exists()
        with served(case) as page:
            offered = "Unsaved work was found" in page.client.get("/").text
            page.post("/recover", take=True)
            text = page.client.get("/case.yaml").text
            page.post("/save")

        assert (True, True, TEXT.replace("1.8 +- 0.05", "2")) == (left, offered, text)
        assert not recovery_path(case).exists()

    def test_unsaved_work_that_is_not_wanted_is_gone(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
        with served(case) as page:
            page.post("/recover", take=False)

        assert not recovery_path(case).exists()
        assert TEXT == case.read_text()

    def test_a_file_that_is_no_case_is_explained_and_left_alone(self, case: Path) -> None:
        case.write_text(TEXT.replace("width_mm: 1.8 +- 0.05", "width_mm: wide"))
        with served(case) as page:
            shown = page.client.get("/").text

        assert "line 14" in shown
        assert "segments.A.width_mm" in shown

    @pytest.mark.parametrize("name", ["../x.yaml", "/tmp/x.yaml", "x.txt", ".x.yaml", "a/b.yaml", "", "x\0.yaml"])
    def test_a_new_case_is_saved_in_its_folder_only(self, tmp_path: Path, name: str) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            page.post("/begin", **{"from": "new"}, teeth="43 33")
            page.opening = page.sitting.opening
            told = page.post("/save", name=name or "..")

        assert "write letters and digits, ending in .yaml" == told["advice"]
        assert [] == [path.name for path in tmp_path.iterdir() if not path.name.startswith(".")]


class TestBegin:
    """A case from nothing."""

    def test_it_is_a_case_with_its_bar(self, tmp_path: Path) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            first = page.client.get("/")
            page.post("/begin", **{"from": "new"}, title="Mine", teeth="33 43, 31", joined="yes", bench="50")
            page.opening = page.sitting.opening
            facts = page.post("/save", name="mine.yaml")
            case = page.sitting.opened.case if page.sitting.opened else None

        assert str(first.url).endswith("/begin")
        assert ("mine.yaml", False) == (facts["file"], facts["unsaved"])
        assert case is not None
        assert {"A": ("S2", "S3"), "B": ("S3", "S1")} == {n: s.between for n, s in case.segments.items()}
        assert "Mine" in (tmp_path / "mine.yaml").read_text()

    @pytest.mark.parametrize(
        ("teeth", "problem"),
        [
            ("", "no implant is named"),
            ("43 43", "43 stands twice"),
            ("13", "13 is not in the lower jaw"),
            ("x", "expected the number of a tooth, got 'x'"),
        ],
    )
    def test_what_makes_no_case_is_told(self, tmp_path: Path, teeth: str, problem: str) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            told = page.post("/begin", **{"from": "new"}, teeth=teeth)

        assert problem == told["problem"]

    def test_other_files_are_those_of_the_folder(self, case: Path) -> None:
        (case.parent / "other.yaml").write_text(TEXT)
        with served(case) as page:
            refused = page.post("/begin", **{"from": "file"}, file="../other.yaml")
            page.post("/begin", **{"from": "file"}, file="other.yaml")

            assert "there is no such file in this folder" == refused["problem"]
            assert "other.yaml" == page.get("/state")["file"]
            assert {"elsewhere": True} == page.post("/edit", at=WIDTH, value="2")


def test_two_tabs_see_each_other(case: Path) -> None:
    with served(case) as page:
        other = page.other()
        other.revision = page.revision = page.get("/state")["revision"]
        page.post("/edit", at=WIDTH, value="2")
        conflict = other.post("/edit", at=WIDTH, value="2.5")

        assert {"value": "2", "error": ""} == conflict["theirs"]
        assert "problem" not in other.post("/edit", at=WIDTH, value="2.5")


def test_it_says_since_when_one_tab_alone_has_changed_the_case(case: Path) -> None:
    """So that a tab knows which states its own fields show already, in whatever order it hears of them."""
    with served(case) as page:
        other, height = page.other(), "segments.A.height_mm"
        told = [page.get("/state")]
        told += [page.post("/edit", at=at, value="2") for at in (WIDTH, height, height)]
        other.revision = page.revision
        told += [other.post("/edit", at=WIDTH, value="2.5")]
        told += [page.post("/undo", tab=""), page.post("/edit", at=height, value="3")]

    assert [
        (1, "", 1), (2, "one", 1), (3, "one", 1), (3, "one", 1), (4, "two", 3), (5, "", 4), (6, "one", 5),
    ] == [(facts["revision"], facts["by"], facts["since"]) for facts in told]  # fmt: skip


def test_hostile_text_is_only_text(case: Path) -> None:
    """Markup and marks that turn the direction, in a title, a reference and a metal."""
    hostile = "<script>alert(1)</script>\u202e\"'&<img src=x onerror=alert(1)>\U0001f9b7" + "x" * 300
    with served(case) as page:
        for at in ("case", "about", "patient.reference", "patient.sensitivities"):
            assert "problem" not in page.post("/edit", at=at, value=hostile)
        shown = page.client.get("/").text + page.client.get("/sheet", params={"only": "case"}).text
        shown += json.dumps(page.get("/form")) + json.dumps(page.get("/answer", job="more"))

    assert "<script>alert" not in shown
    assert "<img src=x" not in shown
    assert "\u202e" not in shown


def test_a_sheet_brings_its_own_style_and_nothing_else(case: Path) -> None:
    with served(case) as page:
        sheet = page.client.get("/sheet", params={"only": ["work"], "paper": "A4"})
        unknown = page.client.get("/sheet", params={"only": "nothing"})

    policy = sheet.headers["content-security-policy"]
    assert policy.startswith("default-src 'none'; style-src 'sha256-")
    assert "unsafe" not in policy
    assert (200, 400) == (sheet.status_code, unknown.status_code)
    assert "Work order" in sheet.text
