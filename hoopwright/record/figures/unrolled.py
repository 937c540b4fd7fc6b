"""Von Mises stress of fit + service on three unrolled surfaces, over z and θ."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from hoopwright.checks import evidence_of
from hoopwright.checks.stage_stress import judged_reader, weight_of, worst_loaded
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.angle_maps import add_colour_bar, label_axes, mark_point, plot_contours
from hoopwright.service.study import ServiceStudy, Superposed, fit_surfaces
from hoopwright.strength import own_strength

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SURFACES = (("sleeve", 0, "Sleeve bore"), ("shell", 0, "Shell bore"), ("shell", 1, "Shell outside"))
LEVELS = 13


def figure(results: Results, units: Units) -> Figure:
    """Three maps of the load case and the fit that stress the shell most; else a note."""
    with style.plot_style():
        made = style.new_figure(height=88.0)
        if results.study.service is None:
            return style.lay_out(note_instead(made))
        every = made.subplots(1, 3, sharey=True)
        for k, axes in enumerate(every):
            plot_unrolled(results, units, axes, surface=k)
        levels = scale_of(results) * style.factor("MPa", units)
        label = f"von Mises stress [{units.label('MPa')}]; crossed out within a line: beyond the limit"
        add_colour_bar(list(every), every[0].collections[0], levels, label, location="bottom")
        return style.lay_out(made)


@dataclass(frozen=True)
class Surface:
    """Von Mises stress of the governing load case on one surface, (z, angles), MPa, and what it may be at
    most there, with its factor, (z,), MPa. z: mm."""

    z: np.ndarray
    stress: np.ndarray
    limit: np.ndarray


def surface_of(results: Results, body: str, side: int) -> Surface:
    """The stress that is plotted. side: 0 for the bore of the body, 1 for its outside."""
    evidence = evidence_of(results.case, results.study)
    governing = worst_loaded(evidence, "shell")
    z, fields = stress_map(governing, body, side)
    stress = fields[_case_of(results)]
    weight = weight_of(evidence, body, "in use")(z, governing.finest[0].temperature_rise)
    most = own_strength(results.case, body) / results.case.factors.yielding
    return Surface(z, stress, most / np.broadcast_to(weight, z.shape))


def scale_of(results: Results) -> np.ndarray:
    """Levels of the colour scale that all surfaces share, MPa: from the least to the greatest of them."""
    fields = [surface_of(results, body, side).stress for body, side, _ in SURFACES]
    low, high = min(float(f.min()) for f in fields), max(float(f.max()) for f in fields)
    return np.linspace(low, high, LEVELS) if high - low > 1e-9 else np.array([low - 0.5, high + 0.5])


def _case_of(results: Results) -> int:
    evidence = evidence_of(results.case, results.study)
    return int(judged_reader(evidence, "shell", "in use")(*worst_loaded(evidence, "shell").finest).case)


def plot_unrolled(results: Results, units: Units, axes: Axes, *, surface: int = 1) -> Axes:
    """Plot one surface of SURFACES on the scale that all share, with its peak marked and a contour where
    the limit is reached."""
    service = results.study.service
    assert service is not None
    body, side, title = SURFACES[surface]
    governing = worst_loaded(evidence_of(results.case, results.study), "shell")
    case, found = _case_of(results), surface_of(results, body, side)
    z, field = found.z, found.stress
    levels = scale_of(results) * style.factor("MPa", units)
    plot_contours(axes, service, z, field, units, levels=levels, cmap=style.STRESS_MAP)
    _plot_limit(axes, service, found, units)
    width = results.case.shell.width
    label_axes(axes, units, width)
    line, angle = np.unravel_index(int(np.argmax(field)), field.shape)
    mark_point(
        axes,
        units,
        float(z[line]),
        float(np.degrees(service.theta[angle])),
        units.text(float(field.max()), "MPa"),
        width,
    )
    axes.set_title(f"{title}, limit {_limit_text(found, units)}", pad=15.0)
    if surface == 0:
        style.subtitle(
            axes,
            f"load case '{service.names[case]}', {governing.joint_condition} joint, "
            f"{governing.fit.state.friction_text}, {_cups(governing.fit.state.tension, units)}"
            f"{units.temperature(20.0 + governing.fit.state.temperature_rise)}",
        )
    return axes


def _plot_limit(axes: Axes, service: ServiceStudy, found: Surface, units: Units) -> None:
    """A line where the limit is reached, and crosses beyond it, which do without colour."""
    share = found.stress / found.limit[:, None]
    if share.max() > 1.0:
        levels = [1.0, 1.0 + float(share.max())]
        share = share / style.factor("MPa", units)  # plot_contours converts
        plot_contours(
            axes, service, found.z, share, units, levels=levels, colors=["none"], hatches=["xxxx"]
        )
        line = plot_contours(axes, service, found.z, share, units, levels=[1.0], filled=False)
        line.set(edgecolor="white", linewidth=1.8)


def _limit_text(found: Surface, units: Units) -> str:
    low, high = float(found.limit.min()), float(found.limit.max())
    return units.text(low, "MPa") if high - low < 1e-6 else units.span(low, high, "MPa")


def _cups(preload: float, units: Units) -> str:
    return f"preload {units.text(preload, 'N')}, " if preload else ""


def stress_map(governing: Superposed, body: str, side: int) -> tuple[np.ndarray, np.ndarray]:
    """z, mm, and von Mises stress of every load case (cases, z, angles), MPa, on the fine mesh.

    side: 0 for the bore of the body, 1 for its outside.
    """
    fit, solution = governing.finest
    wall = solution.walls[body]
    return wall.z, wall.von_mises(fit_surfaces(fit, body))[:, side]


NO_LOADS = "no service loads in the case: give [service]"
SEAT_BESIDE_CLAMP = "not judged under loads: all of the seat lies beside an edge of [service.clamped]"


def note_instead(figure: Figure, why: str = NO_LOADS) -> Figure:
    """Write on the empty figure why there is nothing to plot, and return it."""
    figure.text(
        0.5,
        0.5,
        why,
        ha="center",
        va="center",
        color=style.QUIET,
    )
    return figure
