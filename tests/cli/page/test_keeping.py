"""Work that is not saved: it is neither lost nor laid under another name, and nothing is promised of it falsely."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from cli.page.document import folder as shelf
from cli.page.document import recovery
from cli.page.document.recovery import all_left, kept, recovery_path
from tests.cli.page.browser import ROOT
from tests.cli.page.cases import TEXT
from tests.cli.page.client import Page, served

WIDTH = "segments.A.width_mm"
OTHERS = TEXT.replace("A bar on two implants", "Another patient")


def wide(width: str) -> str:
    return TEXT.replace("1.8 +- 0.05", width)


def begin(page: Page, teeth: str = "43 33") -> None:
    page.post("/begin", **{"from": "new"}, teeth=teeth)
    page.opening = page.sitting.opening


def text_of(page: Page) -> str:
    return str(page.client.get("/case.yaml").text)


class TestSaveAs:
    """A new case, saved under a name."""

    def test_another_case_of_that_name_keeps_its_file_and_its_unsaved_work(self, tmp_path: Path) -> None:
        other = tmp_path / "other.yaml"
        other.write_text(OTHERS)
        with served(other) as page:
            page.post("/edit", at=WIDTH, value="2")
        with served(tmp_path / "untitled.yaml") as page:
            begin(page)
            refused = page.post("/save", name="other.yaml")
            over = page.post("/save", name="other.yaml", over=True)
            mine = text_of(page)

        assert ["other.yaml exists already"] * 2 == [told["problem"] for told in (refused, over)]
        assert ("untitled.yaml", True) == (refused["file"], refused["unsaved"])
        assert OTHERS == other.read_text()
        assert [OTHERS.replace("1.8 +- 0.05", "2")] == [one.text for one in all_left(other)]
        assert [mine] == [one.text for one in all_left(tmp_path / "untitled.yaml")]

    def test_work_that_was_never_saved_keeps_its_name(self, tmp_path: Path) -> None:
        recovery.keep(tmp_path / "other.yaml", recovery.Recovery(OTHERS, ""))
        with served(tmp_path / "untitled.yaml") as page:
            begin(page)
            refused = page.post("/save", name="other.yaml")

        assert "other.yaml has unsaved work in this folder" == refused["problem"]
        assert [OTHERS] == [one.text for one in all_left(tmp_path / "other.yaml")]

    def test_what_cannot_be_written_stays_kept_under_the_name_it_had(
        self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            begin(page)
            page.post("/edit", at="case", value="The newest")
            with monkeypatch.context() as now:
                now.setattr(shelf, "write_whole", full)
                refused = page.post("/save", name="mine.yaml")
            newest = text_of(page)

        assert ("the file cannot be saved: no space left on device", "untitled.yaml") == (
            refused["problem"], refused["file"],
        )  # fmt: skip
        assert newest == kept(tmp_path / "untitled.yaml").text  # type: ignore[union-attr]
        assert "The newest" in newest
        assert [".untitled.yaml.unsaved"] == [path.name for path in tmp_path.iterdir()]

    def test_saved_it_has_the_new_name_and_nothing_is_left_under_the_old_one(self, tmp_path: Path) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            begin(page)
            saved = page.post("/save", name="mine.yaml")
            page.post("/edit", at="case", value="Mine")

        assert ("mine.yaml", False) == (saved["file"], saved["unsaved"])
        assert [".mine.yaml.unsaved", "mine.yaml"] == sorted(path.name for path in tmp_path.iterdir())


class TestTurningToAnotherCase:
    """What was open is kept, to its last letter, beside its own file."""

    def test_an_edit_just_before_is_not_lost(self, case: Path) -> None:
        (case.parent / "other.yaml").write_text(OTHERS)
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
            page.post("/begin", **{"from": "file"}, file="other.yaml")
            left = kept(case)

        assert left is not None
        assert wide("2") == left.text
        assert kept(case.with_name("other.yaml")) is None

    def test_of_two_new_cases_both_are_kept_and_offered(self, tmp_path: Path) -> None:
        with served(tmp_path / "untitled.yaml") as page:
            begin(page, "43 33")
            first = text_of(page)
            begin(page, "44 34")
            second = text_of(page)
        with served(tmp_path / "untitled.yaml") as page:
            taken_up = text_of(page)
            offered = page.client.get("/begin").text
            page.post("/begin", **{"from": "file"}, file="untitled-2.yaml")
            other = text_of(page)

        assert (first, second) == (taken_up, other)
        assert "<option>untitled-2.yaml</option>" in offered

    def test_what_can_be_neither_saved_nor_kept_is_not_left(
        self, case: Path, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        (case.parent / "other.yaml").write_text(OTHERS)
        monkeypatch.setattr(recovery, "write_private", full)
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")
            refused = page.post("/begin", **{"from": "file"}, file="other.yaml")
            stays = text_of(page)

        assert ("case.yaml is not saved and cannot be kept: no space left on device", "save it first") == (
            refused["problem"], refused["advice"],
        )  # fmt: skip
        assert wide("2") == stays


class TestLeftBehind:
    """Unsaved work of an earlier session, until somebody has decided."""

    @pytest.fixture(autouse=True)
    def left(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="2")

    def test_what_is_typed_before_the_decision_takes_nothing_away(self, case: Path) -> None:
        with served(case) as page:
            page.post("/stop", job="plan")
            page.post("/edit", at=WIDTH, value="3")
        with served(case) as page:
            page.post("/recover", take=False)
            again = page.get("/state")["left_behind"]
            page.post("/recover", take=True)
            older, none = text_of(page), page.get("/state")["left_behind"]

        assert (True, wide("2"), False) == (again, older, none)
        assert [wide("2")] == [one.text for one in all_left(case)]

    def test_saving_before_the_decision_takes_nothing_away(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="3")
            page.post("/save")

        assert [wide("2")] == [one.text for one in all_left(case)]

    def test_taken_up_it_is_the_work_of_now_and_gone_when_that_is_saved(self, case: Path) -> None:
        with served(case) as page:
            page.post("/edit", at=WIDTH, value="3")
            page.post("/recover", take=True)
            page.post("/save")

        assert wide("2") == case.read_text()
        assert [] == list(all_left(case))

    def test_what_is_no_case_is_told_and_stays(self, case: Path) -> None:
        recovery.keep(case, recovery.Recovery("case: [", ""))
        with served(case) as page:
            refused = page.post("/recover", take=True)
            still = page.get("/state")["left_behind"]

        assert ("while parsing a flow" in refused["problem"], still) == (True, True)
        assert ["case: ["] == [one.text for one in all_left(case)]


def test_a_file_that_cannot_be_loaded_does_not_count_as_opened(case: Path) -> None:
    with served(case) as page:
        page.post("/edit", at=WIDTH, value="2")
        case.write_text("case: [")
        refused = page.post("/load")
        save = page.post("/save")

    assert refused["problem"]
    assert "case.yaml on disk is not what was opened here" == save["problem"]
    assert "case: [" == case.read_text()


def test_a_private_case_stays_private_and_so_does_its_unsaved_work(case: Path) -> None:
    case.chmod(0o600)
    with served(case) as page:
        page.post("/edit", at=WIDTH, value="2")
        page.post("/save")
        page.post("/edit", at=WIDTH, value="3")

    assert [0o600] * 2 == [stat.S_IMODE(path.stat().st_mode) for path in (case, recovery_path(case))]


def full(*_: object) -> None:
    raise OSError(errno.ENOSPC, "cannot be written: No space left on device", "case.yaml")


ENDED = """
import asyncio, errno, signal, sys
from cli.main import main
from cli.page.web import launch
from cli.page.document import recovery
from cli.page.form.entry import Said
from cli.page.work.solver_process import Crew
from tests.cli.page.client import Here

def fails(*_):
    raise OSError(errno.ENOSPC, "cannot be written: No space left on device", "case.yaml")

class Sitting(launch.Sitting):
    def start(self, crew):
        super().start(crew)
        self.typing = asyncio.create_task(self.typed())

    async def typed(self):
        for width in {widths!r}:
            if width is None:
                recovery.write_private = fails
                continue
            self.opened.put("segments.A.width_mm", Said(width), self.opened.revision, "one")
            self.touch()
            while self.unsaved and self.shelf.kept != self.opened.text and not self.not_kept:
                await asyncio.sleep(0.01)
        signal.raise_signal(signal.SIGINT)

launch.Sitting, launch.crew_of = Sitting, lambda _: Crew(Here(), Here(), Here())
sys.argv[1:] = ["page", "case.yaml", "--no-browser"]
main()
"""


@pytest.mark.parametrize(
    ("widths", "code", "told", "left"),
    [
        (("1.8 ± 0.05",), 0, "", None),
        (("2",), 0, "what is not saved of case.yaml is kept, and offered the next time it is opened", "2"),
        (
            (None, "2"),
            2,
            "what is not saved of case.yaml is lost, it could not be kept: no space left on device",
            None,
        ),
        (
            ("2", None, "3"),
            2,
            "what was typed last in case.yaml is lost, it could not be kept: no space left on device; an earlier "
            "state of it is offered the next time",
            "2",
        ),
    ],
    ids=["saved", "kept", "lost", "older"],
)
def test_the_farewell_says_what_is_really_kept(
    case: Path, widths: tuple[str | None, ...], code: int, told: str, left: str | None
) -> None:
    """Ctrl-C after these entries; from None on nothing can be kept."""
    ran = subprocess.run(
        [sys.executable, "-c", ENDED.format(widths=widths)],
        capture_output=True,
        text=True,
        cwd=case.parent,
        env=os.environ | {"PYTHONPATH": str(ROOT)},
        timeout=120,
        check=False,
    )

    assert (code, f"regrip: {told}\n" if told else "") == (ran.returncode, ran.stderr)
    assert TEXT == case.read_text()
    assert ([wide(left)] if left else []) == [one.text for one in all_left(case)]
