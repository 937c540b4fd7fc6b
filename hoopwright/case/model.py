"""The case after reading: frozen dataclasses in mm, N, MPa and K above 20 °C."""

from __future__ import annotations

from dataclasses import dataclass, field
from pathlib import Path

from hoopwright.case.drawing_model import DrawingInput
from hoopwright.case.holding_model import CompoundInput, CupsInput, Side, Temperatures
from hoopwright.case.preset_model import Presets
from hoopwright.case.press_model import Press
from hoopwright.case.service_model import FatigueInput, OutOfRound, ServiceInput
from hoopwright.case.sizing_model import Boring, RouteInput, SizeInput
from hoopwright.case.without_effect import Notice
from hoopwright.closed_form.friction import smoothing_loss
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.land import at_end
from hoopwright.materials import Material, Stock
from hoopwright.measured.measured_land import MeasuredLand


@dataclass(frozen=True)
class Job:
    """Free text for the record, "" where not given."""

    piece: str = ""
    owner: str = ""
    date: str = ""
    mechanic: str = ""
    notes: str = ""


@dataclass(frozen=True)
class FitInput:
    """Friction, temperature and roughness of the fit.

    friction_low, friction_high: of the assembled joint, and of pressing where [press] gives no other.
    temperature_rise_K: where sizes and the nominal fit are reported, K above 20 °C. roughness_*: Rz of each
    surface, 0 where not given. smoothing, least_smoothing: most and least share of the sum of both Rz, on
    diameter, that pressing flattens: the most counts where the joint must hold, the least for stress, press
    force and closing.
    """

    friction_low: float
    friction_high: float
    temperature_rise_K: float = 0.0  # noqa: N815 - fields end in their unit
    roughness_bore_mm: float = 0.0
    roughness_sleeve_mm: float = 0.0
    smoothing: float = 0.8
    least_smoothing: float = 0.4

    def smoothing_loss_mm(self, share: float) -> float:
        """Diametral interference lost where pressing flattens a share of the roughness of both surfaces."""
        return float(
            smoothing_loss(
                rz_outer=self.roughness_bore_mm, rz_inner=self.roughness_sleeve_mm, smoothing=share
            )
        )


@dataclass(frozen=True)
class Factors:
    """Factors of safety on the demand: margin = allowable / (factor x demand) - 1.

    The defaults are the tool's own; every result shows the factors it used.
    """

    yielding: float = 1.2
    holding: float = 1.5
    buckling: float = 2.0
    pressing: float = 1.25
    fatigue: float = 1.25


@dataclass(frozen=True)
class MeshInput:
    """Mesh density. elements_through_wall: of each body, before any refinement."""

    elements_through_wall: int = 4


@dataclass(frozen=True)
class DemandInput:
    """Force and torque the fit must hold, before factors. axial_force: N; torque: N·mm; either may be 0."""

    axial_force: float
    torque: float


@dataclass(frozen=True)
class ProofInput:
    """What the pressed joint was loaded with on the bench. push: N; torque: N·mm; one of them is None.
    slipped: whether it moved. left: share of what was computed that a slip has left, where another joint is
    judged by it; None for the joint that was loaded, which holds no more than the load."""

    push: float | None
    torque: float | None
    slipped: bool
    left: float | None = None


@dataclass(frozen=True)
class StrengthZone:
    """A stretch of the shell, z in mm, whose metal is stronger than the rest; only its strength counts."""

    z_start: float
    z_end: float
    material: Material


@dataclass(frozen=True)
class MaterialsFile:
    """A file of the user's own materials that a case names. name: as in the case, relative to it; sha256:
    digest of its bytes."""

    name: str
    sha256: str
    materials: tuple[Material, ...]

    def path(self, case_file: str) -> str:
        """Where it lies, by the name of the case file."""
        return str(Path(case_file).parent / self.name)


@dataclass(frozen=True)
class Case:
    """Contents of one case file.

    units: "metric" or "inch", for display. invented: the data is made up for a demonstration, and
    every output says so.
    min_wall_mm: the user's own limit on the shell's wall, or None. runout_mm: of the bore to the
    outside, total indicator reading.
    max_bore_closure_mm: the user's own limit on the closure of the sleeve's bore, diametral, or None.
    no_service: why there is no service load, "" where not said.
    demand, service, out_of_round (of the shell's bore), cups, compound, temperatures, boring, proof: None
    where the file gives none. fatigue: factors and data of the fatigue checks.
    tap_after_pressing: the sleeve's threads are chased with a tap after pressing.
    shell_measured, sleeve_measured: lands whose size comes from readings. shell_bored, sleeve_turned:
    whether the part is finished, None where the case leaves that to its readings. shell_process,
    sleeve_process: how bore and outside are cut, see measured/form_prior.py. proud: "stays" where the case
    says that the sleeve is to reach beyond the shell, "faced" that what does is faced off after pressing.
    shell_lands_listed, sleeve_lands_listed: bore and outside are given as lands, not as a single diameter.
    size: how the part still to be cut will be measured. routes: other ways to repair.
    presets: what presets filled in where the file gives nothing. without_effect: keys that change nothing
    in the case. paper: of the record, "A4" or "letter"; None for the one customary with the units.
    drawing: what a drawing says besides the sizes.
    file, sha256: the file name as given, and the digest of its bytes. materials_file: None where the case
    names none.
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
    min_wall_mm: float | None
    runout_mm: float
    max_bore_closure_mm: float | None
    demand: DemandInput | None
    press: Press
    file: str
    sha256: str
    sample: bool = False
    service: ServiceInput | None = None
    no_service: str = ""
    fatigue: FatigueInput = field(default_factory=FatigueInput)
    out_of_round: OutOfRound | None = None
    tap_after_pressing: bool = False
    cups: CupsInput | None = None
    compound: CompoundInput | None = None
    temperatures: Temperatures | None = None
    shell_measured: tuple[MeasuredLand, ...] = ()
    sleeve_measured: tuple[MeasuredLand, ...] = ()
    shell_stock: Stock | None = None
    sleeve_stock: Stock | None = None
    shell_strength: tuple[StrengthZone, ...] = ()
    shell_bored: bool | None = None
    sleeve_turned: bool | None = None
    shell_process: str = "bored"
    sleeve_process: str = "turned"
    proud: str | None = None
    shell_lands_listed: bool = False
    sleeve_lands_listed: bool = False
    size: SizeInput = field(default_factory=SizeInput)
    boring: Boring | None = None
    proof: ProofInput | None = None
    routes: tuple[RouteInput, ...] = ()
    paper: str | None = None
    drawing: DrawingInput = field(default_factory=DrawingInput)
    materials_file: MaterialsFile | None = None
    presets: Presets = field(default_factory=Presets)
    without_effect: tuple[Notice, ...] = ()

    @property
    def one_friction(self) -> bool:
        """Whether the friction of the fit is that of pressing too."""
        return self.press.friction_low is None and self.press.friction_high is None

    @property
    def pulling_cups(self) -> tuple[Side, ...]:
        """The sides of the cups that sit in a thread of the sleeve, and so pull it."""
        sides = () if self.cups is None else self.cups.sides
        return tuple(side for side, _ in sides if at_end(self.sleeve.bore, side).thread is not None)

    @property
    def draws_sleeve(self) -> bool:
        """Whether all cups together pull the sleeve along the axis: a single one, with its flange on the
        shell. Two pull against each other, and a flange on the sleeve gives back what its thread takes."""
        return self.cups is not None and self.cups.flange_on_shell and len(self.pulling_cups) == 1

    @property
    def pressing_friction(self) -> tuple[float, float]:
        """Least and greatest friction while the sleeve is pushed in."""
        return pressing_friction(self.fit, self.press)

    @property
    def smoothing_loss_mm(self) -> float:
        """Most diametral interference lost on the way in: none where the sleeve slips in by heat or
        cold."""
        return 0.0 if self.press.slips_in else self.fit.smoothing_loss_mm(self.fit.smoothing)

    @property
    def smoothing_spread_mm(self) -> float:
        """Diametral interference that is left where the least is lost instead of the most."""
        if self.press.slips_in:
            return 0.0
        return self.smoothing_loss_mm - self.fit.smoothing_loss_mm(self.fit.least_smoothing)


def pressing_friction(fit: FitInput, press: Press) -> tuple[float, float]:
    """Least and greatest friction while a sleeve is pushed in: that of the fit where the press has none."""
    low, high = press.friction_low, press.friction_high
    return fit.friction_low if low is None else low, fit.friction_high if high is None else high
