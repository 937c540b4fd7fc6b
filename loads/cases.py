"""Load cases ready to use, and cycles made of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import cos, radians, sin
from typing import Literal

from geometry.shell import Shell
from loads.bearing import BearingLoad, bearing_tractions
from loads.hold import ClampedBand, TubeHold, tube_reactions
from loads.pedal import Chain, Pedal, pedalling_forces
from loads.seat import Band, Shoulder
from loads.spindle import Cups, PointForce, cup_tractions
from loads.traction import HARMONICS, FourierTraction
from loads.wording import Wording

PEDAL_TEST_FORCE = {"city": 1000.0, "trekking": 1000.0, "mountain": 1200.0, "racing": 1100.0}
"""N, by type of bicycle, ISO 4210-6 fatigue test with pedalling forces; from memory, not seen."""

PEDAL_TEST_CYCLES = 100_000
"""Cycles of the same test; from memory, not seen in the standard."""

PEDAL_TEST_SOURCE = (
    "ISO 4210-6, fatigue test with pedalling forces; arms 175 mm, forward and down at 45°: seen; "
    "force, 150 mm from the centre-line, 7.5°, 75 mm lever, cycles: from memory, not seen in the "
    "standard; direction of the 7.5° taken towards the centre-line, the severer one"
)


Side = Literal["left", "right"]
SIDES: tuple[Side, Side] = ("right", "left")


@dataclass(frozen=True)
class LoadCase:
    """One instant: what acts on the two bodies, in balance unless a band is clamped.

    tractions: the loads; reactions: what the tubes give back; clamped: the band held still
    instead, or None. source: where the load comes from.
    """

    name: str
    description: Wording
    tractions: tuple[FourierTraction, ...]
    reactions: tuple[FourierTraction, ...]
    source: str
    clamped: ClampedBand | None = None

    @property
    def everything(self) -> tuple[FourierTraction, ...]:
        """Loads and reactions."""
        return self.tractions + self.reactions


@dataclass(frozen=True)
class Cycle:
    """Load cases gone through in turn, over and over. count: how many times it must be stood."""

    name: str
    cases: tuple[LoadCase, ...]
    count: int
    source: str


@dataclass(frozen=True)
class CrankShell:
    """A crank shell as it stands: both cups, what holds it, and the bicycle's centre-line.

    centre_line: z, mm, or None for the middle of the shell.
    """

    shell: Shell
    cups: Cups
    hold: TubeHold | ClampedBand
    centre_line: float | None = None

    @property
    def middle(self) -> float:
        return 0.5 * self.shell.width if self.centre_line is None else self.centre_line


def balanced(
    name: str,
    tractions: Iterable[FourierTraction],
    shell: Shell,
    hold: TubeHold | ClampedBand,
    *,
    description: Wording,
    source: str,
    harmonics: int = HARMONICS,
) -> LoadCase:
    """A load case with the reactions of the tubes, or with the band that is held."""
    loads = tuple(tractions)
    if isinstance(hold, ClampedBand):
        return LoadCase(name, description, loads, (), source, hold)
    reactions = tube_reactions(loads, hold, shell.outside, harmonics=harmonics)
    return LoadCase(name, description, loads, reactions, source)


def spindle_case(
    name: str,
    forces: Iterable[PointForce],
    crank: CrankShell,
    *,
    description: Wording,
    source: str = "user",
    harmonics: int = HARMONICS,
) -> LoadCase:
    """Any forces on the spindle that leave no torque, handed to the shell by both cups."""
    tractions = cup_tractions(forces, crank.cups, harmonics=harmonics)
    return balanced(
        name,
        tractions,
        crank.shell,
        crank.hold,
        description=description,
        source=source,
        harmonics=harmonics,
    )


def pedal_case(
    name: str,
    pedal: Pedal,
    chain: Chain,
    crank: CrankShell,
    *,
    source: str = "user",
    harmonics: int = HARMONICS,
) -> LoadCase:
    """One foot's push with the chain tension that answers it."""
    forces = pedalling_forces(pedal, chain, centre_line=crank.middle)
    description = Wording(
        f"{{}} on the {pedal.side} pedal, {{}} from the centre-line, crank {{}} at {pedal.crank_angle:g}° "
        f"below forward, tilted {pedal.tilt:g}° towards the centre-line",
        ((pedal.force, "N"), (pedal.offset, "mm"), (pedal.crank_length, "mm")),
    )
    return spindle_case(name, forces, crank, description=description, source=source, harmonics=harmonics)


def pedal_test(
    bicycle: str,
    crank: CrankShell,
    *,
    chain_z: float,
    lever: float = 75.0,
    harmonics: int = HARMONICS,
) -> Cycle:
    """The ISO 4210-6 pedalling fatigue test: right and left pedal in turn, see PEDAL_TEST_SOURCE.

    bicycle: a key of PEDAL_TEST_FORCE. chain_z: plane of the chain or of the arm that stands for
    it, mm. lever: length of that arm, mm. Raises ValueError for an unknown type of bicycle.
    """
    if bicycle not in PEDAL_TEST_FORCE:
        raise ValueError(f"no bicycle type {bicycle!r}; write one of {', '.join(PEDAL_TEST_FORCE)}")
    cases = tuple(
        pedal_case(
            f"{side} pedal",
            Pedal(side, PEDAL_TEST_FORCE[bicycle], 150.0, 175.0, 45.0, tilt=7.5),
            Chain(lever, chain_z),
            crank,
            source=PEDAL_TEST_SOURCE,
            harmonics=harmonics,
        )
        for side in SIDES
    )
    return Cycle(f"{bicycle} pedalling test", cases, PEDAL_TEST_CYCLES, PEDAL_TEST_SOURCE)


def standing_start(
    force: float,
    crank: CrankShell,
    chain: Chain,
    *,
    crank_length: float,
    offset: float,
    tilt: float = 0.0,
    harmonics: int = HARMONICS,
) -> tuple[LoadCase, LoadCase]:
    """All of a hard push on a level crank, right and left: the greatest chain tension.

    force: N; what a rider manages while pulling on the bars is for the user to say.
    """
    right, left = (
        pedal_case(
            f"standing start, {side}",
            Pedal(side, force, offset, crank_length, 0.0, tilt),
            chain,
            crank,
            harmonics=harmonics,
        )
        for side in SIDES
    )
    return right, left


def side_impact(
    force: float,
    crank: CrankShell,
    *,
    radius: float,
    angle: float,
    side: str,
    harmonics: int = HARMONICS,
) -> LoadCase:
    """A blow along the axis, inwards, on the crank or pedal end of one side.

    force: N, > 0; radius: distance from the axis, mm; angle: of the point, degrees from x
    towards y. A push along z has no torque about the axis, so the chain takes no part.
    """
    if side not in ("left", "right"):
        raise ValueError(f'side must be "left" or "right", got {side!r}')
    if not force > 0.0:
        raise ValueError(f"force must be positive, got {force} N")
    inward = -force if side == "right" else force
    turn = radians(angle)
    at = (radius * cos(turn), radius * sin(turn), crank.middle)
    blow = PointForce(at, (0.0, 0.0, inward), f"side impact from the {side}")
    return spindle_case(
        f"side impact, {side}",
        (blow,),
        crank,
        description=Wording(
            f"{{}} inwards from the {side}, {{}} from the axis", ((force, "N"), (radius, "mm"))
        ),
        harmonics=harmonics,
    )


def bearing_case(
    name: str,
    load: BearingLoad,
    seat: Band,
    shell: Shell,
    hold: TubeHold | ClampedBand,
    *,
    shoulder: Shoulder | None = None,
    source: str = "user",
    harmonics: int = HARMONICS,
) -> LoadCase:
    """One bearing in a housing."""
    description = Wording(
        f"{{}} at {load.angle:g}° and {{}} along the axis, at z = {{}}",
        ((load.radial, "N"), (load.axial, "N"), (load.z, "mm")),
    )
    return balanced(
        name,
        bearing_tractions(load, seat, shoulder=shoulder, harmonics=harmonics),
        shell,
        hold,
        description=description,
        source=source,
        harmonics=harmonics,
    )
