"""Stress beside corners without the average along z, which the error of the stress judged there covers.

Averaged over a wall along z, the linearised stress converges beside a corner, but at the end of a short
sleeve it lies up to 4 % below that of the line right at the end, the strict one, which converges slowly.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from hoopwright import fem
from hoopwright.estimate import SERVICE, Estimate, from_coarsest, from_meshes
from hoopwright.fem.fourier_sum import HarmonicResponse, linearised_sum
from hoopwright.fit import FitSolution, Weigh, as_it_is
from hoopwright.service.fields import WallField
from hoopwright.service.study import ServiceSolution

CONTACT_FACE = {"shell": 0, "sleeve": 1}
"""The surface of each body that touches the other: 0 bore, 1 outside."""


def fit_estimate(
    solutions: Sequence[FitSolution], body: str, *, refined: bool, weigh: Weigh = as_it_is
) -> Estimate:
    """The greatest von Mises stress of a body in a fit, weighed, MPa. solutions: finest mesh first, not
    `refined` the one on the coarsest."""
    value = _estimate([s.equivalent_peak(body, weigh).value for s in solutions], refined)
    if refined and len(solutions) == 1:  # no error is asked for
        return value
    return value.covering(_estimate([_strict_peak(s, body, weigh) for s in solutions], refined))


def loaded_estimate(
    meshes: Sequence[tuple[FitSolution, ServiceSolution]],
    body: str,
    value: Estimate,
    *,
    loaded: bool,
    refined: bool,
    weigh: Weigh = as_it_is,
) -> Estimate:
    """The greatest von Mises stress of a body in a fit with service loads, weighed, `value`, with
    the strict lines in its error. meshes: finest first, not `refined` the coarsest. loaded: in all load
    cases, else without a load."""
    if refined and len(meshes) == 1:
        return value
    strict = [_strict_loaded_peak(fit, service, body, loaded, weigh) for fit, service in meshes]
    return value.covering(from_meshes(*strict, kind=SERVICE) if refined else from_coarsest(strict[0]))


def _estimate(values: Sequence[float], refined: bool) -> Estimate:
    return from_meshes(*values) if refined else from_coarsest(values[0])


def _strict_peak(solution: FitSolution, body: str, weigh: Weigh) -> float:
    """Greatest von Mises stress on the lines of a body beside corners, weighed, MPa; 0 where there are
    none."""
    beside, surfaces = _strict_surfaces(solution, body)
    weight = weigh(solution.walls[body].z[beside], solution.temperature_rise)
    return float((weight * fem.von_mises(surfaces)).max(initial=0.0))


def _strict_surfaces(solution: FitSolution, body: str) -> tuple[np.ndarray, np.ndarray]:
    """The lines of a body beside corners, by number, and the stress of the fit there, (2, lines, 6), MPa:
    what is judged, less the averages in it and with the strict values in their place."""
    lines, share = solution.mesh.recovery.lines[body], solution.mesh.smooth[body]
    beside = np.flatnonzero(share < 1.0)
    points, wall, share = solution.stress.reshape(-1, 6), solution.walls[body], share[beside, None]
    surface = np.stack([wall.surface_inner, wall.surface_outer])[:, beside]
    return beside, share * surface + (1.0 - share) * lines.strict(points, beside, face=CONTACT_FACE[body])


def _strict_loaded_peak(
    fit: FitSolution, service: ServiceSolution, body: str, loaded: bool, weigh: Weigh
) -> float:
    """Greatest von Mises stress of a body with its form, and under the service loads where `loaded`, on the
    lines beside corners, weighed, MPa; 0 where there are none."""
    beside, pressed = _strict_surfaces(fit, body)
    if not len(beside):
        return 0.0
    wall, strictness = service.walls[body], 1.0 - fit.mesh.smooth[body][beside, None, None]

    def strict(averaged: np.ndarray, harmonics: Sequence[int], amplitude: np.ndarray) -> np.ndarray:
        """(instants, 2, lines, angles, 6), MPa"""
        return averaged + strictness * (linearised_sum(harmonics, amplitude, wall.theta) - averaged)

    def amplitude_of(response: HarmonicResponse) -> np.ndarray:
        return response.strict(body, beside, face=CONTACT_FACE[body])

    static, form, solved = wall.static[:, beside], service.static, service.solved
    if form is not None:
        static = strict(static[None], form.harmonics, amplitude_of(form))[0]
    stress = 0.0 * static[None]
    if loaded:
        amplitude = service.instants.amplitudes(solved.harmonics, amplitude_of(solved))
        stress = strict(wall.stress[:-1, :, beside], solved.harmonics, amplitude)
    lines = WallField(wall.z[beside], wall.r[:, beside], wall.theta, stress, static)
    weight = np.broadcast_to(weigh(lines.z, fit.temperature_rise), lines.z.shape)
    found = weight[:, None] * lines.von_mises(pressed)
    return float((found[:, :, ~service.edges.beside(lines.z)] if loaded else found).max(initial=0.0))
