"""Bearing loads on a clamped crank shell, by harmonics. Run as a module with arguments: rows, size,
harmonics."""

from __future__ import annotations

import json
import os
import resource
import sys
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command sets it

import numpy as np

sys.path.insert(0, "tests")

from fem_models import bearing_pushes, clamped_crank_shell

from hoopwright.fem import Resolution


def solve(rows: float, size: float, harmonics: int) -> tuple[list[float], int]:
    """rr, zz and θθ, MPa, and the number of unknowns of one harmonic."""
    solver = clamped_crank_shell(
        Resolution(
            elements_through_wall=rows,
            at_joint=1.0 / rows,
            row_growth=0.0,
            at_step=min(2.0, 2.5 * size),
            at_free_end=min(2.0, 2.5 * size),
            largest=size,
            growth=1.0,
        )
    )
    response = solver.solve([bearing_pushes(harmonics)])
    # at θ = 0 the cosine family alone is left of rr, θθ and zz
    lines = response.recovery.linearised(response.stress[:, 0, 0].sum(axis=0), "sleeve")
    values = [float(np.interp(5.5, lines.z, lines.surface_inner[:, c])) for c in (0, 2, 1)]
    return values, solver.model.size


def main(rows: str, size: str, harmonics: str) -> None:
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    seconds = []
    for _ in range(3):  # the first run is cold; the median is neither cold nor lucky
        start = time.perf_counter()
        values, unknowns = solve(float(rows), float(size), int(harmonics))
        seconds.append(time.perf_counter() - start)
    print(
        json.dumps(
            {"values": values, "unknowns": unknowns, "seconds": sorted(seconds)[1], "before_MB": before}
        )
    )


if __name__ == "__main__":
    main(*sys.argv[1:])
