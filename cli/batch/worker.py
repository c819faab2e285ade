"""What one worker does, whichever engine it belongs to: the catalogue comes once, cases come in chunks."""

from __future__ import annotations

import gc
import hashlib
import importlib
import os
import time
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import NamedTuple

from catalogue.mistakes import InputError
from catalogue.models import Catalogue
from cli.batch.row import Row, Stamp, failed, row_of
from cli.files.desk import desk_of
from cli.files.file_kinds import CASE
from cli.files.reading import document_of
from cli.version import version
from solver.assess.oracle import Mechanics
from solver.assess.problem import problem_of
from solver.assess.rejections import ruled_out
from solver.case.reading import read_case
from solver.choose.plan import answer
from solver.choose.search import Options
from solver.errors import InternalFault


class Task(NamedTuple):
    """A case file as it was read: the same bytes are planned that were digested, and workers need no disk."""

    file: str
    raw: bytes
    digest: str


class Done(NamedTuple):
    """A row, and the processor time that it took, ms."""

    row: Row
    ms: float


@dataclass(frozen=True)
class Setting:
    """What every case of a batch is planned with."""

    catalogue: Catalogue
    how: Options

    @cached_property
    def stamp(self) -> Stamp:
        """What of it decides the answers."""
        digest = hashlib.sha256(self.catalogue.model_dump_json().encode()).hexdigest()
        return Stamp(digest, version(), f"least={self.how.least} time_limit_s={self.how.time_limit_s:g}")


class NotPrepared(Exception):
    """Work came to a worker that was never told what to plan with."""


_SETTINGS: dict[Stamp, Setting] = {}


def prepare(setting: Setting) -> None:
    """Keep what a batch is planned with; called once a worker."""
    _SETTINGS[setting.stamp] = setting


def settle_in() -> None:
    """Load what else every case needs, and tell the collector that all of it stays; once a worker process."""
    importlib.import_module("ortools.sat.python.cp_model")
    gc.collect()
    gc.freeze()


def plan_chunk(stamp: Stamp, tasks: Sequence[Task]) -> tuple[Done, ...]:
    """Plan some cases with the setting of that stamp; raises `NotPrepared` without one."""
    setting = _SETTINGS.get(stamp)
    if setting is None:
        raise NotPrepared
    return tuple(_timed(task, setting) for task in tasks)


def _timed(task: Task, setting: Setting) -> Done:
    start = time.process_time()
    row = plan_row(task, setting)
    return Done(row, round((time.process_time() - start) * 1000, 1))


def plan_row(task: Task, setting: Setting) -> Row:
    """Plan one case; a bad file or a fault of ours becomes the row of that case and of no other."""
    try:
        return _planned(task, setting)
    except InputError as error:
        return failed(task.file, task.digest, setting.stamp, "bad-file", [str(m) for m in error.mistakes])
    except Exception as error:
        if os.environ.get("REGRIP_TRACEBACK"):
            raise
        what = error.what if isinstance(error, InternalFault) else f"{type(error).__name__}: {error}"
        return failed(task.file, task.digest, setting.stamp, "fault", [what])


def _planned(task: Task, setting: Setting) -> Row:
    document = document_of(CASE, task.raw, task.file)
    desk = desk_of(document, read_case(document), setting.catalogue)
    problem = problem_of(desk.case, desk.catalogue)
    mechanics = Mechanics(problem)
    found = answer(problem, mechanics, setting.how)
    return row_of(task.file, task.digest, setting.stamp, found, ruled_out(problem, mechanics))
