"""Every engine gives the same rows, and no worker that dies takes more than itself along."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import threading
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest

from catalogue.load import load_catalogue
from cli.batch.engine import TWICE_LOST, Engine, Processes, spread
from cli.batch.files import case_files, task_of
from cli.batch.journal import journal_of
from cli.batch.row import Row
from cli.batch.worker import Setting, Task
from cli.exit import BAD_INPUT, BadInput
from solver.choose.search import Options
from tests.cli.batch.conftest import DEADLINE_S, ROOT, Here, wait_for, write_cases
from tests.cli.batch.deadly import deadly
from tests.cli.batch.started import Batch
from tests.cli.ran import Run

TASKS = 12


@pytest.fixture
def setting() -> Setting:
    return Setting(load_catalogue(), Options())


@pytest.fixture
def tasks(tmp_path: Path) -> list[Task]:
    write_cases(tmp_path / "cases", TASKS)
    return [task_of(file) for file in case_files([str(tmp_path / "cases")])]


def planned(engine: Engine, setting: Setting, tasks: list[Task], size: int = 2) -> list[Row]:
    """All rows in order of file."""
    chunks = [tuple(tasks[i : i + size]) for i in range(0, len(tasks), size)]
    found = [done.row for part in spread(engine, setting, chunks, threading.Event()) for done in part]
    return sorted(found, key=lambda row: row.file)


def expected(setting: Setting, tasks: list[Task]) -> list[Row]:
    """The rows as planned in this process, one after the other."""
    return planned(Here(setting, 1), setting, tasks)


def test_one_worker_and_two_give_the_same_rows(setting: Setting, tasks: list[Task]) -> None:
    with Processes(setting, 1) as one, Processes(setting, 2) as two:
        assert expected(setting, tasks) == planned(one, setting, tasks) == planned(two, setting, tasks, size=1)


def test_a_worker_that_dies_once_is_made_up_for(setting: Setting, tasks: list[Task], tmp_path: Path) -> None:
    wanted = expected(setting, tasks)
    tasks[5] = tasks[5]._replace(raw=deadly(tasks[5].raw, tmp_path / "mark"))
    with Processes(setting, 2) as engine:
        assert wanted == planned(engine, setting, tasks)


def test_a_case_that_kills_every_worker_is_a_fault_and_the_others_are_planned(
    setting: Setting, tasks: list[Task]
) -> None:
    wanted = expected(setting, tasks)
    tasks[5] = tasks[5]._replace(raw=deadly(tasks[5].raw))
    with Processes(setting, 2) as engine:
        found = planned(engine, setting, tasks)

    assert ("fault", (TWICE_LOST,)) == (found[5].outcome, found[5].errors)
    assert wanted[:5] + wanted[6:] == found[:5] + found[6:]


def test_after_a_stop_what_was_begun_is_planned_and_no_more(setting: Setting, tasks: list[Task]) -> None:
    stop, engine = threading.Event(), Here(setting, 1)
    found = []
    for part in spread(engine, setting, [(task,) for task in tasks], stop):
        found += [done.row.file for done in part]
        stop.set()

    assert [tasks[0].file] == found


@contextmanager
def cluster(folder: Path) -> Iterator[tuple[str, subprocess.Popen[bytes]]]:
    """A scheduler and two workers as processes of their own, as one starts them by hand; its address, and itself."""
    pytest.importorskip("distributed", reason="the extra `cluster`")
    env = os.environ | {"PYTHONPATH": str(ROOT), "DASK_DISTRIBUTED__SCHEDULER__ALLOWED_FAILURES": "1"}
    here = folder / "scheduler.json"
    dask, on = [sys.executable, "-m", "dask"], ["--scheduler-file", str(here), "--no-dashboard"]
    begin = [*dask, "scheduler", "--host", "127.0.0.1", "--port", "0", *on]
    work = [*dask, "worker", "--host", "127.0.0.1", "--nworkers", "2", "--nthreads", "1", *on]
    with ExitStack() as stack:
        log = stack.enter_context((folder / "dask.log").open("wb"))

        def started(command: list[str]) -> subprocess.Popen[bytes]:
            process = subprocess.Popen(command, env=env, stdout=log, stderr=log, cwd=folder)
            stack.callback(process.wait, DEADLINE_S)
            stack.callback(process.terminate)
            wait_for(here.exists)
            return process

        scheduler, _ = started(begin), started(work)
        yield json.loads(here.read_text())["address"], scheduler


@pytest.fixture(scope="module")
def scheduler(tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of a scheduler with two workers."""
    with cluster(tmp_path_factory.mktemp("dask")) as (address, _):
        yield address


def test_a_cluster_gives_the_same_rows_with_a_worker_killed_on_the_way(
    setting: Setting, tasks: list[Task], tmp_path: Path, scheduler: str
) -> None:
    """One case kills the worker that first comes to it; another kills every worker."""
    wanted = expected(setting, tasks)
    tasks[3] = tasks[3]._replace(raw=deadly(tasks[3].raw, tmp_path / "mark"))
    tasks[8] = tasks[8]._replace(raw=deadly(tasks[8].raw))
    from cli.batch.cluster import Cluster  # noqa: PLC0415 - not without the extra

    with Cluster(setting, scheduler) as engine:
        found = planned(engine, setting, tasks)

    assert (tmp_path / "mark").exists()
    assert ("fault", (TWICE_LOST,)) == (found[8].outcome, found[8].errors)
    assert wanted[:8] + wanted[9:] == found[:8] + found[9:]


def test_results_are_the_same_bytes_on_a_cluster(run: Run, folder: Path, tmp_path: Path, scheduler: str) -> None:
    here, there = tmp_path / "here.csv", tmp_path / "there.csv"

    assert run("batch", folder, "-o", there, "--cluster", scheduler).code == run("batch", folder, "-o", here).code
    assert here.read_bytes() == there.read_bytes()


def test_a_cluster_that_goes_is_told_and_what_was_planned_is_kept(folder: Path, tmp_path: Path) -> None:
    """The scheduler is killed while the run stands before a pipe: more cases on than two workers have in hand."""
    pipe = folder / "case-04-pipe.yaml"
    os.mkfifo(pipe)
    with cluster(tmp_path) as (address, process):
        batch = Batch(folder, how=("--cluster", address))
        ours = batch.at(pipe)
        process.kill()
        process.wait(DEADLINE_S)
        os.close(ours)
        _, told = batch.process.communicate(timeout=DEADLINE_S)

    wanted = "regrip: the cluster is gone; what was planned is kept, and the same command goes on from there\n"
    assert (BAD_INPUT, wanted) == (batch.process.returncode, told)
    assert not batch.results.exists()
    assert '"row"' in journal_of(batch.results).read_text()


def test_a_cluster_that_went_long_ago_is_told_too(setting: Setting, scheduler: str) -> None:
    """Dask closes the client itself when it has waited long enough."""
    from cli.batch.cluster import Cluster  # noqa: PLC0415 - not without the extra

    with Cluster(setting, scheduler) as engine:
        pass

    with pytest.raises(BadInput, match="the cluster is gone"):
        _ = engine.width
    with pytest.raises(BadInput, match="the cluster is gone"):
        engine.submit(())


def test_without_dask_it_is_said_what_to_install(run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "cli.batch.cluster", raising=False)
    monkeypatch.setitem(sys.modules, "distributed", None)
    ran = run("batch", folder, "-o", folder.with_name("r.csv"), "--cluster", "tcp://127.0.0.1:1")

    told = "regrip: --cluster needs Dask; install it with `pip install 'regrip[cluster]'`\n"
    assert (BAD_INPUT, told) == (ran.code, ran.err)


def test_without_a_scheduler_nothing_is_begun(run: Run, folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    pytest.importorskip("distributed", reason="the extra `cluster`")
    monkeypatch.setattr("cli.batch.cluster.PATIENCE_S", 0.2)
    ran = run("batch", folder, "-o", folder.with_name("r.csv"), "--cluster", "tcp://127.0.0.1:1")

    assert BAD_INPUT == ran.code
    assert ran.err.startswith("regrip: no Dask scheduler answers at tcp://127.0.0.1:1; ")
