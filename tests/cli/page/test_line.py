"""Jobs before one worker: only the newest of a kind is done, everybody is answered, and work can be ended."""

from __future__ import annotations

import asyncio

import pytest

from cli.page.work import job_queue as lines
from cli.page.work.job_queue import Answered, Line
from cli.page.work.messages import Asked, Done, Outcome, Stopped, Unfit
from tests.cli.page.stories import run


class Slow:
    """A worker whose jobs end when they are let go; remembers what it was given."""

    def __init__(self) -> None:
        self.given: list[str] = []
        self.loaded = asyncio.Event()
        self.loaded.set()
        self._done: asyncio.Queue[Outcome] = asyncio.Queue()

    def start(self) -> None:
        """Nothing to load."""

    async def ready(self) -> None:
        """When it is said to be."""
        await self.loaded.wait()

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


def test_the_same_asked_again_joins_what_is_under_way() -> None:
    """Asked again for a state with the same text: it is not begun anew, and both are answered for the newer state."""

    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        first = asyncio.create_task(line.ask(Asked("plan", "1"), 1))
        await given(worker, 1)
        again = asyncio.create_task(line.ask(Asked("plan", "1"), 3))
        await asyncio.sleep(0)
        worker.let_go("one")
        answers = [said(answered) for answered in await asyncio.gather(first, again)]
        line.close()

        assert ["1"] == worker.given
        assert [(3, "one"), (3, "one")] == answers

    run(story())


def test_what_a_person_has_ended_is_begun_anew_when_asked_again() -> None:
    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        first = asyncio.create_task(line.ask(Asked("plan", "1"), 1))
        await given(worker, 1)
        line.stop("plan")
        again = asyncio.create_task(line.ask(Asked("plan", "1"), 1))
        await given(worker, 2)
        worker.let_go("one")
        ended, answered = await asyncio.gather(first, again)
        line.close()

        assert Stopped() == ended.outcome
        assert (1, "one") == said(answered)

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
        line.stop("plan")
        ended = await first
        second = asyncio.create_task(line.ask(Asked("plan", "2"), 2))
        await given(worker, 2)
        worker.let_go("two")
        answer = said(await second)
        line.close()

        assert Stopped() == ended.outcome
        assert (2, "two") == answer

    run(story())


@pytest.fixture
def impatient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every job is overdue at once."""
    monkeypatch.setattr(lines, "OVERDUE_S", 0.0)
    monkeypatch.setattr(lines, "LOOK_S", 0.001)


@pytest.mark.usefixtures("impatient")
def test_who_waited_for_a_job_that_took_too_long_is_answered_by_the_newer_one() -> None:
    """Nobody stopped it, so nobody is told so: both tabs get the answer of the newer state."""

    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        one = asyncio.create_task(line.ask(Asked("plan", "1"), 1))
        await given(worker, 1)
        two = asyncio.create_task(line.ask(Asked("plan", "2"), 2))
        await given(worker, 2)
        worker.let_go("two")
        answers = [said(answered) for answered in await asyncio.gather(one, two)]
        line.close()

        assert [(2, "two")] * 2 == answers

    run(story())


@pytest.mark.usefixtures("impatient")
def test_a_job_that_nobody_waits_for_does_not_keep_others_waiting() -> None:
    """The tab that asked for much has gone; what another asks for is begun before that is done."""

    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        gone = asyncio.create_task(line.ask(Asked("more", "1"), 1))
        await given(worker, 1)
        wanted = asyncio.create_task(line.ask(Asked("view", "1"), 1))
        await asyncio.sleep(0.01)
        before = list(worker.given)
        gone.cancel()
        await given(worker, 2)
        worker.let_go("view")
        answer = said(await wanted)
        line.close()

        assert (["1"], (1, "view")) == (before, answer)

    run(story())


def test_what_is_asked_while_the_worker_loads_is_done_once_and_as_it_stands_then() -> None:
    async def story() -> None:
        worker = Slow()
        worker.loaded.clear()
        line = Line(worker)
        tasks = [asyncio.create_task(line.ask(Asked("plan", str(n)), n)) for n in (1, 2)]
        await asyncio.sleep(0)
        tasks.append(asyncio.create_task(line.ask(Asked("plan", "3"), 3)))
        await asyncio.sleep(0)
        worker.loaded.set()
        worker.let_go("three")
        answers = [said(answered) for answered in await asyncio.gather(*tasks)]
        line.close()

        assert (["3"], [(3, "three")] * 3) == (worker.given, answers)

    run(story())


def test_only_the_job_that_is_meant_is_stopped() -> None:
    """A scan that still waits is stopped where it waits; what is under way goes on."""

    async def story() -> None:
        worker = Slow()
        line = Line(worker)
        view, scan = (asyncio.create_task(line.ask(Asked(job, "1"), 1)) for job in ("view", "scan"))
        await given(worker, 1)
        line.stop("scan")
        stopped = await scan
        worker.let_go("view")
        answer = said(await view)
        line.close()

        assert Stopped() == stopped.outcome
        assert (["1"], (1, "view")) == (worker.given, answer)

    run(story())


def test_a_worker_that_cannot_be_started_is_told_and_tried_again() -> None:
    """The line goes on: the next who asks is answered."""

    class Broken(Slow):
        async def ready(self) -> None:
            if not self.given:
                self.given.append("tried")
                raise OSError(11, "Resource temporarily unavailable")

    async def story() -> None:
        worker = Broken()
        line = Line(worker)
        told = await line.ask(Asked("plan", "1"), 1)
        worker.let_go("one")
        answer = said(await line.ask(Asked("plan", "1"), 1))
        line.close()

        told_in_words = "the solver cannot be started: resource temporarily unavailable"
        assert Unfit(told_in_words, "ask again", True) == told.outcome
        assert (1, "one") == answer

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
