"""The same work on a Dask cluster that is running already; why Dask stands in docs/scale.md."""

from __future__ import annotations

import logging
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from typing import Any

from distributed import Client, KilledWorker, WorkerPlugin
from distributed.client import ClosedClientError

from cli.batch.engine import Chunk, Lost
from cli.batch.worker import Done, NotPrepared, Setting, Task, plan_chunk, prepare, settle_in
from cli.exit import BadInput
from cli.version import version

PATIENCE_S = 20
"""How long a scheduler may take to answer, and then its first worker to appear."""
WAITERS = 256
"""How many chunks are waited for at once; of what is in hand beyond them the end is noticed later."""


class OtherVersion(Exception):
    """A worker runs another regrip than the one that asks."""

    def __init__(self, here: str, there: str) -> None:
        super().__init__(here, there)
        self.here, self.there = here, there

    def __str__(self) -> str:
        return f"it runs regrip {self.there}, and here is {self.here}"


class Prepared(WorkerPlugin):
    """Brings the catalogue to every worker once, also to those that come later."""

    def __init__(self, setting: Setting) -> None:
        self._setting = setting
        self.name = f"regrip {' '.join(setting.stamp)}"

    def setup(self, worker: Any) -> None:
        """On a worker: keep the setting. Raises `OtherVersion`."""
        if version() != self._setting.stamp.version:
            raise OtherVersion(self._setting.stamp.version, version())
        prepare(self._setting)
        settle_in()


class Cluster:
    """A client of a Dask scheduler; the work of a worker that dies is given to another."""

    def __init__(self, setting: Setting, address: str) -> None:
        """Raises `BadInput` where no scheduler answers, or no worker could plan."""
        self._setting = setting
        try:
            self._client: Any = _client(address)
        except (OSError, ValueError) as error:
            raise BadInput(f"no Dask scheduler answers at {address}", str(error).partition("\n")[0]) from None
        try:
            self._begin(address)
        except BaseException:
            self._client.close()
            raise

    def _begin(self, address: str) -> None:
        try:
            self._client.wait_for_workers(1, timeout=PATIENCE_S)
            self._client.register_plugin(Prepared(self._setting))
        except TimeoutError:
            raise BadInput(f"the cluster at {address} has no worker", "start one with `dask worker`") from None
        except (OtherVersion, ImportError) as error:
            advice = f"{error}; install the same regrip on both"
            raise BadInput(f"a worker of the cluster at {address} cannot plan", advice) from None
        # Not the executor of Dask: it never tells of a result that was there, went with its worker and then failed.
        self._waiters = ThreadPoolExecutor(WAITERS, "chunk of the cluster")

    def __enter__(self) -> Cluster:
        return self

    def __exit__(self, *_: object) -> None:
        self._client.close()  # whoever still waits is told
        self._waiters.shutdown(wait=False, cancel_futures=True)

    @property
    def width(self) -> int:
        """Two chunks for every thread of every worker there is now; raises `BadInput` without the cluster."""
        try:
            threads = int(sum(self._client.nthreads().values()))
        except (OSError, AttributeError):  # the second where Dask has closed the client itself
            raise _gone() from None
        return 2 * max(1, threads)

    def submit(self, chunk: Chunk) -> Future[tuple[Done, ...]]:
        """Begin a chunk; raises `BadInput` without the cluster."""
        try:
            begun = self._client.submit(plan_chunk, self._setting.stamp, chunk, pure=False)
        except ClosedClientError:
            raise _gone() from None
        return self._waiters.submit(begun.result)

    def result(self, future: Future[tuple[Done, ...]]) -> tuple[Done, ...]:
        """What became of a chunk; raises `Lost` where it killed several workers, `BadInput` without the cluster."""
        try:
            return future.result()
        except KilledWorker:
            raise Lost from None
        except CancelledError:
            raise _gone() from None
        except NotPrepared:
            raise BadInput(
                "a worker came later that runs another regrip", "install the same one everywhere"
            ) from None

    def alone(self, task: Task) -> Done:
        """Plan one case; raises `Lost`."""
        return self.result(self.submit((task,)))[0]


def _client(address: str) -> Any:
    for its in ("distributed", "distributed.client"):  # which have levels of their own
        logging.getLogger(its).setLevel(logging.CRITICAL + 1)  # it traces what is said here in words
    connect: Any = Client  # the library has no types
    return connect(address, timeout=PATIENCE_S, set_as_default=False)


def _gone() -> BadInput:
    return BadInput("the cluster is gone", "what was planned is kept, and the same command goes on from there")
