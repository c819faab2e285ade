"""Jobs before one worker: only the newest of a kind is done, everybody is answered, and work can be ended."""

from __future__ import annotations

import asyncio

from cli.page.asked import Asked, Done, Outcome, Stopped
from cli.page.line import Answered, Line
from tests.cli.page.stories import run


class Slow:
    """A worker whose jobs end when they are let go; remembers what it was given."""

    def __init__(self) -> None:
        self.given: list[str] = []
        self._done: asyncio.Queue[Outcome] = asyncio.Queue()

    def start(self) -> None:
        """Nothing to load."""

    async def do(self, asked: Asked) -> Outcome:
        """Begin, and wait to be let go."""
        self.given.append(asked.text)
        return await self._done.get()

    def let_go(self, text: str) -> None:
        """The job under way is done."""
        self._done.put_nowait(Done({"said": text}))

    def stop(self) -> None:
        """The job under way is ended."""
        self._done.put_nowait(Stopped())


async def given(worker: Slow, count: int) -> None:
    while len(worker.given) < count:
        await asyncio.sleep(0)


def said(answered: Answered) -> tuple[int, str]:
    assert isinstance(answered.outcome, Done)
    return answered.revision, answered.outcome.fragments["said"]


def test_only_the_newest_is_done_and_answers_all_who_waited() -> None:
    """While 1 is worked out 2, 3 and 4 come in: 2 and 3 are never begun, and get the answer of 4."""

    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        asked = [asyncio.create_task(line.ask(Asked("plan", "1"), 1))]
        await given(worker, 1)
        asked += [asyncio.create_task(line.ask(Asked("plan", str(n)), n)) for n in (2, 3, 4)]
        await asyncio.sleep(0)
        worker.let_go("one")
        await given(worker, 2)
        worker.let_go("four")
        answers = [said(answered) for answered in await asyncio.gather(*asked)]
        line.close()

        assert ["1", "4"] == worker.given
        assert [(1, "one"), (4, "four"), (4, "four"), (4, "four")] == answers

    run(story())


def test_questions_that_differ_do_not_replace_each_other() -> None:
    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        tasks = [asyncio.create_task(line.ask(Asked("why", "1", more={"site": site}), 1)) for site in "AB"]
        await given(worker, 1)
        worker.let_go("a")
        worker.let_go("b")
        answers = [said(answered) for answered in await asyncio.gather(*tasks)]
        line.close()

        assert [(1, "a"), (1, "b")] == answers

    run(story())


def test_work_that_is_ended_says_so_and_the_next_goes_on() -> None:
    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        first = asyncio.create_task(line.ask(Asked("plan", "1"), 1))
        await given(worker, 1)
        line.stop()
        ended = await first
        second = asyncio.create_task(line.ask(Asked("plan", "2"), 2))
        await given(worker, 2)
        worker.let_go("two")
        answer = said(await second)
        line.close()

        assert Stopped() == ended.outcome
        assert (2, "two") == answer

    run(story())


def test_when_the_page_ends_nobody_is_left_waiting() -> None:
    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        tasks = [asyncio.create_task(line.ask(Asked("plan", str(n)), n)) for n in (1, 2)]
        await given(worker, 1)
        tasks.append(asyncio.create_task(line.ask(Asked("plan", "3"), 3)))
        await asyncio.sleep(0)
        line.close()

        assert [Stopped()] * 3 == [answered.outcome for answered in await asyncio.gather(*tasks)]

    run(story())
