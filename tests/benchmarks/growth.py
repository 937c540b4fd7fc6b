"""Growth of time and memory with the number of unknowns. Run as a module: mesh refinement in both
directions."""

from __future__ import annotations

import json
import os
import resource
import sys
import time

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command sets it

import numpy as np

sys.path.insert(0, "tests")

REFINED = (1.7, 3.0, 5.5, 10.0, 18.0)
OFTEN = 5.0
"""Sizes up to this one are run several times; larger ones take long enough for a steady time."""


def main(refined: str) -> None:
    from fem_models import bearing_pushes, clamped_crank_shell

    from hoopwright.fem import Resolution

    f = float(refined)
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    start = time.perf_counter()
    solver = clamped_crank_shell(
        Resolution(
            elements_through_wall=2 * f,
            at_joint=0.5 / f,
            row_growth=0.0,
            at_step=2.0 / f,
            at_free_end=2.0 / f,
            largest=0.8 / f,
            growth=1.0 / f,
        )
    )
    solver.solve([bearing_pushes(2)])
    seconds = time.perf_counter() - start
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(json.dumps({"unknowns": solver.model.size, "seconds": seconds, "MB": peak - before}))


def rows(times: int):
    from tests.benchmarks.measure import Row, child, median, run

    runs = [[run(child("growth", f)) for _ in range(times if f <= OFTEN else 1)] for f in REFINED]
    unknowns = np.array([r[0].output["unknowns"] for r in runs])
    seconds, memory = (
        np.array([median([one.output[k] for one in r]) for r in runs]) for k in ("seconds", "MB")
    )
    found = []
    for what, values, unit, wanted in (("time", seconds, "s", 1.35), ("memory", memory, "MB", None)):
        power = np.polyfit(np.log(unknowns), np.log(values), 1)[0]
        steps = np.diff(np.log(values)) / np.diff(np.log(unknowns))
        found.append(
            Row(
                f"growth of {what} with the unknowns, three harmonics from mesh to stress: exponent",
                f"{power:.2f}",
                f"≤ {wanted}" if wanted else "",
                power <= wanted if wanted else None,
                "; ".join(f"{n:,}: {v:.3g} {unit}" for n, v in zip(unknowns, values, strict=True))
                + f"; from size to size {', '.join(f'{s:.2f}' for s in steps)}",
            )
        )
    return found


if __name__ == "__main__":
    main(*sys.argv[1:])
