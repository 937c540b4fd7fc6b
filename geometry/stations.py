"""Stations along the shell's axis: which of them coincide."""

from __future__ import annotations

from collections.abc import Iterable

END_TOLERANCE = 1e-6
"""mm: ends closer than this coincide, so that ends given in inches meet."""


def distinct(stations: Iterable[float]) -> list[float]:
    """The stations in ascending order; of several that coincide, the first.

    stations: z or travel, mm. A station coincides with the one returned before it when it lies no more than
    END_TOLERANCE beyond it.
    """
    found: list[float] = []
    for station in sorted(stations):
        if not found or station - found[-1] > END_TOLERANCE:
            found.append(station)
    return found
