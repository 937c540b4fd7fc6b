"""The same problems solved in three dimensions with an independent finite-element library, NGSolve.

Slow: run by `pytest -m slow`. Needs the optional dependencies `reference`; with REQUIRE_REFERENCE set in
the environment their absence is a failure, else the tests are skipped.
"""

import os

import numpy as np
import pytest
from fem_models import MATERIALS, bearing_pushes, clamped_crank_shell, joined_everywhere, sleeved_shell

from hoopwright.fem import Resolution, mesh_joint
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.geometry.tubes import Patch
from hoopwright.loads.fourier_series import half_cosine, two_sided_cosine, uniform
from hoopwright.loads.support import foundation_tractions
from hoopwright.loads.traction import resultant, traction

if os.environ.get("REQUIRE_REFERENCE"):
    import ngsolve as ng
else:
    ng = pytest.importorskip("ngsolve", reason="pip install hoopwright[reference]")
from solid_model import BORE, MIDDLE, OUTSIDE, Solid, solid

pytestmark = pytest.mark.slow


def membrane(body, tensor, name, theta, z):
    """∫ σ dr / wall by Gauss points along the radius."""
    inner, outer = (BORE, MIDDLE) if name == "sleeve" else (MIDDLE, OUTSIDE)
    x, w = np.polynomial.legendre.leggauss(8)
    r = 0.5 * (inner + outer) + 0.5 * (outer - inner) * x
    return sum(0.5 * k * body.cylindrical(tensor, a, theta, z) for a, k in zip(r, w, strict=True))


def compare_membranes(body, tensor, response, *, within, z, theta):
    """Membrane stress of both bodies at a few places; within: share of the largest."""
    around = np.linspace(0.0, 2.0 * np.pi, 37)
    for name in ("sleeve", "shell"):
        at = response.recovery.lines[name].z
        found, everywhere = (
            response.linearised_at(name, np.asarray(angles))[0].mean(axis=0) for angles in (theta, around)
        )
        peak = np.max(np.abs(everywhere))
        for height in z:
            for k, angle in enumerate(theta):
                got = [np.interp(height, at, found[:, k, c]) for c in range(6)]
                exact = membrane(body, tensor, name, angle, height)
                assert got == pytest.approx(exact, abs=within * peak)


def test_bearing_pushes_on_a_clamped_shell_in_three_dimensions():
    """Half-cosine pressure on half the bore at both ends, outside clamped from 20 to 53 mm."""
    mesh = solid([0, 11, 20, 53, 62, 73], half=True, fine_at=(20, 53))
    body = Solid(mesh, dirichlet="outside@20", dirichlety="cut|outside@20")
    radius = ng.sqrt(ng.x**2 + ng.y**2)
    c, outwards = ng.x / radius, ng.CF((ng.x, ng.y, 0)) / radius
    body.load += 10.0 * ng.IfPos(c, c, 0) * outwards * body.v * ng.ds("bore@0", bonus_intorder=8)
    body.load += 10.0 * ng.IfPos(-c, -c, 0) * outwards * body.v * ng.ds("bore@62", bonus_intorder=8)
    field = body.solve()

    solver = clamped_crank_shell()
    response = solver.solve([bearing_pushes(24)])
    nodes = solver.model.mesh.nodes
    largest = np.max(np.abs(response.displacement))
    for r, z in ((BORE, 0.0), (OUTSIDE, 0.0), (BORE, 11.0)):
        node = np.argmin(np.hypot(nodes[0] - r, nodes[1] - z))
        inside = r * (1.0001 if r == BORE else 0.9999)
        for theta in (0.01, 1.5, 3.13):
            c, s = np.cos(theta), np.sin(theta)
            x, y, along = field(mesh(inside * c, inside * s, max(z, 1e-3)))
            moved = response.displacement_at(np.array([node]), np.array([theta]))[0, 0, 0]
            assert moved == pytest.approx([x * c + y * s, y * c - x * s, along], abs=0.004 * largest)
    tensor = body.stress(ng.Sym(ng.Grad(field)))
    compare_membranes(body, tensor, response, within=0.01, z=(3.0, 5.5, 14.0), theta=(0.02, 0.8, 1.6, 3.0))


FOOTPRINT = (26.0, 47.0)


@pytest.fixture(scope="module")
def whole():
    return solid([0, 11, *FOOTPRINT, 62, 73])


@pytest.fixture(scope="module")
def free():
    pair = sleeved_shell(width=73.0, outside=44.0, bore=39.0, sleeve_bore=34.9)
    meshed_joint = mesh_joint(pair, MATERIALS, Resolution(), load_edges=(11.0, *FOOTPRINT, 62.0))
    return ServiceSolver(meshed_joint, joined_everywhere(meshed_joint))


def supported_by_tubes():
    """Two cups push and twist the shell, two tubes of unequal stiffness support it. All tractions are
    series of six harmonics, the same in both solutions, so neither is truncated."""
    cups = (
        traction("sleeve.bore", level=BORE, start=0.0, end=11.0, radial=two_sided_cosine(6.0, towards=0.5)),
        traction(
            "sleeve.bore",
            level=BORE,
            start=62.0,
            end=73.0,
            radial=half_cosine(9.0, towards=-1.9, harmonics=6),
            hoop=uniform(0.8),
        ),
    )
    foundations = [
        (
            stiffness,
            Patch(centre=angle, half_angle=0.6, z_start=FOOTPRINT[0], z_end=FOOTPRINT[1], radius=OUTSIDE),
        )
        for stiffness, angle in ((1.0, 2.4), (0.6, -1.0))
    ]
    centre = 0.5 * sum(FOOTPRINT)

    def field(mode):
        return [
            t
            for k, area in foundations
            for t in foundation_tractions(k, area, mode[:3], mode[3:] / OUTSIDE, centre, 6)
        ]

    def six(tractions):
        force, moment = resultant(tractions)
        return np.concatenate([force, moment / OUTSIDE])

    matrix = np.stack([six(field(mode)) for mode in np.eye(6)], axis=1)
    return cups, tuple(field(np.linalg.solve(matrix, -six(cups))))


def test_shell_supported_by_tubes_in_three_dimensions(whole, free):
    cups, reactions = supported_by_tubes()
    body = Solid(whole)
    for t in cups:
        body.add_traction(t, f"bore@{round(t.start)}")
    for t in reactions:
        body.add_traction(t, f"outside@{round(t.start)}")
    body.add_soft_springs()
    tensor = body.stress(ng.Sym(ng.Grad(body.solve())))
    response = free.solve([cups + reactions], tolerance=0.0)
    assert np.max(np.abs(response.displacement[:, :, 1])) > 1e-4
    compare_membranes(
        body,
        tensor,
        response,
        within=0.015,
        z=(5.0, 18.0, 36.5, 55.0, 68.0),
        theta=(0.1, 1.3, 2.4, -1.0, -2.2),
    )


def test_oval_sleeve_in_three_dimensions(whole, free):
    """Radial interference 5 µm cos 2θ + 2 µm sin 2θ over the whole length, bonded once in place."""
    radius, angle = ng.sqrt(ng.x**2 + ng.y**2), ng.atan2(ng.y, ng.x)
    lobe = 0.005 * ng.cos(2 * angle) + 0.002 * ng.sin(2 * angle)
    fading = (OUTSIDE - radius) / (OUTSIDE - MIDDLE)
    body = Solid(whole)
    shift = ng.GridFunction(body.space)
    shift.Set(lobe * fading * ng.CF((ng.x, ng.y, 0)) / radius, definedon=whole.Materials("shell"))
    body.strain_move(shift)
    body.add_soft_springs()
    field = body.solve()
    # The shift acts on the shell alone: its field in the sleeve only comes from shared nodes.
    in_shell = whole.MaterialCF({"shell": 1.0, "sleeve": 0.0})
    strain = ng.Sym(ng.Grad(field)) + in_shell * ng.Sym(ng.Grad(shift))
    pairs = len(free.meshed_joint.interface.z)
    response = free.out_of_round({2: (np.full(pairs, 0.005), np.full(pairs, 0.002))})
    compare_membranes(
        body, body.stress(strain), response, within=0.015, z=(5.0, 18.0, 36.5), theta=(0.1, 0.9, 1.7, -0.6)
    )
    # Radial stress at the interface of the coarse solid is rough: its cos 2θ and sin 2θ parts are not.
    around = np.linspace(0.0, 2.0 * np.pi, 48, endpoint=False) + 0.01
    tensor = body.stress(strain)
    rr = np.array(
        [[body.cylindrical(tensor, MIDDLE + side, a, 36.5)[0] for side in (-0.02, 0.02)] for a in around]
    ).mean(axis=1)
    exact = [-2.0 * np.mean(rr * wave(2.0 * around)) for wave in (np.cos, np.sin)]
    got = [
        np.interp(36.5, free.meshed_joint.interface.z, response.traction[0, 0, family, :, 0])
        for family in (0, 1)
    ]
    assert got == pytest.approx(exact, rel=0.04)
