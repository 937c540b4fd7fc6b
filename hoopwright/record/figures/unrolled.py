"""Equivalent stress of fit + service on three surfaces, unrolled: length along, angle up."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from hoopwright.display import Units
from hoopwright.pipeline import Results
from hoopwright.record.figures import style
from hoopwright.record.figures.grid import bar, dress, map_of, mark
from hoopwright.service.study import ServiceStudy, fit_surfaces

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.figure import Figure

SURFACES = (("sleeve", 0, "Sleeve bore"), ("shell", 0, "Shell bore"), ("shell", 1, "Shell outside"))
LEVELS = 13


def figure(results: Results, units: Units) -> Figure:
    """Three maps of the load case that stresses the shell most, at the tightest fit; a word where the case
    gives no service loads."""
    with style.look():
        made = style.new_figure(height=88.0)
        if results.study.service is None:
            return style.settled(nothing_to_show(made))
        every = made.subplots(1, 3, sharey=True)
        for k, axes in enumerate(every):
            unrolled(results, units, axes, surface=k)
        return style.settled(made)


def unrolled(results: Results, units: Units, axes: Axes, *, surface: int = 1) -> Axes:
    """One surface; its own scale of colour, so that each shows where it is worst."""
    service = results.study.service
    assert service is not None
    body, side, title = SURFACES[surface]
    case, grip = worst_case(results, service)
    z, field = stress_map(results, service, body, side, case=case, grip=grip)
    scale = style.factor("MPa", units)
    levels = np.linspace(field.min() * scale, field.max() * scale, LEVELS)
    if field.max() - field.min() < 1e-9:
        levels = np.array([field.min() * scale - 0.5, field.max() * scale + 0.5])
    drawn = map_of(axes, service, z, field, units, levels=levels, cmap=style.STRESS_MAP)
    width = results.case.shell.width
    dress(axes, units, width)
    line, angle = np.unravel_index(int(np.argmax(field)), field.shape)
    mark(axes, units, float(z[line]), float(np.degrees(service.theta[angle])),
         units.text(float(field.max()), "MPa"), width)
    axes.set_title(title, pad=15.0)
    bar(axes, drawn, levels, f"von Mises stress [{units.label('MPa')}]", location="bottom")
    if surface == 0:
        axes.text(0.0, 1.02, f"membrane + bending, load case '{service.names[case]}', {grip} joint, "
                  "tightest fit", transform=axes.transAxes, fontsize=style.SMALL, color=style.QUIET,
                  in_layout=False)
    return axes


def worst_case(results: Results, service: ServiceStudy) -> tuple[int, str]:
    """Index of the load case, and the grip, with the greatest stress in the shell at the tightest fit."""
    found = []
    for grip, ((fit, state), *_) in service.pairs(results.study.greatest).items():
        field = state.walls["shell"].von_mises(fit_surfaces(fit, "shell"))
        found.append((float(field.max()), int(np.argmax(field.max(axis=(1, 2, 3)))), grip))
    return max(found)[1:]


def stress_map(
    results: Results, service: ServiceStudy, body: str, side: int, *, case: int, grip: str
) -> tuple[np.ndarray, np.ndarray]:
    """z, mm, and von Mises stress (z, angles), MPa, at the tightest fit on the fine mesh."""
    (fit, state), *_ = service.pairs(results.study.greatest)[grip]
    wall = state.walls[body]
    return wall.z, wall.von_mises(fit_surfaces(fit, body))[case, side]


def nothing_to_show(figure: Figure) -> Figure:
    figure.text(0.5, 0.5, "no service loads in the case: give [service]", ha="center", va="center",
                color=style.QUIET)
    return figure
