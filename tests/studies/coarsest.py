"""How far stresses on the coarsest mesh lie from those on the finest, over random repairs:

python -m tests.studies.coarsest 80
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

if __name__ == "__main__":  # run as a module, from the root of the repository
    sys.path[:0] = [str(Path(__file__).resolve().parents[2]), str(Path(__file__).resolve().parents[1])]

import numpy as np
from studies.designs import design

from hoopwright.case.read import parse_case
from hoopwright.checks.evidence import Evidence, evidence_of
from hoopwright.checks.stage_stress import stress_reader, worst_loaded
from hoopwright.discretisation import BODIES, usual_resolution
from hoopwright.study import CaseStudy

FIRST = 7000


def differences(count: int, *, first: int = FIRST) -> dict[str, np.ndarray]:
    """Relative differences of the greatest stress of both bodies, by what the joint is doing."""
    found: dict[str, list[float]] = {}
    for seed in range(first, first + count):
        case = parse_case(design(seed).text)
        evidence = evidence_of(case, CaseStudy(case, usual_resolution(case)))
        for what, difference in _of(evidence):
            found.setdefault(what, []).append(difference)
    return {what: np.array(values) for what, values in found.items()}


def _of(evidence: Evidence) -> Iterator[tuple[str, float]]:
    tight, way_in = evidence.greatest, evidence.study.way_in
    for body in BODIES:
        for fit in evidence.at_rest("pressed", tight).fits:
            coarse, fine = (s.equivalent_peak(body).value for s in (fit.coarsest, fit.finest))
            yield "at rest", coarse / fine - 1.0
        entering = [way_in.greatest_stress(body, tight, refined=refined) for refined in (False, True)]
        if entering[0] is not None and entering[1] is not None:
            yield "on the way in", entering[0].value.value / entering[1].value.value - 1.0
        if evidence.study.service is not None:
            loaded, read = worst_loaded(evidence, body), stress_reader(body)
            yield "under loads", read(*loaded.coarsest).value / read(*loaded.finest).value - 1.0


if __name__ == "__main__":
    designs = int(sys.argv[1]) if len(sys.argv) > 1 else 80
    for what, values in differences(designs).items():
        low, high = (100 * float(v) for v in (values.min(), values.max()))
        print(f"{what:14s} {len(values):4d} stresses, {low:+.1f} to {high:+.1f} %")
