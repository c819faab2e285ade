"""The strength of a cut bar derived a second time: the section sliced instead of by formula, the beam as a sum."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

import numpy as np

from solver.case.measure import Measure
from solver.case.schema import Case
from solver.case.sites import Fact
from solver.errors import InternalFault
from solver.fit.candidate import Candidate
from solver.handbook.alloys import ALLOYS
from solver.handbook.mucosa import BITE_N

SLICES = 2000
SLACK = 1.01
"""Slicing is good to far less than one per cent."""

_SIZES = {
    "round": ("width_mm",),
    "ovoid": ("width_mm", "height_mm"),
    "parallel": ("width_mm", "height_mm"),
    "keyhole": ("width_mm", "height_mm", "undercut_mm"),
}
_CODES = {"gold": "gold", "cobalt-chromium": "cocr", "titanium": "ti-grade", "titanium-alloy": "ti-6al"}


def check_bar(case: Case, candidate: Candidate, facts: Mapping[str, Fact]) -> None:
    """Raise `InternalFault` where a stretch that the candidate cuts yields at its strongest, ends clamped.

    `facts` are those after all reworks.
    """
    holes = [rework.hole_mm.value for rework in candidate.reworks if rework.hole_mm]
    taken = set(_taken(candidate))
    if candidate.site.kind != "segment" or not (holes or taken):
        return
    force_n = case.bite.force_n.low if case.bite.force_n.known else _preset_n(case)
    sizes = _largest(facts)
    if sizes is None:
        return
    moment_nmm = max(force_n, 0.0) * sizes["length_mm"] / 8
    code, proof = _CODES.get(str(facts["alloy"]), ""), facts["proof_mpa"]
    proof_mpa = max(a.proof_mpa.interval.high for a in ALLOYS.values() if a.code.startswith(code))
    if isinstance(proof, Measure) and proof.value is not None:
        proof_mpa = proof.value + proof.error
    modulus_mm3 = sliced_modulus_mm3(str(facts["section"]), sizes, "undercut_mm" in taken, max(holes, default=0.0))
    if moment_nmm > SLACK * proof_mpa * modulus_mm3:
        raise InternalFault(f"{candidate.key}: what is left of the bar yields under the bite")


def _taken(candidate: Candidate) -> Iterator[str]:
    """Quantities by which the steps take something from the section."""
    for rework in candidate.reworks:
        yield from {"section", "width_mm", "height_mm", "undercut_mm"} & set(rework.makes)
        for of, by in rework.changes.items():
            if (of in ("width_mm", "height_mm") and by < 0) or (of == "undercut_mm" and by > 0):
                yield of


def _preset_n(case: Case) -> float:
    return BITE_N["worst" if case.opposing in ("natural", "implants") else "working"].interval.low


def _largest(facts: Mapping[str, Fact]) -> dict[str, float] | None:
    """Every size where the bar is strongest, its length where it is shortest; None where one that counts is open."""
    measured = {of: fact for of, fact in facts.items() if isinstance(fact, Measure) and fact.value is not None}
    asked = _SIZES.get(str(facts["section"]))
    if asked is None or not {*asked, "length_mm"} <= set(measured):
        return None
    width, height, undercut = (measured.get(of) for of in ("width_mm", "height_mm", "undercut_mm"))
    wide = width.high if width else 0.0
    return {
        "width_mm": wide,
        "height_mm": height.high if height else wide,
        "undercut_mm": max(undercut.low, 0.0) if undercut else 0.0,
        "length_mm": max(measured["length_mm"].low, 0.0),
    }


def sliced_modulus_mm3(section: str, sizes: Mapping[str, float], undercut: bool, hole_mm: float) -> float:
    """I / c of a bar cut into flat slices; `undercut` where one was cut into a round or ovoid bar."""
    width, height = sizes["width_mm"], sizes["height_mm"]
    neck = width - 2 * sizes["undercut_mm"]
    if section == "keyhole":
        height = max(height, width)
    z = (np.arange(SLICES) + 0.5) * height / SLICES
    half = np.full(SLICES, width / 2)
    if section == "keyhole":
        up = z - (height - width / 2)
        head = np.sqrt(np.maximum((width / 2) ** 2 - up**2, 0.0))
        half = np.where(up < 0, np.maximum(head, neck / 2), head)
    elif section != "parallel":
        half = width / 2 * np.sqrt(1 - (2 * z / height - 1) ** 2)
        half = np.where((z < height / 2) & undercut, np.minimum(half, neck / 2), half)
    breadth = np.maximum(2 * half - hole_mm, 0.0)
    has_neck = section == "keyhole" or (undercut and section != "parallel")
    if not breadth.any() or (has_neck and neck <= 0):
        return 0.0
    centre = float(breadth @ z / breadth.sum())
    left = z[breadth > 0]
    fibre = max(left[-1] - centre, centre - left[0]) + height / SLICES / 2
    return float(breadth @ (z - centre) ** 2 * height / SLICES / fibre)
