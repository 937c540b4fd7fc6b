"""Meridian section of both bodies on the deformed shape, coloured by equivalent stress."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

import fem
from fem.strain import R, Z
from hoopwright.display import Units
from hoopwright.fit import BODIES, Bracket, FitState, Peak
from hoopwright.pipeline import Results
from hoopwright.record.figures import style

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

HEIGHT, ACROSS = 52.0, 134.0
"""mm of paper for the section, at most."""
LEFT, FOOT, HEAD = 16.0, 22.0, 7.0
"""mm of paper round it, for words."""
DEFORMED = 0.12
"""Largest displacement drawn, as a share of both walls together."""
STRETCHES = (1, 2, 3, 4, 5, 8, 10, 15, 20, 30, 50)
LEVELS = 20
COVERED = 0.995
"""Share of the section's area whose stress the colours always tell apart."""
# The nine nodes of an element (corners, sides, middle) as eight triangles.
TRIANGLES = np.array(
    [(0, 4, 8), (4, 1, 8), (1, 5, 8), (5, 2, 8), (2, 6, 8), (6, 3, 8), (3, 7, 8), (7, 0, 8)])


def figure(results: Results, units: Units) -> Figure:
    with style.look():
        made = style.new_figure(height=HEIGHT + FOOT + HEAD, constrained=False)
        axes = section(results, units, made.add_axes((0.1, 0.3, 0.7, 0.6)))
        wide, high = np.ptp(axes.get_xlim()), np.ptp(axes.get_ylim()) * float(axes.get_aspect())
        scale = min(ACROSS / wide, HEIGHT / high)
        height = scale * high + FOOT + HEAD
        made.set_size_inches(style.WIDTH * style.MM, height * style.MM)
        axes.set_position((LEFT / style.WIDTH, FOOT / height,
                           scale * wide / style.WIDTH, scale * high / height))
    return made


def section(results: Results, units: Units, axes: Axes) -> Axes:
    """Greatest interference; the friction that stresses the shell more. Colours: local stress per
    body, never averaged across the interface. Numbered points: membrane + bending, as checked."""
    bracket = results.study.greatest
    state = _governing(bracket, "shell")
    exaggeration = _exaggeration(state)
    shape = _deformed(state, exaggeration) * style.factor("mm", units)
    stress = fem.von_mises(state.mesh.recovery.at_nodes(state.stress)) * style.factor("MPa", units)
    stretch = _frame(axes, shape, units)
    _colours(axes, state, shape, stress, units)
    _outlines(axes, state, shape, _turned(state, exaggeration) * style.factor("mm", units))
    peaks = {body: _governing(bracket, body) for body in BODIES}
    notes = [_marked(axes, number, body, governing, state, shape, units)
             for number, (body, governing) in enumerate(reversed(peaks.items()), start=1)]
    friction = "stuck" if state.press.stuck else "frictionless"
    tight = 1e3 * (results.study.nominal_interference + results.study.spread)
    axes.set_title("Equivalent stress, pressed in: "
                   f"greatest interference {units.text(tight, 'um')}, {friction}")
    axes.set_xlabel(f"z from the left face [{units.label('mm')}]")
    _caption(axes, (
        f"Movement and interference drawn {exaggeration:g} times too large"
        + (f"; r stretched {stretch} times against z" if stretch > 1 else "")
        + ". Dashed: free shapes before pressing.",
        "Governing, membrane + bending as checked:  " + ";  ".join(notes) + ".",
        "Colours: the local stress, which has no limit at a sharp end of the contact; "
        "the arrow stands for more.",
    ))
    return axes


def _governing(bracket: Bracket, body: str) -> FitState:
    return bracket.greatest(lambda s: s.equivalent_peak(body).value)[1]


def _caption(axes: Axes, lines: tuple[str, ...]) -> None:
    axes.annotate("\n".join(lines), (0.0, 0.0), xycoords="axes fraction", xytext=(0.0, -27.0),
                  textcoords="offset points", ha="left", va="top", fontsize=style.SMALL, linespacing=1.35)


def _exaggeration(state: FitState) -> float:
    """1, 2 or 5 times a power of ten."""
    nodes = state.mesh.assembly.model.mesh.nodes
    walls = float(np.ptp(nodes[R]))
    largest = max(float(np.abs(state.press.displacement[:, [R, Z]]).max()), 1e-12)
    wished = DEFORMED * walls / largest
    power = 10.0 ** math.floor(math.log10(wished))
    return max(step for step in (1.0, 2.0, 5.0) if step * power <= wished * (1.0 + 1e-9)) * power


def _turned(state: FitState, exaggeration: float) -> np.ndarray:
    """Free shapes, (2, nodes), mm as z and r: the sleeve's outside as large as it was turned.

    The mesh carries both faces on one radius. Drawn that way, bodies that move apart by the
    interference would seem to gape; with the interference exaggerated alike, they meet.
    """
    mesh = state.mesh.assembly.model.mesh
    r, z = mesh.nodes
    nodes = mesh.body_nodes("sleeve")
    bore, outside = (mesh.nodes[:, state.mesh.face(f"sleeve.{f}")] for f in ("bore", "outside"))
    low, high = (np.interp(z[nodes], face[1], face[0]) for face in (bore, outside))
    share = np.clip((r[nodes] - low) / (high - low), 0.0, 1.0)
    shape = np.stack([z, r])
    shape[1, nodes] += exaggeration * share * _interference(state, z[nodes])
    return shape


def _interference(state: FitState, z: np.ndarray) -> np.ndarray:
    """Radial interference at z, mm; nil on a relief that is drawn where it is."""
    pairs, joint = state.mesh.assembly.interface, state.mesh.assembly.joint
    moved = state.press.displacement[pairs.shell, R] - state.press.displacement[pairs.sleeve, R]
    closed = state.press.closed
    shift = np.median((moved - state.mesh.profile)[closed]) if closed.any() else 0.0
    value = np.interp(z, pairs.z, state.mesh.profile + shift)
    for segment in joint.sleeve:
        bore = next(s for s in joint.shell if s.z_start <= segment.z_start + 1e-9 < s.z_end)
        if abs(bore.inner_start - segment.outer_start) > 1e-9:
            value[(z > segment.z_start + 1e-9) & (z < segment.z_end - 1e-9)] = 0.0
    return value


def _deformed(state: FitState, exaggeration: float) -> np.ndarray:
    moved = state.press.displacement[:, [Z, R]].T
    return _turned(state, exaggeration) + exaggeration * moved


def _colours(axes: Axes, state: FitState, shape: np.ndarray, stress: np.ndarray, units: Units) -> None:
    from matplotlib.ticker import MaxNLocator
    from matplotlib.tri import Triangulation

    corners = state.mesh.assembly.model.mesh.connectivity[TRIANGLES]  # (8, 3, elements)
    triangles = np.moveaxis(corners, 1, 2).reshape(-1, 3)
    top = _top(state, stress, triangles)
    filled = axes.tricontourf(Triangulation(shape[0], shape[1], triangles), stress, cmap=style.STRESS_MAP,
                              levels=np.linspace(0.0, top, LEVELS + 1),
                              extend="max" if stress.max() > top else "neither")
    filled.set_edgecolor("face")  # no white seams between the bands
    filled.set_linewidth(0.2)
    tall = np.ptp(axes.get_ylim()) * float(axes.get_aspect()) / np.ptp(axes.get_xlim())
    unit = max(1.0, tall * ACROSS / HEIGHT)  # the bar keeps its width on paper beside a narrow section
    bar = axes.figure.colorbar(filled, cax=axes.inset_axes((1.0 + 0.015 * unit, 0.0, 0.018 * unit, 1.0)))
    bar.set_label(f"von Mises stress [{units.label('MPa')}]")
    bar.outline.set_linewidth(0.4)
    ticks = MaxNLocator(nbins=5, steps=[1, 2, 5, 10]).tick_values(0.0, top)
    bar.set_ticks([t for t in ticks if t <= top * (1.0 + 1e-9)])


def _top(state: FitState, stress: np.ndarray, triangles: np.ndarray) -> float:
    """Upper end of the colours: a round number above all but the last of the area."""
    z, r = state.mesh.assembly.model.mesh.nodes[::-1, triangles]
    area = np.abs((z[:, 1] - z[:, 0]) * (r[:, 2] - r[:, 0]) - (z[:, 2] - z[:, 0]) * (r[:, 1] - r[:, 0]))
    highest = stress[triangles].max(axis=1)
    order = np.argsort(highest)
    covered = np.cumsum(area[order]) / area.sum()
    value = max(float(highest[order][np.searchsorted(covered, COVERED)]), 1e-9)
    step = 10.0 ** (math.floor(math.log10(value)) - 1) * 2.0
    return step * math.ceil(value / step)


def _outlines(axes: Axes, state: FitState, shape: np.ndarray, turned: np.ndarray) -> None:
    connectivity = state.mesh.assembly.model.mesh.connectivity
    sides = np.concatenate([connectivity[[k, k + 4, (k + 1) % 4]].T for k in range(4)])
    _, first, count = np.unique(np.sort(sides[:, [0, 2]]), axis=0, return_index=True, return_counts=True)
    edge = sides[first[count == 1]]  # sides of one element only: faces, the interface once per body
    for at, colour, width, line in ((turned, style.QUIET, 0.5, (0, (3, 2))), (shape, style.INK, 0.7, "-")):
        z, r = np.concatenate([at[:, edge], np.full((2, len(edge), 1), np.nan)], axis=2).reshape(2, -1)
        axes.plot(z, r, color=colour, linewidth=width, linestyle=line, zorder=3, solid_capstyle="round")


def _frame(axes: Axes, shape: np.ndarray, units: Units) -> int:
    """Limits and the whole-number stretch of r against z that fills the height."""
    z, r = shape
    room_z, room_r = 0.03 * np.ptp(z), 0.12 * np.ptp(r)
    span_z, span_r = np.ptp(z) + 2.0 * room_z, np.ptp(r) + 2.0 * room_r
    most = HEIGHT / (ACROSS / span_z * span_r)
    stretch = max([s for s in STRETCHES if s <= most], default=1)
    axes.set_xlim(z.min() - room_z, z.max() + room_z)
    axes.set_ylim(r.min() - room_r, r.max() + room_r)
    axes.set_aspect(stretch)
    axes.set_ylabel(f"radius r [{units.label('mm')}]")
    return stretch


def _marked(axes: Axes, number: int, body: str, governing: FitState, drawn: FitState, shape: np.ndarray,
            units: Units) -> str:
    """Mark where the body governs and return the words that go with the number."""
    peak: Peak = governing.equivalent_peak(body)
    mesh = drawn.mesh.assembly.model.mesh
    nodes = mesh.body_nodes(body)
    near = nodes[np.argmin(np.hypot(*(mesh.nodes[:, nodes] - [[peak.r], [peak.z]])))]
    z, r = shape[:, near]
    axes.plot([z], [r], marker="D" if body == "shell" else "o", markersize=5.0, color="white",
              markeredgecolor=style.INK, markeredgewidth=1.0, zorder=6, clip_on=False)
    axes.annotate(str(number), (z, r), xytext=(0.0, 9.0 if peak.surface == "outside" else -9.0),
                  textcoords="offset points", ha="center", va="center", fontsize=style.NORMAL,
                  fontweight="bold", zorder=7, color=style.INK,
                  bbox={"boxstyle": "circle,pad=0.15", "facecolor": "white", "edgecolor": style.INK,
                        "linewidth": 0.6})
    other = ""
    if governing.press.stuck != drawn.press.stuck:
        other = " (stuck)" if governing.press.stuck else " (frictionless)"
    return f"{number}: {body}{other} {units.text(peak.value, 'MPa')} at its {peak.surface}"
