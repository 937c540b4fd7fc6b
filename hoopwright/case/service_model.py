"""What a case says about use: cups, bearings, what holds the shell, loads. mm, N, MPa, degrees."""

from __future__ import annotations

from dataclasses import dataclass

from geometry.tubes import Tube
from loads.hold import ClampedBand
from loads.seat import Hold


@dataclass(frozen=True)
class CupInput:
    """A cup of a crank shell. bearing: plane in which its bearing carries the spindle, z.

    start, end: stretch of the sleeve's bore that its thread or seat takes hold of, z. hold: as in
    loads.seat.Band. flange_diameter: outside, of the flange that bears on a face, or None.
    """

    bearing: float
    start: float
    end: float
    hold: Hold
    flange_diameter: float | None = None


@dataclass(frozen=True)
class CrankInput:
    """Both cups and the cranks. axial_to: bearing that takes a push along the axis.

    crank_length, chainring_radius, pedal_offset: None where no load asks for them. chain_line: chain
    plane from the centre-line, to the right; pedal_offset: middle of the pedal from the centre-line.
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
    """A blow along the axis, inwards. radius: of the point struck, from the axis; angle: its direction."""

    force: float
    side: str
    radius: float
    angle: float


@dataclass(frozen=True)
class BearingInput:
    """One load of a bearing in its seat, a stretch of the sleeve's bore. axial: along +z.

    z: plane of the load. The axial part is shear on the seat.
    """

    name: str
    radial: float
    angle: float
    axial: float
    z: float
    start: float
    end: float
    hold: Hold


@dataclass(frozen=True)
class ServiceInput:
    """Loads in use. hold: tubes, or the clamped band. pedalling_test: type of bicycle, or None.

    standing_start: push on a level crank, N, or None. cycles: how often the load cycle must be
    stood; None takes those of the test. micro_slip_accepted: the user takes it, and it is told, not
    judged.
    """

    hold: tuple[Tube, ...] | ClampedBand
    crank: CrankInput | None
    pedalling_test: str | None
    standing_start: float | None
    side_impact: SideImpactInput | None
    bearings: tuple[BearingInput, ...]
    cycles: int | None
    micro_slip_accepted: bool = False


@dataclass(frozen=True)
class Endurance:
    """Fatigue strength of one body as the case gives it: amplitude at R = -1 and `cycles`, MPa.

    slope: k of N ∝ amplitude^-k through that point.
    """

    amplitude: float
    cycles: float
    slope: float
    source: str


@dataclass(frozen=True)
class FatigueInput:
    """Factors on fatigue strength, 1 for none. heat_affected: of the parent metal's strength in a
    heat-affected shell; None takes the ratio of both tensile strengths. shell, sleeve: the case's own
    data, or None for the material's curve.

    reliability 0.81: 99 % of bars where strengths scatter by 8 %, textbook, from memory, not seen.
    """

    surface: float = 1.0
    reliability: float = 0.81
    heat_affected: float | None = None
    shell: Endurance | None = None
    sleeve: Endurance | None = None


@dataclass(frozen=True)
class OutOfRound:
    """Bore of the shell out of round, before pressing, mm and degrees.

    ovality: greatest less least diameter; angle: direction of the greatest. three_lobe: peak to
    valley of the radius, as a three-point gauge or a round-running dial sees it; three_lobe_angle:
    direction of a high diameter reading, i.e. of a lobe that lies outwards.
    """

    ovality: float = 0.0
    angle: float = 0.0
    three_lobe: float = 0.0
    three_lobe_angle: float = 0.0
