"""Contact pressure of fit + service over the seat, unrolled, with the line where it vanishes."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.checks import evidence_of
from hoopwright.checks.contact import total_pressure
from hoopwright.checks.service_rows import grips, least_pressure
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.grid import angles, bar, closed_round, dress, mark
from hoopwright.record.figures.unrolled import nothing_to_show
from hoopwright.service.study import ServiceStudy, Spot

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LEVELS = 13


def figure(results: Results, units: Units) -> Figure:
    with style.look():
        made = style.new_figure(height=82.0)
        if results.study.service is None:
            return style.settled(nothing_to_show(made))
        interface_map(results, units, made.add_subplot())
        return style.settled(made)


def interface_map(results: Results, units: Units, axes: Axes) -> Axes:
    """The load case with the lowest pressure at the loosest fit."""
    service = results.study.service
    assert service is not None
    spot, z, pressure = lowest_pressure(results, service)
    scale, length = style.factor("MPa", units), style.factor("mm", units)
    width = results.case.shell.width
    around, closed = angles(service), closed_round(pressure).T * scale
    low, high = float(closed.min()), float(np.quantile(closed, 0.995))
    levels = np.linspace(min(low, 0.0), max(high, 1e-6), LEVELS)
    for start, end in _runs(z, service.stretch):
        if end - start > 1:
            drawn = axes.contourf(z[start:end] * length, around, closed[:, start:end], levels=levels,
                                  cmap="cividis", extend="max")
            if low < 0.0:
                axes.contour(z[start:end] * length, around, closed[:, start:end], levels=[0.0],
                             colors=["white"], linewidths=[1.6])
                axes.contourf(z[start:end] * length, around, closed[:, start:end], levels=[low - 1.0, 0.0],
                              colors=["none"], hatches=["////"])
    dress(axes, units, width)
    mark(axes, units, spot.z, spot.theta, f"lowest {units.text(-spot.value, 'MPa')}", width)
    if spot.value > 0.0:
        opens = "hatched: the joint opens"
    elif low < 0.0:
        opens = "hatched: beside ends that part by themselves, not judged"
    else:
        opens = "the joint stays closed everywhere"
    axes.set_title("Contact pressure in service", pad=15.0)
    axes.text(0.0, 1.02, f"load case '{service.names[spot.case]}', {spot.grip} joint, loosest fit; {opens}",
              transform=axes.transAxes, fontsize=style.SMALL, color=style.QUIET, in_layout=False)
    over = units.text(service.stretch, "mm", decimals=1 if units.system == "metric" else 2)
    bar(axes, drawn, levels, f"pressure [{units.label('MPa')}], averaged over {over}", location="right")
    return axes


def lowest_pressure(results: Results, service: ServiceStudy) -> tuple[Spot, np.ndarray, np.ndarray]:
    """Where pressure falls lowest, as the check of opening has it; z (pairs,), mm, and the pressure
    (pairs, angles), MPa, of that load case."""
    pairs = service.pairs(results.study.least)
    meshes = [pairs[grip][0] for grip in grips(evidence_of(results.case, results.study))]
    found = [(least_pressure(fit, state), fit, state) for fit, state in meshes]
    spot, fit, state = max(found, key=lambda one: one[0].value)
    return spot, state.seat.z, total_pressure(fit, state)[spot.case]


def _runs(z: np.ndarray, stretch: float) -> list[tuple[int, int]]:
    """Stretches of pairs without a gap wider than the averaging, as index ranges."""
    breaks = np.flatnonzero(np.diff(z) > max(stretch, 3.0 * np.median(np.diff(z)))) + 1
    edges = [0, *breaks.tolist(), len(z)]
    return list(zip(edges[:-1], edges[1:], strict=True))
