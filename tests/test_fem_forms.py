"""The composed element matrices against the weak forms written literally, and the loads against theirs."""

import numpy as np
import pytest
from fem_models import ALUMINIUM, STEEL
from skfem import Basis, ElementQuad2, ElementVector, LinearForm, MeshQuad

from hoopwright.fem.forms import compose, element_products, stiffness
from hoopwright.fem.mesh import Body, Mesh
from hoopwright.fem.stiffness import Model
from hoopwright.fem.strain import COMPONENTS, StrainOperator


@pytest.fixture(scope="module")
def model():
    """Two bodies of tapered, irregular elements, which no symmetry makes simpler than they are."""
    quads = MeshQuad.init_tensor(np.linspace(17.0, 22.0, 5), np.linspace(0.0, 20.0, 6))
    z = quads.p[1]
    rng = np.random.default_rng(5)
    shaken = quads.p + 0.15 * rng.standard_normal(quads.p.shape)
    shaken[0] += 0.05 * z
    numbers = np.arange(quads.t.shape[1])
    inner = quads.p[0][quads.t].mean(axis=0) < 19.5
    bodies = {
        name: Body(name, found[None], np.array([0.0, 20.0]))
        for name, found in (("sleeve", numbers[inner]), ("shell", numbers[~inner]))
    }
    named = {name: body.elements for name, body in bodies.items()}
    mesh = Mesh(MeshQuad(shaken, quads.t).with_subdomains(named), bodies)
    return Model(mesh, {"sleeve": STEEL, "shell": ALUMINIUM})


def literal(model, rule, lame, shear, n):
    """K(n) of every element by scikit-fem's own assembly of the literal form, (elements, 27, 27)."""
    scalar = getattr(model.mesh, rule)
    vector = ElementVector(ElementQuad2(), COMPONENTS)
    basis = Basis(model.mesh.quads, vector, quadrature=(scalar.X, scalar.W))
    at_points = [np.broadcast_to(modulus[:, None], basis.dx.shape) for modulus in (lame, shear)]
    local = stiffness(n).coo_data(basis, lame=at_points[0], shear=at_points[1]).tolocal()
    return local.swapaxes(1, 2)  # the library gives (elements, trial, test)


def harmonic(parts, n):
    K0, K1, K2 = parts
    return K0 + n * K1 + n * n * K2


@pytest.mark.parametrize("rule", ["gauss_3x3", "gauss_2x2"])
@pytest.mark.parametrize("n", [0, 1, 2, 5])
def test_the_composed_stiffness_is_the_literal_form(model, rule, n):
    lame = model.bulk - 2.0 / 3.0 * model.shear
    expected = literal(model, rule, lame, model.shear, n)
    found = harmonic(compose(element_products(getattr(model.mesh, rule)), lame, model.shear), n)
    assert found == pytest.approx(expected, abs=1e-13 * np.max(np.abs(expected)))


@pytest.mark.parametrize("n", [0, 1, 2, 5])
def test_the_stiffness_is_the_literal_form_split_into_deviator_and_volume(model, n):
    none = np.zeros_like(model.bulk)
    expected = literal(model, "gauss_3x3", -2.0 / 3.0 * model.shear, model.shear, n)
    expected = expected + literal(model, "gauss_2x2", model.bulk, none, n)
    assert harmonic(model.element_stiffness, n) == pytest.approx(
        expected, abs=1e-13 * np.max(np.abs(expected))
    )


@pytest.mark.parametrize("n", [0, 1, 3])
def test_the_strain_operator_is_the_strain_of_the_form(model, n):
    """Half the strain energy of a displacement is the same by the operator and by the stiffness."""
    rng = np.random.default_rng(n)
    u = rng.standard_normal((len(model.dofs), model.dofs.shape[1]))
    operator = StrainOperator(model.mesh.gauss_3x3)
    strain = np.einsum("epik,ek->epi", operator.at(n), u)
    energy = np.einsum("epi,eij,epj,ep->e", strain, model.elasticity, strain, operator.weight * operator.r)
    lame = model.bulk - 2.0 / 3.0 * model.shear
    K = harmonic(compose(element_products(model.mesh.gauss_3x3), lame, model.shear), n)
    assert energy == pytest.approx(np.einsum("ej,ejk,ek->e", u, K, u), rel=1e-12)


def test_the_thermal_load_is_the_literal_linear_form(model):
    """∫ σ_th : ε(v) r dr dz on fields (U, V, W), of a temperature that varies over the section."""
    scalar = model.mesh.gauss_2x2
    vector = ElementVector(ElementQuad2(), COMPONENTS)
    basis = Basis(model.mesh.quads, vector, quadrature=(scalar.X, scalar.W))

    @LinearForm
    def load(v, w):
        volume = v.grad[0, 0] + v[0] / w.x[0] + v.grad[2, 1]
        return w.isotropic * volume * w.x[0]

    def rise(r, z):
        return 3.0 * r - 0.7 * z

    free = np.empty(len(model.bulk))
    for name, body in model.mesh.bodies.items():
        free[body.elements] = model.materials[name].expansion
    r, z = np.asarray(basis.default_parameters()["x"])
    expected = load.assemble(basis, isotropic=(3.0 * model.bulk * free)[:, None] * rise(r, z))
    assert model.thermal_load(rise) == pytest.approx(expected, rel=1e-12, abs=1e-9)
