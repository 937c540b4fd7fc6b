"""What an error of the shell's outside diameter does to a check, by Lamé.

The finite elements are solved for the sizes as given; for a slightly different outside their value is
multiplied by the closed form's own ratio. Which closed form goes with a check is read from what the
check measures: stress in a body, force or torque held by the contact, closure of the bore.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from hoopwright.checks.margin import Margin
from hoopwright.closed_form.compound import CompoundFit, compound_fit, contact_pressure
from hoopwright.comparison import mean_radii
from hoopwright.study import CaseStudy

PLACES = 5


class OutsideError:
    """change: of the shell's outside diameter, mm, one per sample."""

    def __init__(self, study: CaseStudy, change: np.ndarray) -> None:
        self.study, self.change = study, change
        reach = float(np.max(np.abs(change), initial=0.0))
        self._at = np.linspace(-reach, reach, PLACES)

    def ratio(self, margin: Margin) -> np.ndarray | float:
        """Lamé with the change over Lamé without, for what follows the interference in this check; 1
        where no closed form goes with it."""
        if self._at[-1] == 0.0 or margin.id == "wall_left":
            return 1.0
        value = self._value(margin)
        middle = 0.0 if value is None else value[PLACES // 2]
        return (
            1.0 if value is None or not middle > 0.0 else np.interp(self.change, self._at, value / middle)
        )

    def added(self, margin: Margin) -> np.ndarray | float:
        """What the change adds to a capacity that is the wall itself, mm: exact."""
        return 0.5 * self.change if margin.id == "wall_left" else 0.0

    def _value(self, margin: Margin) -> np.ndarray | None:
        fit, body = self._fit, margin.where.body
        if margin.unit == "MPa" and body == "shell":  # von Mises at the bore, where σ_r = −p
            hoop, p = fit.shell_hoop_interface, fit.pressure
            return np.sqrt(hoop**2 + hoop * p + p**2)
        if margin.unit == "MPa" and body == "sleeve":
            return np.abs(np.asarray(fit.sleeve_hoop_bore))
        if margin.unit in ("N", "N*m", "MPa") or (margin.unit == "um" and body == "sleeve"):
            return np.asarray(fit.pressure)  # the bore closes in proportion to the pressure
        return None

    @cached_property
    def _fit(self) -> CompoundFit:
        case = self.study.case
        interface, outside, bore = mean_radii(self.study)
        sleeve, shell = (
            (m.young_modulus, m.poisson_ratio) for m in (case.sleeve_material, case.shell_material)
        )
        radius = outside + 0.5 * self._at
        pressure = contact_pressure(
            radial_interference=0.5 * self.study.nominal_interference,
            sleeve_bore_radius=bore,
            interface_radius=interface,
            shell_outer_radius=radius,
            sleeve=sleeve,
            shell=shell,
        )
        return compound_fit(
            pressure=pressure,
            sleeve_bore_radius=bore,
            interface_radius=interface,
            shell_outer_radius=radius,
            sleeve=sleeve,
            shell=shell,
        )
