"""A scan of the bar of an example leads to the plan that the hand-measured example has; whatever way it lies."""

from __future__ import annotations

import json
import struct
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from catalogue.yaml_text import read_yaml
from cli.exit import FITS, guarded
from cli.files.desk import Desk, open_desk
from cli.main import regrip
from solver.choose.plan import Answer, plan
from solver.scan.surface.mesh import Array
from tests.solver.scan import meshes as m
from tests.solver.scan.of_case import scan_of

EXAMPLES = Path(__file__).parents[1] / "docs" / "examples"
MEASURED = ("section", "width_mm", "height_mm", "undercut_mm", "gap_mm", "ball_mm", "out_of_round_mm", "tilt_deg")
LYING = m.rotation([0, 1, 0], 180.0) @ m.rotation([1, 2, 3], 77.0)  # a scanner's axes are not the patient's


def stl(triangles: Array) -> bytes:
    facets = np.zeros(len(triangles), dtype=[("normal", "<3f4"), ("corners", "<9f4"), ("rest", "<u2")])
    facets["corners"] = triangles.reshape(-1, 9)
    return bytes(80) + struct.pack("<I", len(facets)) + facets.tobytes()


def unmeasured(data: dict[str, Any]) -> dict[str, Any]:
    """The case without what was measured on its bar."""
    for group in ("segments", "ends"):
        for site in data.get(group, {}).values():
            for key in MEASURED:
                site.pop(key, None)
    return data


def chosen(desk: Desk) -> tuple[Any, ...]:
    """Status, what sits where, price and, rounded, the share of each demand that is reached."""
    answer: Answer = plan(desk.case, desk.catalogue)
    assert answer.best is not None
    mix = {c.site.id: (c.attachment.id, c.count) for c in answer.best.mix}
    return answer.status, mix, answer.best.cost, [round(reach.reach, 3) for reach in answer.best.reaches]


@pytest.mark.parametrize("name", ["two-angled-segments", "hinge-against-resilience"])
def test_a_scan_leads_to_the_plan_of_the_hand_measured_case(name: str, tmp_path: Path) -> None:
    by_hand = open_desk(str(EXAMPLES / f"{name}.yaml"))
    bar, bare, scanned = (tmp_path / file for file in ("bar.stl", "bare.yaml", "scanned.yaml"))
    bar.write_bytes(stl(m.moved(scan_of(by_hand.case), LYING, [30.0, -40.0, 5.0])))
    bare.write_text(json.dumps(unmeasured(read_yaml(EXAMPLES / f"{name}.yaml").data)))

    code = guarded(regrip, ["measure", str(bar), "--into", str(bare), "-o", str(scanned), "--trueness", "0.02"])

    assert FITS == code
    assert chosen(by_hand) == chosen(open_desk(str(scanned)))
