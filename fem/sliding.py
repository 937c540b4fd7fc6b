"""A sleeve that slides along its bore under full friction, n = 0.

Friction acts everywhere along the push, τ = μ p, so the pushed sleeve is squeezed lengthwise and
grows, and so is the shell behind it. The pressure follows from the contact with these tractions as
loads, and they from the pressure; the two are brought to agree by repetition.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from fem.contact import FitSolver, PressFit
from fem.errors import SolveError
from fem.strain import COMPONENTS, Z
from fem.traction import face_load

MOST_ROUNDS = 60
AGREES = 1e-7


@dataclass
class SlidingSolver(FitSolver):
    """towards: +1 where the sleeve moves towards +z. The ram bears evenly on its trailing face, and the
    bed on the face of the shell it moves towards; both faces are free to tilt."""

    towards: int = 1

    def slide(
        self, radial_interference: np.ndarray, *, friction: float, temperature_rise: float = 0.0
    ) -> PressFit:
        """Contact state while it moves, for a profile of radial interference at the pairs, mm.

        friction: μ. Raises SolveError when pressure and friction do not come to agree.
        """
        fit = self.press(radial_interference, stuck=False, temperature_rise=temperature_rise)
        warmth = (self.model.thermal_load(temperature_rise) if temperature_rise
                  else np.zeros(self.model.size))
        nowhere = np.zeros(len(radial_interference), dtype=bool)
        for _ in range(MOST_ROUNDS):
            load = warmth + self._drag(friction * fit.pressure)
            new = self._settle(fit.closed, nowhere, radial_interference, load)
            moved = float(np.max(np.abs(new.pressure - fit.pressure), initial=0.0))
            fit = new
            if moved <= AGREES * max(float(fit.pressure.max(initial=0.0)), 1e-12):
                return fit
        raise SolveError(f"friction and pressure did not agree in {MOST_ROUNDS} rounds")

    def _drag(self, shear: np.ndarray) -> np.ndarray:
        """Nodal loads of a shear (pairs,) MPa: against the motion on the sleeve, with it on the shell;
        and of the even pressure of ram and bed on the end faces, which balances it body by body."""
        pairs, load = self.interface, np.zeros(self.model.size)
        force = self.towards * shear * pairs.weight
        np.add.at(load, COMPONENTS * pairs.sleeve + Z, -force)
        np.add.at(load, COMPONENTS * pairs.shell + Z, force)
        ram, bed = self._even_pressure
        return load + float(np.sum(force)) * (ram - bed)

    @cached_property
    def _even_pressure(self) -> tuple[np.ndarray, np.ndarray]:
        """Nodal loads along +z that add up to 1 N per radian, even over the trailing face of the sleeve
        and over the face of the shell it moves towards."""
        faces = ("sleeve.left", "shell.right") if self.towards > 0 else ("sleeve.right", "shell.left")
        even = [face_load(self.model.mesh, face, np.array([0.0, 0.0, 1.0])) for face in faces]
        ram, bed = (f / f.sum() for f in even)
        return ram, bed
