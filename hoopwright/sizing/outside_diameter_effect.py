"""Sensitivity of a check to an error of the shell's outside diameter, by Lamé.

The finite elements are solved for the sizes as given; for a slightly different outside diameter their
value is multiplied by the ratio of the closed form. Unit and body of a margin decide which closed form
applies: stress in a body, force or torque held by the contact, closure of the bore.
"""

from __future__ import annotations

from functools import cached_property

import numpy as np

from hoopwright.checks.margin import Margin
from hoopwright.closed_form.compound_cylinder import CompoundCylinder, compound_cylinder, contact_pressure
from hoopwright.comparison import mean_radii
from hoopwright.fem import radial
from hoopwright.study import CaseStudy

GRID_POINTS = 5


class OutsideDiameterEffect:
    """Effect of sampled errors of the shell's outside diameter. change: the errors, (samples,), mm."""

    def __init__(self, study: CaseStudy, change: np.ndarray) -> None:
        self.study, self.change = study, change
        reach = float(np.max(np.abs(change), initial=0.0))
        self._at = np.linspace(-reach, reach, GRID_POINTS)

    def ratio(self, margin: Margin) -> np.ndarray | float:
        """Ratio of Lamé's value with the change to that without, for the side of the check that follows the
        interference; 1 where no closed form applies."""
        if self._at[-1] == 0.0:
            return 1.0
        value = self._value(margin)
        middle = 0.0 if value is None else value[GRID_POINTS // 2]
        return (
            1.0 if value is None or not middle > 0.0 else np.interp(self.change, self._at, value / middle)
        )

    def _value(self, margin: Margin) -> np.ndarray | None:
        if margin.id == "stop_yields":  # a force from outside, whatever the pressure
            return None
        fit, body = self._fit, margin.where.body
        if margin.id == "ends_crush":  # a force in proportion to the pressure, over a face
            interface, outside, _ = mean_radii(self.study)
            face = (outside + 0.5 * self._at) ** 2 - interface**2
            return np.asarray(fit.pressure) / (face if body == "shell" else 1.0)
        if margin.unit == "MPa" and body == "shell":  # von Mises at the bore, where σ_r = −p
            hoop, p = fit.shell_hoop_interface, fit.pressure
            return np.sqrt(hoop**2 + hoop * p + p**2)
        if margin.unit == "MPa" and body == "sleeve":
            return np.abs(np.asarray(fit.sleeve_hoop_bore))
        if margin.unit in ("N", "N*m", "MPa") or (margin.unit == "um" and body == "sleeve"):
            return np.asarray(fit.pressure)  # the bore closes in proportion to the pressure
        return None

    @cached_property
    def _fit(self) -> CompoundCylinder:
        case = self.study.case
        interface, outside, bore = mean_radii(self.study)
        sleeve, shell = (
            (m.young_modulus, m.poisson_ratio) for m in (case.sleeve_material, case.shell_material)
        )
        radius = outside + 0.5 * self._at
        pressure = contact_pressure(
            radial_interference=radial(self.study.nominal_interference),
            sleeve_bore_radius=bore,
            interface_radius=interface,
            shell_outer_radius=radius,
            sleeve=sleeve,
            shell=shell,
        )
        return compound_cylinder(
            pressure=pressure,
            sleeve_bore_radius=bore,
            interface_radius=interface,
            shell_outer_radius=radius,
            sleeve=sleeve,
            shell=shell,
        )
