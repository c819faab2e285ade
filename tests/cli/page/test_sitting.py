"""One sitting: who waits for whom."""

from __future__ import annotations

import asyncio
from pathlib import Path

from catalogue.load import load_catalogue
from cli.page.form.entry import Said
from cli.page.session import Sitting
from cli.page.work.messages import Done, Stopped
from cli.page.work.solver_process import Crew
from tests.cli.page.cases import TEXT
from tests.cli.page.client import Here
from tests.cli.page.stories import run
from tests.cli.page.test_line import Slow, given, said


def test_what_is_typed_is_answered_and_drawn_while_a_scan_is_measured(tmp_path: Path) -> None:
    """The scan is done only when it is let go, which is after all the rest was answered."""
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)

    async def story() -> None:
        scanner = Slow()
        sitting = Sitting(path, load_catalogue())
        sitting.open_file()
        sitting.start(Crew(Here(), Here(), scanner))
        opened = sitting.opened
        assert opened is not None
        scan = asyncio.create_task(sitting.measure({"scan": "bar.stl"}, opened))
        await given(scanner, 1)
        opened.put("segments.A.width_mm", Said("2"), opened.revision, "one")
        answers = [await sitting.ask(job, {}) for job in ("plan", "view", "more")]
        before = scan.done()
        scanner.let_go("measured")
        measured = said(await scan)
        await sitting.close()

        assert [(2, Done)] * 3 == [(one.revision, type(one.outcome)) for one in answers]
        assert (False, (1, "measured")) == (before, measured)

    run(story())


def test_what_the_choice_hangs_on_keeps_nothing_waiting(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)

    async def story() -> None:
        long = Slow()
        sitting = Sitting(path, load_catalogue())
        sitting.open_file()
        sitting.start(Crew(Here(), Here(), long))
        hangs = asyncio.create_task(sitting.ask("hangs", {}))
        await given(long, 1)
        answers = [await sitting.ask(job, {}) for job in ("plan", "view", "more")]
        before = hangs.done()
        long.let_go("varied")
        varied = said(await hangs)
        await sitting.close()

        assert [Done] * 3 == [type(one.outcome) for one in answers]
        assert (False, (1, "varied")) == (before, varied)

    run(story())


def test_only_the_scan_is_stopped(tmp_path: Path) -> None:
    path = tmp_path / "case.yaml"
    path.write_text(TEXT)

    async def story() -> None:
        slow, scanner = Slow(), Slow()
        sitting = Sitting(path, load_catalogue())
        sitting.open_file()
        sitting.start(Crew(Here(), slow, scanner))
        scan = asyncio.create_task(sitting.measure({"scan": "bar.stl"}, sitting.opened))
        view = asyncio.create_task(sitting.ask("view", {}))
        await given(scanner, 1)
        await given(slow, 1)
        sitting.stop("scan")
        stopped = await scan
        slow.let_go("view")
        drawn = said(await view)
        await sitting.close()

        assert Stopped() == stopped.outcome
        assert (1, "view") == drawn

    run(story())
