"""Harmonics: properties that hold whatever the numbers are."""

import re
from dataclasses import replace

import numpy as np
import pytest
from fem_models import (
    ALUMINIUM,
    MATERIALS,
    STEEL,
    bearing_pushes,
    clamped_crank_shell,
    crank_shell,
    interference_profile,
    joined_everywhere,
    sleeved_shell,
    tube_model,
)

from hoopwright.fem import FitSolver, MeshError, Resolution, SolveError, mesh_joint
from hoopwright.fem.fourier_sum import tail
from hoopwright.fem.harmonic import ServiceSolver
from hoopwright.fem.harmonic_load import HarmonicLoads
from hoopwright.fem.rigid_modes import rigid_modes
from hoopwright.loads.fourier_series import FourierSeries, half_cosine, two_sided_cosine, uniform
from hoopwright.loads.traction import resultant, traction

COARSE = Resolution(elements_through_wall=2, at_contact_end=0.3, at_step=0.6, at_free_end=0.6, growth=0.8)
ANGLES = np.linspace(0.0, 2.0 * np.pi, 36, endpoint=False)


@pytest.fixture(scope="module")
def clamped():
    return clamped_crank_shell(COARSE)


@pytest.fixture(scope="module")
def pushed(clamped):
    return clamped.solve([bearing_pushes()])


@pytest.fixture(scope="module")
def free():
    meshed_joint = mesh_joint(crank_shell(), MATERIALS, COARSE, load_edges=(11.0, 30.0, 43.0, 62.0))
    return ServiceSolver(meshed_joint, joined_everywhere(meshed_joint))


def three_bands(*, turned=0.0):
    """Balanced loads: cups push up at both ends, the middle of the outside pushes back."""
    bands = (
        ("sleeve.bore", 17.45, 0.0, 11.0, 6.0),
        ("sleeve.bore", 17.45, 62.0, 73.0, 6.0),
        ("shell.outside", 22.0, 30.0, 43.0, -12.0 * 17.45 * 11.0 / (22.0 * 13.0)),
    )
    return tuple(
        traction(face, level=level, start=a, end=b, radial=two_sided_cosine(p, towards=turned))
        for face, level, a, b, p in bands
    )


def every_kind_of_traction():
    """Radial, hoop and axial parts with n = 0, 1, 2, both families, on cylinders and an end; the level
    of the first is not the radius of the bore it acts on, as with a thread's pitch cylinder."""
    wave = FourierSeries((1.0, 2.0, 3.0), (0.0, -1.5, 0.5))
    other = FourierSeries((0.7, -0.4, 1.0), (0.0, 2.5, 0.3))
    third = FourierSeries((-0.2, 1.4, 0.6), (0.0, 0.8, -1.0))
    return (
        traction(
            "sleeve.bore",
            level=17.0,
            start=3.0,
            end=20.5,
            radial=wave,
            hoop=other,
            axial=third,
            factors=(0.5, -2.0),
        ),
        traction("shell.outside", level=22.0, start=40.0, end=60.0, radial=third, hoop=wave, axial=other),
        traction("shell.right", level=73.0, start=19.9, end=21.8, radial=other, hoop=third, axial=wave),
    )


@pytest.mark.parametrize("n", [0, 1])
@pytest.mark.parametrize("material", [STEEL, ALUMINIUM])
def test_rigid_motion_lies_in_the_null_space(n, material):
    model = tube_model(material, 17.0, 20.0, 30.0, columns=3, rows=2)
    K = model.stiffness.at(n)
    for mode in rigid_modes(model.mesh.nodes, n):
        size = np.abs(K) @ np.abs(mode.ravel())
        assert np.max(np.abs(K @ mode.ravel()) / size.max()) < 1e-13


@pytest.mark.parametrize(("n", "modes"), [(0, 2), (1, 2), (2, 0), (5, 0)])
def test_stiffness_has_no_other_null_vectors(n, modes):
    model = tube_model(STEEL, 17.0, 20.0, 6.0, columns=2, rows=1)
    values = np.linalg.eigvalsh(model.stiffness.at(n).toarray())
    assert np.count_nonzero(values < 1e-9 * values[-1]) == modes
    assert values[0] > -1e-9 * values[-1]


def test_nodal_forces_have_the_resultant_of_the_tractions():
    mesh = mesh_joint(crank_shell(), MATERIALS, COARSE).model.mesh
    tractions = every_kind_of_traction()
    loads = HarmonicLoads(mesh).assemble([tractions])
    assert loads.harmonics == (0, 1, 2)
    (push0, turn0), (push1, turn1) = (
        around * np.einsum("mnc,fnc->mf", rigid_modes(mesh.nodes, n), loads.nodal(n)[0])
        for n, around in ((0, 2 * np.pi), (1, np.pi))
    )
    force, moment = resultant(tractions)
    assert [*push1, push0[0]] == pytest.approx(force, rel=1e-10)
    assert [-turn1[1], turn1[0], -turn0[1]] == pytest.approx(moment, rel=1e-10)


def test_rotating_the_loads_rotates_every_result(clamped, pushed):
    turn = np.deg2rad(37.0)
    turned = clamped.solve([bearing_pushes(turned=turn)])
    assert np.max(np.abs(turned.stress[:, :, 1])) > 1.0  # the sine family is present
    for body in ("sleeve", "shell"):
        before, after = pushed.linearised_at(body, ANGLES), turned.linearised_at(body, ANGLES + turn)
        assert after == pytest.approx(before, abs=1e-8)
    assert turned.traction_at(ANGLES + turn) == pytest.approx(pushed.traction_at(ANGLES), abs=1e-8)
    nodes = np.arange(40)
    assert turned.displacement_at(nodes, ANGLES + turn) == pytest.approx(
        pushed.displacement_at(nodes, ANGLES), abs=1e-12
    )


def test_the_sine_family_is_the_cosine_family_rotated_by_a_quarter_turn(clamped):
    push = traction(
        "sleeve.bore", level=17.45, start=0.0, end=11.0, radial=two_sided_cosine(5.0, towards=np.pi / 2)
    )
    response = clamped.solve([[push]])
    assert np.max(np.abs(response.displacement[:, :, 0])) < 1e-16
    along_y = response.displacement_at(np.array([0]), np.array([np.pi / 2]))[0, 0, 0]
    assert along_y[0] > 0.0  # the wall moves towards y, where it is pushed


def test_doubling_the_load_doubles_the_answer(clamped, pushed):
    twice = clamped.solve([bearing_pushes(factor=2.0)])
    assert twice.stress == pytest.approx(2.0 * pushed.stress, rel=1e-9, abs=1e-9)
    assert twice.tail == pytest.approx(2.0 * pushed.tail)


def test_load_cases_solved_together_equal_those_solved_alone(clamped, pushed):
    axial = traction("sleeve.left", level=0.0, start=17.5, end=19.0, axial=uniform(3.0))
    both = clamped.solve([bearing_pushes(), [axial]], tolerance=0.0)
    alone = clamped.solve([[axial]])
    together, axially = (response.linearised_at("shell", ANGLES) for response in (both, alone))
    assert together[1] == pytest.approx(axially[0])
    assert together[0] == pytest.approx(
        pushed.linearised_at("shell", ANGLES)[0], abs=2.0 * float(pushed.tail[0])
    )
    assert alone.harmonics == (0,)


def test_interface_transmits_exactly_the_loads_on_the_sleeve(clamped, pushed):
    """Force and moment of contact traction on the shell = those of the loads on the sleeve."""
    pairs = clamped.meshed_joint.interface
    index = pushed.harmonics.index(1)
    t = pushed.traction[index, 0, 0] * pairs.weight[:, None]
    force, moment = resultant(bearing_pushes())
    assert np.pi * np.sum(t[:, 0] - t[:, 1]) == pytest.approx(force[0], abs=1e-6 * abs(moment[1]))
    about_y = np.pi * np.sum(pairs.z * (t[:, 0] - t[:, 1]) - pairs.r * t[:, 2])
    assert about_y == pytest.approx(moment[1], rel=1e-9)


def test_bending_of_the_free_shell_under_balanced_loads_agrees_with_statics(free):
    """Half-way along, ∫ σ_zz x dA = moment of the left cup's force about that section."""
    response = free.solve([three_bands()])
    recovery, model = response.recovery, free.model
    stress = response.stress[0, 0, 0]
    assert response.harmonics == (1,)
    moment = 0.0
    for body in model.mesh.bodies.values():
        column = np.argmin(np.abs(0.5 * (body.lines[1:] + body.lines[:-1]) - 21.0))
        cells, height = body.cells[column], np.diff(body.lines)[column]
        share = recovery.strain.weight[cells] * recovery.r[cells] ** 2 / height
        moment += np.pi * np.sum(stress[cells][..., 2] * share)
        z = np.mean(recovery.z[cells])
    # x-force on the left band: π p R L at z = 5.5; bending the shell convex towards −x is tension there
    force = np.pi * 6.0 * 17.45 * 11.0
    assert moment == pytest.approx(-force * (z - 5.5), rel=2e-3)


def test_solution_of_a_free_shell_does_not_depend_on_where_rigid_motion_is_pinned(free):
    """The springs that pin rigid motion carry no reaction."""
    force = HarmonicLoads(free.model.mesh).assemble([three_bands()]).nodal(1)[0, 0].ravel()
    u = free.solve([three_bands()]).displacement[0, 0, 0].ravel()
    joined = free.system.joined
    left = free.model.stiffness.at(1) @ u - force
    left[joined[:, 1]] += left[joined[:, 0]]
    left[joined[:, 0]] = 0.0
    assert np.max(np.abs(left)) < 1e-8 * np.max(np.abs(force))


@pytest.mark.parametrize("n", [0, 1])
def test_pinned_stiffness_is_far_from_singular(free, n):
    matrix = free.system._factor(n).matrix
    push = np.random.default_rng(1).standard_normal(matrix.shape[0])
    answer = free.system._factor(n).solve(push)
    assert np.linalg.norm(answer) * np.abs(matrix).max() < 1e9 * np.linalg.norm(push)


def test_clamped_outside_does_not_move(clamped, pushed):
    mesh = clamped.model.mesh
    outside = np.unique(mesh.face("shell.outside").nodes)
    z = mesh.nodes[1, outside]
    assert np.all(pushed.displacement[:, :, :, outside[(z >= 20.0) & (z <= 53.0)]] == 0.0)
    loose = outside[(z < 19.9) | (z > 53.1)]
    assert np.all(np.any(pushed.displacement[:, 0, 0, loose] != 0.0, axis=(0, 2)))


def test_stress_is_even_about_the_plane_of_the_load(pushed):
    """A force along x causes no rθ and θz shear in the plane y = 0; the other components there are the sum
    of the cosine family, linearised."""
    (in_plane,) = pushed.linearised_at("sleeve", np.array([0.0, np.pi]))
    assert np.max(np.abs(in_plane[..., 4:])) < 1e-9
    plain = pushed.recovery.linearised(pushed.stress[:, 0, 0].sum(axis=0), "sleeve")
    assert in_plane[0, :, 0, :4] == pytest.approx(plain.inner[:, :4], abs=1e-9)
    assert in_plane[1, :, 0, :4] == pytest.approx(plain.outer[:, :4], abs=1e-9)
    assert in_plane[:, :, 0].mean(axis=0)[:, :4] == pytest.approx(plain.membrane[:, :4], abs=1e-9)
    assert np.max(np.abs(in_plane[..., 3])) > 0.1
    (across,) = pushed.linearised_at("sleeve", np.array([1.0, -1.0]))
    assert across[..., 1, :4] == pytest.approx(across[..., 0, :4], abs=1e-9)
    assert across[..., 1, 4:] == pytest.approx(-across[..., 0, 4:], abs=1e-9)
    assert np.max(np.abs(across[..., 4:])) > 1.0


def test_unbalanced_loads_are_rejected_with_their_resultant(free):
    with pytest.raises(SolveError, match=r"out of balance .* force \(3618, .*\) N along \(x, y\)"):
        # π · 6 MPa · 17.45 mm · 11 mm
        free.solve([three_bands()[:1]])
    twist = traction("sleeve.bore", level=17.45, start=0.0, end=11.0, hoop=uniform(1.0))
    with pytest.raises(SolveError, match=r"moment 2\.105e\+04 N·mm about z"):
        free.solve([three_bands(), [twist]])


@pytest.mark.parametrize("turned", [0.0, 0.5 * np.pi])
def test_the_moment_of_unbalanced_loads_is_that_of_their_force_at_its_place(free, turned):
    """3618 N at z = 5.5 mm along x turn about y, along y about −x."""
    with pytest.raises(SolveError) as caught:
        free.solve([three_bands(turned=turned)[:1]])
    about = re.search(r"moment \((.*), (.*)\) N·mm", str(caught.value))
    found = [float(number) for number in about.groups()]
    by_hand = 3618.0 * 5.5 * np.array([-np.sin(turned), np.cos(turned)])
    assert found == pytest.approx(by_hand, rel=1e-3, abs=1.0)


def test_loads_that_are_out_of_balance_by_a_thousandth_are_rejected(free):
    *cups, outside = three_bands()
    free.solve([[*cups, outside]])
    with pytest.raises(SolveError, match="out of balance"):
        free.solve([[*cups, outside, replace(outside, factor_start=1e-3, factor_end=1e-3)]])


def test_a_sleeve_free_to_slide_must_be_balanced_by_itself(free):
    sliding = ServiceSolver(free.meshed_joint, free.closed, sliding=True)
    pull = traction("sleeve.left", level=0.0, start=17.5, end=19.0, axial=uniform(-3.0))
    area = 19.0**2 - 17.5**2
    stop = traction("shell.left", level=0.0, start=20.0, end=21.0, axial=uniform(3.0 * area / 41.0))
    stuck = free.solve([[pull, stop]])
    assert np.max(np.abs(stuck.traction[0, 0, 0, :, 2])) > 0.1
    with pytest.raises(SolveError, match="out of balance"):
        sliding.solve([[pull, stop]])


def test_a_load_that_misses_its_face_is_rejected(clamped):
    beyond = traction("sleeve.bore", level=17.45, start=60.0, end=80.0, radial=uniform(1.0))
    with pytest.raises(MeshError, match=r"load on sleeve\.bore from 60 to 80 mm reaches beyond the face"):
        clamped.solve([[beyond]])
    with pytest.raises(MeshError, match=r"no face named 'sleeve\.top'"):
        clamped.solve([[traction("sleeve.top", level=17.45, start=0.0, end=8.0, radial=uniform(1.0))]])


def test_a_clamp_without_a_mesh_line_at_its_end_is_rejected():
    meshed_joint = mesh_joint(crank_shell(), MATERIALS, COARSE)
    solver = ServiceSolver(meshed_joint, joined_everywhere(meshed_joint), clamped=(20.123, 53.0))
    with pytest.raises(MeshError, match=r"no line at the clamp's ends, 20\.123 and 53 mm"):
        solver.solve([bearing_pushes()])


def test_axisymmetric_interference_gives_the_pressure_of_the_press_fit():
    meshed_joint = mesh_joint(crank_shell(start=16.5, end=56.5), MATERIALS, COARSE)
    profile = interference_profile(meshed_joint)
    fit = FitSolver(meshed_joint.model, meshed_joint.interface).press(profile, stuck=False)
    assert fit.closed.all()
    solver = ServiceSolver(meshed_joint, fit.closed, sliding=True)
    response = solver.out_of_round({0: (profile, np.zeros_like(profile))})
    assert response.traction[0, 0, 0, :, 0] == pytest.approx(fit.pressure, rel=1e-7)
    assert response.stress[0, 0, 0] == pytest.approx(response.recovery.stress(fit.displacement), abs=1e-6)


def test_oval_interference_is_met_at_every_angle_without_a_resultant_force(free):
    pairs = free.meshed_joint.interface
    lobes = {
        2: (np.full(len(pairs.z), 0.004), np.full(len(pairs.z), -0.003)),
        3: (np.zeros(len(pairs.z)), np.linspace(0.0, 0.002, len(pairs.z))),
    }
    response = free.out_of_round(lobes)
    move = [response.displacement_at(side, ANGLES)[0, :, :, 0] for side in (pairs.shell, pairs.sleeve)]
    wanted = sum(
        np.outer(c, np.cos(n * ANGLES)) + np.outer(s, np.sin(n * ANGLES)) for n, (c, s) in lobes.items()
    )
    assert move[0] - move[1] == pytest.approx(wanted, abs=1e-12)
    assert response.displacement.shape[1] == 1
    # Where the sleeve is larger it presses: pressure goes with interference.
    pressure = response.traction_at(ANGLES)[0, len(pairs.z) // 2, :, 0]
    assert np.corrcoef(pressure, wanted[len(pairs.z) // 2])[0, 1] > 0.95


def test_open_pairs_carry_nothing():
    pair = sleeved_shell(width=60.0, outside=44.0, bore=39.0, sleeve_bore=34.9)
    meshed_joint = mesh_joint(pair, MATERIALS, COARSE, load_edges=(11.0, 49.0))
    closed = meshed_joint.interface.z > 30.0
    push = two_sided_cosine(1.0, towards=0.0)
    loads = [traction("sleeve.bore", level=17.45, start=a, end=a + 11.0, radial=push) for a in (0.0, 49.0)]
    loads.append(
        traction(
            "shell.outside", level=22.0, start=0.0, end=60.0, radial=push * (-22.0 * 17.45 / (22.0 * 60.0))
        )
    )
    response = ServiceSolver(meshed_joint, closed).solve([loads])
    assert np.all(response.traction[:, :, :, ~closed] == 0.0)
    assert np.max(np.abs(response.traction[:, :, :, closed])) > 0.1


def test_the_tail_covers_the_truncated_harmonics(clamped):
    """Half-cosine truncated at n = 12 against the same truncated at 40, everywhere on the bore and
    outside."""
    short = clamped.solve([bearing_pushes(12)], tolerance=0.0)
    long = clamped.solve([bearing_pushes(60)], tolerance=0.0)
    assert short.harmonics == (0, 1, 2, 4, 6, 8, 10, 12)
    for body in ("sleeve", "shell"):
        left_out = short.linearised_at(body, ANGLES) - long.linearised_at(body, ANGLES)
        assert np.max(np.abs(left_out)) <= short.tail[0]
    assert short.tail[0] < 0.012 * np.max(np.abs(short.stress))


def test_harmonics_stop_when_the_tail_is_small(clamped):
    loose = clamped.solve([bearing_pushes(40)], tolerance=0.02)
    assert loose.harmonics[-1] < 40
    assert loose.tail[0] <= 0.02 * np.max(np.abs(loose.stress))


def test_the_tail_of_a_series_with_a_kink_is_its_sum():
    n = (0, 2, 4, 6, 8)
    size = np.array([[9.0], [1.0], [2.0**-2], [3.0**-2], [4.0**-2]])  # (n/2)^-2
    rest = sum(k**-2.0 for k in range(5, 4000))
    assert tail(n, size) == pytest.approx([rest], rel=0.02)


def test_a_finite_series_has_no_tail():
    assert tail((0, 1, 2), np.ones((3, 1))) == pytest.approx([0.0])
    assert tail((), np.zeros((0, 1))) == pytest.approx([0.0])


def test_half_cosine_and_its_mirror_make_the_two_sided_cosine(clamped):
    def band(radial):
        return traction("sleeve.bore", level=17.45, start=0.0, end=11.0, radial=radial)

    one = band(half_cosine(4.0, towards=0.0, harmonics=12))
    other = band(half_cosine(-4.0, towards=np.pi, harmonics=12))
    whole = band(two_sided_cosine(4.0, towards=0.0))
    a, b = clamped.solve([[one, other]]), clamped.solve([[whole]])
    assert a.linearised_at("sleeve", ANGLES) == pytest.approx(b.linearised_at("sleeve", ANGLES), abs=1e-9)
