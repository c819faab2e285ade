"""The solver in a process of its own."""

from __future__ import annotations

import asyncio
import multiprocessing

from cli.page.work.messages import Asked, Done, Stopped, Unfit
from cli.page.work.solver_process import Worker
from tests.cli.page.cases import TEXT
from tests.cli.page.stories import run


def test_it_answers_refuses_and_is_stopped_and_begins_anew() -> None:
    """One process for all of it, as each takes a while to start; a stopped job comes back as stopped."""

    async def story() -> None:
        worker = Worker(())
        worker.start()
        done = await worker.do(Asked("plan", TEXT))
        unfit = await worker.do(Asked("plan", "case: torn"))
        fault = await worker.do(Asked("nothing such", TEXT))
        under_way = asyncio.create_task(worker.do(Asked("plan", TEXT + "# another\n")))
        await asyncio.sleep(0)  # the job has its process
        worker.stop()
        stopped = await under_way
        again = await worker.do(Asked("plan", TEXT))
        worker.stop()

        assert isinstance(done, Done)
        assert done == again
        assert isinstance(unfit, Unfit)
        assert ("`arch` is missing", False) == (unfit.problem.partition(": ")[2], unfit.fault)
        assert (
            Unfit("internal fault, no answer is given: KeyError", "this is a fault of regrip, not of the case", True)
            == fault
        )
        assert Stopped() == stopped

    run(story())


def test_a_job_that_a_dying_process_leaves_undone_is_begun_again() -> None:
    """Nobody has stopped it, so it is not told as stopped."""

    async def story() -> None:
        worker = Worker(())
        await worker.ready()
        under_way = asyncio.create_task(worker.do(Asked("plan", TEXT)))
        await asyncio.sleep(0)
        for child in multiprocessing.active_children():
            child.kill()
        done = await under_way
        worker.stop()

        assert isinstance(done, Done)

    run(story())


def test_a_process_that_cannot_load_is_told_and_not_waited_for() -> None:
    async def story() -> None:
        worker = Worker(("no such overlay.yaml",))
        told = await worker.do(Asked("plan", TEXT))
        worker.stop()

        assert Unfit("the solver has ended by itself", "ask again", True) == told

    run(story())
