"""Contact force of a seat by Lamé, slice by slice along it, and what an oval bore adds: estimates by
hand."""

from __future__ import annotations

import numpy as np

from hoopwright import fem
from hoopwright.case.model import Case
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.form import is_out_of_round, ovality
from hoopwright.geometry.joint import Joint, Seat

SLICES = 24


def slice_force(case: Case, pair: Joint, seat: Seat, shift: float = 0.0) -> float:
    """∫ p dA of one seat by Lamé slice by slice, N."""
    share = (np.arange(SLICES) + 0.5) / SLICES
    z = seat.z_start + share * seat.length
    interference = (
        shift
        - case.smoothing_loss_mm
        + seat.interference_start
        + share * (seat.interference_end - seat.interference_start)
    )
    inner, middle, outer = radii(pair, z)
    sleeve, shell, rise = case.sleeve_material, case.shell_material, case.press.temperature_rise_K
    pressure = contact_pressure(
        radial_interference=fem.radial(interference),
        sleeve_bore_radius=inner,
        interface_radius=middle,
        shell_outer_radius=outer,
        sleeve=(sleeve.young_modulus, sleeve.poisson_ratio),
        shell=(shell.young_modulus, shell.poisson_ratio),
        sleeve_alpha=sleeve.mean_expansion(rise),
        shell_alpha=shell.mean_expansion(rise),
        temperature_change=rise,
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
    if not is_out_of_round(case) or not pair.seats:
        return 1.0
    seat = max(pair.seats, key=lambda s: s.interference_start + s.interference_end)
    oval = ovality(case, seat.bore_land, seat.sleeve_land)
    z = np.array([0.5 * (seat.z_start + seat.z_end)])
    inner, middle, outer = (float(r[0]) for r in radii(pair, z))
    rings = ((case.sleeve_material, inner, middle), (case.shell_material, middle, outer))
    compliance = sum(
        (0.5 * (a + b)) ** 4 / (9.0 * m.young_modulus * (b - a) ** 3 / 12.0) for m, a, b in rings
    )
    mean = slice_force(case, pair, seat, shift) / (2.0 * np.pi * middle * seat.length)
    swing = 0.25 * oval / compliance
    if mean <= 0.0 or swing <= mean:
        return 1.0
    edge = float(np.arccos(-mean / swing))
    return (edge + swing / mean * np.sin(edge)) / np.pi
