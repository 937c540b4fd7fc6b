"""Next to the end of contact: linearised stress converges, and the mesh is graded towards it."""

import numpy as np
import pytest
from fem_models import ALUMINIUM, MATERIALS, crank_shell, press

from hoopwright.fem import Resolution, mesh_joint, von_mises
from hoopwright.fem.grid import RowSizes
from hoopwright.fem.stress import regular_part, singular_part
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.joint import joint
from hoopwright.geometry.land import cylinder
from hoopwright.geometry.sleeve import BoreZone

DEFAULT, FINER = Resolution(), Resolution().scaled(0.5)


def shouldered():
    """A sleeve pressed up to a shoulder, so that contact ends in the corner of the shell."""
    bore = (cylinder(0.0, 25.0, 40.0), cylinder(25.0, 40.0, 36.0))
    shell = Shell(40.0, (cylinder(0.0, 40.0, 45.0),), bore)
    sleeve = Sleeve(0.0, 25.0, (cylinder(0.0, 25.0, 40.04),), (BoreZone(0.0, 25.0, 35.0),))
    return joint(shell, sleeve)


def peak(pair, resolution, body):
    pressed = press(pair, MATERIALS, resolution, stuck=True)
    wall = pressed.recovery.linearised(pressed.stress, body)
    return max(von_mises(wall.inner).max(), von_mises(wall.outer).max())


@pytest.mark.parametrize("body", ["shell", "sleeve"])
@pytest.mark.parametrize("end", ["shoulder", "bare shell"])
def test_linearised_stress_converges_where_contact_ends(end, body):
    """Halving the elements changes it by 0.2 % at most; without averaging along z by 2.6 and 0.5 %
    (shell)."""
    pair = shouldered() if end == "shoulder" else crank_shell(start=16.5, end=56.5)
    assert peak(pair, DEFAULT, body) == pytest.approx(peak(pair, FINER, body), rel=3e-3)


def test_averaging_along_z_does_not_change_a_stress_constant_along_z():
    pressed = press(crank_shell(), MATERIALS)
    lines = pressed.recovery.lines["shell"]
    inside = np.abs(lines.z - 36.5) < 20.0
    points = pressed.stress.reshape(-1, 6)
    for through, settled in ((lines.mean, lines.membrane), (lines.linear, lines.bending)):
        assert settled(points)[inside] == pytest.approx((through @ points)[inside], rel=1e-4, abs=2e-3)


def test_averaged_hoop_stress_stays_consistent_with_hoop_strain():
    """σ_θθ − ν σ_rr = E ε_θθ + ν σ_zz: averaging σ_rr along z changes σ_θθ by ν times as much."""
    pressed = press(crank_shell(start=16.5, end=56.5), MATERIALS)
    lines, nu = pressed.recovery.lines["shell"], ALUMINIUM.poisson_ratio
    points = pressed.stress.reshape(-1, 6)
    raw, settled = lines.linear @ points, lines.bending(points)
    end = int(np.argmin(np.abs(lines.z - 16.5)))
    assert abs(settled[end, 0] - raw[end, 0]) > 5.0
    strain = [hoop[end, 1] - nu * hoop[end, 0] for hoop in (raw, settled)]
    assert strain[1] == pytest.approx(strain[0], abs=0.15 * abs(settled[end, 0] - raw[end, 0]))


def test_traction_on_a_cylinder_and_its_share_of_hoop_stress_are_averaged_over_the_wall():
    stress = np.random.default_rng(8).normal(size=(4, 3, 6))
    over_wall, over_short = singular_part(stress, 0.3), regular_part(stress, 0.3)
    assert np.array_equal(over_wall[..., [0, 3, 4]], stress[..., [0, 3, 4]])
    assert over_wall[..., 1] == pytest.approx(0.3 * stress[..., 0])
    assert not over_wall[..., [2, 5]].any()
    assert over_wall + over_short == pytest.approx(stress)
    assert singular_part(over_short, 0.3) == pytest.approx(np.zeros_like(stress))


def test_averaging_weights_sum_to_one_and_stay_within_an_equal_wall():
    meshed_joint = mesh_joint(shouldered(), MATERIALS, DEFAULT)
    lines = press(shouldered(), MATERIALS).recovery.lines["shell"]
    for along in (lines.along_wall, lines.along_short):
        assert np.asarray(along.sum(axis=1)) == pytest.approx(1.0)
        left, right = np.flatnonzero(lines.z < 25.0), np.flatnonzero(lines.z > 25.0)
        assert along[left][:, right].nnz == 0
    assert meshed_joint.joint.shell[0].wall < meshed_joint.joint.shell[1].wall


def test_rows_are_graded_towards_the_joint_from_both_sides():
    mesh = mesh_joint(crank_shell(), MATERIALS, DEFAULT).model.mesh
    for body, at_joint in (("sleeve", -1), ("shell", 0)):
        column = mesh.bodies[body].cells[0]
        corners = mesh.nodes[0, mesh.connectivity[[0, 1]][:, column]]
        thick = corners[1] - corners[0]
        assert thick[at_joint] == thick.min()
        assert thick.max() / thick.min() > 5.0


def test_ungraded_rows_are_equal():
    assert RowSizes.even(4) == RowSizes(0.25, 0.0, 0.25)


def test_a_step_between_two_seats_is_meshed_alike_in_a_thin_shell_and_a_thick_sleeve():
    """0.19 mm is meshed as a cone in the sleeve's wall of 7.5 mm, as a square step in the shell's of 0.9
    mm."""
    bore = (cylinder(0.0, 40.0, 116.54), cylinder(40.0, 100.0, 116.92), cylinder(100.0, 150.0, 116.54))
    shell = Shell(150.0, (cylinder(0.0, 150.0, 118.36),), bore)
    sleeve = Sleeve(0.0, 150.0, (cylinder(0.0, 150.0, 116.64),), (BoreZone(0.0, 150.0, 101.5),))
    pairs = mesh_joint(joint(shell, sleeve), MATERIALS, DEFAULT.coarser()).interface
    assert pairs.z.min() == 0.0
    assert pairs.z.max() == 150.0
