"""Stress under bearing loads: harmonics against a three-dimensional solution, each at its coarsest
sufficient setting."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from tests.benchmarks.measure import Row, child, in_turn, median, ratios, run

REFERENCE = {"rr": -10.0, "zz": -15.36, "θθ": 34.79}
"""MPa at the sleeve's bore, z 5.5 mm, θ 0; computed in three dimensions and converged."""

ALLOWED = (0.02, 0.02, 0.005)
"""Relative error allowed for rr, zz and θθ."""

HARMONIC_SETTINGS = ((2, 1.2, 6), (2, 0.8, 6), (2, 0.5, 10), (3, 0.5, 12), (4, 0.3, 16))
"""From coarse to fine: rows through the wall, longest element in decay lengths, highest harmonic."""
SOLID = ((2, 6), (2, 4), (2, 3), (3, 12), (3, 8), (3, 6), (4, 12), (3, 4), (4, 8), (3, 3), (4, 5))
"""From coarse to fine: order of the elements and their size, mm."""


def rows(times: int) -> list[Row]:
    ours, theirs = _coarsest("bearing_harmonics", HARMONIC_SETTINGS), _coarsest("bearing_solid", SOLID)
    solid, plane = in_turn(theirs, ours, times=times)
    fast, fast_text = ratios(*([r.output["seconds"] for r in runs] for runs in (solid, plane)))
    _, whole_text = ratios([r.wall for r in solid], [r.wall for r in plane])
    heap, heap_text = ratios([r.peak for r in plane], [r.peak for r in solid])
    own, own_text = ratios(*([r.peak - r.output["before_MB"] for r in runs] for runs in (plane, solid)))
    output = [r[0].output for r in (plane, solid)]
    accuracy = "; ".join(
        f"{name}: {s['unknowns']} unknowns{each}, off by "
        + ", ".join(f"{100 * miss:.2f} %" for miss in _misses(s["values"]))
        for name, each, s in zip(("harmonics", "three dimensions"), (" each", ""), output, strict=True)
    )
    seconds = [median([r.output["seconds"] for r in runs]) for runs in (plane, solid)]
    return [
        Row(
            "bearing pushes, three dimensions / harmonics, time from geometry to stress",
            fast_text,
            "≥ 30",
            fast >= 30.0,
            f"{seconds[1]:.3f} s / {seconds[0]:.4f} s; {accuracy}",
        ),
        Row("the same, whole processes with imports (three solves each)", whole_text),
        Row(
            "bearing pushes, harmonics / three dimensions, peak memory above the imports",
            own_text,
            "≤ 0.2",
            own <= 0.2,
        ),
        Row(
            "the same, whole processes with imports",
            heap_text,
            "≤ 0.2",
            heap <= 0.2,
            f"{median([r.peak for r in plane]):.0f} MB / {median([r.peak for r in solid]):.0f} MB",
        ),
    ]


def _misses(values: Sequence[float]) -> list[float]:
    return [abs(v / r - 1.0) for v, r in zip(values, REFERENCE.values(), strict=True)]


def _coarsest(module: str, settings: Sequence[tuple[Any, ...]]) -> list[str]:
    """Return the first setting whose stresses agree with the reference."""
    for setting in settings:
        command = child(module, *setting)
        misses = _misses(run(command).output["values"])
        if all(miss <= allowed for miss, allowed in zip(misses, ALLOWED, strict=True)):
            return command
    raise RuntimeError(f"{module}: no setting reaches the reference")
