"""Stress amplitude of each Fourier harmonic of the service loads."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.unrolled import note_instead
from hoopwright.service.study import ServiceSolution

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MIN_SHARE = 1e-3
"""Lower end of the axis as a share of the largest amplitude."""


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=70.0)
        service = results.study.service
        if service is None or not service.cases:
            return style.lay_out(note_instead(made))
        plot_harmonics(results, units, made.add_subplot())
        return style.lay_out(made)


def plot_harmonics(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot the largest membrane + bending component per harmonic and body, stuck and sliding."""
    service = results.study.service
    assert service is not None
    scale = style.factor("MPa", units)
    bars = [
        (body, joint_condition, colour, hatch)
        for body, colour in (("shell", style.MIDDLE), ("sleeve", style.DARK))
        for joint_condition, hatch in (("stuck", ""), ("sliding", "///"))
    ]
    largest = 0.0
    for k, (body, joint_condition, colour, hatch) in enumerate(bars):
        solution = service.solutions[joint_condition][0]
        sizes = amplitudes(solution, body) * scale
        largest = max(largest, float(sizes.max()))
        axes.bar(
            np.array(solution.response.harmonics) + 0.2 * (k - 1.5),
            sizes,
            0.18,
            label=f"{body}, {joint_condition}",
            facecolor=colour if not hatch else "white",
            edgecolor=colour,
            hatch=hatch,
            linewidth=0.6,
        )
    axes.set_yscale("log")
    axes.set_ylim(largest * MIN_SHARE, largest * 2.0)
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.set_xticks(list(service.solutions["stuck"][0].response.harmonics))
    axes.set_xlabel("harmonic n: 0 axisymmetric, 1 bending and shear, 2 oval, 3 three lobes, ...")
    axes.set_ylabel(f"greatest amplitude [{units.label('MPa')}]")
    axes.grid(axis="y")
    axes.set_title("Stress by harmonic, all load cases")
    axes.legend(ncols=2)
    return axes


def amplitudes(solution: ServiceSolution, body: str) -> np.ndarray:
    """Largest membrane + bending stress component over load cases, surfaces and z, (harmonics,), MPa."""
    wall, stress = solution.response.recovery.lines[body], solution.response.stress
    found = []
    for one in stress:
        points = np.moveaxis(one.reshape(*one.shape[:2], -1, 6), 2, 0)
        membrane, bending = wall.membrane(points), wall.bending(points)
        found.append(max(np.abs(membrane - bending).max(), np.abs(membrane + bending).max()))
    return np.array(found)
