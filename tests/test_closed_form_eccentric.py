"""Jeffery's eccentric tube against a plane finite-element model of a general-purpose library."""

from __future__ import annotations

import numpy as np
import pytest
from skfem import Basis, ElementQuad2, ElementVector, FacetBasis, LinearForm, MeshQuad, condense, solve
from skfem.models.elasticity import lame_parameters, linear_elasticity

from hoopwright.closed_form.eccentric_tube import thin_side_hoop
from hoopwright.closed_form.lame import lame_stress


def plane_model(a: float, b: float, e: float, *, rows: int = 12, columns: int = 96) -> float:
    """σ_θθ at the bore on the thin side under unit pressure, half a tube, plane strain."""
    s, t = np.meshgrid(np.linspace(0.0, 1.0, rows + 1), np.linspace(0.0, np.pi, columns + 1), indexing="ij")
    inner = np.stack([e + a * np.cos(t), a * np.sin(t)])
    outer = np.stack([b * np.cos(t), b * np.sin(t)])
    points = (1.0 - s) * inner + s * outer
    number = np.arange(s.size).reshape(s.shape)
    quads = np.stack([number[:-1, :-1], number[1:, :-1], number[1:, 1:], number[:-1, 1:]]).reshape(4, -1)
    mesh = MeshQuad(points.reshape(2, -1), quads)
    basis = Basis(mesh, ElementVector(ElementQuad2()))
    K = linear_elasticity(*lame_parameters(1.0, 0.3)).assemble(basis)
    bore = mesh.facets_satisfying(lambda x: np.hypot(x[0] - e, x[1]) < a * 1.001, boundaries_only=True)
    load = LinearForm(lambda v, w: -w.n[0] * v[0] - w.n[1] * v[1]).assemble(
        FacetBasis(mesh, basis.elem, facets=bore)
    )
    axis = basis.get_dofs(lambda x: np.abs(x[1]) < 1e-9)
    fixed = np.unique(np.concatenate([axis.all("u^2"), axis.all("u^1")[:1]]))
    u = solve(*condense(K, load, D=fixed))
    # hoop strain from the displacement of the bore next to the axis: ε = u_r/r + ∂u_θ/(r ∂θ)
    nodes = [
        int(np.argmin(np.hypot(mesh.p[0] - e - a * np.cos(x), mesh.p[1] - a * np.sin(x))))
        for x in np.linspace(0.0, np.pi, columns + 1)[:2]
    ]
    here, there = (u[basis.nodal_dofs[:, n]] for n in nodes)
    chord = mesh.p[:, nodes[1]] - mesh.p[:, nodes[0]]
    strain = float((there - here) @ chord / (chord @ chord))
    # plane strain: σ_θθ = E ε/(1 - ν²) + ν/(1 - ν) σ_rr, σ_rr = -1
    return strain / (1.0 - 0.09) - 0.3 / 0.7


@pytest.mark.parametrize("e", [0.0, 0.1, 0.5])
def test_hoop_stress_on_the_thin_side_agrees_with_a_plane_model(e):
    """Wall 2.5 mm; straight facets and a chord across one element cost 0.5 % at most."""
    found = plane_model(19.5, 22.0, e)
    assert thin_side_hoop(a=19.5, b=22.0, eccentricity=e) == pytest.approx(found, rel=0.01)


def test_without_eccentricity_the_result_is_lame():
    assert thin_side_hoop(a=10.0, b=20.0, eccentricity=0.0) == pytest.approx(
        lame_stress(10.0, a=10.0, b=20.0, p_i=1.0)[1]
    )


@pytest.mark.parametrize("e", [-0.1, 2.5, 12.0])
def test_a_bore_outside_the_tube_is_rejected(e):
    with pytest.raises(ValueError, match="eccentricity"):
        thin_side_hoop(a=19.5, b=22.0, eccentricity=e)
