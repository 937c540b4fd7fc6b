"""Meridian section of both bodies on the deformed shape, coloured by von Mises stress."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from hoopwright import fem
from hoopwright.checks import Evidence, evidence_of
from hoopwright.checks.stage_stress import weight_of
from hoopwright.discretisation import BODIES
from hoopwright.display import Units
from hoopwright.fem.strain import R, Z
from hoopwright.fit import FitSolution, Peak
from hoopwright.pipeline import Results
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

MAX_HEIGHT, MAX_WIDTH = 52.0, 134.0
"""Greatest height and width of the section, mm on paper."""
LEFT_MARGIN, BOTTOM_MARGIN, TOP_MARGIN = 16.0, 22.0, 7.0
"""Space left of, below and above it for text, mm on paper."""
DEFORMED_SHARE = 0.12
"""Largest displacement as drawn, as a share of both walls together."""
ASPECT_RATIOS = (1, 2, 3, 4, 5, 8, 10, 15, 20, 30, 50)
LEVELS = 20
COVERED_SHARE = 0.995
"""Share of the section's area whose stress is never beyond the colour scale."""
# The nine nodes of an element (corners, mid-sides, centre) as eight triangles.
TRIANGLES = np.array(
    [(0, 4, 8), (4, 1, 8), (1, 5, 8), (5, 2, 8), (2, 6, 8), (6, 3, 8), (3, 7, 8), (7, 0, 8)]
)


def figure(results: Results, units: Units) -> Figure:
    with style.plot_style():
        made = style.new_figure(height=MAX_HEIGHT + BOTTOM_MARGIN + TOP_MARGIN, constrained=False)
        axes = plot_section(results, units, made.add_axes((0.1, 0.3, 0.7, 0.6)))
        wide, high = np.ptp(axes.get_xlim()), np.ptp(axes.get_ylim()) * float(axes.get_aspect())
        scale = min(MAX_WIDTH / wide, MAX_HEIGHT / high)
        height = scale * high + BOTTOM_MARGIN + TOP_MARGIN
        made.set_size_inches(style.WIDTH * style.MM, height * style.MM)
        axes.set_position(
            (
                LEFT_MARGIN / style.WIDTH,
                BOTTOM_MARGIN / height,
                scale * wide / style.WIDTH,
                scale * high / height,
            )
        )
    return made


def plot_section(results: Results, units: Units, axes: Axes) -> Axes:
    """Plot the section at greatest interference, at rest on the bench with the friction that stresses the
    shell most.

    Colours: local stress per body, never averaged across the interface. Numbered points: where
    the stress that the checks judge governs.
    """
    evidence = evidence_of(results.case, results.study)
    solution, _ = _governing(evidence, "shell")
    exaggeration = _exaggeration(solution)
    shape = _deformed(solution, exaggeration) * style.factor("mm", units)
    stress = fem.von_mises(solution.mesh.recovery.at_nodes(solution.stress)) * style.factor("MPa", units)
    stretch = _set_limits(axes, shape, units)
    _plot_stress(axes, solution, shape, stress, units)
    _plot_outlines(axes, solution, shape, _free_shape(solution, exaggeration) * style.factor("mm", units))
    peaks = [_governing(evidence, body) for body in BODIES]
    notes = [
        _mark_peak(axes, number, peak, governing, solution, shape, units)
        for number, (governing, peak) in enumerate(reversed(peaks), start=1)
    ]
    tight = 1e3 * (results.study.nominal_interference + results.study.tightest_shift)
    axes.set_title(
        f"Equivalent stress, at rest: greatest interference {units.text(tight, 'um')}, "
        f"{solution.state.friction_text}"
    )
    axes.set_xlabel(f"z from the left face [{units.label('mm')}]")
    _caption(
        axes,
        (
            f"Displacement and interference magnified {exaggeration:g} times"
            + (f"; r stretched {stretch} times against z" if stretch > 1 else "")
            + ". Dashed: free shapes before pressing.",
            "Governing, as checked:  " + ";  ".join(notes) + ".",
            "Colours: local stress, which is singular at a sharp end of the contact; "
            "the arrow marks values beyond the scale.",
        ),
    )
    return axes


def _governing(evidence: Evidence, body: str) -> tuple[FitSolution, Peak]:
    """The fit that leaves a body the least margin, and where."""
    fits, weigh = evidence.at_rest("pressed", evidence.greatest), weight_of(evidence, body, "pressed")
    _, found = fits.greatest(f"{body} pressed", lambda s: s.equivalent_peak(body, weigh).value)
    peak = found.equivalent_peak(body, weigh)
    weight = float(np.max(weigh(np.array([peak.z]), found.temperature_rise)))
    return found, replace(peak, value=peak.value / weight)


def _caption(axes: Axes, lines: tuple[str, ...]) -> None:
    axes.annotate(
        "\n".join(lines),
        (0.0, 0.0),
        xycoords="axes fraction",
        xytext=(0.0, -27.0),
        textcoords="offset points",
        ha="left",
        va="top",
        fontsize=style.SMALL,
        linespacing=1.35,
    )


def _exaggeration(solution: FitSolution) -> float:
    """Magnification of displacements: 1, 2 or 5 times a power of ten."""
    nodes = solution.mesh.meshed_joint.model.mesh.nodes
    walls = float(np.ptp(nodes[R]))
    largest = max(float(np.abs(solution.press.displacement[:, [R, Z]]).max()), 1e-12)
    wanted = DEFORMED_SHARE * walls / largest
    power = 10.0 ** math.floor(math.log10(wanted))
    return max(step for step in (1.0, 2.0, 5.0) if step * power <= wanted * (1.0 + 1e-9)) * power


def _free_shape(solution: FitSolution, exaggeration: float) -> np.ndarray:
    """Free shapes before pressing as (z, r), (2, nodes), mm, with the interference magnified.

    In the mesh both faces share one radius. Deformed from there, the bodies would appear to gape by the
    interference; with the interference magnified like the displacement, they meet.
    """
    mesh = solution.mesh.meshed_joint.model.mesh
    r, z = mesh.nodes
    nodes = mesh.body_nodes("sleeve")
    bore, outside = (mesh.nodes[:, solution.mesh.face(f"sleeve.{f}")] for f in ("bore", "outside"))
    low, high = (np.interp(z[nodes], face[1], face[0]) for face in (bore, outside))
    high = np.minimum(high, solution.mesh.meshed_joint.interface.r.max())  # a flange moves with its neck
    share = np.clip((r[nodes] - low) / (high - low), 0.0, 1.0)
    shape = np.stack([z, r])
    shape[1, nodes] += exaggeration * share * _interference(solution, z[nodes])
    return shape


def _interference(solution: FitSolution, z: np.ndarray) -> np.ndarray:
    """Radial interference at z, mm, going on where the sleeve stands proud; zero on a relief, which the
    mesh already has at its own radius."""
    pairs, joint = solution.mesh.meshed_joint.interface, solution.mesh.meshed_joint.joint
    moved = solution.press.displacement[pairs.shell, R] - solution.press.displacement[pairs.sleeve, R]
    closed = solution.press.closed
    shift = np.median((moved - solution.mesh.profile)[closed]) if closed.any() else 0.0
    value = np.interp(z, pairs.z, solution.mesh.profile + shift)
    for segment in joint.sleeve:
        bore = next((s for s in joint.shell if s.z_start <= segment.z_start + 1e-9 < s.z_end), None)
        if bore is not None and abs(bore.inner_start - segment.outer_start) > 1e-9:
            value[(z > segment.z_start + 1e-9) & (z < segment.z_end - 1e-9)] = 0.0
    return value


def _deformed(solution: FitSolution, exaggeration: float) -> np.ndarray:
    moved = solution.press.displacement[:, [Z, R]].T
    return _free_shape(solution, exaggeration) + exaggeration * moved


def _plot_stress(
    axes: Axes, solution: FitSolution, shape: np.ndarray, stress: np.ndarray, units: Units
) -> None:
    from matplotlib.ticker import MaxNLocator
    from matplotlib.tri import Triangulation

    corners = solution.mesh.meshed_joint.model.mesh.connectivity[TRIANGLES]  # (8, 3, elements)
    triangles = np.moveaxis(corners, 1, 2).reshape(-1, 3)
    top = _colour_top(solution, stress, triangles)
    filled = axes.tricontourf(
        Triangulation(shape[0], shape[1], triangles),
        stress,
        cmap=style.STRESS_MAP,
        levels=np.linspace(0.0, top, LEVELS + 1),
        extend="max" if stress.max() > top else "neither",
    )
    filled.set_edgecolor("face")  # avoids white seams between bands
    filled.set_linewidth(0.2)
    tall = np.ptp(axes.get_ylim()) * float(axes.get_aspect()) / np.ptp(axes.get_xlim())
    unit = max(1.0, tall * MAX_WIDTH / MAX_HEIGHT)  # same bar width on paper beside a narrow section
    bar = axes.figure.colorbar(filled, cax=axes.inset_axes((1.0 + 0.015 * unit, 0.0, 0.018 * unit, 1.0)))
    bar.set_label(f"von Mises stress [{units.label('MPa')}]")
    bar.outline.set_linewidth(0.4)
    ticks = MaxNLocator(nbins=5, steps=[1, 2, 5, 10]).tick_values(0.0, top)
    bar.set_ticks([t for t in ticks if t <= top * (1.0 + 1e-9)])


def _colour_top(solution: FitSolution, stress: np.ndarray, triangles: np.ndarray) -> float:
    """Upper end of the colour scale: a round number above the stress in all but the last of the area."""
    z, r = solution.mesh.meshed_joint.model.mesh.nodes[::-1, triangles]
    area = np.abs((z[:, 1] - z[:, 0]) * (r[:, 2] - r[:, 0]) - (z[:, 2] - z[:, 0]) * (r[:, 1] - r[:, 0]))
    highest = stress[triangles].max(axis=1)
    value = max(style.covering_value(highest, area, COVERED_SHARE), 1e-9)
    step = 10.0 ** (math.floor(math.log10(value)) - 1) * 2.0
    return step * math.ceil(value / step)


def _plot_outlines(axes: Axes, solution: FitSolution, shape: np.ndarray, turned: np.ndarray) -> None:
    connectivity = solution.mesh.meshed_joint.model.mesh.connectivity
    sides = np.concatenate([connectivity[[k, k + 4, (k + 1) % 4]].T for k in range(4)])
    _, first, count = np.unique(np.sort(sides[:, [0, 2]]), axis=0, return_index=True, return_counts=True)
    edge = sides[first[count == 1]]  # sides of a single element: the boundary of each body
    for at, colour, width, line in ((turned, style.QUIET, 0.5, (0, (3, 2))), (shape, style.INK, 0.7, "-")):
        z, r = np.concatenate([at[:, edge], np.full((2, len(edge), 1), np.nan)], axis=2).reshape(2, -1)
        axes.plot(z, r, color=colour, linewidth=width, linestyle=line, zorder=3, solid_capstyle="round")


def _set_limits(axes: Axes, shape: np.ndarray, units: Units) -> int:
    """Set the limits, and return the whole-number stretch of r against z that fills the height."""
    z, r = shape
    room_z, room_r = 0.03 * np.ptp(z), 0.12 * np.ptp(r)
    span_z, span_r = np.ptp(z) + 2.0 * room_z, np.ptp(r) + 2.0 * room_r
    max_stretch = MAX_HEIGHT / (MAX_WIDTH / span_z * span_r)
    stretch = max([s for s in ASPECT_RATIOS if s <= max_stretch], default=1)
    axes.set_xlim(z.min() - room_z, z.max() + room_z)
    axes.set_ylim(r.min() - room_r, r.max() + room_r)
    axes.set_aspect(stretch)
    axes.set_ylabel(f"radius r [{units.label('mm')}]")
    return stretch


def _mark_peak(
    axes: Axes,
    number: int,
    peak: Peak,
    governing: FitSolution,
    plotted: FitSolution,
    shape: np.ndarray,
    units: Units,
) -> str:
    """Mark the governing point of the body with its number, and return its caption."""
    body = peak.body
    mesh = plotted.mesh.meshed_joint.model.mesh
    nodes = mesh.body_nodes(body)
    near = nodes[np.argmin(np.hypot(*(mesh.nodes[:, nodes] - [[peak.r], [peak.z]])))]
    z, r = shape[:, near]
    axes.plot(
        [z],
        [r],
        marker="D" if body == "shell" else "o",
        markersize=5.0,
        color="white",
        markeredgecolor=style.INK,
        markeredgewidth=1.0,
        zorder=6,
        clip_on=False,
    )
    axes.annotate(
        str(number),
        (z, r),
        xytext=(0.0, 9.0 if peak.surface == "outside" else -9.0),
        textcoords="offset points",
        ha="center",
        va="center",
        fontsize=style.NORMAL,
        fontweight="bold",
        zorder=7,
        color=style.INK,
        bbox={
            "boxstyle": "circle,pad=0.15",
            "facecolor": "white",
            "edgecolor": style.INK,
            "linewidth": 0.6,
        },
    )
    other = ""
    if governing.state != plotted.state:
        other = f" ({governing.state.friction_text})"
    return f"{number}: {body}{other} {units.text(peak.value, 'MPa')} at its {peak.surface}"
