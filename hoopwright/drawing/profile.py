"""Profiles of sleeve and shell as they are drawn: at the middle of their limits, with chamfers and the
crests of threads.

They follow the outlines of the bodies that are solved, so that whatever is meshed is drawn.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import pairwise

from hoopwright.drawing.sizes import Content, Part, Size
from hoopwright.geometry.joint import CAPTURE_DISTANCE, Segment
from hoopwright.geometry.sleeve import Sleeve

Place = tuple[float, float]
"""z and r, mm."""
SAME = 1e-9


@dataclass(frozen=True)
class Profile:
    """Outside and bore from left to right. threads: ends and root radius of every thread, mm; later: ends
    and radius of every stretch of the bore that is cut after pressing."""

    outer: tuple[Place, ...]
    inner: tuple[Place, ...]
    threads: tuple[tuple[float, float, float], ...] = ()
    later: tuple[tuple[float, float, float], ...] = ()

    @property
    def ends(self) -> tuple[float, float]:
        return self.outer[0][0], self.outer[-1][0]

    @property
    def greatest(self) -> float:
        """Greatest radius, mm."""
        return max(r for _, r in self.outer)

    @property
    def least(self) -> float:
        """Least radius, mm."""
        return min(r for _, r in self.inner)

    @property
    def closed(self) -> tuple[Place, ...]:
        """The cut face as one closed outline."""
        return (*self.outer, *reversed(self.inner))


def sleeve_profile(content: Content) -> Profile:
    """The sleeve to make: of one that is finished after pressing, the blank."""
    segments, sleeve = content.plan.study.blank_joint.sleeve, content.case.sleeve.unfaced
    threads = content.of("sleeve", "thread")
    outer = _points(segments, content.of("sleeve", "outside", "flange"), outside=True)
    return Profile(
        _without_repeats(_chamfered(outer, sleeve, segments)),
        _without_repeats(_crests(segments, threads)),
        _stretches(threads),
        _stretches(content.of("sleeve", "bore after pressing", "thread after pressing")),
    )


def _stretches(sizes: tuple[Size, ...]) -> tuple[tuple[float, float, float], ...]:
    return tuple((one.z_start, one.z_end, 0.5 * one.plotted) for one in sizes)


def shell_profile(content: Content) -> Profile:
    segments = content.plan.study.joint.shell
    return Profile(
        _without_repeats(_points(segments, content.of("shell", "outside"), outside=True)),
        _without_repeats(_points(segments, content.of("shell", "bore"), outside=False)),
    )


def profile(content: Content, part: Part) -> Profile:
    return sleeve_profile(content) if part == "sleeve" else shell_profile(content)


def steps(points: Iterable[Place]) -> tuple[tuple[float, float, float], ...]:
    """z, lesser and greater radius of every step of a profile, mm."""
    found = ((a[0], *sorted((a[1], b[1]))) for a, b in pairwise(points) if abs(a[0] - b[0]) < SAME)
    return tuple(one for one in found if one[2] - one[1] > SAME)  # type: ignore[misc]


def _points(segments: Iterable[Segment], sizes: tuple[Size, ...], *, outside: bool) -> list[Place]:
    """A surface along the segments, at the plotted size of the land that lies there."""
    found = []
    for one in segments:
        middle = 0.5 * (one.z_start + one.z_end)
        ends = (one.outer_start, one.outer_end) if outside else (one.inner_start, one.inner_end)
        for z, meshed in zip((one.z_start, one.z_end), ends, strict=True):
            found.append((z, _plotted(sizes, z, middle, meshed)))
    return found


def _plotted(sizes: tuple[Size, ...], z: float, middle: float, meshed: float) -> float:
    """Radius of a surface, mm. meshed: of the body that is solved, which lies on the other one where they
    touch; it stands where no land explains it."""
    land = next((one for one in sizes if one.z_start <= middle <= one.z_end), None)
    if land is None:
        return meshed
    share = (z - land.z_start) / (land.z_end - land.z_start) - 0.5
    radius = 0.5 * (land.plotted + share * land.tapered)
    return radius if abs(radius - meshed) <= CAPTURE_DISTANCE else meshed


def _crests(segments: Iterable[Segment], threads: tuple[Size, ...]) -> list[Place]:
    """The sleeve's bore, at the minor diameter where it is threaded."""
    found = []
    for one in segments:
        middle = 0.5 * (one.z_start + one.z_end)
        cut = next((t.thread for t in threads if t.z_start <= middle <= t.z_end), None)
        ends = (0.5 * cut.minor,) * 2 if cut else (one.inner_start, one.inner_end)
        found += [(one.z_start, ends[0]), (one.z_end, ends[1])]
    return found


def _chamfered(outer: list[Place], sleeve: Sleeve, segments: tuple[Segment, ...]) -> list[Place]:
    """The outside with its lead-in chamfers. Where the case does not state their angle, they are drawn as
    deep as long, up to half the wall."""
    deepest = 0.5 * min(one.wall for one in segments)
    for end, length, stated in (
        (sleeve.z_start, sleeve.chamfer_left, sleeve.chamfer_depth("left")),
        (sleeve.z_end, sleeve.chamfer_right, sleeve.chamfer_depth("right")),
    ):
        if length:
            depth = min(length, deepest) if stated is None else stated
            outer = [(z, r - depth * max(0.0, 1.0 - abs(z - end) / length)) for z, r in outer]
    return outer


def _without_repeats(points: Iterable[Place]) -> tuple[Place, ...]:
    """The points without those that repeat the one before, or lie between two on one level."""
    found: list[Place] = []
    for z, r in points:
        if found and abs(found[-1][0] - z) < SAME and abs(found[-1][1] - r) < SAME:
            continue
        level = len(found) > 1 and all(abs(p[1] - r) < SAME for p in found[-2:])
        if level:
            found.pop()
        found.append((z, r))
    return tuple(found)
