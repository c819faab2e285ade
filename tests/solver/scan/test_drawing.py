"""The section sheet is drawn to scale and says what is not known."""

from __future__ import annotations

from xml.etree import ElementTree as Xml

import numpy as np
import pytest

from solver.scan.measure import measure_bar
from solver.scan.surface.mesh import mesh_from_triangles
from solver.scan.to_case.drawing import SCALE, section_sheet
from tests.solver.scan import meshes as m

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def sheet() -> Xml.Element:
    bar = m.prism(m.egg(1.1, 1.1, 1.9), 9.0, 0.1)
    return Xml.fromstring(section_sheet(measure_bar(mesh_from_triangles(bar), out=(0, 0, 1))))


def test_one_drawing_unit_is_one_millimetre_of_paper(sheet: Xml.Element) -> None:
    width, height = sheet.attrib["width"], sheet.attrib["height"]

    assert f"0 0 {width.removesuffix('mm')} {height.removesuffix('mm')}" == sheet.attrib["viewBox"]


def test_outline_is_drawn_at_scale(sheet: Xml.Element) -> None:
    polygon = sheet.find(f"{SVG}polygon")
    assert polygon is not None
    points = np.array([[float(c) for c in pair.split(",")] for pair in polygon.attrib["points"].split()])

    np.testing.assert_allclose(np.ptp(points, axis=0), [2.2 * SCALE, 3.0 * SCALE], atol=0.1)


def test_words_give_kind_and_measures(sheet: Xml.Element) -> None:
    words = [text.text for text in sheet.iter(f"{SVG}text")]

    assert "Segment 1" == words[0]
    assert words[1] is not None
    assert words[1].startswith("ovoid, length 9.00 ± ")
    assert words[2] == "width 2.20 ± 0.01 mm, height 3.00 ± 0.01 mm"
    assert "5 mm, drawn 10 : 1" == words[-1]
