"""How much stress each harmonic of the service loads carries."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.unrolled import nothing_to_show
from hoopwright.service.study import ServiceState

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SMALLEST = 1e-3
"""Share of the largest amplitude below which a harmonic is not drawn."""


def figure(results: Results, units: Units) -> Figure:
    with style.look():
        made = style.new_figure(height=70.0)
        service = results.study.service
        if service is None or not service.cases:
            return style.settled(nothing_to_show(made))
        harmonics(results, units, made.add_subplot())
        return style.settled(made)


def harmonics(results: Results, units: Units, axes: Axes) -> Axes:
    """Greatest membrane + bending stress component of each harmonic, both bodies, stuck and sliding."""
    service = results.study.service
    assert service is not None
    scale = style.factor("MPa", units)
    bars = [(body, grip, colour, hatch)
            for body, colour in (("shell", style.MIDDLE), ("sleeve", style.DARK))
            for grip, hatch in (("stuck", ""), ("sliding", "///"))]
    largest = 0.0
    for k, (body, grip, colour, hatch) in enumerate(bars):
        state = service.states[grip][0]
        sizes = amplitudes(state, body) * scale
        largest = max(largest, float(sizes.max()))
        axes.bar(np.array(state.response.harmonics) + 0.2 * (k - 1.5), sizes, 0.18, label=f"{body}, {grip}",
                 facecolor=colour if not hatch else "white", edgecolor=colour, hatch=hatch, linewidth=0.6)
    axes.set_yscale("log")
    axes.set_ylim(largest * SMALLEST, largest * 2.0)
    axes.yaxis.set_major_formatter(lambda value, _: f"{value:g}")
    axes.set_xticks(list(service.states["stuck"][0].response.harmonics))
    axes.set_xlabel("harmonic n: 0 even all round, 1 bending and shear, 2 oval, 3 three lobes, ...")
    axes.set_ylabel(f"greatest amplitude [{units.label('MPa')}]")
    axes.grid(axis="y")
    axes.set_title("Stress by harmonic, all load cases")
    axes.legend(ncols=2)
    return axes


def amplitudes(state: ServiceState, body: str) -> np.ndarray:
    """Greatest component of membrane + bending over cases, surfaces and z, (harmonics,), MPa."""
    wall, stress = state.response.recovery.lines[body], state.response.stress
    found = []
    for one in stress:
        points = np.moveaxis(one.reshape(*one.shape[:2], -1, 6), 2, 0)
        membrane, bending = wall.membrane(points), wall.bending(points)
        found.append(max(np.abs(membrane - bending).max(), np.abs(membrane + bending).max()))
    return np.array(found)
