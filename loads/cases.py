"""Load cases, with their reactions, and load cycles made of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from math import cos, radians, sin

from hoopwright.geometry.land import End
from hoopwright.geometry.shell import Shell
from hoopwright.loads.bearing import BearingLoad, bearing_seat_load
from hoopwright.loads.description import LoadDescription
from hoopwright.loads.pedal import Chain, Pedal, pedalling_forces
from hoopwright.loads.seat_load import LoadBand, SeatLoad, Shoulder
from hoopwright.loads.spindle import Cups, PointForce, cup_loads
from hoopwright.loads.support import ClampedBand, SupportReaction, TubeSupport, tube_reactions
from hoopwright.loads.traction import MAX_HARMONIC, FourierTraction
from hoopwright.loads.turning import TurningLoad, turning_load

MEMORY = "from memory, not seen in the standard"
NOTICE = "seen in a Korean safety notice on assisted cycles, not in the standard"
NO_SOURCE = "our choice: no source is published for cargo types, the greatest of the others is taken"


@dataclass(frozen=True)
class PedalTest:
    """Pedalling fatigue test of a type of bicycle. force: N; force_basis: what that rests on."""

    force: float
    force_basis: str

    @property
    def has_source(self) -> bool:
        """Whether the force is published for this type."""
        return self.force_basis != NO_SOURCE

    @property
    def source(self) -> str:
        """Where its numbers come from."""
        return PEDAL_TEST_SOURCE.format(force=self.force_basis)


PEDAL_TESTS = {
    "city": PedalTest(1000.0, MEMORY),
    "trekking": PedalTest(1000.0, MEMORY),
    "mountain": PedalTest(1200.0, MEMORY),
    "racing": PedalTest(1100.0, MEMORY),
    "assisted": PedalTest(1200.0, NOTICE),
    "cargo": PedalTest(1200.0, NO_SOURCE),
}
"""By type of bicycle, ISO 4210-6 fatigue test with pedalling forces."""

PEDAL_TEST_CYCLES = 100_000
"""Cycles of the same test; seen in a Korean safety notice on assisted cycles, not in the standard."""

PEDAL_TEST_SOURCE = (
    "ISO 4210-6, fatigue test with pedalling forces; arms 175 mm, forward and down at 45°: seen; force: "
    "{force}; 150 mm from the centre-line, 7.5°, 75 mm lever, cycles: "
    f"{NOTICE}; direction of the 7.5° taken towards the centre-line, the severer one"
)

LEVEL_PEDAL_FORCE = 1500.0
"""N, straight down on the left pedal with the crank level, for a minute."""
LEVEL_PEDAL_SOURCE = "EN 14766:2005, 4.13.6.2.2, static test of the drive system of mountain bicycles: seen"


@dataclass(frozen=True)
class LoadCase:
    """All loads and reactions on the two bodies at one instant, in equilibrium unless a band is clamped.

    loads: on each seat; reactions: of each supporting tube; clamped: the band held rigidly instead, or
    None. source: where the load comes from. turning: the parts of a load that goes round, of which loads
    and reactions show one angle; None where it stands; shown_angle: that angle, rad. Raises ValueError
    where two loads or two reactions have the same name.
    """

    name: str
    description: LoadDescription
    loads: tuple[SeatLoad, ...]
    reactions: tuple[SupportReaction, ...]
    source: str
    clamped: ClampedBand | None = None
    turning: TurningLoad | None = None
    shown_angle: float = 0.0

    def __post_init__(self) -> None:
        for names in ([one.name for one in self.loads], [one.name for one in self.reactions]):
            if len(set(names)) < len(names):
                raise ValueError(f"{self.name}: a name stands twice in {', '.join(names)}")

    @property
    def tractions(self) -> tuple[FourierTraction, ...]:
        """Tractions of all applied loads."""
        return tuple(t for load in self.loads for t in load.tractions)

    @property
    def loads_and_reactions(self) -> tuple[FourierTraction, ...]:
        """Tractions of all applied loads, then of all reactions."""
        return self.tractions + self.reaction_tractions

    @property
    def reaction_tractions(self) -> tuple[FourierTraction, ...]:
        return tuple(t for reaction in self.reactions for t in reaction.tractions)

    @property
    def parts(self) -> tuple[tuple[FourierTraction, ...], ...]:
        """The tractions to solve for: all at once, or the parts of a load that goes round."""
        return (self.loads_and_reactions,) if self.turning is None else self.turning.parts


@dataclass(frozen=True)
class Cycle:
    """Load cases applied in turn and repeated, with a moment without load between them; a load that goes
    round takes a turn.

    count: number of cycles to be survived, 0 where none is given.
    """

    name: str
    cases: tuple[LoadCase, ...]
    count: int
    source: str


@dataclass(frozen=True)
class CrankShell:
    """A crank shell with both cups, its support, and the bicycle's centre-line.

    centre_line: z, mm, or None for the middle of the shell.
    """

    shell: Shell
    cups: Cups
    support: TubeSupport | ClampedBand
    centre_line: float | None = None

    @property
    def middle(self) -> float:
        return 0.5 * self.shell.width if self.centre_line is None else self.centre_line


def balanced(
    name: str,
    loads: tuple[SeatLoad, ...],
    shell: Shell,
    support: TubeSupport | ClampedBand,
    *,
    description: LoadDescription,
    source: str,
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """A load case with the reactions of the supporting tubes, or with its clamped band."""
    if isinstance(support, ClampedBand):
        return LoadCase(name, description, loads, (), source, support)
    case = LoadCase(name, description, loads, (), source)
    reactions = tube_reactions(case.tractions, support, shell.outside, harmonics=harmonics)
    return replace(case, reactions=reactions)


def spindle_case(
    name: str,
    forces: Iterable[PointForce],
    crank: CrankShell,
    *,
    description: LoadDescription,
    source: str = "user",
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """Load case of forces on the spindle, carried to the shell by both cups; they must leave no torque."""
    return balanced(
        name,
        cup_loads(forces, crank.cups, harmonics=harmonics),
        crank.shell,
        crank.support,
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
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """Load case of one pedal force and the chain tension that balances its torque."""
    forces = pedalling_forces(pedal, chain, centre_line=crank.middle)
    description = LoadDescription(
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
    harmonics: int = MAX_HARMONIC,
) -> Cycle:
    """The ISO 4210-6 pedalling fatigue test: right and left pedal in turn, see PedalTest.

    bicycle: a key of PEDAL_TESTS. chain_z: plane of the chain or of the arm that replaces it, mm.
    lever: length of that arm, mm. Raises ValueError for an unknown type of bicycle.
    """
    if bicycle not in PEDAL_TESTS:
        raise ValueError(f"no bicycle type {bicycle!r}; write one of {', '.join(PEDAL_TESTS)}")
    test = PEDAL_TESTS[bicycle]

    def push(side: End) -> LoadCase:
        return pedal_case(
            f"{side} pedal",
            Pedal(side, test.force, 150.0, 175.0, 45.0, tilt=7.5),
            Chain(lever, chain_z),
            crank,
            source=test.source,
            harmonics=harmonics,
        )

    in_turn = push("right"), push("left")
    return Cycle(f"{bicycle} pedalling test", in_turn, PEDAL_TEST_CYCLES, test.source)


def standing_start(
    force: float,
    crank: CrankShell,
    chain: Chain,
    *,
    crank_length: float,
    offset: float,
    tilt: float = 0.0,
    harmonics: int = MAX_HARMONIC,
) -> tuple[LoadCase, LoadCase]:
    """Load cases of a hard push on a level crank, right and left, which gives the greatest chain tension.

    force: N; the user states what a rider achieves while pulling on the handlebar.
    """

    def push(side: End) -> LoadCase:
        pedal = Pedal(side, force, offset, crank_length, 0.0, tilt)
        return pedal_case(f"standing start, {side}", pedal, chain, crank, harmonics=harmonics)

    return push("right"), push("left")


def level_pedal(
    crank: CrankShell,
    chain: Chain,
    *,
    crank_length: float,
    offset: float,
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """Load case of the static test on a level pedal, see LEVEL_PEDAL_SOURCE."""
    pedal = Pedal("left", LEVEL_PEDAL_FORCE, offset, crank_length, 0.0)
    return pedal_case("level pedal", pedal, chain, crank, source=LEVEL_PEDAL_SOURCE, harmonics=harmonics)


def side_impact(
    force: float,
    crank: CrankShell,
    *,
    radius: float,
    angle: float,
    side: str,
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """Load case of an axial blow, inwards, on the crank or pedal of one side.

    force: N, > 0; radius: distance from the axis, mm; angle: of the point of impact, degrees from x
    towards y. A force along z has no torque about the axis, so the chain carries nothing.
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
        description=LoadDescription(
            f"{{}} inwards from the {side}, {{}} from the axis", ((force, "N"), (radius, "mm"))
        ),
        harmonics=harmonics,
    )


def bearing_case(
    name: str,
    load: BearingLoad,
    seat: LoadBand,
    shell: Shell,
    support: TubeSupport | ClampedBand,
    *,
    rotates: bool = False,
    shoulder: Shoulder | None = None,
    source: str = "user",
    harmonics: int = MAX_HARMONIC,
) -> LoadCase:
    """Load case of one bearing in a housing. rotates: its radial load goes round the housing."""

    def at(one: BearingLoad, description: LoadDescription) -> LoadCase:
        return balanced(
            name,
            (bearing_seat_load(one, seat, shoulder=shoulder, harmonics=harmonics),),
            shell,
            support,
            description=description,
            source=source,
            harmonics=harmonics,
        )

    where = f"turning, shown at {load.angle:g}°," if rotates else f"at {load.angle:g}°"
    description = LoadDescription(
        f"{{}} {where} and {{}} along the axis, at z = {{}}",
        ((load.radial, "N"), (load.axial, "N"), (load.z, "mm")),
    )
    shown = at(load, description)
    if not rotates:
        return shown
    radial = [at(replace(load, angle=angle, axial=0.0), description) for angle in (0.0, 90.0)]
    along, across = ((one.tractions, one.reaction_tractions) for one in radial)
    standing = at(replace(load, radial=0.0), description).loads_and_reactions
    return replace(shown, turning=turning_load(along, across, standing), shown_angle=radians(load.angle))
