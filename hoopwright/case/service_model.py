"""Inputs on service: cups, bearings, the support of the shell, loads. mm, N, MPa, degrees."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.geometry.tubes import Tube
from hoopwright.loads.seat_load import Mounting
from hoopwright.loads.support import ClampedBand


@dataclass(frozen=True)
class CupInput:
    """A cup of a crank shell.

    bearing: z of the plane in which its bearing carries the spindle. start, end: z of the band of the
    sleeve's bore that its thread or seat engages. mounting: as in LoadBand. flange_diameter: outside
    diameter of the flange that bears on a face, or None.
    """

    bearing: float
    start: float
    end: float
    mounting: Mounting
    flange_diameter: float | None = None


@dataclass(frozen=True)
class CrankInput:
    """Both cups and the cranks.

    axial_to: bearing that takes axial force, "pushed", "left" or "right". crank_length,
    chainring_radius, pedal_offset: None where no load needs them. chain_line: distance of the chain
    plane from the centre-line, to the right; pedal_offset: of the middle of the pedal from it.
    centre_line: z of the bicycle's centre-line, None for the middle of the shell.
    """

    left: CupInput
    right: CupInput
    axial_to: str
    crank_length: float | None
    chainring_radius: float | None
    chain_line: float | None
    pedal_offset: float | None
    centre_line: float | None


@dataclass(frozen=True)
class SideImpactInput:
    """An axial impact directed inwards. radius, angle: polar position of the point struck."""

    force: float
    side: str
    radius: float
    angle: float


@dataclass(frozen=True)
class BearingInput:
    """One load of a bearing in its seat, which spans start to end of the sleeve's bore.

    axial: along +z, applied as shear on the seat. z: plane of the load. rotates: the joint turns under the
    load, so that its direction goes round the joint; angle is then where it is shown. cycles: required
    number of them, None for that of [service].
    """

    name: str
    radial: float
    angle: float
    axial: float
    z: float
    start: float
    end: float
    mounting: Mounting
    rotates: bool = False
    cycles: int | None = None


@dataclass(frozen=True)
class ServiceInput:
    """Support of the shell and loads in use.

    support: the tubes or the clamped band that support the shell. pedalling_test: type of bicycle, or
    None. standing_start: push on a level crank, N, or None. level_pedal_test: whether the static test of a
    level pedal acts. cycles: required number of cycles of every load
    that repeats; None for the number of the test. micro_slip_accepted: micro-slip is reported but not
    judged.
    """

    support: tuple[Tube, ...] | ClampedBand
    crank: CrankInput | None
    pedalling_test: str | None
    standing_start: float | None
    side_impact: SideImpactInput | None
    bearings: tuple[BearingInput, ...]
    cycles: int | None
    micro_slip_accepted: bool = False
    level_pedal_test: bool = False


@dataclass(frozen=True)
class Endurance:
    """Fatigue strength of one body as given in the case.

    amplitude: MPa, at R = -1 and `cycles`. slope: k of N ∝ amplitude^-k through that point. scatter:
    standard deviation of log10 life, 0 where it is not known.
    """

    amplitude: float
    cycles: float
    slope: float
    source: str
    scatter: float = 0.0


@dataclass(frozen=True)
class FatigueInput:
    """What lowers fatigue strength, and the case's own data.

    surface: factor, 1 for none. reliability: share of bars that reach the strength. heat_affected: share of
    the parent metal's strength in a heat-affected shell; None takes the ratio of the two tensile
    strengths. fretting: share of the strength that is left on a seat that slips. thread_notch_factor:
    on the stress where the bore is threaded, None where the case gives none. shell, sleeve: the case's own
    data, or None for the material's curve.
    """

    surface: float = 1.0
    reliability: float = 0.99
    heat_affected: float | None = None
    fretting: float = 0.45
    thread_notch_factor: float | None = None
    shell: Endurance | None = None
    sleeve: Endurance | None = None


@dataclass(frozen=True)
class OutOfRound:
    """Out-of-roundness of the shell's bore before pressing, mm and degrees.

    ovality: greatest less least diameter; angle: direction of the greatest, None where not known.
    three_lobe: peak to valley of the radius, as a three-point gauge or a dial run round the bore shows it;
    three_lobe_angle: direction of a lobe that lies outwards.
    """

    ovality: float = 0.0
    angle: float | None = None
    three_lobe: float = 0.0
    three_lobe_angle: float = 0.0
