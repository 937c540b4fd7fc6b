"""Force–travel curve of pressing in: contact solved at a series of positions of the sleeve.

    F = μ ∫ p dA over the contact at that travel      (closed form for comparison: Σ π d L μ p, p by Lamé)

At each position only the overlapping part of the lands touches, and the rest of both bodies supports it,
so that the contact pressure at the end of a partly engaged sleeve is above the mean.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from hoopwright import fem
from hoopwright.case.faults import CaseError, Fault
from hoopwright.case.model import Case
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.estimate import INTEGRAL, from_meshes
from hoopwright.fem import Resolution, SlidingSolver
from hoopwright.fit import elastic, usual_resolution
from hoopwright.geometry.joint import Joint, Seat, joint
from hoopwright.geometry.land import End, opposite
from hoopwright.geometry.travel import (
    at_travel,
    blocking_travel,
    engagement_travels,
    entry_end,
    total_travel,
)

# At least this many steps over the travel, besides the positions where the slope of the force changes.
STEPS_OVER_TRAVEL = 8
JUST_AFTER = 0.15
MAX_POSITIONS = 40
SLICES = 24


@dataclass(frozen=True)
class Position:
    """Contact forces at one position of the sleeve.

    travel: mm. engaged: length of the lands in interference, mm. normal: ∫ p dA while sliding, N: low
    friction at least interference, likely at nominal, high at greatest. frictionless: ∫ p dA without
    friction, at every shift of the curve, N. push_gain: relative rise of ∫ p dA by the axial push, per unit
    of friction, (sliding/frictionless − 1)/μ. numerical_error: of the likely value, N. closed_form: ∫ p dA
    at nominal interference by Lamé slice by slice, no end effect, N.
    """

    travel: float
    engaged: float
    normal: tuple[float, float, float]
    frictionless: tuple[float, ...]
    push_gain: float
    numerical_error: float
    closed_form: float


@dataclass(frozen=True)
class ForceTravel:
    """Force against travel, from the mouth of the shell to home.

    shifts: of the diametral interference from nominal, rising, mm; zero is in the middle, and the second
    and the last but one are the 95 % limits.
    """

    case: Case
    enters_from: End
    shifts: tuple[float, ...]
    positions: tuple[Position, ...]

    @cached_property
    def travel(self) -> np.ndarray:
        """Travel at every position, (positions,), mm."""
        return np.array([p.travel for p in self.positions])

    @cached_property
    def frictions(self) -> tuple[float, float, float]:
        """Coefficient of sliding friction: low, likely, high."""
        return frictions(self.case)

    @cached_property
    def normal(self) -> np.ndarray:
        """∫ p dA while sliding, (positions, 3), N; the last two are raised where an oval bore opens it."""
        return np.array([p.normal for p in self.positions])

    @cached_property
    def force(self) -> np.ndarray:
        """Pressing force, (positions, 3), N: low friction at least interference, likely friction at
        nominal, high friction at greatest."""
        return self.normal * np.array(self.frictions)

    @cached_property
    def force_without_push_gain(self) -> np.ndarray:
        """Likely force without the rise of pressure by the axial push, (positions,), N; this is what the
        closed form gives."""
        return self.frictions[1] * np.array([p.frictionless[len(self.shifts) // 2] for p in self.positions])

    @cached_property
    def closed_form(self) -> np.ndarray:
        """Likely force by Lamé, without end effect, (positions,), N."""
        return self.frictions[1] * np.array([p.closed_form for p in self.positions])

    @property
    def peak(self) -> tuple[float, float, float]:
        """Greatest force over the travel, N: low, likely, high."""
        low, likely, high = (float(column.max()) for column in self.force.T)
        return low, likely, high

    @property
    def breakaway(self) -> float:
        """Greatest force to restart a sleeve at rest, N: the high peak times the restart ratio."""
        return self.case.press.restart_ratio * self.peak[2]

    def work(self, forces: np.ndarray) -> float:
        """∫ F ds over the whole travel, N·mm."""
        return float(np.trapezoid(forces, self.travel))


def entry_side(case: Case) -> End:
    """The side from which the sleeve is pressed in. Raises CaseError where it is blocked from there."""
    asked: End | None = case.press.enters_from
    end = entry_end(case.shell, case.sleeve) if asked is None else asked
    stop = blocking_travel(case.shell, case.sleeve, end)
    if stop is not None:
        other = opposite(end)
        raise CaseError(
            (
                Fault(
                    case.file,
                    "[press]",
                    "enters_from",
                    f"from the {end} the sleeve meets a smaller bore after {stop:.3g} mm of travel",
                    f'write enters_from = "{other}", or check the lands',
                ),
            )
        )
    return end


def frictions(case: Case) -> tuple[float, float, float]:
    """Coefficient of sliding friction: low, likely (by default their geometric mean), high."""
    low, likely, high = case.fit.friction_low, case.press.friction_likely, case.fit.friction_high
    return low, float(np.sqrt(low * high)) if likely is None else likely, high


def force_travel(
    case: Case,
    *,
    interference_half_width: float,
    reach: float | None = None,
    resolution: Resolution | None = None,
) -> ForceTravel:
    """Solve the force–travel curve.

    interference_half_width: of the 95 % interval of the diametral interference, mm. reach: half-width of
    the range to solve, mm, by default twice that. Raises CaseError when the way is blocked, fem.MeshError
    or fem.SolveError when a position cannot be meshed or solved.
    """
    end = entry_side(case)
    far = max(2.0 * interference_half_width if reach is None else reach, interference_half_width)
    shifts = (-far, -interference_half_width, 0.0, interference_half_width, far)
    fine = resolution or travel_resolution(usual_resolution(case))
    positions = tuple(_position(case, end, travel, shifts, fine) for travel in _travels(case, end))
    return ForceTravel(case, end, shifts, positions)


def travel_resolution(resolution: Resolution) -> Resolution:
    """Resolution of the positions, coarser than the check's: forces converge far sooner than stresses."""
    return resolution.coarser().coarser()


def _travels(case: Case, end: End) -> list[float]:
    marks = engagement_travels(case.shell, case.sleeve, end)
    step = total_travel(case.shell, case.sleeve, end) / STEPS_OVER_TRAVEL
    travels = [0.0]
    for a, b in zip(marks[:-1], marks[1:], strict=True):
        even = np.linspace(a, b, max(2, int(np.ceil((b - a) / step - 1e-9)) + 1))
        soon = a + JUST_AFTER * (even[1] - a)  # the force jumps where a land begins to engage
        travels += [float(soon), *even[1:]]
    if len(travels) > MAX_POSITIONS:
        keep = np.unique(np.linspace(0, len(travels) - 1, MAX_POSITIONS).round().astype(int))
        travels = [travels[k] for k in keep]
    return [float(t) for t in travels]


def _position(case: Case, end: End, travel: float, shifts: tuple[float, ...], fine: Resolution) -> Position:
    pair = joint(case.shell, at_travel(case.shell, case.sleeve, end, travel))
    loss = case.fit.smoothing_loss_mm
    tightest = [max(s.interference_start, s.interference_end) + shifts[-1] - loss for s in pair.seats]
    if not tightest or max(tightest) <= 0.0:
        return Position(travel, 0.0, (0.0, 0.0, 0.0), (0.0,) * len(shifts), 0.0, 0.0, 0.0)
    solver = _PositionSolver(case, pair, end, fine)
    free = tuple(solver.normal(shift) for shift in shifts)
    low, likely, high = (
        solver.normal(shift, mu) for shift, mu in zip(shifts[1:4], frictions(case), strict=True)
    )
    coarse = _PositionSolver(case, pair, end, fine.coarser()).normal(0.0)
    engaged = sum(s.length for s in pair.seats if s.interference_start + s.interference_end > 2.0 * loss)
    oval_gains = [oval_gain(case, pair, shift) for shift in shifts[1:4]]
    push_gain = (likely / free[2] - 1.0) / frictions(case)[1] if free[2] > 0.0 else 0.0
    return Position(
        travel,
        engaged,
        (low, oval_gains[1] * likely, oval_gains[2] * high),
        free,
        push_gain,
        from_meshes(free[2], coarse, kind=INTEGRAL).error,
        float(sum(_slice_force(case, pair, s) for s in pair.seats)),
    )


class _PositionSolver:
    """Contact solver for one position on one mesh."""

    def __init__(self, case: Case, pair: Joint, end: End, resolution: Resolution) -> None:
        materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
        self.meshed_joint = fem.mesh_joint(pair, materials, resolution)
        model, pairs = self.meshed_joint.model, self.meshed_joint.interface
        self.solver = SlidingSolver(model, pairs, direction=1 if end == "left" else -1)
        self.rise = case.fit.temperature_rise_K
        self.profile = self.meshed_joint.radial_interference(smoothing=case.fit.smoothing_loss_mm)

    def normal(self, shift: float, friction: float = 0.0) -> float:
        """∫ p dA at a shift of the diametral interference in mm, N; while sliding where friction > 0."""
        interference = self.profile + fem.radial(shift)
        if not np.any(interference > 0.0) and not self.rise:
            return 0.0
        fit = (
            self.solver.slide(interference, friction=friction, temperature_rise=self.rise)
            if friction
            else self.solver.press(interference, stuck=False, temperature_rise=self.rise)
        )
        return float(2.0 * np.pi * fit.pressure @ self.meshed_joint.interface.weight)


def _slice_force(case: Case, pair: Joint, seat: Seat, shift: float = 0.0) -> float:
    """∫ p dA of one seat by Lamé slice by slice, N."""
    share = (np.arange(SLICES) + 0.5) / SLICES
    z = seat.z_start + share * seat.length
    interference = (
        shift
        - case.fit.smoothing_loss_mm
        + seat.interference_start
        + share * (seat.interference_end - seat.interference_start)
    )
    inner, middle, outer = radii(pair, z)
    sleeve, shell = case.sleeve_material, case.shell_material
    pressure = contact_pressure(
        radial_interference=fem.radial(interference),
        sleeve_bore_radius=inner,
        interface_radius=middle,
        shell_outer_radius=outer,
        sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
        shell=(shell.young_modulus, shell.poisson_ratio),
        sleeve_alpha=sleeve.expansion,
        shell_alpha=shell.expansion,
        temperature_change=case.fit.temperature_rise_K,
    )
    return float(2.0 * np.pi * np.sum(middle * pressure) * seat.length / SLICES)


def radii(pair: Joint, z: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Radii of sleeve bore, interface and shell outside at z within the seats, mm."""
    inner, middle, outer = np.empty_like(z), np.empty_like(z), np.empty_like(z)
    for s in pair.sleeve:
        here = (z >= s.z_start) & (z <= s.z_end)
        inner[here] = 0.5 * (s.inner_start + s.inner_end)
    for s in pair.shell:
        here = (z >= s.z_start) & (z <= s.z_end)
        share = (z[here] - s.z_start) / (s.z_end - s.z_start)
        middle[here] = s.inner_start + share * (s.inner_end - s.inner_start)
        outer[here] = s.outer_start + share * (s.outer_end - s.outer_start)
    return inner, middle, outer


def oval_gain(case: Case, pair: Joint, shift: float) -> float:
    """Factor by which an oval bore raises ∫ p dA; 1 while the fit stays closed all round.

        p(φ) = p0 + p2 cos φ, φ = 2θ,   p2 = k w,   1/k = Σ R⁴/(9 E I),   w = ovality/4
        where p2 > p0:  gain = (φc + (p2/p0) sin φc)/π,   cos φc = −p0/p2

    The rings are thin and bend without stretching, and every angle carries its load independently: an upper
    estimate.
    Source: classical thin ring, n = 2.
    """
    ovality = 0.0 if case.out_of_round is None else case.out_of_round.ovality
    if not ovality or not pair.seats:
        return 1.0
    seat = max(pair.seats, key=lambda s: s.interference_start + s.interference_end)
    z = np.array([0.5 * (seat.z_start + seat.z_end)])
    inner, middle, outer = (float(r[0]) for r in radii(pair, z))
    rings = ((case.sleeve_material, inner, middle), (case.shell_material, middle, outer))
    compliance = sum(
        (0.5 * (a + b)) ** 4 / (9.0 * m.young_modulus * (b - a) ** 3 / 12.0) for m, a, b in rings
    )
    mean = _slice_force(case, pair, seat, shift) / (2.0 * np.pi * middle * seat.length)
    swing = 0.25 * ovality / compliance
    if mean <= 0.0 or swing <= mean:
        return 1.0
    edge = float(np.arccos(-mean / swing))
    return (edge + swing / mean * np.sin(edge)) / np.pi
