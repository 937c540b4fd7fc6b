"""Service response of a sliding joint whose lowest harmonics stay stuck, so that the sleeve is held."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from hoopwright.fem.fourier_sum import HarmonicResponse
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.loads.traction import FourierTraction

FIRST_SLIDING_HARMONIC = 1
"""Harmonics below this stay stuck when the others slide: only friction carries what pushes the sleeve along
the axis or turns it, and the holding checks judge that friction."""


def without_stuck_harmonics(t: FourierTraction) -> FourierTraction:
    """The traction without its harmonics below FIRST_SLIDING_HARMONIC."""

    def cut(values: tuple[float, ...]) -> tuple[float, ...]:
        return (0.0,) * min(FIRST_SLIDING_HARMONIC, len(values)) + values[FIRST_SLIDING_HARMONIC:]

    return replace(
        t,
        radial_cos=cut(t.radial_cos),
        radial_sin=cut(t.radial_sin),
        hoop_cos=cut(t.hoop_cos),
        hoop_sin=cut(t.hoop_sin),
        axial_cos=cut(t.axial_cos),
        axial_sin=cut(t.axial_sin),
    )


def with_stuck_harmonics(slid: HarmonicResponse, stuck: HarmonicResponse) -> HarmonicResponse:
    """The sliding response, its harmonics below FIRST_SLIDING_HARMONIC taken from the stuck one.

    slid: response to tractions `without_stuck_harmonics`.
    """
    low = [k for k, n in enumerate(stuck.harmonics) if n < FIRST_SLIDING_HARMONIC]
    high = [k for k, n in enumerate(slid.harmonics) if n >= FIRST_SLIDING_HARMONIC]
    return replace(
        slid,
        harmonics=(*(stuck.harmonics[k] for k in low), *(slid.harmonics[k] for k in high)),
        displacement=np.concatenate([stuck.displacement[low], slid.displacement[high]]),
        stress=np.concatenate([stuck.stress[low], slid.stress[high]]),
        traction=np.concatenate([stuck.traction[low], slid.traction[high]]),
    )


def response_without_loads(solver: ServiceSolver) -> HarmonicResponse:
    """A response with no load case, for a case that has only an out-of-round bore."""
    response = solver.solve([()])
    return replace(
        response,
        displacement=response.displacement[:, :0],
        stress=response.stress[:, :0],
        traction=response.traction[:, :0],
        tail=response.tail[:0],
    )
