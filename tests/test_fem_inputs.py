"""What the solvers refuse, each with one error that names the argument."""

from dataclasses import replace

import numpy as np
import pytest
from fem_models import MATERIALS, STEEL, bearing_pushes, crank_shell, joined_everywhere, tube

from hoopwright.fem import (
    Elastic,
    FitSolver,
    FrictionSolver,
    MeshError,
    PlasticPress,
    Resolution,
    ServiceSolver,
    Way,
    Yield,
    mesh_joint,
    radial,
)
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.loads.fourier_series import uniform
from hoopwright.loads.traction import traction

COARSE = Resolution(elements_through_wall=2, at_contact_end=0.3, at_step=0.6, at_free_end=0.6, growth=0.8)
LIMITS = {"sleeve": Yield(350.0), "shell": Yield(240.0)}
NAN, INF = float("nan"), float("inf")
NOT_FINITE = (NAN, INF, -INF)


@pytest.fixture(scope="module")
def meshed_joint():
    return mesh_joint(crank_shell(), MATERIALS, COARSE, load_edges=(11.0, 20.0, 53.0, 62.0))


@pytest.fixture(scope="module")
def service(meshed_joint):
    return ServiceSolver(meshed_joint, joined_everywhere(meshed_joint), clamped=(20.0, 53.0))


@pytest.fixture(scope="module")
def friction(meshed_joint):
    """A friction solver, the moment while its sleeve slides, and the interference."""
    solver, profile = (
        FrictionSolver(meshed_joint.model, meshed_joint.interface),
        meshed_joint.radial_interference(),
    )
    return solver, solver.slide(profile, friction=0.1, way=Way(1)), profile


def with_one(value):
    """A change of a profile: this value at its fourth pair."""

    def change(profile):
        changed = profile.copy()
        changed[3] = value
        return changed

    return change


UNFIT_PROFILES = [
    *(
        pytest.param(with_one(x), rf"radial interference.*{x} mm at contact pair 3", id=f"{x}")
        for x in NOT_FINITE
    ),
    pytest.param(
        lambda p: p[:-1], "radial interference: got {fewer} values for {pairs} contact pairs", id="short"
    ),
    pytest.param(lambda p: np.append(p, 0.02), "got {more} values for {pairs} contact pairs", id="long"),
    pytest.param(lambda p: p[:, None], r"shape \({pairs}, 1\) for {pairs} contact pairs", id="two axes"),
    pytest.param(lambda _: 0.02, r"shape \(\) for {pairs} contact pairs", id="one number"),
]
"""Changes of a profile that no solver can take, and what the message says."""


def said(says, meshed_joint):
    """The message for this number of contact pairs."""
    pairs = len(meshed_joint.interface.z)
    return says.format(pairs=pairs, fewer=pairs - 1, more=pairs + 1)


@pytest.mark.parametrize(("change", "says"), UNFIT_PROFILES)
def test_a_press_fit_refuses_an_unfit_interference(meshed_joint, change, says):
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    with pytest.raises(ValueError, match=said(says, meshed_joint)):
        solver.press(change(meshed_joint.radial_interference()), stuck=False)


@pytest.mark.parametrize("rise", NOT_FINITE)
def test_a_press_fit_refuses_a_temperature_that_is_not_finite(meshed_joint, rise):
    solver = FitSolver(meshed_joint.model, meshed_joint.interface)
    with pytest.raises(ValueError, match=f"finite temperature rise, got {rise} K"):
        solver.press(meshed_joint.radial_interference(), stuck=False, temperature_rise=rise)


@pytest.mark.parametrize(("change", "says"), UNFIT_PROFILES)
def test_sliding_refuses_an_unfit_interference(meshed_joint, change, says):
    solver = FrictionSolver(meshed_joint.model, meshed_joint.interface)
    with pytest.raises(ValueError, match=said(says, meshed_joint)):
        solver.slide(change(meshed_joint.radial_interference()), friction=0.1, way=Way(1))


@pytest.mark.parametrize(("change", "says"), UNFIT_PROFILES)
def test_a_friction_path_refuses_an_unfit_interference(friction, change, says):
    solver, slid, profile = friction
    with pytest.raises(ValueError, match=said(says, solver)):
        solver.follow(slid, change(profile), solver.no_load, friction=0.1)
    with pytest.raises(ValueError, match=said(says, solver)):
        solver.without_friction(change(profile))


@pytest.mark.parametrize("mu", [-0.1, *NOT_FINITE])
def test_a_friction_path_refuses_an_unfit_friction(friction, mu):
    solver, slid, profile = friction
    with pytest.raises(ValueError, match=f"friction >= 0 .*got {mu}"):
        solver.follow(slid, profile, solver.no_load, friction=mu)


@pytest.mark.parametrize("rise", NOT_FINITE)
def test_a_friction_path_refuses_a_temperature_that_is_not_finite(friction, rise):
    solver, _, profile = friction
    with pytest.raises(ValueError, match=f"finite temperature rise, got {rise} K"):
        solver.warmed(rise)
    with pytest.raises(ValueError, match=f"finite temperature rise, got {rise} K"):
        solver.without_friction(profile, temperature_rise=rise)


@pytest.mark.parametrize("steps", [0, -1, 2.5, NAN])
def test_a_friction_path_refuses_an_unfit_number_of_steps(friction, steps):
    solver, slid, profile = friction
    with pytest.raises(ValueError, match=f"steps to be a whole number >= 1, got {steps}"):
        solver.follow(slid, profile, solver.no_load, friction=0.1, steps=steps)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        *(
            pytest.param({"friction": x}, f"friction >= 0 .*got {x}", id=f"mu={x}")
            for x in (-0.1, *NOT_FINITE)
        ),
        *(
            pytest.param({"friction": 0.1, "temperature_rise": x}, "finite temperature rise", id=f"dT={x}")
            for x in NOT_FINITE
        ),
    ],
)
def test_sliding_refuses_unfit_friction_and_temperature(meshed_joint, given, says):
    solver = FrictionSolver(meshed_joint.model, meshed_joint.interface)
    with pytest.raises(ValueError, match=says):
        solver.slide(meshed_joint.radial_interference(), way=Way(1), **given)


@pytest.mark.parametrize("direction", [0, 2, NAN])
def test_a_way_refuses_a_direction_that_is_neither_way(direction):
    with pytest.raises(ValueError, match=rf"direction of \+1 or -1, got {direction}"):
        Way(direction)


def pushes_with(**changed):
    first, second = bearing_pushes()
    return [(replace(first, **changed), second)]


@pytest.mark.parametrize(
    ("cases", "says"),
    [
        pytest.param([], "no load case", id="no case"),
        pytest.param(bearing_pushes(), "load case 1 is a single traction", id="no sequence"),
        *(
            pytest.param(
                pushes_with(**{name: x}), "load case 1: .*traction on sleeve.bore is not finite", id=name
            )
            for name, x in (
                *((name, (NAN,) * 13) for name in ("radial_cos", "hoop_sin", "axial_cos")),
                *((name, (0.0, INF) + (0.0,) * 11) for name in ("radial_sin", "hoop_cos", "axial_sin")),
                ("level", INF),
                ("start", -INF),
                ("end", INF),
                ("factor_start", NAN),
                ("factor_end", NAN),
            )
        ),
        pytest.param([(), *pushes_with(factor_end=NAN)], "load case 2: ", id="second case"),
    ],
)
def test_service_loads_that_are_unfit_are_refused(service, cases, says):
    with pytest.raises(ValueError, match=says):
        service.solve(cases)


@pytest.mark.parametrize("tolerance", [-0.01, *NOT_FINITE])
def test_service_loads_refuse_an_unfit_tolerance(service, tolerance):
    with pytest.raises(ValueError, match=f"tolerance >= 0 .*got {tolerance}"):
        service.solve([bearing_pushes()], tolerance=tolerance)


@pytest.mark.parametrize(
    ("lobes", "says"),
    [
        pytest.param(lambda _: {}, "no lobe given", id="none"),
        pytest.param(
            lambda w: {-2: (w, w)}, "harmonic of a lobe .*whole number >= 0, got -2", id="negative"
        ),
        pytest.param(lambda w: {2.5: (w, w)}, "harmonic of a lobe .*got 2.5", id="between"),
        pytest.param(lambda w: {NAN: (w, w)}, "harmonic of a lobe .*got nan", id="n is nan"),
        pytest.param(
            lambda w: {2: (w,)}, "lobe n = 2: need a cosine and a sine amplitude, got 1", id="one"
        ),
        pytest.param(
            lambda w: {2: (w[1:], w)}, "cosine .* n = 2: got {fewer} values for {pairs} contact", id="short"
        ),
        pytest.param(
            lambda w: {3: (w, with_one(NAN)(w))}, "sine .* n = 3: .*nan mm at contact pair 3", id="nan"
        ),
    ],
)
def test_lobes_that_are_unfit_are_refused(service, lobes, says):
    wave = np.full(len(service.closed), 0.004)
    with pytest.raises(ValueError, match=said(says, service.meshed_joint)):
        service.out_of_round(lobes(wave))


@pytest.mark.parametrize(
    ("given", "says"),
    [
        pytest.param({"closed": np.ones(4, dtype=bool)}, r"each of {pairs} contact.*\(4,\)", id="short"),
        pytest.param({"closed": np.arange(4)}, "True or False .*got int64", id="numbers"),
        pytest.param({"clamped": (NAN, 53.0)}, "finite start of the clamp, got nan mm", id="start"),
        pytest.param({"clamped": (20.0, INF)}, "finite end of the clamp, got inf mm", id="end"),
        pytest.param({"clamped": (53.0, 20.0)}, "starts before its end, got 53 to 20 mm", id="reversed"),
    ],
)
def test_a_service_solver_refuses_unfit_pairs_and_clamps(meshed_joint, given, says):
    with pytest.raises(ValueError, match=said(says, meshed_joint)):
        ServiceSolver(**{"meshed_joint": meshed_joint, "closed": joined_everywhere(meshed_joint)} | given)


@pytest.mark.parametrize(("change", "says"), UNFIT_PROFILES)
def test_pressing_past_yield_refuses_an_unfit_profile(meshed_joint, change, says):
    profile = meshed_joint.radial_interference()
    with pytest.raises(ValueError, match=said(says, meshed_joint)):
        PlasticPress(meshed_joint, LIMITS).press([profile, change(profile)])


def test_pressing_past_yield_refuses_to_press_nothing(meshed_joint):
    with pytest.raises(ValueError, match="no profile"):
        PlasticPress(meshed_joint, LIMITS).press([])


@pytest.mark.parametrize(
    ("limits", "says"),
    [
        pytest.param(
            {"sleeve": Yield(350.0)},
            "yield limits for sleeve, but the bodies are shell, sleeve",
            id="missing",
        ),
        pytest.param({}, "yield limits for none, but", id="none"),
        pytest.param(
            LIMITS | {"bush": Yield(100.0)}, "yield limits for bush, shell, sleeve, but", id="superfluous"
        ),
    ],
)
def test_pressing_past_yield_refuses_limits_of_other_bodies(meshed_joint, limits, says):
    with pytest.raises(MeshError, match=says):
        PlasticPress(meshed_joint, limits)


@pytest.mark.parametrize(
    ("given", "says"),
    [
        *(({"yield_stress": x}, f"yield stress above 0, got {x}") for x in (0.0, -1.0, NAN)),
        *(({"yield_stress": 240.0, "hardening": x}, f"hardening >= 0, got {x}") for x in (-1.0, NAN, INF)),
    ],
)
def test_a_yield_limit_refuses_unfit_values(given, says):
    with pytest.raises(ValueError, match=says):
        Yield(**given)


@pytest.mark.parametrize(
    ("materials", "says"),
    [
        pytest.param(
            {"shell": STEEL}, "materials for shell, but the bodies are shell, sleeve", id="missing"
        ),
        pytest.param(
            MATERIALS | {"bush": STEEL}, "materials for bush, shell, sleeve, but", id="superfluous"
        ),
    ],
)
def test_meshing_refuses_materials_of_other_bodies(meshed_joint, materials, says):
    with pytest.raises(MeshError, match=says):
        mesh_joint(crank_shell(), materials, COARSE)
    with pytest.raises(MeshError, match=says):
        Model(meshed_joint.model.mesh, materials)


@pytest.mark.parametrize("body", ["shell", "sleeve"])
@pytest.mark.parametrize(
    ("change", "says"),
    [
        pytest.param(None, "the outline has no segment", id="empty"),
        pytest.param({"z_end": 0.0}, "no length from z = 0 to 0 mm", id="no length"),
        pytest.param({"z_start": 80.0}, "no length from z = 80 to 73 mm", id="reversed"),
        pytest.param({"inner_start": NAN}, "a size between z = 0 and 73 mm is not finite", id="nan"),
        pytest.param({"outer_end": INF}, "a size between z = 0 and 73 mm is not finite", id="inf"),
        pytest.param({"inner_end": -1.0}, "negative radius between z = 0 and 73 mm", id="negative"),
    ],
)
def test_meshing_refuses_an_unfit_outline(body, change, says):
    pair = crank_shell()
    (segment,) = getattr(pair, body)
    outline = () if change is None else (replace(segment, **change),)
    with pytest.raises(MeshError, match=f"^{body}: {says}"):
        mesh_joint(replace(pair, **{body: outline}), MATERIALS, COARSE)


def test_a_grid_without_elements_is_refused():
    empty = tube(8.0, 10.0, 20.0, columns=3, rows=1)
    with pytest.raises(MeshError, match="wall: the grid has no elements"):
        join(replace(empty, metal=np.zeros((3, 1), dtype=bool)))


@pytest.mark.parametrize("value", NOT_FINITE)
def test_meshing_refuses_an_interference_and_a_load_edge_that_are_not_finite(value):
    pair = crank_shell()
    for end in ("interference_start", "interference_end"):
        seat = replace(pair.seats[0], **{end: value})
        with pytest.raises(ValueError, match=f"interference from z = 0 to 73 mm, got {value} mm"):
            mesh_joint(replace(pair, seats=(seat,)), MATERIALS, COARSE)
    with pytest.raises(ValueError, match=f"finite load edge, got {value} mm"):
        mesh_joint(pair, MATERIALS, COARSE, load_edges=(11.0, value))


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(
            (name, x)
            for name in (
                "elements_through_wall",
                "at_joint",
                "at_contact_end",
                "at_step",
                "at_free_end",
                "largest",
            )
            for x in (0.0, -0.1, NAN, INF)
        ),
        *((name, x) for name in ("row_growth", "growth") for x in (-0.1, NAN, INF)),
        *((name, x) for name in ("harmonics", "angles") for x in (0, -2, 7.5, NAN, INF)),
        ("angles", 25),
    ],
)
def test_a_resolution_refuses_unfit_sizes(name, value):
    with pytest.raises(ValueError, match=rf"{name}.*, got {value}$"):
        Resolution(**{name: value})


@pytest.mark.parametrize("factor", [0.0, -1.0, NAN, INF])
def test_a_resolution_refuses_an_unfit_scale(factor):
    with pytest.raises(ValueError, match=f"scale > 0 and finite, got {factor}"):
        Resolution().scaled(factor)


@pytest.mark.parametrize(
    ("constants", "says"),
    [
        *(((x, 0.3), f"E > 0 and finite, got {x} MPa") for x in (0.0, -205e3, *NOT_FINITE)),
        *(((205e3, x), f"0 <= ν < 0.5, got {x}") for x in (-0.1, 0.5, *NOT_FINITE)),
        *(((205e3, 0.3, x), f"α >= 0 and finite, got {x} 1/K") for x in (-12e-6, *NOT_FINITE)),
    ],
)
def test_a_material_refuses_unfit_constants(constants, says):
    with pytest.raises(ValueError, match=says):
        Elastic(*constants)


def test_finite_loads_of_any_size_and_a_case_without_loads_are_taken(service):
    strong = traction("sleeve.bore", level=17.45, start=0.0, end=11.0, radial=uniform(1e300))
    response = service.solve([()])
    assert response.harmonics == ()
    assert service.solve([[strong.scaled(1e-300)]]).harmonics == (0,)


def test_the_solvers_take_half_of_a_diametral_interference(meshed_joint):
    assert radial(0.040) == 0.020
    pairs = len(meshed_joint.interface.z)
    assert meshed_joint.radial_interference() == pytest.approx(np.full(pairs, 0.020))
    assert meshed_joint.radial_interference(smoothing=0.010) == pytest.approx(np.full(pairs, 0.015))
