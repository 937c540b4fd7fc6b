"""Meshes: volumes, names, gradings, and outlines that cannot be meshed."""

import numpy as np
import pytest
from fem_models import MATERIALS, crank_shell, press, tube

from hoopwright.fem import Elastic, MeshError, Resolution, mesh_joint
from hoopwright.fem.grading import Focus, decay_length, graded_lines
from hoopwright.fem.grid import RowSizes, body_grid
from hoopwright.fem.interface import interface
from hoopwright.fem.mesh import join
from hoopwright.fem.stiffness import Model
from hoopwright.geometry import BoreZone, Shell, Sleeve
from hoopwright.geometry.joint import Seat, Segment, joint
from hoopwright.geometry.land import Land, cylinder


def volume(model, body):
    """∫ r dr dz over one body, mm³ per radian."""
    basis = model.mesh.gauss_3x3
    cells = model.mesh.quads.subdomains[body]
    return float(np.sum((basis.dx * basis.default_parameters()["x"][0])[cells]))


def ring(inner, outer, length):
    return 0.5 * (outer**2 - inner**2) * length


def segment(a, b, inner, outer):
    return Segment(a, b, inner, inner, outer, outer)


def test_plain_pair_has_the_volume_of_two_tubes():
    model = mesh_joint(crank_shell(), MATERIALS, Resolution()).model
    assert volume(model, "shell") == pytest.approx(ring(19.5, 22.0, 73.0), rel=1e-12)
    assert volume(model, "sleeve") == pytest.approx(ring(17.45, 19.5, 73.0), rel=1e-12)


def test_square_shoulders_and_relief_grooves_have_their_exact_volume():
    """A flange on the shell's outside, a relief in its bore, a bore step in the sleeve."""
    outside = (cylinder(0.0, 10.0, 60.0), cylinder(10.0, 60.0, 44.0))
    bore = (cylinder(0.0, 20.0, 39.0), cylinder(20.0, 40.0, 41.0), cylinder(40.0, 60.0, 39.0))
    sleeve = Sleeve(
        0.0,
        60.0,
        (cylinder(0.0, 60.0, 39.04),),
        (BoreZone(0.0, 12.0, 35.0), BoreZone(12.0, 48.0, 36.5), BoreZone(48.0, 60.0, 35.0)),
    )
    pressed = press(joint(Shell(60.0, outside, bore), sleeve), MATERIALS)
    model = pressed.meshed_joint.model
    assert volume(model, "shell") == pytest.approx(
        ring(19.5, 30.0, 10.0) + ring(19.5, 22.0, 10.0) + ring(20.5, 22.0, 20.0) + ring(19.5, 22.0, 20.0),
        rel=1e-12,
    )
    assert len(pressed.meshed_joint.joint.seats) > 1
    between = (pressed.meshed_joint.interface.z > 20.0) & (pressed.meshed_joint.interface.z < 40.0)
    assert not between.any()  # over the relief the faces are too far apart to touch
    # Over the relief the sleeve is meshed at its own size, 0.02 mm larger in radius than on its seats.
    by_hand = ring(17.5, 19.5, 24.0) + ring(18.25, 19.5, 16.0) + ring(18.25, 19.52, 20.0)
    assert volume(model, "sleeve") == pytest.approx(by_hand, rel=2e-4)
    assert pressed.mean_pressure > 1.0


@pytest.mark.parametrize("turned", [38.60, 38.20, 37.0])
def test_a_relief_between_two_seats_leaves_the_seats_at_the_bore_radius(turned):
    """A small relief (meshed as a cone), a larger one, and a square step: seats keep the bore's radius."""
    lands = (cylinder(0.0, 20.0, 39.04), cylinder(20.0, 40.0, turned), cylinder(40.0, 60.0, 39.03))
    pair = joint(
        Shell(60.0, (cylinder(0.0, 60.0, 44.0),), (cylinder(0.0, 60.0, 39.0),)),
        Sleeve(0.0, 60.0, lands, (BoreZone(0.0, 60.0, 34.9),)),
    )
    pressed = press(pair, MATERIALS)
    assert pressed.meshed_joint.interface.r == pytest.approx(19.5)
    assert len(pair.seats) == 2
    assert pressed.mean_pressure > 5.0
    by_hand = ring(17.45, 19.5, 40.0) + ring(17.45, 0.5 * turned, 20.0)
    assert volume(pressed.meshed_joint.model, "sleeve") == pytest.approx(by_hand, rel=4e-3)


def test_a_taper_has_the_volume_of_a_cone():
    bore = (Land(0.0, 50.0, 39.0, 39.2),)
    pair = joint(
        Shell(50.0, (cylinder(0.0, 50.0, 44.0),), bore),
        Sleeve(0.0, 50.0, (Land(0.0, 50.0, 39.03, 39.23),), (BoreZone(0.0, 50.0, 34.9),)),
    )
    model = mesh_joint(pair, MATERIALS, Resolution()).model
    a, b = 19.5, 19.6
    cone = 50.0 * (a * a + a * b + b * b) / 6.0
    assert volume(model, "shell") == pytest.approx(0.5 * 22.0**2 * 50.0 - cone, rel=1e-9)


def test_every_face_is_named_and_lies_where_its_name_says():
    mesh = mesh_joint(crank_shell(start=16.5, end=56.5), MATERIALS, Resolution()).model.mesh
    where = {
        "sleeve.bore": (0, 17.45),
        "sleeve.outside": (0, 19.5),
        "shell.bore": (0, 19.5),
        "shell.outside": (0, 22.0),
        "sleeve.left": (1, 16.5),
        "sleeve.right": (1, 56.5),
        "shell.left": (1, 0.0),
        "shell.right": (1, 73.0),
    }
    assert set(mesh.faces) == set(where)
    for name, (axis, value) in where.items():
        assert mesh.nodes[axis, mesh.face(name).nodes] == pytest.approx(value)


@pytest.mark.parametrize("finer", [1.0, 1.0 / 1.6, 1.0 / 1.6**2])
def test_every_coarser_mesh_is_coarser_in_every_respect(finer):
    fine = Resolution().scaled(finer)
    coarse, coarsest = fine.coarser(), fine.coarser().coarser()
    for more in ("harmonics", "angles", "elements_through_wall"):
        assert getattr(fine, more) > getattr(coarse, more) > getattr(coarsest, more), more
        assert getattr(coarsest, more) >= {"harmonics": 4, "angles": 24, "elements_through_wall": 2}[more]
    for length in (
        "at_joint",
        "row_growth",
        "at_contact_end",
        "at_step",
        "at_free_end",
        "growth",
        "largest",
    ):
        assert getattr(fine, length) < getattr(coarse, length) < getattr(coarsest, length), length
    assert not any(resolution.angles % 2 for resolution in (fine, coarse, coarsest))


def test_bodies_and_faces_keep_their_names_on_refinement():
    mesh = press(crank_shell(), MATERIALS).meshed_joint.model.mesh
    finer = mesh.quads.refined(1)
    assert set(finer.subdomains) == {"sleeve", "shell"}
    assert {name: len(found) for name, found in finer.subdomains.items()} == {
        name: 4 * len(body.elements) for name, body in mesh.bodies.items()
    }
    assert {name: len(found) for name, found in finer.boundaries.items()} == {
        name: 2 * len(face.elements) for name, face in mesh.faces.items()
    }


def test_a_face_runs_from_left_to_right_or_from_the_inside_outwards():
    mesh = press(crank_shell(), MATERIALS).meshed_joint.model.mesh
    for face in mesh.faces.values():
        place = mesh.nodes[face.along, face.nodes]
        assert np.all(np.diff(place.ravel()) >= 0.0), face.name
        assert np.all(np.isin(face.nodes.T, mesh.connectivity[:, face.elements]))


def test_an_unknown_face_is_reported_with_the_known_names():
    mesh = join(tube(10.0, 12.0, 5.0, columns=1, rows=1))
    with pytest.raises(MeshError, match=r"no face named 'wall\.top'; there are wall\.bore"):
        mesh.face("wall.top")


def test_bodies_share_no_node():
    mesh = mesh_joint(crank_shell(), MATERIALS, Resolution()).model.mesh
    assert not np.intersect1d(mesh.body_nodes("sleeve"), mesh.body_nodes("shell")).size


def test_facing_nodes_coincide_and_their_weights_are_the_contact_area():
    meshed_joint = mesh_joint(crank_shell(start=16.5, end=56.5), MATERIALS, Resolution())
    pairs, nodes = meshed_joint.interface, meshed_joint.model.mesh.nodes
    assert nodes[:, pairs.sleeve] == pytest.approx(nodes[:, pairs.shell], abs=1e-12)
    assert np.sum(pairs.weight) == pytest.approx(19.5 * 40.0, rel=1e-12)
    assert np.all(np.diff(pairs.z) > 0.0)


def test_mesh_lines_include_every_break_and_are_graded_towards_a_focus():
    lines = graded_lines([0.0, 13.0, 40.0], [Focus(13.0, 0.05)], largest=4.0, growth=0.4)
    for place in (0.0, 13.0, 40.0):
        assert np.min(np.abs(lines - place)) < 1e-12
    steps = np.diff(lines)
    assert steps.min() < 0.06
    assert steps.max() <= 4.0 * 1.05
    assert np.all(steps > 0.0)


def test_decay_length_of_a_thin_steel_cylinder():
    """√(20 · 2)/(3 · (1 − 0.09))^¼ = 4.920 mm, by hand."""
    assert decay_length(20.0, 2.0, 0.3) == pytest.approx(40.0**0.5 / 2.73**0.25, rel=1e-12)


def mesh_body(*segments):
    lines = np.unique(np.concatenate([[s.z_start, s.z_end] for s in segments]))
    return body_grid("shell", segments, lines, sizes=RowSizes.even(2))


def test_a_missing_wall_is_reported_with_its_position():
    with pytest.raises(MeshError, match="shell: no wall between z = 10 and 20 mm"):
        mesh_body(segment(0, 10, 19, 22), segment(10, 20, 22, 22))


def test_a_broken_outline_is_reported_with_its_position():
    with pytest.raises(MeshError, match="shell: the outline has a gap at z = 10 mm"):
        mesh_body(segment(0, 10, 19, 22), segment(11, 20, 19, 22))


def test_a_disconnected_body_is_reported_with_its_position():
    with pytest.raises(MeshError, match="shell: the body is not connected at z = 10 mm"):
        mesh_body(segment(0, 10, 19, 22), segment(10, 20, 23, 26))


def test_too_steep_a_taper_is_reported_with_its_diameters():
    with pytest.raises(MeshError, match="taper from 38 to 42 mm between z = 0 and 10 mm"):
        mesh_body(Segment(0, 10, 19, 21, 24, 24))


def test_a_seat_without_matching_nodes_is_rejected():
    mesh = join(
        tube(8.0, 10.0, 20.0, columns=3, rows=1, name="sleeve"),
        tube(10.0, 12.0, 20.0, columns=4, rows=1, name="shell"),
    )
    with pytest.raises(MeshError, match="nodes do not match between z = 0 and 20 mm"):
        interface(mesh, [Seat(0.0, 20.0, 0.04, 0.04, 0, 0)])
    with pytest.raises(MeshError, match="have no seat in common"):
        interface(mesh, [])


def test_materials_must_be_those_of_the_bodies():
    mesh = join(tube(8.0, 10.0, 20.0, columns=3, rows=1))
    with pytest.raises(MeshError, match="materials for"):
        Model(mesh, {"shell": Elastic(205e3, 0.3)})


def test_an_inverted_element_is_rejected():
    grid = tube(8.0, 10.0, 20.0, columns=1, rows=1)
    with pytest.raises(MeshError, match="inverted element"):
        join(type(grid)(grid.name, grid.r[:, ::-1], grid.z, grid.metal))
