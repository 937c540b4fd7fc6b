"""Responses with the joint stuck, and with it sliding except where sliding would leave the sleeve loose."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from fem.harmonic import ServiceSolver
from fem.round import Response
from loads.traction import FourierTraction

CARRIED = 1
"""Harmonics below this stay stuck when the rest slides: what pushes the sleeve along the axis or turns
it has nothing but friction to carry it, and the holding checks judge that friction."""


def without_low(t: FourierTraction) -> FourierTraction:
    """The traction less its harmonics below CARRIED."""
    def cut(values: tuple[float, ...]) -> tuple[float, ...]:
        return (0.0,) * min(CARRIED, len(values)) + values[CARRIED:]

    return replace(
        t, radial_cos=cut(t.radial_cos), radial_sin=cut(t.radial_sin), hoop_cos=cut(t.hoop_cos),
        hoop_sin=cut(t.hoop_sin), axial_cos=cut(t.axial_cos), axial_sin=cut(t.axial_sin))


def carried(slid: Response, stuck: Response) -> Response:
    """The sliding answer, to tractions `without_low`, with what the stuck one has below CARRIED."""
    low = [k for k, n in enumerate(stuck.harmonics) if n < CARRIED]
    high = [k for k, n in enumerate(slid.harmonics) if n >= CARRIED]
    return replace(
        slid,
        harmonics=(*(stuck.harmonics[k] for k in low), *(slid.harmonics[k] for k in high)),
        displacement=np.concatenate([stuck.displacement[low], slid.displacement[high]]),
        stress=np.concatenate([stuck.stress[low], slid.stress[high]]),
        traction=np.concatenate([stuck.traction[low], slid.traction[high]]))


def unloaded(solver: ServiceSolver) -> Response:
    """The answer to no load case at all, for a bore that is only out of round."""
    one = solver.respond([()])
    return replace(one, displacement=one.displacement[:, :0], stress=one.stress[:, :0],
                   traction=one.traction[:, :0], tail=one.tail[:0])
