"""Fourier tractions: coefficients and resultants against plain numerical quadrature."""

from math import pi

import numpy as np
import pytest

from hoopwright.loads.fourier_series import FourierSeries, half_cosine, patch, two_sided_cosine, uniform
from hoopwright.loads.traction import FourierTraction, breaks, resultant, traction

R, L = 17.45, 12.0
RANDOM = np.random.default_rng(7)


def coefficients_by_quadrature(f, n, edges):
    """Fourier coefficients of f by Gauss quadrature between its corners, no closed form used."""
    nodes, weights = np.polynomial.legendre.leggauss(60)
    c = s = 0.0
    for a, b in zip(edges[:-1], edges[1:], strict=True):
        theta = 0.5 * (a + b) + 0.5 * (b - a) * nodes
        w = 0.5 * (b - a) * weights * f(theta)
        c += w @ np.cos(n * theta)
        s += w @ np.sin(n * theta)
    return (c / (2 * pi) if n == 0 else c / pi), s / pi


def by_quadrature(t, thetas=64):
    """Force and moment of a traction by summing it over the surface."""
    theta = (np.arange(thetas) + 0.5) * 2 * pi / thetas
    nodes, weights = np.polynomial.legendre.leggauss(8)
    s = 0.5 * (t.start + t.end) + 0.5 * (t.end - t.start) * nodes
    T, S = np.meshgrid(theta, s, indexing="ij")
    radius, z = (S, np.full_like(S, t.level)) if t.on_end_face else (np.full_like(S, t.level), S)
    w = weights * 0.5 * (t.end - t.start) * (2 * pi / thetas) * radius
    v = t.value(T, S)
    x = np.stack([radius * np.cos(T), radius * np.sin(T), z], axis=-1)
    e_r = np.stack([np.cos(T), np.sin(T), 0 * T], axis=-1)
    e_t = np.stack([-np.sin(T), np.cos(T), 0 * T], axis=-1)
    e_z = np.broadcast_to([0.0, 0.0, 1.0], e_r.shape)
    xyz = v[..., :1] * e_r + v[..., 1:2] * e_t + v[..., 2:] * e_z
    return np.einsum("ij,ijk->k", w, xyz), np.einsum("ij,ijk->k", w, np.cross(x, xyz))


def some_series(n=5):
    s = RANDOM.normal(size=n + 1)
    s[0] = 0.0
    return FourierSeries(tuple(RANDOM.normal(size=n + 1)), tuple(s))


def some_traction(face="sleeve.bore", level=R, start=3.0, end=15.0):
    return traction(
        face,
        level=level,
        start=start,
        end=end,
        radial=some_series(),
        hoop=some_series(),
        axial=some_series(),
        factors=(-0.7, 1.9),
    )


@pytest.mark.parametrize("n", range(8))
def test_half_cosine_coefficients_match_quadrature(n):
    towards = 0.8
    edges = (towards - pi / 2, towards + pi / 2)
    expected = coefficients_by_quadrature(lambda a: 3.0 * np.cos(a - towards), n, edges)
    found = half_cosine(3.0, towards=towards, harmonics=7)
    assert (found.cos[n], found.sin[n] if n else 0.0) == pytest.approx(
        (expected[0], expected[1] if n else 0.0), abs=1e-13
    )


@pytest.mark.parametrize("n", range(8))
def test_patch_coefficients_match_quadrature(n):
    expected = coefficients_by_quadrature(lambda a: 0 * a + 2.0, n, (1.3 - 0.4, 1.3 + 0.4))
    found = patch(2.0, centre=1.3, half_angle=0.4, harmonics=7)
    assert (found.cos[n], found.sin[n] if n else 0.0) == pytest.approx(
        (expected[0], expected[1] if n else 0.0), abs=1e-13
    )


def test_a_two_sided_cosine_pushes_where_it_points_and_pulls_opposite():
    f = two_sided_cosine(4.0, towards=0.6)
    assert f(0.6) == pytest.approx(4.0, rel=1e-14)
    assert f(0.6 + pi) == pytest.approx(-4.0, rel=1e-14)
    assert f(0.6 + pi / 2) == pytest.approx(0.0, abs=1e-14)


def test_half_cosine_resultant_is_half_pi_p_r_l():
    """∫ p cos²φ R L dφ over the loaded half: p (π/2) R L."""
    t = traction(
        "sleeve.bore",
        level=R,
        start=0.0,
        end=L,
        radial=half_cosine(5.0, towards=pi / 2, harmonics=12),
    )
    force, _ = resultant([t])
    assert force == pytest.approx([0.0, 5.0 * pi / 2 * R * L, 0.0], abs=1e-10)


def test_product_with_cos_and_sin_is_exact_for_a_finite_series():
    f = some_series()
    theta = np.linspace(0.0, 2 * pi, 37)
    assert f.times_cos()(theta) == pytest.approx(f(theta) * np.cos(theta), abs=1e-12)
    assert f.times_sin()(theta) == pytest.approx(f(theta) * np.sin(theta), abs=1e-12)
    assert uniform(2.0).times_sin()(theta) == pytest.approx(2.0 * np.sin(theta), abs=1e-14)


@pytest.mark.parametrize(
    "t",
    [
        some_traction(),
        some_traction("shell.left", level=0.0, start=20.0, end=23.0),
        some_traction("shell.right", level=73.0, start=20.0, end=23.0),
    ],
    ids=lambda t: t.face,
)
def test_resultant_matches_the_sum_over_the_surface(t):
    force, moment = resultant([t])
    f, m = by_quadrature(t)
    assert force == pytest.approx(f, rel=1e-9)
    assert moment == pytest.approx(m, rel=1e-9)


def test_rotating_a_traction_rotates_its_values_and_its_resultant():
    t, angle = some_traction(), np.radians(37.0)
    turned = t.rotated(angle)
    theta = np.linspace(0.0, 6.0, 25)
    assert turned.value(theta, 7.0) == pytest.approx(t.value(theta - angle, 7.0), abs=1e-12)
    c, s = np.cos(angle), np.sin(angle)
    turn = np.array([[c, -s, 0], [s, c, 0], [0, 0, 1]])
    for found, was in zip(resultant([turned]), resultant([t]), strict=True):
        assert found == pytest.approx(turn @ was, rel=1e-12)


def test_pressure_on_a_bore_has_no_resultant_and_points_outwards():
    t = traction("sleeve.bore", level=R, start=0.0, end=L, radial=uniform(6.0))
    assert t.value(0.3, 5.0) == pytest.approx([6.0, 0.0, 0.0])
    force, moment = resultant([t])
    assert np.abs([force, moment]).max() < 1e-12


def test_the_factor_is_linear_inside_the_band_and_zero_outside():
    t = some_traction()
    assert t.factor([2.9, 3.0, 9.0, 15.0, 15.1]) == pytest.approx([0.0, -0.7, 0.6, 1.9, 0.0])
    assert resultant([t.scaled(3.0)])[0] == pytest.approx(3.0 * resultant([t])[0])


def test_breaks_include_every_end_of_every_band():
    found = breaks([some_traction(), some_traction(start=9.0, end=20.0)])
    assert found == {"sleeve.bore": (3.0, 9.0, 15.0, 20.0)}


@pytest.mark.parametrize(
    ("change", "message"),
    [
        ({"end": 3.0}, "need start < end"),
        ({"level": 0.0}, "positive radius"),
        ({"hoop_cos": (1.0, 2.0)}, "differ in length"),
    ],
)
def test_a_malformed_traction_is_rejected(change, message):
    good = {
        "face": "sleeve.bore",
        "level": R,
        "start": 3.0,
        "end": 15.0,
        **{f"{part}_{kind}": (0.0,) for part in ("radial", "hoop", "axial") for kind in ("cos", "sin")},
    }
    FourierTraction(**good)
    with pytest.raises(ValueError, match=message):
        FourierTraction(**(good | change))
