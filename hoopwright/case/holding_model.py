"""What a case says about holding the sleeve: cups, retaining compound, temperatures. mm, N, MPa, s, K."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hoopwright.materials import Material

Side = Literal["left", "right"]


@dataclass(frozen=True)
class CupTightening:
    """One cup. tightening, removing: torque on the cup, N·mm; removing None where not given.

    engaged_length: of its thread in the sleeve's, mm, or None.
    """

    tightening: float
    removing: float | None = None
    engaged_length: float | None = None


@dataclass(frozen=True)
class CupsInput:
    """The cups screwed into the sleeve; a side is None where it has none.

    flange_diameter: mean diameter of the ring where the flange rubs, mm. on_shell: the flange bears
    on the shell's face, so that the thread pulls the sleeve out; else it bears on the sleeve.
    drag_torque: turned on the sleeve by the bearings while pedalling forwards, N·mm.
    material: of the cups, None where not given.
    """

    left: CupTightening | None
    right: CupTightening | None
    thread_friction_low: float
    thread_friction_high: float
    flange_friction_low: float
    flange_friction_high: float
    flange_diameter: float
    on_shell: bool
    drag_torque: float = 0.0
    material: Material | None = None

    @property
    def sides(self) -> tuple[tuple[Side, CupTightening], ...]:
        pairs: tuple[tuple[Side, CupTightening | None], ...] = (("left", self.left), ("right", self.right))
        return tuple((side, cup) for side, cup in pairs if cup is not None)


Combination = Literal["instead", "added", "greater"]


@dataclass(frozen=True)
class CompoundInput:
    """A retaining compound in the joint and what its maker or the user's own test says of it.

    shear_strength: MPa, cured, on these materials. credit: share of it that is counted, 0 to 1.
    combination: how it goes with friction: instead of it, added to it, or the greater of the two.
    friction_low: least friction of the seat with compound on it, None where not known.
    gap_least, gap_most: diametral gap it is stated for, mm, an interference counted negative.
    temperature_least, temperature_most: range it is stated for, K above 20 °C.
    cured_for, full_cure: time it was given, and time it needs, s. cured_at, cure_least: temperature
    it cured at, and the least it cures at, K above 20 °C.
    """

    shear_strength: float
    credit: float
    combination: Combination | None
    friction_low: float | None
    gap_least: float | None
    gap_most: float | None
    temperature_least: float | None
    temperature_most: float | None
    cured_for: float | None
    full_cure: float | None
    cured_at: float
    cure_least: float | None
    source: str = ""


@dataclass(frozen=True)
class Temperatures:
    """Part temperatures after assembly, K above 20 °C: range of use, and a paint oven or None.

    oven_time: s, or None.
    """

    use_least: float
    use_most: float
    oven: float | None = None
    oven_time: float | None = None
