"""Read the S-N data of a row of the materials table."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from hoopwright.closed_form.fatigue_life import MPA_PER_KSI
from hoopwright.materials.model import Provenance, SNCurve, SNEquation

TEXTS = ("figure", "form", "surface", "range_basis")
NUMBERS = ("a1", "a2", "a3", "a4", "scatter")
RANGES = {
    "stress_ratios": ("min_stress_ratio", "max_stress_ratio"),
    "lives": ("min_cycles", "max_cycles"),
}
"""Keys that hold the least and the greatest of a range, with the fields they fill."""


def sn_curve(entry: Mapping[str, Any], line: Provenance, *, where: str) -> SNCurve:
    """The curve of one row; strengths and a4 are given in ksi, as published.

    Raises ValueError naming `where` and the key that is missing or out of range.
    """
    for key in (*TEXTS, *NUMBERS, *RANGES, "tested_ksi"):
        if key not in entry:
            raise ValueError(f"{where} fatigue: no {key}")
    values: dict[str, Any] = {key: float(entry[key]) for key in NUMBERS}
    values |= {key: str(entry[key]) for key in TEXTS}
    for key, names in RANGES.items():
        least, most = map(float, entry[key])
        if not least < most:
            raise ValueError(f"{where} fatigue {key}: {least:g} to {most:g} is no range")
        values |= dict(zip(names, (least, most), strict=True))
    ultimate, yielding = (float(value) * MPA_PER_KSI for value in entry["tested_ksi"])
    own = entry.get("reversed")
    return SNCurve(
        **values,
        basis=line.basis,
        source=f"{line.source}, figure {values['figure']}",
        tested_ultimate=ultimate,
        tested_yield=yielding,
        fatigue_limit=bool(entry.get("fatigue_limit", False)),
        reversed=None
        if own is None
        else SNEquation(float(own["a1"]), float(own["a2"]), 0.0, float(own["a4"])),
    )
