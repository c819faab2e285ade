"""Where a case from a scan begins: what no scan can show, each line saying so."""

from __future__ import annotations

import json

from solver.case.schema import Arch


def begun(title: str, arch: Arch, currency: str) -> str:
    """A case without its bar, as YAML text."""
    return f"""\
# A case of regrip, begun from a scan of the bar. Lengths in mm. A figure is `1.8`, `1.8 +- 0.02` or `unknown`.
# What says `placeholder` is not from the scan: put in your own. Plan it: regrip plan FILE
case: {json.dumps(title, ensure_ascii=False)}
arch: {arch}
opposing: unknown  # placeholder: what the denture bites on

# Vertical room: a scan of the bar alone does not show it.
room:
  space_mm: unknown  # placeholder: crest of the ridge to the opposing teeth
  top_mm: unknown  # placeholder: crest of the ridge to the top of the bar
  breadth_mm: unknown  # placeholder: bucco-lingual room for the denture base

# Implants or roots that carry the bar, as scanned; x to the patient's left, y forwards, z up.
supports: {{}}

# Stretches of bar between two supports, as scanned.
segments: {{}}

# Free ends of the bar, as scanned.
ends: {{}}

denture:
  settling_mm: unknown  # placeholder: what the mucosa lets the base sink under load

patient:
  hand: unknown  # placeholder: weak, usual or strong
  scans_expected: unknown  # placeholder: magnetic resonance imaging
  bruxism: unknown  # placeholder: does the patient grind?

money:
  currency: {currency}  # placeholder: that of the catalogue
  bench_per_hour: 0  # placeholder: not known, so these minutes are not counted; put the rate in
  chair_per_hour: 0  # placeholder: not known, so these minutes are not counted; put the rate in
"""
