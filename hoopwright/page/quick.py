"""What can be said at once, without finite elements, of a case that can be read.

The same functions as the command's: interference from sizes and their errors, Lamé, and the wall left.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import hypot

from hoopwright.case.model import Case
from hoopwright.checks.wall_left import thinner_at_start, thinnest_of, wall_of
from hoopwright.comparison import closed_form_of
from hoopwright.entry import entry_side
from hoopwright.errors import HoopwrightError
from hoopwright.form import bore_growth
from hoopwright.geometry.joint import joint
from hoopwright.geometry.land import End, Land, opposite
from hoopwright.interference import effective_interference, mean_interference


@dataclass(frozen=True)
class Quick:
    """interference: likely, effective, diametral, averaged along the seats, mm; plus_minus: half of its
    95 % interval. smoothing: already deducted, mm. pressure, shell_hoop, sleeve_hoop: by Lamé at that
    interference, MPa; None where no seat is left. wall: left on the thin side, at the unfavourable end of
    the sizes, mm, at wall_z. least_wall: the user's limit, or None; bore_limit: diameter up to which the
    wall keeps that limit, mm. leading: the end of the sleeve that goes in first, None where it is blocked.
    """

    interference: float
    plus_minus: float
    smoothing: float
    pressure: float
    shell_hoop: float
    sleeve_hoop: float
    wall: float
    wall_z: float
    least_wall: float | None
    bore_limit: float | None
    leading: End | None

    @property
    def wall_in_hand(self) -> float | None:
        """Share of the user's limit that the wall is above it; None without a limit."""
        return None if self.least_wall is None else self.wall / self.least_wall - 1.0


def quick(case: Case) -> Quick:
    """What Lamé, the sizes and their errors say."""
    made = joint(case.shell, case.sleeve)
    fit = effective_interference(case, made)
    likely = mean_interference(fit.fits)
    lame = closed_form_of(case, made, likely)
    thinnest = thinnest_of(case, made)
    return Quick(
        likely,
        fit.errors.half_width(),
        fit.smoothing,
        float(lame.pressure),
        float(lame.shell_hoop_interface),
        float(lame.sleeve_hoop_bore),
        wall_of(case, thinnest),
        thinnest.z_start if thinner_at_start(thinnest) else thinnest.z_end,
        case.min_wall_mm,
        bore_limit(case),
        _leading_end(case),
    )


def bore_limit(case: Case) -> float | None:
    """Greatest bore, mm, that leaves the user's least wall under every land of the outside, with runout,
    form and the errors of both sizes as they are now; None without a limit."""
    if case.min_wall_mm is None:
        return None
    limits = []
    for index, bore in enumerate(case.shell.bore):
        for outside in case.shell.outside:
            start, end = max(bore.z_start, outside.z_start), min(bore.z_end, outside.z_end)
            if start < end:
                limits.append(_limit(case, index, bore, outside, (start, end)))
    return min(limits)


def _limit(case: Case, index: int, bore: Land, outside: Land, ends: tuple[float, float]) -> float:
    assert case.min_wall_mm is not None
    least = min(float(outside.diameter_at(z)) for z in ends)
    off_centre = case.min_wall_mm + 0.5 * case.runout_mm + bore_growth(case, index)
    return least - 2.0 * off_centre - hypot(outside.plus_minus, bore.plus_minus)


def _leading_end(case: Case) -> End | None:
    try:
        return opposite(entry_side(case))
    except HoopwrightError:  # it cannot go in from there: the check says so
        return None
