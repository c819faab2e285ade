"""What is fuzzed: each target reads a text and may only end well or in the error that it is allowed."""

from __future__ import annotations

import contextlib
import tempfile
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from catalogue.load import load_catalogue
from catalogue.mistakes import InputError
from catalogue.yaml_text import parse_yaml
from solver.case.measure import Measure
from solver.case.reading import read_case
from solver.choose.plan import plan
from solver.choose.search import Options
from solver.fit.pricing import NoExchange
from solver.fit.proposal import BadPut, read_put
from solver.scan.errors import ScanError
from solver.scan.surface.read import read_scan
from tests.fuzz.corpus import cases, overlays, scans

STARTER = load_catalogue()


@dataclass(frozen=True, slots=True)
class Target:
    """A reader, the texts to start from, and the errors that are an answer."""

    read: Callable[[bytes], object]
    corpus: Callable[[], list[bytes]]
    answers: tuple[type[Exception], ...]


def _text(data: bytes) -> str:
    return data.decode("utf-8", "replace")


def _case(data: bytes) -> object:
    return read_case(parse_yaml(_text(data), "case.yaml"))


def _plan(data: bytes) -> object:
    return plan(read_case(parse_yaml(_text(data), "case.yaml")), STARTER, Options(time_limit_s=5))


def _overlay(data: bytes) -> object:
    with tempfile.NamedTemporaryFile(suffix=".yaml") as file:
        file.write(data)
        file.flush()
        return load_catalogue([file.name])


def _scan(data: bytes) -> object:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / ("bar" + (".ply", ".obj", ".stl")[len(data) % 3])
        path.write_bytes(data)
        return read_scan(path)


def _words(data: bytes) -> object:
    with contextlib.suppress(BadPut):
        read_put(_text(data))
    return Measure.read(_text(data))


TARGETS = {
    "case": Target(_case, cases, (InputError,)),
    "plan": Target(_plan, cases, (InputError, NoExchange)),
    "overlay": Target(_overlay, overlays, (InputError,)),
    "scan": Target(_scan, scans, (ScanError,)),
    "words": Target(_words, lambda: [b"1.8 +- 0.1", b"clip-round-metal-5 x2 + deepen-undercut"], (ValueError,)),
}
