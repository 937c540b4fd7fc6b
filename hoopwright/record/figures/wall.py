"""Hoop stress through the wall at mid-sleeve: finite elements against Lamé."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.closed_form.lame import lame_stress
from hoopwright.discretisation import BODIES
from hoopwright.display import Units
from hoopwright.fit import FitSolution
from hoopwright.pipeline import Results
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HOOP = 1
COLOUR = {"sleeve": style.DARK, "shell": style.MIDDLE}
MARKER = {"sleeve": "o", "shell": "s"}
NOTE_EDGE, NOTE_LINE = 0.04, 0.06
"""Distance of a note from the top of the axes, and height of one line, as shares of the axes."""


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=76.0)
        plot_wall(results, units, made.add_subplot())
        return style.lay_out(made)


def plot_wall(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot hoop stress through both walls at nominal interference, frictionless.

    Points: stress at the 2 × 2 points of the elements next to the station. Lines: Lamé with the radii and
    the interference there.
    """
    solution = results.study.nominal.finest
    scale_r, scale = style.factor("mm", units), style.factor("MPa", units)
    through = {body: _points(solution, body, results) for body in BODIES}
    edges = {body: (inner, outer) for body, (inner, outer, *_) in through.items()}
    pressure = _lame_pressure(results, edges)
    for body, (inner, outer, r, hoop) in through.items():
        loads = {"p_o": pressure} if body == "sleeve" else {"p_i": pressure}
        along = np.linspace(inner, outer, 60)
        lame = lame_stress(along, a=inner, b=outer, **loads)[HOOP]
        axes.plot(
            along * scale_r,
            lame * scale,
            color=COLOUR[body],
            label=f"{body}, Lamé",
            linestyle="-" if results.comparison.applies else "--",
        )
        axes.plot(
            r * scale_r,
            hoop * scale,
            MARKER[body],
            color=COLOUR[body],
            markerfacecolor="white",
            markersize=4.5,
            label=f"{body}, finite elements",
        )
    _label_axes(results, units, axes, edges)
    return axes


def _lame_pressure(results: Results, edges: dict[str, tuple[float, float]]) -> float:
    """Contact pressure, MPa, of two plain cylinders with the sizes at the station, in plane stress."""
    case, z = results.case, station(results)
    seat = next(s for s in results.study.joint.seats if s.z_start <= z <= s.z_end)
    share = (z - seat.z_start) / seat.length
    tight = seat.interference_start + share * (seat.interference_end - seat.interference_start)
    tight -= results.study.interference.smoothing
    shell, sleeve = case.shell_material, case.sleeve_material
    return float(
        contact_pressure(
            radial_interference=0.5 * tight,
            sleeve_bore_radius=edges["sleeve"][0],
            interface_radius=edges["sleeve"][1],
            shell_outer_radius=edges["shell"][1],
            sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
            shell=(shell.young_modulus, shell.poisson_ratio),
            sleeve_alpha=sleeve.mean_expansion(case.fit.temperature_rise_K),
            shell_alpha=shell.mean_expansion(case.fit.temperature_rise_K),
            temperature_change=case.fit.temperature_rise_K,
        )
    )


def station(results: Results) -> float:
    """z of the plot, mm: mid-sleeve, or the middle of the longest seat where mid-sleeve is relieved."""
    seats, middle = results.study.joint.seats, results.study.joint.middle
    if any(s.z_start <= middle <= s.z_end for s in seats):
        return middle
    longest = max(seats, key=lambda s: s.length)
    return 0.5 * (longest.z_start + longest.z_end)


def _points(
    solution: FitSolution, body: str, results: Results
) -> tuple[float, float, np.ndarray, np.ndarray]:
    """Inner and outer radius, r of the points, mm, and their hoop stress, MPa, nearest the station."""
    lines = solution.mesh.recovery.lines[body]
    k = int(np.argmin(np.abs(lines.z - station(results))))
    points = lines.points[k]
    r = solution.mesh.recovery.r.reshape(-1)[points]
    return float(lines.inner[k]), float(lines.outer[k]), r, solution.stress.reshape(-1, 6)[points, HOOP]


def _label_axes(results: Results, units: Units, axes: Axes, edges: dict[str, tuple[float, float]]) -> None:
    scale = style.factor("mm", units)
    interface = edges["sleeve"][1] * scale
    low, high = edges["sleeve"][0] * scale, edges["shell"][1] * scale
    room = 0.03 * (high - low)
    axes.set_xlim(low - room, high + room)
    axes.margins(y=0.12)
    axes.axhline(0.0, color=style.INK, linewidth=0.8)
    axes.axvline(interface, color=style.QUIET, linewidth=0.8)
    axes.text(
        interface,
        0.02,
        " interface",
        transform=axes.get_xaxis_transform(),
        ha="left",
        va="bottom",
        fontsize=style.SMALL,
        color=style.QUIET,
    )
    axes.grid(axis="y")
    axes.set_xlabel(f"radius r [{units.label('mm')}]")
    axes.set_ylabel(f"hoop stress [{units.label('MPa')}]")
    axes.set_title(f"Hoop stress through the wall at z = {units.along(station(results))}")
    axes.set_title(
        "nominal interference, frictionless",
        loc="right",
        fontsize=style.SMALL,
        fontweight="normal",
        color=style.QUIET,
    )
    if not results.comparison.applies:
        _note(axes, "Lamé is only a guide here (dashed):\n" + _wrapped(results.comparison.reasons))
    axes.legend(loc="upper center", bbox_to_anchor=(0.5, -0.17), ncols=4)


def _note(axes: Axes, words: str) -> None:
    """Write a note in the upper left, after extending the y axis to make room for it."""
    low, high = axes.get_ylim()
    taken = NOTE_EDGE + NOTE_LINE * (1 + words.count("\n"))
    axes.set_ylim(low, low + (high - low) / (1.0 - taken))
    axes.text(
        0.015,
        1.0 - NOTE_EDGE,
        words,
        transform=axes.transAxes,
        ha="left",
        va="top",
        fontsize=style.SMALL,
        color=style.INK,
        linespacing=1.3,
        bbox={"facecolor": "white", "edgecolor": "none", "pad": 1.5},
    )


def _wrapped(reasons: tuple[str, ...], width: int = 100) -> str:
    wrapped = (textwrap.wrap(reason, width, subsequent_indent="  ") for reason in reasons)
    return "\n".join(line for lines in wrapped for line in lines)
