"""Measure the error estimates: random repairs against overkill solutions.

    python -m tests.studies.error_bars [designs]        prints the table of DEVELOPERS.md

"covers": share of the reported numbers whose numerical error is at least their true error. "ratio": median
of the numerical errors over the median of the true errors of one quantity. True errors are in per cent of
the number itself, except: radial displacements of the greatest of them, interference lost to heat of the
interference, lowest pressure of the mean pressure.

Some numbers are exact on every mesh, and what remains is rounding in both solutions: a true error
below RESOLVED counts as covered and is excluded from the medians.

The shares in hoopwright/estimate.py were fitted to seeds below FIRST, which are other designs than these.
"""

from __future__ import annotations

import gc
import os
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass
from multiprocessing import get_context
from pathlib import Path

if __name__ == "__main__":  # run as a module, from the root of the repository
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

import numpy as np
from studies.designs import design
from studies.measured import Row, rows_of

FIRST, COUNT, PROCESSES = 1000, 200, 2
RESOLVED = 1e-8
"""Relative error below which the overkill solution cannot resolve the true error."""
WITHIN_ONE_PER_CENT = ("pressure", "force", "torque", "closure", "von Mises")
"""Quantities, by part of their name, whose true error must stay below 1 %."""


@dataclass(frozen=True)
class Line:
    """One quantity over all designs; true errors as shares."""

    quantity: str
    count: int
    covers: float
    ratio: float
    median: float
    greatest: float

    @property
    def must_be_small(self) -> bool:
        return "lowest" not in self.quantity and any(w in self.quantity for w in WITHIN_ONE_PER_CENT)


def study(count: int = COUNT, *, first: int = FIRST) -> list[Line]:
    """Solve the designs in two processes of one thread each that return memory as they go."""
    os.environ.update(OPENBLAS_NUM_THREADS="1", OMP_NUM_THREADS="1", MALLOC_MMAP_THRESHOLD_="16000000")
    with get_context("spawn").Pool(PROCESSES, maxtasksperchild=20) as pool:
        found = pool.map(_solved, range(first, first + count), chunksize=1)
    rows = [row for rows in found for row in rows]
    return [
        _line(name, [r for r in rows if r.quantity == name])
        for name in dict.fromkeys(r.quantity for r in rows)
    ]


def _solved(seed: int) -> list[Row]:
    rows = rows_of(design(seed))
    gc.collect()  # meshes and factors of a design refer to each other in cycles
    return rows


def _line(quantity: str, rows: Sequence[Row]) -> Line:
    share = [r.share for r in rows]
    seen = [r for r in rows if r.share > RESOLVED] or rows
    ratio = float(np.median([r.error for r in seen]) / np.median([r.true_error for r in seen]))
    covers = float(np.mean([r.covered or r.share <= RESOLVED for r in rows]))
    return Line(quantity, len(rows), covers, ratio, float(np.median(share)), float(np.max(share)))


def table(lines: Sequence[Line]) -> str:
    """Return the lines as a Markdown table."""
    head = [
        "| quantity | numbers | covers, % | ratio | true error, median, % | greatest, % |",
        "|---|---|---|---|---|---|",
    ]
    return "\n".join(
        head
        + [
            f"| {k.quantity} | {k.count} | {100 * k.covers:.1f} | {k.ratio:.3g} | {100 * k.median:.2g} | "
            f"{100 * k.greatest:.2g} |"
            for k in lines
        ]
    )


if __name__ == "__main__":
    started = time.perf_counter()
    print(table(study(int(sys.argv[1]) if len(sys.argv) > 1 else COUNT)))
    print(f"\n{time.perf_counter() - started:.0f} s in {PROCESSES} processes")
