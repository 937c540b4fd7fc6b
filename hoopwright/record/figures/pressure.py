"""Contact pressure along the shell, for the loosest, nominal and tightest fit."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.fit import Bracket, FitState
from hoopwright.pipeline import Results
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

COVERED = 0.96
"""Share of the contact area whose pressure is always shown whole."""
HEADROOM = 1.35


def figure(results: Results, units: Units) -> Figure:
    with style.look():
        made = style.new_figure(height=78.0)
        pressure(results, units, made.add_subplot())
        return style.settled(made)


def pressure(results: Results, units: Units, axes: Axes) -> Axes:
    """Pressure at the contact nodes, solid without friction, dashed where it sticks."""
    study = results.study
    fits: list[tuple[str, Bracket, str, float, str | None]] = [
        ("nominal", study.nominal, style.DARK, 1.5, None)]
    if study.spread > 0.0:
        fits = [("greatest", study.greatest, style.MIDDLE, 1.1, "^"), *fits,
                ("least", study.least, style.LIGHT, 1.1, "v")]
    scale = style.factor("MPa", units)
    for name, bracket, colour, width, marker in fits:
        shift = {"greatest": study.spread, "least": -study.spread}.get(name, 0.0)
        tight = units.text(1e3 * (study.nominal_interference + shift), "um")
        for state, line in ((bracket.free[0], "-"), (bracket.stuck[0], (0, (4, 2)))):
            z, p = _broken_at_gaps(state)
            friction = "stuck" if state.press.stuck else "frictionless"
            axes.plot(z * style.factor("mm", units), p * scale, color=colour, linestyle=line,
                      linewidth=width, marker=marker if line == "-" else None, markevery=0.12,
                      markersize=3.5, label=f"{name}, {tight}, {friction}")
    _mean_line(results, units, axes)
    _dress(results, units, axes, [b for _, b, *_ in fits])
    return axes


def _broken_at_gaps(state: FitState) -> tuple[np.ndarray, np.ndarray]:
    """z in mm and pressure in MPa with a nan between runs of seats that do not meet."""
    pairs, p = state.mesh.assembly.interface, state.press.pressure
    parts_z: list[np.ndarray] = []
    parts_p: list[np.ndarray] = []
    gap = np.array([np.nan])
    for start, end in _runs(state):
        inside = (pairs.z >= start - 1e-9) & (pairs.z <= end + 1e-9)
        parts_z += [pairs.z[inside], gap]
        parts_p += [p[inside], gap]
    return np.concatenate(parts_z), np.concatenate(parts_p)


def _runs(state: FitState) -> Iterator[tuple[float, float]]:
    """Stretches of seats without a gap between them."""
    seats = state.mesh.assembly.joint.seats
    start = seats[0].z_start
    for seat, following in zip(seats, (*seats[1:], None), strict=True):
        if following is None or following.z_start - seat.z_end > 1e-6:
            yield start, seat.z_end
            start = following.z_start if following else start


def _mean_line(results: Results, units: Units, axes: Axes) -> None:
    mean = results.study.nominal.free[0].mean_pressure
    axes.axhline(mean * style.factor("MPa", units), color=style.QUIET, linewidth=0.8, linestyle=":")
    axes.set_title(f"dotted: mean at nominal, frictionless, {units.text(mean, 'MPa', decimals=2)}",
                   loc="right", fontsize=style.SMALL, fontweight="normal", color=style.QUIET)


def _dress(results: Results, units: Units, axes: Axes, brackets: list[Bracket]) -> None:
    width = results.case.shell.width
    scale_z = style.factor("mm", units)
    top, highest = _top(brackets)
    top, highest = top * style.factor("MPa", units), highest * style.factor("MPa", units)
    axes.set_ylim(-0.04 * top, top)
    axes.axhline(0.0, color=style.INK, linewidth=0.8)
    axes.grid(axis="y")
    style.axis_z(axes, units, width)
    axes.set_ylabel(f"contact pressure [{units.label('MPa')}]")
    for start, end, why in _bare(results):
        axes.axvspan(start * scale_z, end * scale_z, facecolor="#f2f2f2", edgecolor="none", zorder=0)
        if end - start > 0.1 * width:
            axes.text(0.5 * (start + end) * scale_z, 0.5 * top, why, ha="center", va="center",
                      fontsize=style.SMALL, color=style.QUIET)
    axes.set_title("Contact pressure along the seat")
    if highest > top:
        note = (f"cut off: highest {_three_digits(highest)} {units.label('MPa')} on this mesh; "
                "at an end of the contact the elastic pressure grows as the mesh is refined")
        axes.text(0.5, 0.975, note, transform=axes.transAxes, ha="center", va="top", fontsize=style.SMALL,
                  color=style.QUIET, bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5})
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.17), ncols=3)


def _three_digits(value: float) -> str:
    return f"{value:.{max(0, 2 - math.floor(math.log10(value)))}f}"


def _bare(results: Results) -> Iterator[tuple[float, float, str]]:
    """Stretches of the shell without a seat, mm, and why."""
    case, reached = results.case, 0.0
    runs = [*_runs(results.study.nominal.free[0]), (case.shell.width, case.shell.width)]
    for start, end in runs:
        if start - reached > 1e-6:
            middle = 0.5 * (reached + start)
            under = case.sleeve.z_start < middle < case.sleeve.z_end
            yield reached, start, "relieved" if under else "no sleeve"
        reached = end


def _top(brackets: list[Bracket]) -> tuple[float, float]:
    """Upper end of the axis and the highest pressure anywhere, MPa."""
    tops, highest = [], 0.0
    for bracket in brackets:
        for state in (bracket.free[0], bracket.stuck[0]):
            p, weight = state.press.pressure, state.mesh.assembly.interface.weight
            order = np.argsort(p)
            covered = np.cumsum(weight[order]) / weight.sum()
            tops.append(float(p[order][min(int(np.searchsorted(covered, COVERED)), len(p) - 1)]))
            highest = max(highest, float(p.max()))
    top = HEADROOM * max(max(tops), 1e-9)
    return (top, highest) if highest > top else (max(1.1 * highest, 1e-6), highest)
