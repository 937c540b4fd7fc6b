"""Force against travel: the contact solved at a series of positions of the sleeve on its way in.

    F = μ ∫ p dA over what touches at that travel      (closed form beside it: Σ π d L μ p, p by Lamé)

At each position only the overlapped part of the lands touches, and the rest of both bodies helps to
carry it, so the end of a partly engaged sleeve is pressed harder than the mean.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np

import fem
from fem import Resolution
from geometry.joint import Joint, Seat, joint
from geometry.travel import End, at_travel, blocked, entrance, events, total_travel
from hoopwright.case.faults import CaseError, Fault
from hoopwright.case.model import Case
from hoopwright.closed_form.compound import contact_pressure
from hoopwright.estimate import Estimate, from_two
from hoopwright.fit import elastic

# Between places where the force bends, a position at least every this share of the travel.
STEPS_OVER_TRAVEL = 8
JUST_AFTER = 0.15
MOST_POSITIONS = 40
SLICES = 24


@dataclass(frozen=True)
class Position:
    """The sleeve somewhere on its way. travel, engaged: mm; engaged counts lands that interfere.

    normal: ∫ p dA at the three shifts of the interference, N: least, nominal, greatest. The first is
    the smaller of frictionless and stuck, the last the larger, the middle frictionless.
    closed_form: the same at nominal interference by Lamé slice by slice, no end effect.
    """

    travel: float
    engaged: float
    normal: tuple[float, float, float]
    numerical_error: float
    closed_form: float


@dataclass(frozen=True)
class Course:
    """All positions, from the mouth of the shell to home. shifts: mm, of the diametral interference."""

    case: Case
    enters_from: End
    shifts: tuple[float, float, float]
    positions: tuple[Position, ...]

    @cached_property
    def travel(self) -> np.ndarray:
        return np.array([p.travel for p in self.positions])

    @cached_property
    def frictions(self) -> tuple[float, float, float]:
        """Sliding friction, low, likely, high."""
        fit, likely = self.case.fit, self.case.press.friction_likely
        middle = likely if likely is not None else float(np.sqrt(fit.friction_low * fit.friction_high))
        return fit.friction_low, middle, fit.friction_high

    @cached_property
    def normal(self) -> np.ndarray:
        """∫ p dA, (positions, 3), N, the last two raised where an oval bore makes it bite."""
        return np.array([p.normal for p in self.positions])

    @cached_property
    def force(self) -> np.ndarray:
        """Pressing force, (positions, 3), N: low friction at least interference, likely friction at
        nominal, high friction at greatest."""
        return self.normal * np.array(self.frictions)

    @cached_property
    def closed_form(self) -> np.ndarray:
        """Likely force by Lamé, no end effect, (positions,), N."""
        return self.frictions[1] * np.array([p.closed_form for p in self.positions])

    @property
    def peak(self) -> tuple[float, float, float]:
        low, likely, high = (float(column.max()) for column in self.force.T)
        return low, likely, high

    @property
    def breakaway(self) -> float:
        """Most it may take to move a sleeve that has come to rest home, N."""
        return self.case.press.release_ratio * self.peak[2]

    def work(self, forces: np.ndarray) -> float:
        """∫ F ds over the whole travel, N·mm."""
        return float(np.trapezoid(forces, self.travel))


def side(case: Case) -> End:
    """The side the sleeve goes in from. Raises CaseError where it cannot go in from there."""
    asked = case.press.enters_from
    end: End = entrance(case.shell, case.sleeve) if asked is None else "left" if asked == "left" else "right"
    stop = blocked(case.shell, case.sleeve, end)
    if stop is not None:
        other = "right" if end == "left" else "left"
        raise CaseError((Fault(
            case.file, "[press]", "enters_from", f"from the {end} the sleeve meets a smaller bore after "
            f"{stop:.3g} mm of travel", f'write enters_from = "{other}", or check the lands'),))
    return end


def course(case: Case, *, spread: float, resolution: Resolution | None = None) -> Course:
    """Solve the whole way in. spread: mm, half-range of the diametral interference.

    Raises CaseError when the way is blocked, fem.MeshError or fem.SolveError when a position cannot
    be drawn or solved.
    """
    end = side(case)
    fine = resolution or Resolution(elements_through_wall=case.mesh.elements_through_wall)
    shifts = (-spread, 0.0, spread)
    positions = tuple(_position(case, end, travel, shifts, fine) for travel in _travels(case, end))
    return Course(case, end, shifts, positions)


def _travels(case: Case, end: End) -> list[float]:
    marks = events(case.shell, case.sleeve, end)
    step = total_travel(case.shell, case.sleeve, end) / STEPS_OVER_TRAVEL
    travels = [0.0]
    for a, b in zip(marks[:-1], marks[1:], strict=True):
        even = np.linspace(a, b, max(2, int(np.ceil((b - a) / step - 1e-9)) + 1))
        soon = a + JUST_AFTER * (even[1] - a)  # the force jumps where a land begins to touch
        travels += [float(soon), *even[1:]]
    if len(travels) > MOST_POSITIONS:
        keep = np.unique(np.linspace(0, len(travels) - 1, MOST_POSITIONS).round().astype(int))
        travels = [travels[k] for k in keep]
    return [float(t) for t in travels]


def _position(
    case: Case, end: End, travel: float, shifts: tuple[float, float, float], fine: Resolution
) -> Position:
    pair = joint(case.shell, at_travel(case.shell, case.sleeve, end, travel))
    tightest = [max(s.interference_start, s.interference_end) + max(shifts) for s in pair.seats]
    if not tightest or max(tightest) <= 0.0:
        return Position(travel, 0.0, (0.0, 0.0, 0.0), 0.0, 0.0)
    force = _solver(case, pair, fine)
    free = [force(shift, False) for shift in shifts]
    low, high = force(shifts[0], True), force(shifts[2], True)
    coarse = _solver(case, pair, fine.coarser())(0.0, False)
    engaged = sum(s.length for s in pair.seats if s.interference_start + s.interference_end > 0.0)
    gain = [oval_gain(case, pair, shift) for shift in shifts]
    normal = min(free[0], low), gain[1] * free[1], gain[2] * max(free[2], high)
    return Position(travel, engaged, normal, from_two(free[1], coarse).error,
                    float(sum(_slice_force(case, pair, s) for s in pair.seats)))


def _solver(case: Case, pair: Joint, resolution: Resolution) -> Callable[[float, bool], float]:
    """∫ p dA, N, as a function of the shift of the diametral interference and of stuck."""
    materials = {"shell": elastic(case.shell_material), "sleeve": elastic(case.sleeve_material)}
    assembly = fem.draw(pair, materials, resolution)
    solver = fem.FitSolver(assembly.model, assembly.interface)
    profile = assembly.interface.profile(
        [s.interference_start for s in pair.seats], [s.interference_end for s in pair.seats], pair.seats)

    def normal_force(shift: float, stuck: bool) -> float:
        fit = solver.press(0.5 * (profile + shift), stuck=stuck,
                           temperature_rise=case.fit.temperature_rise_K)
        return float(2.0 * np.pi * fit.pressure @ assembly.interface.weight)

    return normal_force


def _slice_force(case: Case, pair: Joint, seat: Seat, shift: float = 0.0) -> float:
    """∫ p dA of one seat by Lamé slice by slice, N."""
    share = (np.arange(SLICES) + 0.5) / SLICES
    z = seat.z_start + share * seat.length
    interference = shift + seat.interference_start + share * (
        seat.interference_end - seat.interference_start)
    inner, middle, outer = radii(pair, z)
    sleeve, shell = case.sleeve_material, case.shell_material
    pressure = contact_pressure(
        radial_interference=0.5 * interference, sleeve_bore_radius=inner, interface_radius=middle,
        shell_outer_radius=outer, sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
        shell=(shell.young_modulus, shell.poisson_ratio), sleeve_alpha=sleeve.expansion,
        shell_alpha=shell.expansion, temperature_change=case.fit.temperature_rise_K)
    return float(2.0 * np.pi * np.sum(middle * pressure) * seat.length / SLICES)


def radii(pair: Joint, z: np.ndarray) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Sleeve bore, interface and shell outside radius at z within the seats, mm."""
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
    """How much an oval bore raises ∫ p dA: 1 while the fit stays closed all round.

        p(φ) = p0 + p2 cos φ, φ = 2θ,   p2 = k w,   1/k = Σ R⁴/(9 E I),   w = ovality/4
        where p2 > p0:  gain = (φc + (p2/p0) sin φc)/π,   cos φc = −p0/p2

    Thin rings bent without stretching, each angle carrying by itself: an upper estimate.
    Source: classical thin ring, n = 2.
    """
    ovality = 0.0 if case.out_of_round is None else case.out_of_round.ovality
    if not ovality or not pair.seats:
        return 1.0
    seat = max(pair.seats, key=lambda s: s.interference_start + s.interference_end)
    z = np.array([0.5 * (seat.z_start + seat.z_end)])
    inner, middle, outer = (float(r[0]) for r in radii(pair, z))
    rings = ((case.sleeve_material, inner, middle), (case.shell_material, middle, outer))
    give = sum((0.5 * (a + b)) ** 4 / (9.0 * m.young_modulus * (b - a) ** 3 / 12.0) for m, a, b in rings)
    mean = _slice_force(case, pair, seat, shift) / (2.0 * np.pi * middle * seat.length)
    swing = 0.25 * ovality / give
    if mean <= 0.0 or swing <= mean:
        return 1.0
    edge = float(np.arccos(-mean / swing))
    return (edge + swing / mean * np.sin(edge)) / np.pi


def at_home(course: Course) -> Estimate:
    """Likely force at the end of the travel, N, with its numerical error."""
    last = course.positions[-1]
    return course.frictions[1] * Estimate(last.normal[1], last.numerical_error)
