"""A sleeve being pressed in: its position at a travel, and the travels at which engagement changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Literal

from hoopwright.geometry.land import Land
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve

End = Literal["left", "right"]

# A land larger than the bore by more than this fraction of the diameter will not enter.
MAX_RELATIVE_INTERFERENCE = 0.02


def moved(sleeve: Sleeve, distance: float) -> Sleeve:
    """The same sleeve shifted along z by a distance, mm."""

    def shift(band):
        return replace(band, z_start=band.z_start + distance, z_end=band.z_end + distance)

    return replace(
        shift(sleeve),
        outside=tuple(shift(land) for land in sleeve.outside),
        bore=tuple(shift(zone) for zone in sleeve.bore),
    )


def total_travel(shell: Shell, sleeve: Sleeve, enters_from: End) -> float:
    """Travel, mm, from the leading end at the mouth of the shell to the sleeve in its final position."""
    return sleeve.z_end if enters_from == "left" else shell.width - sleeve.z_start


def at_travel(shell: Shell, sleeve: Sleeve, enters_from: End, travel: float) -> Sleeve:
    """The sleeve after a travel, mm, from the mouth of the shell."""
    left = total_travel(shell, sleeve, enters_from) - travel
    return moved(sleeve, -left if enters_from == "left" else left)


def engagement_travels(shell: Shell, sleeve: Sleeve, enters_from: End) -> list[float]:
    """Travels, mm, ascending, at which an edge of the sleeve meets an edge of the bore.

    The force curve may have a kink there. The first is 0, the last the total travel.
    """
    total = total_travel(shell, sleeve, enters_from)
    edges = {
        sleeve.z_start,
        sleeve.z_end,
        sleeve.z_start + sleeve.chamfer_left,
        sleeve.z_end - sleeve.chamfer_right,
    }
    edges |= {land.z_end for land in sleeve.outside}
    marks = {0.0, shell.width} | {land.z_end for land in shell.bore}
    way = 1.0 if enters_from == "left" else -1.0
    travels = sorted({0.0, total} | {total - way * (e - m) for e in edges for m in marks})
    return _apart([t for t in travels if 0.0 <= t <= total])


def _apart(values: Sequence[float], tolerance: float = 1e-6) -> list[float]:
    kept: list[float] = []
    for value in values:
        if not kept or value - kept[-1] > tolerance:
            kept.append(value)
    return kept


def blocking_travel(shell: Shell, sleeve: Sleeve, enters_from: End) -> float | None:
    """Travel, mm, at which a land meets a bore it cannot enter, or None if it can go all the way in."""
    total = total_travel(shell, sleeve, enters_from)
    way = 1.0 if enters_from == "left" else -1.0
    stops = []
    for turned in sleeve.outside:
        front = turned.z_end if enters_from == "left" else turned.z_start
        for bore in shell.bore:
            if _smallest(turned) < (1.0 + MAX_RELATIVE_INTERFERENCE) * max(
                bore.diameter_start, bore.diameter_end
            ):
                continue
            back = bore.z_start if enters_from == "left" else bore.z_end
            if way * (front - back) > 1e-6:
                stops.append(total - way * (front - back))
    return max(0.0, min(stops)) if stops else None


def _smallest(land: Land) -> float:
    return min(land.diameter_start, land.diameter_end)


def entry_end(shell: Shell, sleeve: Sleeve) -> End:
    """The side a sleeve enters from by default.

    The only side that is not blocked; else the one where the smaller end leads, else the one where the
    longer chamfer leads, else the left.
    """
    free = [end for end in ("left", "right") if blocking_travel(shell, sleeve, end) is None]
    if len(free) == 1:
        return "left" if free[0] == "left" else "right"
    first, last = sleeve.outside[0].diameter_start, sleeve.outside[-1].diameter_end
    if abs(first - last) > 1e-9:
        return "left" if last < first else "right"
    return "left" if sleeve.chamfer_right >= sleeve.chamfer_left else "right"
