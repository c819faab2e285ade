"""How many truths lie inside the stated error: python -m tests.benchmarks.scan_coverage [shapes] [fine].

`fine`: meshes of 50 micrometres without noise, to see how near to the truth the figures come at best.
"""

from __future__ import annotations

import sys
from collections import defaultdict

import numpy as np

from solver.scan.errors import ScanError
from solver.scan.section.figure import Figure
from tests.solver.scan.trials import Answer, ball_trial, segment_trial


def main(shapes: int, fine: bool = False) -> None:
    """Three segments to one ball end."""
    found: dict[str, list[Answer]] = defaultdict(list)
    refused = 0
    for seed in range(shapes):
        try:
            for answer in ball_trial(seed, fine) if seed % 4 == 3 else segment_trial(seed, fine):
                found[answer.name].append(answer)
        except ScanError as refusal:
            refused += 1
            print(f"seed {seed}: {refusal}")
    inside = total = 0
    print(f"{'figure':26} {'known':>6} {'asked':>6} {'inside':>7} {'error':>8} {'off':>8} {'worst':>8}")
    for name, answers in sorted(found.items()):
        known = [(a.truth, a.measured) for a in answers if isinstance(a.measured, Figure)]
        if not known:
            continue
        held = sum(figure.holds(truth) for truth, figure in known)
        off = [abs(figure.value - truth) for truth, figure in known]
        error = np.median([figure.error for _, figure in known])
        inside, total = inside + held, total + len(known)
        spread = f"{error:8.4f} {np.median(off):8.4f} {max(off):8.4f}"
        print(f"{name:26} {len(known):6} {len(answers):6} {held / len(known):7.1%} {spread}")
    print(f"all figures: {inside / total:.1%} of {total} truths inside; {refused} of {shapes} shapes refused")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200, "fine" in sys.argv)
