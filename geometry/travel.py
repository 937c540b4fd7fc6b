"""A sleeve being pressed in: its position at a travel, and the travels at which engagement changes."""

from __future__ import annotations

from dataclasses import replace

from hoopwright.geometry.land import End, Land, at_end
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Sleeve
from hoopwright.geometry.stations import distinct
from hoopwright.geometry.validation import MAX_RELATIVE_INTERFERENCE


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
    remaining = total_travel(shell, sleeve, enters_from) - travel
    return moved(sleeve, -remaining if enters_from == "left" else remaining)


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
    bore_edges = {0.0, shell.width} | {land.z_end for land in shell.bore}
    sense = 1.0 if enters_from == "left" else -1.0
    travels = {0.0, total} | {total - sense * (edge - met) for edge in edges for met in bore_edges}
    return distinct(t for t in travels if 0.0 <= t <= total)


def blocking_travel(shell: Shell, sleeve: Sleeve, enters_from: End) -> float | None:
    """Travel, mm, at which a land meets a bore it cannot enter, or None if it can go all the way in.

    A land larger than the bore by MAX_RELATIVE_INTERFERENCE or more does not enter, nor does a sleeve from
    the side that its flange is not at, or its shoulder is.
    """
    if sleeve.enters_from not in (None, enters_from):
        return 0.0
    total = total_travel(shell, sleeve, enters_from)
    sense = 1.0 if enters_from == "left" else -1.0
    stops = []
    for turned in sleeve.outside:
        front = turned.z_end if enters_from == "left" else turned.z_start
        for bore in shell.bore:
            if _smallest(turned) < (1.0 + MAX_RELATIVE_INTERFERENCE) * max(
                bore.diameter_start, bore.diameter_end
            ):
                continue
            mouth = bore.z_start if enters_from == "left" else bore.z_end
            if sense * (front - mouth) > 1e-6:
                stops.append(total - sense * (front - mouth))
    return max(0.0, min(stops)) if stops else None


def _smallest(land: Land) -> float:
    return min(land.diameter_start, land.diameter_end)


def entry_end(shell: Shell, sleeve: Sleeve) -> End:
    """The side a sleeve enters from by default.

    The only side that is not blocked; else the one where the smaller end leads, else the one where the
    longer chamfer leads, else the left.
    """
    open_ends = [end for end in ("left", "right") if blocking_travel(shell, sleeve, end) is None]
    if len(open_ends) == 1:
        return "left" if open_ends[0] == "left" else "right"
    left = at_end(sleeve.outside, "left").diameter_start
    right = at_end(sleeve.outside, "right").diameter_end
    if abs(left - right) > 1e-9:
        return "left" if right < left else "right"
    return "left" if sleeve.chamfer_right >= sleeve.chamfer_left else "right"
