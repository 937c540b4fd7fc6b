"""Contact of a sleeve that slides along its bore under Coulomb friction, n = 0.

The whole seat slips along the push, τ = μ p, so the sleeve is compressed axially and expands, and the shell
behind it with it. The pressure follows from the contact solve with these shear tractions as loads, and they
from the pressure; fixed-point iteration brings the two into agreement.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright.fem.contact import FitSolver, PressFit
from hoopwright.fem.errors import SolveError
from hoopwright.fem.face_load import face_load
from hoopwright.fem.strain import COMPONENTS, Z
from hoopwright.fem.validation import at_pairs, check_not_negative

MAX_ITERATIONS = 60
TOLERANCE = 1e-7


@dataclass
class SlidingSolver(FitSolver):
    """Solves sliding contact of one model.

    direction: +1 where the sleeve moves towards +z, -1 towards -z; ValueError for any other. The ram bears
    evenly on the sleeve's trailing face and the press bed on the shell's face ahead; both faces are free to
    tilt.
    """

    direction: int = 1

    def __post_init__(self) -> None:
        if self.direction not in (1, -1):
            raise ValueError(f"need a direction of +1 or -1, got {self.direction}")

    def slide(
        self, radial_interference: np.ndarray, *, friction: float, temperature_rise: float = 0.0
    ) -> PressFit:
        """Contact state while the sleeve moves, for radial interference at the pairs, (pairs,), mm.

        friction: μ, >= 0; temperature_rise: K, of both bodies. Raises ValueError where one of them, or the
        interference at a pair, is NaN or infinite, there is not one interference for each pair, or friction
        is negative; SolveError when pressure and friction do not converge.
        """
        check_not_negative("friction", friction)
        radial_interference = at_pairs("radial interference", radial_interference, len(self.interface.z))
        fit = self.press(radial_interference, stuck=False, temperature_rise=temperature_rise)
        thermal = (
            self.model.thermal_load(temperature_rise) if temperature_rise else np.zeros(self.model.size)
        )
        no_pairs = np.zeros(len(radial_interference), dtype=bool)
        for _ in range(MAX_ITERATIONS):
            load = thermal + self._drag(friction * fit.pressure)
            new = self._pivot(fit.closed, no_pairs, radial_interference, load)
            change = float(np.max(np.abs(new.pressure - fit.pressure), initial=0.0))
            fit = new
            if change <= TOLERANCE * max(float(fit.pressure.max(initial=0.0)), 1e-12):
                return fit
        raise SolveError(f"friction and contact pressure did not converge in {MAX_ITERATIONS} iterations")

    def _drag(self, shear: np.ndarray) -> np.ndarray:
        """Nodal loads, (size,), N per radian, of a friction shear (pairs,), MPa, and of ram and press bed.

        Friction opposes the motion on the sleeve and acts along it on the shell; the even pressure of ram
        and bed on the end faces balances it on each body.
        """
        pairs, load = self.interface, np.zeros(self.model.size)
        force = self.direction * shear * pairs.weight
        np.add.at(load, COMPONENTS * pairs.sleeve + Z, -force)
        np.add.at(load, COMPONENTS * pairs.shell + Z, force)
        ram, bed = self._even_pressure
        return load + float(np.sum(force)) * (ram - bed)

    @cached_property
    def _even_pressure(self) -> tuple[np.ndarray, np.ndarray]:
        """Nodal loads along +z, each summing to 1 N per radian, of uniform pressure on the sleeve's
        trailing face and on the shell's face ahead."""
        faces = ("sleeve.left", "shell.right") if self.direction > 0 else ("sleeve.right", "shell.left")
        even = [face_load(self.model.mesh, face, np.array([0.0, 0.0, 1.0])) for face in faces]
        ram, bed = (f / f.sum() for f in even)
        return ram, bed
