"""The bands beside the edges of a rigid clamp, where no stress or pressure under loads is judged.

A band that is held rigidly stops all movement at its edges at once: stress and pressure beside them are
those of the idealised clamp, grow without limit as the mesh is refined, and say nothing about a real one.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.joint import joint as assembled
from hoopwright.geometry.stations import END_TOLERANCE
from hoopwright.loads.support import ClampedBand

Band = tuple[float, float]


@dataclass(frozen=True)
class ClampEdges:
    """Bands of one wall to either side of each edge of the clamp, none without a clamp. z in mm."""

    bands: tuple[Band, ...] = ()

    def beside(self, z: np.ndarray) -> np.ndarray:
        """Which of some stations lie in a band, bool."""
        found = np.zeros(np.shape(z), dtype=bool)
        for start, end in self.bands:
            found |= (np.asarray(z) > start) & (np.asarray(z) < end)
        return found

    def cover(self, segments: list[Band]) -> bool:
        """Whether they leave nothing of stretches from, to."""
        return bool(self.bands) and all(self._covers(*segment) for segment in segments)

    def _covers(self, start: float, end: float) -> bool:
        for low, high in sorted(self.bands):
            if low <= start + END_TOLERANCE:
                start = max(start, high)
        return start >= end - END_TOLERANCE

    @property
    def text(self) -> str:
        """Where they lie, in words."""
        return " and ".join(
            f"{Units().along_span(*band)} ({Units('inch').along_span(*band)})" for band in self.bands
        )


def clamp_edges(case: Case, pair: Joint | None = None) -> ClampEdges:
    """The bands beside the edges of [service.clamped]. pair: shell and sleeve as assembled."""
    support = None if case.service is None else case.service.support
    if not isinstance(support, ClampedBand):
        return ClampEdges()
    pair = pair or assembled(case.shell, case.sleeve)
    walls = ((z, _wall_at(pair.shell, z)) for z in (support.z_start, support.z_end))
    return ClampEdges(tuple((z - wall, z + wall) for z, wall in walls))


def _wall_at(segments: tuple[Segment, ...], z: float) -> float:
    """The wall of a body at z, mm; the thinner one at a step, so that no more is left out than must be."""
    return min(s.wall for s in segments if s.z_start - END_TOLERANCE <= z <= s.z_end + END_TOLERANCE)


def unjudged_under_loads(case: Case) -> tuple[str, ...]:
    """What the bands leave nothing of, "shell", "sleeve" or "seat"."""
    if not clamp_edges(case).bands:
        return ()
    pair = assembled(case.shell, case.sleeve)
    edges = clamp_edges(case, pair)
    stretches = {
        "shell": [(s.z_start, s.z_end) for s in pair.shell],
        "sleeve": [(s.z_start, s.z_end) for s in pair.sleeve],
        "seat": [(s.z_start, s.z_end) for s in pair.seats],
    }
    return tuple(part for part, found in stretches.items() if edges.cover(found))
