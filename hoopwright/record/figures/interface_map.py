"""Contact pressure of fit + service over the unrolled seat, with its zero line."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.checks import evidence_of
from hoopwright.checks.seat_pressure import total_pressure
from hoopwright.checks.service_rows import loosest_of_all
from hoopwright.display import Units
from hoopwright.maps.seat import runs_of
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.angle_maps import (
    add_colour_bar,
    angles_deg,
    label_axes,
    mark_point,
    repeat_first_angle,
)
from hoopwright.record.figures.unrolled import SEAT_BESIDE_CLAMP, note_instead
from hoopwright.service.study import Spot

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

LEVELS = 13


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=82.0)
        if results.study.service is None:
            return style.lay_out(note_instead(made))
        if loosest_of_all(evidence_of(results.case, results.study)) is None:
            return style.lay_out(note_instead(made, SEAT_BESIDE_CLAMP))
        plot_interface_map(results, units, made.add_subplot())
        return style.lay_out(made)


def plot_interface_map(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot the load case with the lowest pressure, at the loosest fit."""
    service = results.study.service
    assert service is not None
    spot, z, pressure = lowest_pressure(results)
    scale, length = style.factor("MPa", units), style.factor("mm", units)
    width = results.case.shell.width
    around, closed = angles_deg(service), repeat_first_angle(pressure).T * scale
    low, high = float(closed.min()), float(np.quantile(closed, 0.995))
    levels = np.linspace(min(low, 0.0), max(high, 1e-6), LEVELS)
    for start, end in runs_of(z, service.joint.thinnest_wall):
        if end - start > 1:
            contours = axes.contourf(
                z[start:end] * length,
                around,
                closed[:, start:end],
                levels=levels,
                cmap="cividis",
                extend="max",
            )
            if low < 0.0:
                axes.contour(
                    z[start:end] * length,
                    around,
                    closed[:, start:end],
                    levels=[0.0],
                    colors=["white"],
                    linewidths=[1.6],
                )
                axes.contourf(
                    z[start:end] * length,
                    around,
                    closed[:, start:end],
                    levels=[low - 1.0, 0.0],
                    colors=["none"],
                    hatches=["////"],
                )
    label_axes(axes, units, width)
    mark_point(axes, units, spot.z, spot.theta, f"lowest {units.text(-spot.value, 'MPa')}", width)
    if spot.value > 0.0:
        opens = "hatched: the joint opens"
    elif low < 0.0:
        opens = "hatched: next to ends that separate in any case, not judged"
    else:
        opens = "the joint stays closed everywhere"
    axes.set_title("Contact pressure in service", pad=15.0)
    style.subtitle(
        axes,
        f"load case '{service.names[spot.case]}', {spot.joint_condition} joint, loosest fit; {opens}",
    )
    label = f"pressure [{units.label('MPa')}], averaged over {units.along(service.joint.thinnest_wall)}"
    add_colour_bar(axes, contours, levels, label, location="right")
    return axes


def lowest_pressure(results: Results) -> tuple[Spot, np.ndarray, np.ndarray]:
    """The point of lowest pressure as judged by the check of opening, and the pressure of that load case.

    Returns the spot, z of the contact pairs (pairs,), mm, and pressure (pairs, angles), MPa.
    """
    loosest = loosest_of_all(evidence_of(results.case, results.study))
    assert loosest is not None
    fit, solution = loosest.found.finest
    return loosest.spot, solution.seat.z, total_pressure(fit, solution)[loosest.spot.case]
