"""A case as the rest of the tool sees it: frozen, complete, in mm, N, MPa and K above 20 °C."""

from __future__ import annotations

from dataclasses import dataclass

from geometry import Shell, Sleeve
from hoopwright.materials import Material


@dataclass(frozen=True)
class Job:
    """Who and what the record is about; free text, "" where not given."""

    piece: str = ""
    owner: str = ""
    date: str = ""
    mechanic: str = ""
    notes: str = ""


@dataclass(frozen=True)
class FitInput:
    """friction_low serves the holding checks, friction_high the pressing force.

    temperature_rise_K: part temperature of the fit, K above 20 °C.
    """

    friction_low: float
    friction_high: float
    temperature_rise_K: float = 0.0  # noqa: N815 - fields end in their unit


@dataclass(frozen=True)
class Factors:
    """Factors of safety on the demand: margin = allowable / (factor x demand) - 1.

    The defaults are the tool's own choice; every result shows the ones it used.
    """

    yielding: float = 1.2
    holding: float = 1.5
    buckling: float = 2.0
    pressing: float = 1.25


@dataclass(frozen=True)
class MeshInput:
    """elements_through_wall: of each body, before any refinement."""

    elements_through_wall: int = 4


@dataclass(frozen=True)
class HoldDemand:
    """What the fit must hold, before factors. axial_force: N; torque: N·mm; either may be 0."""

    axial_force: float
    torque: float


@dataclass(frozen=True)
class Press:
    """The press at hand. capacity: the most it may push, N, or None where not given."""

    capacity: float | None = None


@dataclass(frozen=True)
class Case:
    """One case file, read.

    units: "metric" or "inch", what a person is shown. invented: the data is a made-up
    demonstration, which every output says.
    least_wall_mm: the user's own limit on the shell's wall, or None. runout_mm: eccentricity of
    the bore to the outside, total indicator reading.
    most_bore_closure_mm: how much smaller, on diameter, the sleeve's bore may become, or None.
    demand: None where the file gives none.
    file, sha256: the file's name as given, and the digest of its bytes.
    """

    title: str
    invented: bool
    units: str
    job: Job
    shell: Shell
    sleeve: Sleeve
    shell_material: Material
    sleeve_material: Material
    fit: FitInput
    factors: Factors
    mesh: MeshInput
    least_wall_mm: float | None
    runout_mm: float
    most_bore_closure_mm: float | None
    demand: HoldDemand | None
    press: Press
    file: str
    sha256: str
