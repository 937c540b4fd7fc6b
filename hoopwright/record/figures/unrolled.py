"""Von Mises stress of fit + service on three unrolled surfaces, over z and θ."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.checks import evidence_of
from hoopwright.checks.stage_stress import judged_reader, worst_loaded
from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.angle_maps import add_colour_bar, label_axes, mark_point, plot_contours
from hoopwright.service.study import Superposed, fit_surfaces

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
        return style.lay_out(made)


def plot_unrolled(results: Results, units: Units, axes: Axes, *, surface: int = 1) -> Axes:
    """Plot one surface of SURFACES on its own colour scale, with its peak marked."""
    service = results.study.service
    assert service is not None
    body, side, title = SURFACES[surface]
    evidence = evidence_of(results.case, results.study)
    governing = worst_loaded(evidence, "shell")
    case = judged_reader(evidence, "shell", "in use")(*governing.finest).case
    z, fields = stress_map(governing, body, side)
    field = fields[case]
    scale = style.factor("MPa", units)
    levels = np.linspace(field.min() * scale, field.max() * scale, LEVELS)
    if field.max() - field.min() < 1e-9:
        levels = np.array([field.min() * scale - 0.5, field.max() * scale + 0.5])
    contours = plot_contours(axes, service, z, field, units, levels=levels, cmap=style.STRESS_MAP)
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
    axes.set_title(title, pad=15.0)
    add_colour_bar(axes, contours, levels, f"von Mises stress [{units.label('MPa')}]", location="bottom")
    if surface == 0:
        axes.text(
            0.0,
            1.02,
            f"load case '{service.names[case]}', {governing.joint_condition} joint, "
            f"{governing.fit.state.friction_text}, {_cups(governing.fit.state.tension, units)}"
            f"{units.temperature(20.0 + governing.fit.state.temperature_rise)}",
            transform=axes.transAxes,
            fontsize=style.SMALL,
            color=style.QUIET,
            in_layout=False,
        )
    return axes


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
