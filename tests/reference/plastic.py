"""Cylinders and press fits loaded past first yield: perfectly plastic, small strain."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from hoopwright.closed_form._check import (
    PLANE_STRESS,
    Elastic,
    Real,
    require_elastic,
    require_increasing,
    require_inside,
    require_positive,
)
from hoopwright.closed_form.compound_cylinder import shell_compliance, sleeve_compliance
from hoopwright.closed_form.lame import lame_stress


def _require_front(c: Real, a: Real, b: Real) -> None:
    if not np.all(np.greater_equal(c, a) & np.less_equal(c, b)):
        raise ValueError(f"the yield front c must lie in the wall, {a:g} to {b:g} mm")


def tresca_pressure(c: Real, *, a: Real, b: Real, yield_stress: Real) -> Real:
    """Bore pressure at which a cylinder has yielded out to radius c (Tresca).

        p = Y [(1 - c²/b²)/2 + ln(c/a)]

    c = a is first yield, c = b is full collapse. c, a, b: mm; yield_stress: MPa. Returns MPa.
    Raises ValueError unless a <= c <= b. Valid in plane strain with σ_z between σ_r and σ_θ, or in plane
    stress while p <= Y (σ_θ then stays positive and σ_θ - σ_r is the greatest difference).
    Source: the classical solution, from memory, not seen.

    >>> round(float(tresca_pressure(75.0, a=50.0, b=100.0, yield_stress=450.0)), 3)
    280.897
    """
    require_increasing(a=a, b=b)
    require_positive(yield_stress=yield_stress)
    _require_front(c, a, b)
    return yield_stress * ((1.0 - (c / b) ** 2) / 2.0 + np.log(c / a))


def tresca_stress(
    r: Real, *, c: Real, a: Real, b: Real, yield_stress: Real
) -> tuple[np.ndarray, np.ndarray]:
    """Stress in a cylinder yielded out to radius c, under pressure (Tresca).

        r <= c:  σ_r = -Y [(1 - c²/b²)/2 + ln(c/r)],   σ_θ = σ_r + Y
        r >= c:  σ_r = (Y/2)(c²/b² - c²/r²),           σ_θ = (Y/2)(c²/b² + c²/r²)

    Arguments as in `tresca_pressure`; r: mm, in the wall. Returns σ_r and σ_θ in MPa.
    Source: as `tresca_pressure`.

    >>> radial, hoop = tresca_stress(50.0, c=75.0, a=50.0, b=100.0, yield_stress=450.0)
    >>> round(float(radial), 3), round(float(hoop), 3)
    (-280.897, 169.103)
    """
    require_increasing(a=a, b=b)
    require_inside(r, a, b)
    _require_front(c, a, b)
    Y, radius = yield_stress, np.asarray(r, dtype=float)
    yielded = radius < c
    inner = -Y * ((1.0 - (c / b) ** 2) / 2.0 + np.log(c / radius))
    radial = np.where(yielded, inner, Y / 2.0 * ((c / b) ** 2 - (c / radius) ** 2))
    hoop = np.where(yielded, inner + Y, Y / 2.0 * ((c / b) ** 2 + (c / radius) ** 2))
    return radial, hoop


def tresca_residual_stress(
    r: Real, *, c: Real, a: Real, b: Real, yield_stress: Real
) -> tuple[np.ndarray, np.ndarray]:
    """Residual stress in a cylinder yielded out to c, after the pressure is released (Tresca).

        residual = `tresca_stress` - Lamé's stress of the same pressure

    Arguments and units as there. Raises ValueError when the bore would yield in reverse on unloading,
    that is when p > Y (1 - a²/b²). Source: elastic unloading of the classical solution.

    >>> hoop = tresca_residual_stress(50.0, c=75.0, a=50.0, b=100.0, yield_stress=450.0)[1]
    >>> round(float(hoop), 3)
    -299.058
    """
    pressure = tresca_pressure(c, a=a, b=b, yield_stress=yield_stress)
    if np.any(pressure > yield_stress * (1.0 - (a / b) ** 2) * (1.0 + 1e-12)):
        raise ValueError("the bore yields in reverse on unloading: elastic unloading does not hold")
    radial, hoop = tresca_stress(r, c=c, a=a, b=b, yield_stress=yield_stress)
    elastic_radial, elastic_hoop = lame_stress(r, a=a, b=b, p_i=pressure)
    return radial - elastic_radial, hoop - elastic_hoop


def mises_first_yield_pressure(*, a: Real, b: Real, yield_stress: Real, nu: Real = 0.5) -> Real:
    """Bore pressure at which a cylinder in plane strain first yields (von Mises).

        p = Y (b² - a²)/√(3 b⁴ + (1 - 2ν)² a⁴);   ν = ½:  p = (Y/√3)(1 - a²/b²)

    a, b: mm; yield_stress: MPa; nu in [0, 0.5], where 0.5 is the textbook form. Returns MPa.
    Raises ValueError for radii out of order. Source: Lamé's stress at the bore, with
    σ_z = ν(σ_r + σ_θ), substituted into the von Mises criterion.

    >>> round(float(mises_first_yield_pressure(a=100.0, b=200.0, yield_stress=240.0)), 3)
    103.923
    """
    require_increasing(a=a, b=b)
    require_positive(yield_stress=yield_stress)
    if not np.all(np.greater_equal(nu, 0.0) & np.less_equal(nu, 0.5)):
        raise ValueError("Poisson's ratio must be in [0, 0.5]")
    return yield_stress * (b**2 - a**2) / np.sqrt(3.0 * b**4 + ((1.0 - 2.0 * nu) * a**2) ** 2)


def mises_limit_pressure(*, a: Real, b: Real, yield_stress: Real) -> Real:
    """Limit pressure in the bore of a cylinder in plane strain, yielded through the wall (von Mises).

        p = (2/√3) Y ln(b/a)

    a, b: mm; yield_stress: MPa. Returns MPa. Raises ValueError for radii out of order.
    Source: the classical limit load, from memory, not seen.

    >>> round(float(mises_limit_pressure(a=100.0, b=200.0, yield_stress=240.0)), 4)
    192.0906
    """
    require_increasing(a=a, b=b)
    require_positive(yield_stress=yield_stress)
    return 2.0 / np.sqrt(3.0) * yield_stress * np.log(b / a)


@dataclass(frozen=True)
class PlasticFit:
    """A press fit whose shell has yielded out to a radius. Radial values in mm, pressure in MPa.

    yield_front: outer radius of the yielded zone, mm; the interface radius when nothing has yielded.
    permanent_growth: growth of the shell bore that remains when the sleeve is taken out again.
    collapsed: True when the shell has yielded through its wall and the pressure can rise no further.
    """

    yield_front: Real
    pressure: Real
    radial_interference: Real
    permanent_growth: Real
    collapsed: bool


def plastic_press_fit(
    yield_front: Real,
    *,
    sleeve_bore_radius: Real,
    interface_radius: Real,
    shell_outer_radius: Real,
    sleeve: Elastic,
    shell: Elastic,
    shell_yield: Real,
) -> PlasticFit:
    """Pressure and interference of a press fit whose shell has yielded out to a radius.

        p = Y [(1 - c²/r_o²)/2 + ln(c/r_f)],   bore growth = [Y c²/r_f - (1 - ν) r_f p]/E

    c: yield_front, mm, in [r_f, r_o]; radii in mm; materials (E in MPa, ν); shell_yield Y: MPa.
    The sleeve is taken as elastic: check its stress separately. Plane stress, Tresca, no hardening.
    Returns a PlasticFit. Raises ValueError for radii out of order, or when p > Y.
    Source: the classical partly plastic disc; the growth follows because Tresca's flow rule leaves the
    axial strain elastic here. No published numbers were seen.

    >>> fit = plastic_press_fit(22.0, sleeve_bore_radius=18.5, interface_radius=20.0,
    ...       shell_outer_radius=23.0, sleeve=(205e3, 0.29), shell=(70e3, 0.33), shell_yield=240.0)
    >>> round(float(fit.pressure), 3), round(float(fit.radial_interference) * 1e3, 2)
    (33.082, 117.19)
    """
    c, r_f, r_o = yield_front, interface_radius, shell_outer_radius
    require_elastic("shell", shell)
    pressure = tresca_pressure(c, a=r_f, b=r_o, yield_stress=shell_yield)
    if np.any(pressure > shell_yield):
        raise ValueError("contact pressure above the shell's yield stress: plane stress fails")
    E, nu = shell
    growth = (shell_yield * c**2 / r_f - (1.0 - nu) * r_f * pressure) / E
    recovered = pressure * shell_compliance(
        interface_radius=r_f, shell_outer_radius=r_o, shell=shell, condition=PLANE_STRESS
    )
    closing = pressure * sleeve_compliance(
        sleeve_bore_radius=sleeve_bore_radius,
        interface_radius=r_f,
        sleeve=sleeve,
        condition=PLANE_STRESS,
    )
    return PlasticFit(
        yield_front=c,
        pressure=pressure,
        radial_interference=growth + closing,
        permanent_growth=growth - recovered,
        collapsed=bool(np.all(np.greater_equal(c, r_o))),
    )


def plastic_fit_at_interference(
    *,
    radial_interference: float,
    sleeve_bore_radius: float,
    interface_radius: float,
    shell_outer_radius: float,
    sleeve: Elastic,
    shell: Elastic,
    shell_yield: float,
) -> PlasticFit:
    """Press fit at a given radial interference, yielded or not (one fit, not an array).

    Below first yield the solution is Lamé's. Past it the yield front is found by bisection on
    `plastic_press_fit`. Past full yield the pressure stays at the limit and `collapsed` is True;
    the growth, to which all the remaining interference is added, is then a lower bound.
    Arguments and units as there; radial_interference in mm, at least 0.

    >>> fit = plastic_fit_at_interference(radial_interference=0.11719, sleeve_bore_radius=18.5,
    ...       interface_radius=20.0, shell_outer_radius=23.0, sleeve=(205e3, 0.29),
    ...       shell=(70e3, 0.33), shell_yield=240.0)
    >>> round(fit.yield_front, 2), fit.collapsed
    (22.0, False)
    """
    if not radial_interference >= 0.0:
        raise ValueError(f"radial_interference must not be below 0, got {radial_interference:g} mm")

    def at(front: float) -> PlasticFit:
        return plastic_press_fit(
            front,
            sleeve_bore_radius=sleeve_bore_radius,
            interface_radius=interface_radius,
            shell_outer_radius=shell_outer_radius,
            sleeve=sleeve,
            shell=shell,
            shell_yield=shell_yield,
        )

    first, last = at(interface_radius), at(shell_outer_radius)
    if radial_interference <= first.radial_interference:
        share = radial_interference / float(first.radial_interference)
        return PlasticFit(interface_radius, share * first.pressure, radial_interference, 0.0, False)
    if radial_interference >= last.radial_interference:
        left_over = radial_interference - last.radial_interference
        growth = last.permanent_growth + left_over
        return PlasticFit(shell_outer_radius, last.pressure, radial_interference, growth, True)
    low, high = interface_radius, shell_outer_radius
    for _ in range(60):
        middle = (low + high) / 2.0
        if at(middle).radial_interference < radial_interference:
            low = middle
        else:
            high = middle
    return at((low + high) / 2.0)
