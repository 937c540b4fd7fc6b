"""Thick-walled cylinder under uniform pressure."""

from __future__ import annotations

from hoopwright.closed_form._check import Real, require_increasing, require_inside


def lame_constants(*, a: Real, b: Real, p_i: Real = 0.0, p_o: Real = 0.0) -> tuple[Real, Real]:
    """Constants A and B of Lamé's solution, σ_r = A - B/r² and σ_θ = A + B/r².

        A = (p_i a² - p_o b²)/(b² - a²),   B = (p_i - p_o) a² b²/(b² - a²)

    a, b: bore and outside radius, mm, 0 <= a < b (a = 0 is a solid disc, and p_i is then unused);
    p_i, p_o: pressure inside and outside, MPa, compression positive. Returns A in MPa and B in N.
    Raises ValueError for radii out of order. Source: Lamé; any book on the theory of elasticity.

    >>> lame_constants(a=10.0, b=20.0, p_i=90.0)
    (30.0, 12000.0)
    """
    require_increasing(bore_may_be_zero=True, a=a, b=b)
    wall = b**2 - a**2
    return (p_i * a**2 - p_o * b**2) / wall, (p_i - p_o) * a**2 * b**2 / wall


def lame_stress(r: Real, *, a: Real, b: Real, p_i: Real = 0.0, p_o: Real = 0.0) -> tuple[Real, Real]:
    """Stress in a thick-walled cylinder under uniform pressure.

        σ_r = A - B/r²,   σ_θ = A + B/r²,   A and B as in `lame_constants`

    r: radius, mm, in [a, b]; a, b: bore and outside radius, mm, 0 < a < b; p_i, p_o: pressure
    inside and outside, MPa, compression positive. All arguments broadcast.
    Returns σ_r and σ_θ in MPa, tension positive. Raises ValueError outside the wall.
    Valid in plane stress and plane strain alike. Source: Lamé.

    >>> lame_stress(10.0, a=10.0, b=20.0, p_i=90.0)
    (-90.0, 150.0)
    """
    require_increasing(a=a, b=b)
    require_inside(r, a, b)
    A, B = lame_constants(a=a, b=b, p_i=p_i, p_o=p_o)
    return A - B / r**2, A + B / r**2
