"""`python -m tests.fuzz TARGET --minutes 10`: damaged texts to a reader; `commands` gives them to the program itself.

With atheris installed (`pip install atheris`; it is not in the lock, for it is built for few systems) `--guided` lets
coverage choose what to damage further. A finding is written to `.fuzz/` and makes the exit code 1.
"""

from __future__ import annotations

import argparse
import os
import random
import resource
import sys
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

from tests.fuzz.commands import ask, files
from tests.fuzz.slips import slip, tokens
from tests.fuzz.targets import TARGETS, Target

FOUND = Path(".fuzz")
SLOW_S = 10.0


@dataclass
class Tally:
    """What was tried so far."""

    target: str
    began: float = field(default_factory=time.monotonic)
    inputs: int = 0
    accepted: int = 0
    found: int = 0
    slowest_s: float = 0.0

    def one(self, read: Callable[[bytes], object], data: bytes, answers: tuple[type[Exception], ...]) -> None:
        """Give one input; anything but success, an allowed error and a timely end is a finding."""
        start = sum(os.times()[:4])  # processor time, children included: other work on the machine is no finding
        self.inputs += 1
        try:
            read(data)
            self.accepted += 1
        except answers:
            pass
        except Exception as error:
            self._keep(data, f"{type(error).__name__}: {error}"[:300])
        took = sum(os.times()[:4]) - start
        self.slowest_s = max(self.slowest_s, took)
        if took > SLOW_S:
            self._keep(data, f"took {took:.1f} s")

    def _keep(self, data: bytes, why: str) -> None:
        self.found += 1
        FOUND.mkdir(exist_ok=True)
        path = FOUND / f"{self.target}-{self.found}"
        path.write_bytes(data)
        print(f"{path}: {why}", flush=True)

    def __str__(self) -> str:
        took, peak = time.monotonic() - self.began, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        return (
            f"{self.target}: {self.inputs} inputs in {took / 60:.1f} min, {self.accepted} accepted, "
            f"{self.found} findings, slowest {self.slowest_s:.2f} s, peak {peak:.0f} MB"
        )


def blind(tally: Tally, target: Target, seed: int, minutes: float) -> None:
    """Damage the corpus by a seed until the time is over."""
    chance, texts = random.Random(seed), [text.decode("latin-1") for text in target.corpus()]
    words, until = tokens(texts), time.monotonic() + 60 * minutes
    while time.monotonic() < until:
        text = slip(chance.choice(texts), chance, words)
        tally.one(target.read, text.encode("utf-8", "replace"), target.answers)


def guided(tally: Tally, target: Target, minutes: float) -> None:
    """Let atheris choose; it ends the process itself, so the tally is told as it goes."""
    import atheris  # noqa: PLC0415 - optional

    folder = FOUND / f"corpus-{tally.target}"
    folder.mkdir(parents=True, exist_ok=True)
    for number, text in enumerate(target.corpus()):
        (folder / f"seed-{number}").write_bytes(text)
    told = time.monotonic()

    def one(data: bytes) -> None:
        nonlocal told
        tally.one(target.read, data, target.answers)
        if time.monotonic() - told > 15:
            told = time.monotonic()
            print(tally, flush=True)

    atheris.instrument_all()
    atheris.Setup([sys.argv[0], str(folder), f"-max_total_time={60 * minutes:.0f}", "-max_len=20000"], one)
    atheris.Fuzz()


def main() -> int:
    """Fuzz one target, or the commands."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("target", choices=[*TARGETS, "commands"])
    asked.add_argument("--minutes", type=float, default=1.0)
    asked.add_argument("--seed", type=int, default=1)
    asked.add_argument("--guided", action="store_true")
    given = asked.parse_args()
    target = TARGETS.get(given.target) or Target(ask, files, ())
    tally = Tally(given.target)
    if given.guided:
        guided(tally, target, given.minutes)
    else:
        blind(tally, target, given.seed, given.minutes)
    print(tally)
    return int(tally.found > 0)


if __name__ == "__main__":
    sys.exit(main())
