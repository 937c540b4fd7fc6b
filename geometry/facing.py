"""Facing a sleeve flush with the shell after it is pressed in: what is cut off its proud ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from hoopwright.geometry.joint import stands_proud
from hoopwright.geometry.land import End, Stretch
from hoopwright.geometry.shell import Shell
from hoopwright.geometry.sleeve import Facing, Sleeve
from hoopwright.geometry.stations import END_TOLERANCE


def proud_ends(shell: Shell, sleeve: Sleeve) -> tuple[End, ...]:
    """The ends of the sleeve that stand proud of the shell and are not its flange."""
    return tuple(end for end in stands_proud(shell, sleeve) if end != sleeve.flange_end)


def faced_flush(shell: Shell, sleeve: Sleeve) -> Sleeve:
    """A sleeve whose proud ends are faced flush with the shell after pressing; given as it is pressed.

    Every land and zone of it must reach into the shell: see `wholly_faced_off`. Of a chamfer is left what
    reaches into the shell.
    """
    ends = proud_ends(shell, sleeve)
    start = 0.0 if "left" in ends else sleeve.z_start
    end = shell.width if "right" in ends else sleeve.z_end
    left = Facing(start - sleeve.z_start, sleeve.chamfer_left, sleeve.chamfer_left_angle)
    right = Facing(sleeve.z_end - end, sleeve.chamfer_right, sleeve.chamfer_right_angle)
    chamfers = _left_of(left), _left_of(right)
    return replace(
        sleeve,
        z_start=start,
        z_end=end,
        outside=tuple(
            land.reaching(max(land.z_start, start), min(land.z_end, end)) for land in sleeve.outside
        ),
        bore=tuple(
            replace(zone, z_start=max(zone.z_start, start), z_end=min(zone.z_end, end))
            for zone in sleeve.bore
        ),
        chamfer_left=chamfers[0],
        chamfer_right=chamfers[1],
        chamfer_left_angle=sleeve.chamfer_left_angle if chamfers[0] else None,
        chamfer_right_angle=sleeve.chamfer_right_angle if chamfers[1] else None,
        faced_left=left if "left" in ends else None,
        faced_right=right if "right" in ends else None,
    )


def wholly_faced_off(
    shell: Shell, sleeve: Sleeve, stretches: Sequence[Stretch]
) -> Iterator[tuple[int, End]]:
    """The lands or zones that lie wholly in what is faced off, by index, and the end they are at."""
    ends = proud_ends(shell, sleeve)
    for index, one in enumerate(stretches):
        if "left" in ends and one.z_end <= END_TOLERANCE:
            yield index, "left"
        elif "right" in ends and one.z_start >= shell.width - END_TOLERANCE:
            yield index, "right"


def _left_of(faced: Facing) -> float:
    """Length of a chamfer that facing leaves, mm."""
    left = faced.chamfer - faced.length
    return left if left > END_TOLERANCE else 0.0
