"""Contact pressure along the shell for the loosest, nominal and tightest fit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.fit import FitSolution
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.state import let_go

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COVERED_SHARE = 0.96
"""Share of the contact area whose pressure is never cut off."""
HEADROOM = 1.35


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=78.0)
        plot_pressure(results, units, made.add_subplot())
        return style.lay_out(made)


def plot_pressure(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot pressure at the contact nodes on the bench: solid line frictionless, dashed line at high
    friction."""
    study = results.study
    least, greatest = study.loosest_shift, study.tightest_shift
    lines: list[tuple[str, float, str, float, str | None]] = [("likely", 0.0, style.DARK, 1.5, None)]
    if greatest > least:
        lines = [
            ("greatest", greatest, style.MIDDLE, 1.1, "^"),
            *lines,
            ("least", least, style.LIGHT, 1.1, "v"),
        ]
    scale, plotted = style.factor("MPa", units), []
    for name, shift, colour, width, marker in lines:
        tight = units.text(1e3 * (study.nominal_interference + shift), "um")
        free, *_, high = (study.at(state).finest for state in let_go(results.case, shift))
        for solution, line in ((free, "-"), (high, (0, (4, 2)))):
            plotted.append(solution)
            z, p = _broken_at_gaps(solution)
            axes.plot(
                z * style.factor("mm", units),
                p * scale,
                color=colour,
                linestyle=line,
                linewidth=width,
                marker=marker if line == "-" else None,
                markevery=0.12,
                markersize=3.5,
                label=f"{name}, {tight}, {solution.state.friction_text}",
            )
    _mean_line(results, units, axes)
    _label_axes(results, units, axes, plotted)
    return axes


def _broken_at_gaps(solution: FitSolution) -> tuple[np.ndarray, np.ndarray]:
    """z in mm and pressure in MPa, with NaN between runs of seats that do not adjoin."""
    pairs, p = solution.mesh.meshed_joint.interface, solution.press.pressure
    parts_z: list[np.ndarray] = []
    parts_p: list[np.ndarray] = []
    gap = np.array([np.nan])
    for start, end in _runs(solution):
        inside = (pairs.z >= start - 1e-9) & (pairs.z <= end + 1e-9)
        parts_z += [pairs.z[inside], gap]
        parts_p += [p[inside], gap]
    return np.concatenate(parts_z), np.concatenate(parts_p)


def _runs(solution: FitSolution) -> Iterator[tuple[float, float]]:
    """Start and end z, mm, of each run of seats without a gap."""
    seats = solution.mesh.meshed_joint.joint.seats
    start = seats[0].z_start
    for seat, following in zip(seats, (*seats[1:], None), strict=True):
        if following is None or following.z_start - seat.z_end > 1e-6:
            yield start, seat.z_end
            start = following.z_start if following else start


def _mean_line(results: Results, units: Units, axes: Axes) -> None:
    mean = results.study.nominal.finest.mean_pressure
    axes.axhline(mean * style.factor("MPa", units), color=style.QUIET, linewidth=0.8, linestyle=":")
    axes.set_title(
        f"dotted: mean at nominal, frictionless, {units.text(mean, 'MPa')}",
        loc="right",
        fontsize=style.SMALL,
        fontweight="normal",
        color=style.QUIET,
    )


def _label_axes(results: Results, units: Units, axes: Axes, plotted: list[FitSolution]) -> None:
    width = results.case.shell.width
    scale_z = style.factor("mm", units)
    top, highest = _axis_top(plotted)
    top, highest = top * style.factor("MPa", units), highest * style.factor("MPa", units)
    axes.set_ylim(-0.04 * top, top)
    axes.axhline(0.0, color=style.INK, linewidth=0.8)
    axes.grid(axis="y")
    style.axis_z(axes, units, width)
    axes.set_ylabel(f"contact pressure [{units.label('MPa')}]")
    for start, end, why in _stretches_without_seat(results):
        axes.axvspan(start * scale_z, end * scale_z, facecolor="#f2f2f2", edgecolor="none", zorder=0)
        if end - start > 0.1 * width:
            axes.text(
                0.5 * (start + end) * scale_z,
                0.5 * top,
                why,
                ha="center",
                va="center",
                fontsize=style.SMALL,
                color=style.QUIET,
            )
    axes.set_title("Contact pressure along the seat")
    if highest > top:
        note = (
            f"cut off: highest {_three_digits(highest)} {units.label('MPa')} on this mesh; "
            "at an end of the contact the elastic pressure grows as the mesh is refined"
        )
        axes.text(
            0.5,
            0.975,
            note,
            transform=axes.transAxes,
            ha="center",
            va="top",
            fontsize=style.SMALL,
            color=style.QUIET,
            bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5},
        )
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.17), ncols=3)


def _three_digits(value: float) -> str:
    return f"{value:.{max(0, 2 - math.floor(math.log10(value)))}f}"


def _stretches_without_seat(results: Results) -> Iterator[tuple[float, float, str]]:
    """Start and end z, mm, of each stretch of the shell without a seat, and the reason."""
    case, reached = results.case, 0.0
    runs = [*_runs(results.study.nominal.finest), (case.shell.width, case.shell.width)]
    for start, end in runs:
        if start - reached > 1e-6:
            middle = 0.5 * (reached + start)
            under = case.sleeve.z_start < middle < case.sleeve.z_end
            yield reached, start, "relieved" if under else "no sleeve"
        reached = end


def _axis_top(plotted: list[FitSolution]) -> tuple[float, float]:
    """Upper end of the axis, which may cut off end peaks, and the highest pressure anywhere, MPa."""
    tops, highest = [], 0.0
    for solution in plotted:
        p, area = solution.press.pressure, solution.mesh.meshed_joint.interface.weight
        tops.append(style.covering_value(p, area, COVERED_SHARE))
        highest = max(highest, float(p.max()))
    top = HEADROOM * max(max(tops), 1e-9)
    return (top, highest) if highest > top else (max(1.1 * highest, 1e-6), highest)
