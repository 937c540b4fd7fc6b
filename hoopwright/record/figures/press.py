"""Force against travel, with what the press read where there is a reading."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from hoopwright.case.quantity import converted
from hoopwright.closed_form.friction import ram_force
from hoopwright.display import Units
from hoopwright.pressing.advice import gauge_unit
from hoopwright.pressing.force_travel import ForceTravel
from hoopwright.pressing.posterior import Readings
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEADROOM = 1.12


def figure(force_travel: ForceTravel, readings: tuple[str, Readings] | None, units: Units) -> Figure:
    """readings: what was read at the press, and where it comes from; None where nothing was."""
    with style.plot_style():
        made = style.new_figure(height=84.0)
        plot_press(force_travel, readings, units, made.add_subplot())
        return style.lay_out(made)


def plot_press(
    force_travel: ForceTravel, readings: tuple[str, Readings] | None, units: Units, axes: Axes
) -> Axes:
    """Of a sleeve that is pushed in: likely force as a line, the band from least to stop, the closed form
    dashed, readings as dots."""
    newton = _newton(units)
    x, force = force_travel.travel * style.factor("mm", units), force_travel.force * newton
    axes.fill_between(x, force[:, 0], force[:, 2], color=style.LIGHT, alpha=0.35, linewidth=0.0)
    axes.plot(x, force[:, 2], color=style.MIDDLE, label="stop above")
    axes.plot(x, force[:, 1], color=style.DARK, linewidth=1.8, label="likely")
    axes.plot(
        x,
        force_travel.closed_form * newton,
        color=style.DARK,
        linewidth=0.9,
        linestyle=(0, (4, 2)),
        label="likely, closed form without end effect"
        + (" or yielding" if force_travel.metal_yields else ""),
    )
    axes.plot(x, force[:, 0], color=style.LIGHT, label="suspect the fit below")
    highest = float(max(force.max(), newton * force_travel.closed_form.max()))
    if readings is not None:
        source, read = readings
        axes.plot(
            read.travel * style.factor("mm", units),
            read.force * newton,
            linestyle="none",
            marker="o",
            markersize=3.0,
            color=style.INK,
            label=f"read: {source}",
        )
        highest = max(highest, float(read.force.max()) * newton)
    _label_axes(force_travel, units, axes, highest)
    return axes


def _newton(units: Units) -> float:
    return style.factor("N", units) if units.system == "inch" else 1e-3


def _label_axes(force_travel: ForceTravel, units: Units, axes: Axes, highest: float) -> None:
    capacity = force_travel.case.press.capacity
    axes.set_title(f"Pressing in from the {force_travel.enters_from}")
    axes.set_xlabel(f"travel since the leading end met the shell [{units.label('mm')}]")
    axes.set_ylabel(f"force [{'lbf' if units.system == 'inch' else 'kN'}]")
    axes.set_xlim(0.0, float(force_travel.travel[-1]) * style.factor("mm", units) * 1.01)
    axes.set_ylim(0.0, HEADROOM * highest if highest > 0.0 else 1.0)
    axes.grid(visible=True)
    if capacity is not None and capacity * _newton(units) < HEADROOM * highest:
        axes.axhline(
            capacity * _newton(units),
            color=style.QUIET,
            linestyle=":",
            linewidth=1.0,
            label=f"the press gives {units.text(capacity, 'N')}",
        )
    axes.legend(loc="upper left")
    ram = force_travel.case.press.ram_diameter_mm
    if ram is not None:
        mark = gauge_unit(force_travel, units)
        per = float(ram_force(gauge=converted(1.0, mark, "MPa"), ram_diameter=ram)) * _newton(units)

        def to_gauge(force: Any) -> Any:
            return np.asarray(force) / per

        def to_force(reading: Any) -> Any:
            return np.asarray(reading) * per

        right = axes.secondary_yaxis("right", functions=(to_gauge, to_force))
        right.set_ylabel(f"gauge [{mark}], ram {units.given(ram, 'mm')}")
