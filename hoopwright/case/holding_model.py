"""Inputs on what holds the sleeve: cups, retaining compound, temperatures. mm, N, MPa, s, K."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoopwright.materials import Material

Side = Literal["left", "right"]


@dataclass(frozen=True)
class CupTightening:
    """One cup.

    tightening_torque, removing_torque: on the cup, N·mm; the latter is None where not given.
    engaged_length: length of thread engaged with the sleeve, mm, or None.
    """

    tightening_torque: float
    removing_torque: float | None = None
    engaged_length: float | None = None


@dataclass(frozen=True)
class CupsInput:
    """The cups screwed into the sleeve; a side without a cup is None.

    flange_diameter: mean diameter of the bearing ring under the flange, mm. flange_on_shell: the flange
    bears on the shell's face, so that the thread pulls the sleeve out; otherwise it bears on the sleeve.
    drag_torque: drag of the bearings on the sleeve while pedalling forwards, N·mm.
    material: of the cups, or None where not given.
    """

    left: CupTightening | None
    right: CupTightening | None
    thread_friction_low: float
    thread_friction_high: float
    flange_friction_low: float
    flange_friction_high: float
    flange_diameter: float
    flange_on_shell: bool
    drag_torque: float = 0.0
    material: Material | None = None

    @property
    def sides(self) -> tuple[tuple[Side, CupTightening], ...]:
        pairs: tuple[tuple[Side, CupTightening | None], ...] = (("left", self.left), ("right", self.right))
        return tuple((side, cup) for side, cup in pairs if cup is not None)


Combination = Literal["instead", "added", "greater"]


@dataclass(frozen=True)
class CompoundInput:
    """Retaining compound in the joint, as stated by its maker or the user's own test.

    shear_strength: MPa, cured, on these materials. credit: share of it that is credited, 0 to 1.
    combination: whether it acts instead of friction, is added to it, or the greater of the two counts.
    friction_low: lowest friction of the seat with compound on it, None where not known.
    gap_min, gap_max: range of diametral gap it is stated for, mm; an interference is negative.
    temperature_min, temperature_max: range it is stated for, K above 20 °C.
    cure_time, full_cure_time: cure time given to the joint, and time to full strength, s. cure_temperature,
    cure_temperature_min: cure temperature, and the lowest at which the compound cures, K above 20 °C.
    """

    shear_strength: float
    credit: float
    combination: Combination | None
    friction_low: float | None
    gap_min: float | None
    gap_max: float | None
    temperature_min: float | None
    temperature_max: float | None
    cure_time: float | None
    full_cure_time: float | None
    cure_temperature: float
    cure_temperature_min: float | None
    source: str = ""


@dataclass(frozen=True)
class Temperatures:
    """Part temperatures after assembly, K above 20 °C.

    use_min, use_max: range in use. oven: paint oven, or None. oven_time: s, or None.
    """

    use_min: float
    use_max: float
    oven: float | None = None
    oven_time: float | None = None
