"""`regrip measure`: a small scan becomes a case that loads and plans; nothing hostile is half-done."""

from __future__ import annotations

import builtins
import json
import os
import struct
from collections.abc import Callable
from pathlib import Path
from xml.etree import ElementTree as Xml

import numpy as np
import pytest

from catalogue.yaml_text import read_yaml
from cli.exit import BAD_INPUT, FITS
from solver.case.measure import Measure
from solver.case.reading import read_case
from solver.scan.surface.mesh import Array
from tests.cli.ran import Run
from tests.solver.scan import bars
from tests.solver.scan import meshes as m

EDGE = 0.14
POINTS = "forwards: [0, 1, 0]\nout: [0, 0, 1]\nsupports: {right: {at: [-9, 0, 0]}, left: {at: [9, 0, 0]}}\n"


def stl(triangles: Array) -> bytes:
    facets = np.zeros(len(triangles), dtype=[("normal", "<3f4"), ("corners", "<9f4"), ("rest", "<u2")])
    facets["corners"] = triangles.reshape(-1, 9)
    return bytes(80) + struct.pack("<I", len(facets)) + facets.tobytes()


def straight() -> Array:
    """A round bar of 1.9 mm on two posts, over no mucosa."""
    right, left = np.array([-9.0, 0.0, 0.0]), np.array([9.0, 0.0, 0.0])
    posts = [bars.post(end - [0, 0, 0.5], edge=EDGE) for end in (right, left)]
    return np.concatenate([bars.segment(m.circle(0.95), right, left, EDGE), *posts])


BAR = straight()
UNDERSIDE = (BAR[:, :, 2].max(axis=1) < -0.3) & (np.abs(BAR[:, :, 0]).max(axis=1) < 8.5)


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bar.stl").write_bytes(stl(BAR))
    (tmp_path / "points.yaml").write_text(POINTS)
    return tmp_path


def files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_a_scan_becomes_a_case_that_loads_and_plans(here: Path, run: Run) -> None:
    arguments = ("--arch", "lower", "--points", "points.yaml", "-o", "case.yaml", "--sheet", "bar.svg", "--json")
    Path("bar.stl").write_bytes(stl(BAR[~UNDERSIDE]))  # a hole in the scan, where no scanner reaches

    ran = run("measure", "bar.stl", *arguments)

    assert FITS == ran.code, ran.err
    case = read_case(read_yaml("case.yaml"))
    assert ["right", "left"] == [*case.supports]
    segment = case.segments["A"]
    assert ("unknown", ("right", "left")) == (segment.section, segment.between)
    assert segment.width_mm.low <= 1.9 <= segment.width_mm.high
    assert 0.001 <= segment.width_mm.error <= 0.02
    assert (Measure(),) * 3 == (segment.height_mm, segment.undercut_mm, segment.gap_mm)
    assert "height_mm: unknown  # not covered by the scan" in Path("case.yaml").read_text()
    assert "unknown in the scan: A.section, A.height_mm, A.undercut_mm, A.gap_mm" in ran.err
    assert "measured" == ran.answer["status"]
    words = [node.text for node in Xml.fromstring(Path("bar.svg").read_text()).iter()]
    assert "A" in words
    assert run("plan", "case.yaml").code in (0, 1)


def test_the_unit_is_asked_for_and_its_answer_is_taken(here: Path, run: Run) -> None:
    Path("inch.stl").write_bytes(stl(BAR / 25.4))
    Path("points.yaml").write_text("forwards: [0, 1, 0]\nout: [0, 0, 1]\n")
    arguments = ("--arch", "lower", "--points", "points.yaml", "-o", "case.yaml")

    asked = run("measure", "inch.stl", *arguments)
    told = run("measure", "inch.stl", *arguments, "--units", "inch")

    assert BAD_INPUT == asked.code
    assert "regrip: inch.stl: 0.906 mm across is no bar; write `--units cm` or `--units inch`\n" == asked.err
    assert FITS == told.code, told.err
    width = read_case(read_yaml("case.yaml")).segments["A"].width_mm
    assert width.low <= 1.9 <= width.high


def cut_short() -> bytes:
    return stl(BAR)[:-1000]


def soup(seed: int) -> bytes:
    return stl(np.random.default_rng(seed).uniform(-20, 20, (3000, 3, 3)))


def with_nan() -> bytes:
    wrong = BAR.copy()
    wrong[7, 1, 2] = np.nan
    return stl(wrong)


HOSTILE: dict[str, Callable[[], bytes]] = {
    "empty": lambda: b"",
    "nought bytes": lambda: bytes(500),
    "text": lambda: b"this is no surface\n" * 20,
    "cut short": cut_short,
    "huge count": lambda: bytes(80) + b"\xff\xff\xff\xff" + bytes(50),
    "soup": lambda: soup(1),
    "one triangle": lambda: stl(np.array([[[0.0, 0, 0], [30, 0, 0], [0, 30, 0]]])),
    "no area": lambda: stl(np.zeros((40, 3, 3))),
    "not a number": with_nan,
    "PLY of nothing": lambda: b"ply\nformat ascii 1.0\nelement vertex 0\nelement face 0\nend_header\n",
    "PLY bomb": lambda: (
        b"ply\nformat binary_little_endian 1.0\nelement vertex 4000000000\nproperty float x\nend_header\n"
    ),
    "OBJ beyond its corners": lambda: b"v 0 0 0\nv 9 0 0\nv 0 9 0\nf 1 2 9999\n",
    "OBJ of a huge number": lambda: b"v 1e300 0 0\nv 0 1e300 0\nv 0 0 1e300\nf 1 2 3\n",
    "a ball": lambda: stl(m.ball(8.0, np.zeros(3), 0.6)),
    "a bar in metres": lambda: stl(BAR / 1000),
    "a bar without posts": lambda: stl(m.prism(m.circle(0.95), 14.0, 0.3)),
}


@pytest.mark.parametrize("content", HOSTILE.values(), ids=HOSTILE)
def test_a_hostile_file_is_refused_and_nothing_is_written(here: Path, run: Run, content: Callable[[], bytes]) -> None:
    Path("bar.stl").write_bytes(content())
    Path("case.yaml").write_text("old")
    before = files(here)

    ran = run("measure", "bar.stl", "--arch", "lower", "-o", "case.yaml", "--force", "--sheet", "new.svg")

    assert (BAD_INPUT, "") == (ran.code, ran.out), ran.err
    assert ran.err.startswith(("regrip: ", "bar.stl:1:1: "))
    assert "Traceback" not in ran.err
    assert before == files(here)


LOWER = ["-o", "case.yaml", "--arch", "lower"]
OVER = ["bar.stl", "--arch", "lower", "-o"]
USAGE = {
    "which jaw": (["bar.stl", "-o", "case.yaml"], "a scan does not show which jaw it is of; write `--arch lower`"),
    "file there already": ([*OVER, "old.yaml"], "old.yaml exists already; give `--force`"),
    "over the scan": ([*OVER, "bar.stl", "--force"], "bar.stl is the scan itself"),
    "no folder": ([*OVER, "no/case.yaml"], "no/case.yaml cannot be written"),
    "one file twice": (["bar.stl", *LOWER, "--sheet", "case.yaml"], "the drawing and the case cannot be one file"),
    "no scan": (["none.stl", *LOWER], "none.stl: no such file"),
    "a folder": ([".", *LOWER], ".: is a directory"),
    "no points": (["bar.stl", *LOWER, "--points", "no.yaml"], "no.yaml:1:1: cannot be read"),
    "no case to go into": (["bar.stl", "-o", "case.yaml", "--into", "old.yaml"], "old.yaml:1:1: "),
    "front not shown": (["bar.stl", *LOWER, "--points", "out.yaml"], "write `forwards:"),
    "other unit": (["bar.stl", *LOWER, "--units", "m"], "write `--units mm`"),
}


@pytest.mark.parametrize(("arguments", "says"), USAGE.values(), ids=USAGE)
def test_what_cannot_be_done_is_said(here: Path, run: Run, arguments: list[str], says: str) -> None:
    Path("old.yaml").write_text("case: old\n")
    Path("out.yaml").write_text("out: [0, 0, 1]\n")
    before = files(here)

    ran = run("measure", *arguments)

    assert BAD_INPUT == ran.code
    assert says in ran.err
    assert before == files(here)


@pytest.fixture
def no_mesh_library(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def missing(name: str, *rest: object, **more: object) -> object:
        if name == "trimesh":
            raise ImportError(name)
        return real(name, *rest, **more)  # type: ignore[arg-type]

    monkeypatch.setattr(builtins, "__import__", missing)


@pytest.mark.usefixtures("no_mesh_library")
def test_without_the_mesh_library_it_says_what_to_install(here: Path, run: Run) -> None:
    corners = "".join("v {} {} {}\n".format(*corner) for corner in BAR.reshape(-1, 3))
    faces = "".join(f"f {first} {first + 1} {first + 2}\n" for first in range(1, 3 * len(BAR), 3))
    Path("bar.obj").write_text(corners + faces)
    ran = run("measure", "bar.obj", "--arch", "lower", "-o", "case.yaml", "--json")

    assert BAD_INPUT == ran.code
    assert "reading a scan needs trimesh; install it with `pip install 'regrip[scan]'`" == ran.answer["message"]
    assert not Path("case.yaml").exists()


@pytest.mark.usefixtures("no_mesh_library")
def test_a_binary_stl_is_read_without_it(here: Path, run: Run) -> None:
    ran = run("measure", "bar.stl", "--arch", "lower", "--points", "points.yaml", "-o", "case.yaml", "--json")

    assert FITS == ran.code, ran.err
    assert ["right", "left"] == [*read_case(read_yaml("case.yaml")).supports]


def test_a_file_that_cannot_be_written_leaves_the_old_one(
    here: Path, run: Run, monkeypatch: pytest.MonkeyPatch
) -> None:
    Path("case.yaml").write_text("old")

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device", "case.yaml")

    monkeypatch.setattr(os, "fsync", full)
    ran = run("measure", "bar.stl", "--arch", "lower", "--points", "points.yaml", "-o", "case.yaml", "--force")

    assert (BAD_INPUT, "regrip: case.yaml: cannot be written: no space left on device\n") == (ran.code, ran.err)
    assert "old" == Path("case.yaml").read_text()
    assert {"bar.stl", "points.yaml", "case.yaml"} == {*files(here)}


def test_a_failure_is_json_where_asked(here: Path, run: Run) -> None:
    Path("bar.stl").write_bytes(b"")
    ran = run("measure", "bar.stl", "--arch", "lower", "-o", "case.yaml", "--json")

    assert ("error", BAD_INPUT) == (json.loads(ran.out)["status"], ran.code)
