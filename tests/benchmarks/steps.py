"""Time single steps of the tool on a case inside one process, after its imports. Run as a module: step,
case."""

from __future__ import annotations

import json
import os
import sys
import time
from collections.abc import Callable
from dataclasses import replace

if "from_python" in sys.argv:  # with nothing set
    os.environ.pop("OPENBLAS_NUM_THREADS", None)
else:  # as the command sets it
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

SAMPLES = 1_000_000


def check(case):
    from hoopwright.pipeline import check_case

    return lambda: check_case(case)


def from_python(case):
    import scipy.linalg  # noqa: F401 - imports are left out

    import hoopwright
    import hoopwright.pipeline

    return lambda: hoopwright.check(case)


def size(case):
    from hoopwright.sizing.plan import size_case

    return lambda: size_case(case)


def curves(case):
    from hoopwright.sizing.cell_curves import cell_curves

    return lambda: cell_curves(case)


def compare(case):
    from hoopwright.sizing.routes import compare_routes

    return lambda: compare_routes(case, case.routes[-4:])


def samples(case):
    """Run all checks at a million sampled fits, with the fits already solved."""
    from hoopwright.checks import CHECKS
    from hoopwright.pipeline import check_case
    from hoopwright.sizing.margin_curves import margin_intervals

    study = check_case(replace(case)).study
    return lambda: margin_intervals(case, study, CHECKS, samples=SAMPLES)


STEPS: dict[str, Callable] = {f.__name__: f for f in (check, from_python, size, curves, compare, samples)}


def main(step: str, file: str) -> None:
    from hoopwright.case.read import read_case

    work = STEPS[step](read_case(file))
    start, used = time.perf_counter(), time.process_time()
    work()
    taken = {"seconds": time.perf_counter() - start, "processor": time.process_time() - used}
    print(json.dumps(taken))


if __name__ == "__main__":
    main(*sys.argv[1:])
