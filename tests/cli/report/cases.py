"""Cases of these tests, and how they are worked out and read back."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import NamedTuple, Protocol
from xml.etree import ElementTree as ET

from cli.draw.canvas import Canvas
from cli.files.desk import Desk, open_desk
from cli.files.proposal import checked, proposed
from solver.assess.assessment import Assessment
from solver.assess.problem import Problem
from solver.choose.plan import Answer, plan

DATA = Path(__file__).parent / "data"
WORN_BALL, BINDS, HOSTILE = (DATA / f"{name}.yaml" for name in ("worn-ball", "binds", "hostile"))
EXAMPLES = {path.stem: path for path in sorted(Path("docs/examples").glob("*.yaml"))}
SHOWN = EXAMPLES | {path.stem: path for path in (WORN_BALL, BINDS, HOSTILE)}
"""Every case that is looked at in a browser."""
SVG = "{http://www.w3.org/2000/svg}"
PRINTED_MM = 0.01


class Reports(Protocol):
    """The report of a case with two plans where there are two, as a page or as a PDF; written once."""

    def __call__(self, case: Path, suffix: str = ".html") -> Path: ...


class Worked(NamedTuple):
    """A mix worked out."""

    problem: Problem
    plan: Assessment


@cache
def desk(path: Path) -> Desk:
    """The case with the starter catalogue."""
    return open_desk(str(path))


@cache
def answer(path: Path) -> Answer:
    """The plan of a case."""
    return plan(desk(path).case, desk(path).catalogue)


@cache
def worked(path: Path) -> Worked:
    """The plan of a case, or the mix it proposes."""
    if desk(path).case.mix:
        found = checked(desk(path), proposed(desk(path)))
        return Worked(found.problem, found.plan)
    best = answer(path).best
    assert best is not None
    return Worked(answer(path).problem, best)


class Shapes:
    """The shapes of a drawing by the `data-of` they carry, read back from its text."""

    def __init__(self, canvas: Canvas) -> None:
        self.root = ET.fromstring(ET.tostring(canvas.element()))

    def of(self, name: str) -> list[ET.Element]:
        """Every shape of a name."""
        return [shape for shape in self.root.iter() if shape.get("data-of") == name]

    def one(self, name: str) -> ET.Element:
        """The only shape of a name."""
        (shape,) = self.of(name)
        return shape

    @property
    def texts(self) -> list[ET.Element]:
        """Every text."""
        return list(self.root.iter(f"{SVG}text"))


def corners(path: ET.Element) -> list[tuple[float, float]]:
    """Points of a path of straight lines."""
    numbers = path.attrib["d"].replace("M", "").replace("L", "").replace("Z", "").split()
    return [(float(x), float(y)) for x, y in zip(numbers[::2], numbers[1::2], strict=True)]


def middle(shape: ET.Element) -> tuple[float, float]:
    """Middle of a circle, or of the corners of a path."""
    if shape.tag == f"{SVG}circle":
        return float(shape.attrib["cx"]), float(shape.attrib["cy"])
    points = corners(shape)
    return sum(x for x, _ in points) / len(points), sum(y for _, y in points) / len(points)
