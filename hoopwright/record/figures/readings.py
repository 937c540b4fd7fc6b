"""Diameter readings corrected to 20 °C, by station and by clock angle, with the fitted land."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MARKS = ("o", "s", "^", "D", "v", "P", "X")


def figure(lands: Sequence[MeasuredLand], units: Units) -> Figure:
    """Two plots per measured land: against z and against the clock angle."""
    with style.plot_style():
        made = style.new_figure(height=62.0 * max(len(lands), 1))
        axes = made.subplots(len(lands), 2, squeeze=False)
        for row, land in zip(axes, lands, strict=True):
            plot_by_station(land, units, row[0])
            plot_by_angle(land, units, row[1])
        return style.lay_out(made)


def plot_by_station(land: MeasuredLand, units: Units, axes: Axes) -> Axes:
    """Plot deviations from the land's mean diameter against z, with the fitted taper as a line."""
    scale, length = style.factor("um", units), style.factor("mm", units)
    for k, (z, _, off) in enumerate(_stations(land)):
        axes.plot(
            length * z,
            scale * off,
            MARKS[k % len(MARKS)],
            color=style.DARK,
            markersize=3.5,
            fillstyle="none" if k % 2 else "full",
        )
    ends = np.array([land.readings.z_start, land.readings.z_end])
    fitted = 1e3 * np.array([land.diameter_start - land.diameter, land.diameter_end - land.diameter])
    axes.plot(length * ends, scale * fitted, color=style.MIDDLE, label="fitted land")
    half = 1e3 * land.plus_minus * scale
    axes.axhspan(-half, half, color=style.LIGHT, alpha=0.3, linewidth=0.0, label="mean, 95 %")
    for outliers in land.outliers:
        axes.plot(
            length * outliers.z,
            1e3 * scale * (outliers.value - land.diameter),
            "x",
            color=style.MIDDLE,
            markersize=8.0,
            label="stands out",
        )
    axes.set_xlabel(f"z [{units.label('mm')}]")
    _label_axes(land, units, axes)
    handles, labels = axes.get_legend_handles_labels()
    unique = dict(zip(labels, handles, strict=True))
    axes.legend(unique.values(), unique.keys(), loc="best")
    return axes


def plot_by_angle(land: MeasuredLand, units: Units, axes: Axes) -> Axes:
    """Plot the same against the clock angle, one marker per station, with the fitted ovality as a line."""
    scale = style.factor("um", units)
    for k, (z, angle, off) in enumerate(_stations(land)):
        if not np.all(np.isnan(angle)):
            axes.plot(
                angle,
                scale * off,
                MARKS[k % len(MARKS)],
                color=style.DARK,
                markersize=3.5,
                fillstyle="none" if k % 2 else "full",
                label=f"z {units.along(float(z[0]))}",
            )
    if land.ovality is not None and land.ovality_angle is not None:
        phi = np.linspace(0.0, 360.0, 181)
        oval = 500.0 * land.ovality * np.cos(2.0 * np.radians(phi - land.ovality_angle))
        axes.plot(phi, scale * oval, color=style.MIDDLE, label="fitted ovality")
    axes.set_xlim(-10.0, 370.0)
    axes.set_xticks(range(0, 361, 90))
    axes.set_xlabel("clock angle [°]")
    _label_axes(land, units, axes)
    axes.set_title("")
    if axes.get_legend_handles_labels()[0]:
        axes.legend(loc="center left", bbox_to_anchor=(1.01, 0.5))
    else:
        axes.text(0.5, 0.5, "no angles noted", transform=axes.transAxes, ha="center", color=style.QUIET)
    return axes


def _stations(land: MeasuredLand) -> list[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """z in mm, clock angle in degrees and deviation from the mean in µm, per station."""
    found = []
    for s, diameter in zip(land.readings.stations, land.readings_at_20, strict=True):
        angle = np.array(s.angles) if s.angles else np.full(len(s.values), np.nan)
        found.append((np.full(len(s.values), s.z), angle, 1e3 * (np.array(diameter) - land.diameter)))
    return found


def _label_axes(land: MeasuredLand, units: Units, axes: Axes) -> None:
    mean = f"mean {units.measured_diameter(land.diameter)} at {units.temperature(20.0)}"
    axes.set_ylabel(f"off the mean [{units.label('um')}]")
    axes.set_title(f"{land.part.capitalize()} {land.surface}, land {land.index + 1}: {mean}")
    axes.grid()
