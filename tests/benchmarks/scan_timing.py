"""Time and memory of reading and measuring a scan, and their growth: python -m tests.benchmarks.scan_timing."""

from __future__ import annotations

import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np

from solver.scan.measure import measure_bar
from solver.scan.surface.mesh import Array
from solver.scan.surface.read import read_scan
from tests.solver.scan import bars
from tests.solver.scan import meshes as m

SIZES = (125_000, 250_000, 500_000, 1_000_000)


def scanned(triangles: int, balls: bool) -> Array:
    """The bar of three segments, with a ball on a neck over each outer post where wanted, of about that many."""
    edge = 0.1
    for _ in range(4):
        bar = _bar(edge, balls)
        edge *= (len(bar) / triangles) ** 0.5
    return bar


def _bar(edge: float, balls: bool) -> Array:
    parts = [bars.three_segments(m.keyhole(0.95, 0.5, 2.2), edge)]
    for knee in bars.KNEES[[0, -1]] if balls else ():
        centre = knee + np.array([0.0, 0.0, 3.0])
        neck = m.prism(m.circle(0.65), 3.0, edge) @ m.rotation([0, 1, 0], 90.0).T + centre
        parts += [neck, m.ball(1.1, centre, edge)]
    return np.concatenate(parts)


def write(path: Path, triangles: Array) -> None:
    """Binary STL, or ASCII where the name says so; PLY and OBJ with shared corners, as scanners write them."""
    import trimesh  # noqa: PLC0415 (optional)

    corners, faces = triangles.reshape(-1, 3), np.arange(3 * len(triangles)).reshape(-1, 3)
    whole = trimesh.Trimesh(corners, faces, process=path.suffix != ".stl")
    whole.export(path, file_type="stl_ascii" if "ascii" in path.name else None)


def timed(path: Path) -> str:
    """One line: triangles, seconds of processor (and of the clock) to read and to measure, peak memory."""
    clock, start = time.perf_counter(), time.process_time()
    mesh = read_scan(path).mesh
    read = time.process_time()
    scan = measure_bar(mesh)
    done, whole = time.process_time(), time.perf_counter() - clock
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    times = f"read {read - start:4.1f} s, measure {done - read:4.1f} s (clock {whole:4.1f} s), peak {peak:4.0f} MB"
    return f"{len(mesh.triangles):9,} {times}; {len(scan.segments)} segments, {len(scan.ends)} ends"


def main() -> None:
    """Each size in a process of its own, so that memory is its own."""
    with tempfile.TemporaryDirectory() as folder:
        for size in SIZES:
            for name in ("bar.stl", "bar-with-balls.stl"):
                _run(Path(folder) / name, scanned(size, "balls" in name))
        for name in ("bar.ply", "bar.obj", "bar-ascii.stl"):
            _run(Path(folder) / name, scanned(500_000, False))


def _run(path: Path, triangles: Array) -> None:
    write(path, triangles)
    code = (
        f"from pathlib import Path; from tests.benchmarks.scan_timing import timed; print(timed(Path({str(path)!r})))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    print(f"{path.name:20} {done.stdout.strip()}", flush=True)


if __name__ == "__main__":
    main()
