"""The VTU files of a record, read with meshio: meshes, fields, the state they show, and what is judged."""

from __future__ import annotations

from functools import cache

import meshio
import numpy as np
import pytest
from record_cases import results, written_record

from hoopwright.case.read import read_case
from hoopwright.discretisation import BODIES, usual_resolution
from hoopwright.record.vtu import STRESS, _field_data, at_walls
from hoopwright.service.study import fit_surfaces
from hoopwright.study import CaseStudy

JUDGED, TOTAL = "judged_equivalent_stress_MPa", "total_equivalent_stress_MPa"


@cache
def section():
    return meshio.vtu.read(written_record() / "section.vtu")


@cache
def loaded():
    return meshio.vtu.read(written_record() / "service" / "laden-wheel.vtu")


@cache
def study():
    case = read_case(written_record() / "hub.toml")
    return CaseStudy(case, usual_resolution(case))


def text(mesh, name):
    return bytes(mesh.field_data[name]).decode("utf-8")


def test_the_section_is_read_back_with_its_fields_and_the_jump_of_hoop_stress():
    mesh = section()
    assert set(mesh.point_data) == {
        "displacement_mm",
        *STRESS,
        "total_equivalent_stress_MPa",
        "contact_pressure_MPa",
    }
    state = study().nominal.finest
    pairs, hoop = state.mesh.meshed_joint.interface, mesh.point_data["total_stress_tt_MPa"]
    assert np.allclose(mesh.points[pairs.shell], mesh.points[pairs.sleeve])
    assert np.all(hoop[pairs.shell] - hoop[pairs.sleeve] > 50.0)  # tension outside, compression inside
    pressure = mesh.point_data["contact_pressure_MPa"]
    # another study wrote it: what either had solved before differs, and rounding with it
    assert pressure[pairs.shell] == pytest.approx(state.press.pressure, rel=1e-9, abs=1e-9)
    assert np.isnan(pressure).sum() == len(pressure) - len({*pairs.shell, *pairs.sleeve})


def test_section_cells_are_in_the_order_of_vtk():
    """Nodes 4 to 7 lie between the corners 0-1, 1-2, 2-3, 3-0, node 8 in the middle: VTK file formats,
    VTK_BIQUADRATIC_QUAD (from memory, not seen)."""
    mesh = section()
    assert [block.type for block in mesh.cells] == ["quad9"]
    corner = mesh.points[mesh.cells[0].data]
    for k in range(4):
        assert np.allclose(corner[:, 4 + k], 0.5 * (corner[:, k] + corner[:, (k + 1) % 4]), atol=1e-9)
    assert np.allclose(corner[:, 8], corner[:, :4].mean(axis=1), atol=1e-9)
    assert set(np.unique(mesh.cell_data["body"][0])) == {1, 2}


def test_revolved_mesh_fills_its_volume_and_shows_fit_and_load_together():
    mesh = loaded()
    p = mesh.points[mesh.cells[0].data]
    along = ((1, 2, 5, 6), (0, 3, 4, 7)), ((2, 3, 6, 7), (0, 1, 4, 5)), ((4, 5, 6, 7), (0, 1, 2, 3))
    edges = [p[:, far].mean(axis=1) - p[:, near].mean(axis=1) for far, near in along]
    volume = np.einsum("ij,ij->i", np.cross(edges[0], edges[1]), edges[2])
    assert np.all(volume > 0.0)
    # shell and sleeve as one tube; a chord for each of 72 arcs takes off (π/36)²/6 = 0.13 %
    assert volume.sum() == pytest.approx(np.pi / 4.0 * (46**2 - 35**2) * 32.0, rel=2e-3)
    mirrored = -np.arange(72) + 36  # the load points to 90°: the body is symmetric about it
    for name in ("total_stress_rr_MPa", "total_stress_tt_MPa", "total_equivalent_stress_MPa"):
        field = mesh.point_data[name].reshape(-1, 72)
        assert np.allclose(field, field[:, mirrored], atol=1e-6)
        assert np.ptp(field, axis=1).max() > 1.0
    hoop = mesh.point_data["total_stress_tt_MPa"].reshape(-1, 72).mean(axis=1)
    fit = section().point_data["total_stress_tt_MPa"]
    assert hoop.min() < -20.0 < 20.0 < hoop.max()  # the fit is in it
    assert hoop.max() == pytest.approx(fit.max(), rel=0.25)


@pytest.mark.parametrize("read", [section, loaded])
def test_a_file_says_which_case_which_bodies_and_which_state(read):
    mesh, fields = read(), read().field_data
    assert text(mesh, "case_sha256") == results()["case"]["sha256"]
    named = {name: int(fields[f"body_{name}"][0]) for name in ("sleeve", "shell")}
    assert {int(n) for n in np.unique(mesh.cell_data["body"][0])} == set(named.values())
    radius = np.hypot(mesh.points[:, 0], mesh.points[:, 1])
    inside = mesh.cells[0].data[mesh.cell_data["body"][0] == named["sleeve"]]
    assert radius[inside].max() < 20.1 < radius.max()
    likely = results()["fit"]["diametral_interference_um"]["nominal"]
    assert fields["interference_um"][0] == pytest.approx(likely, rel=1e-6)
    state = [
        fields[key][0] for key in ("interference_shift_um", "temperature_degC", "friction", "preload_N")
    ]
    assert state == [0.0, 20.0, 0.0, 0.0]


def test_a_load_case_is_named_with_how_the_joint_carries_it():
    assert text(loaded(), "load_case") == "laden wheel"
    assert text(loaded(), "joint") == "stuck"
    assert "load_case" not in section().field_data


def test_text_of_any_script_comes_back():
    written = _field_data({"load_case": "Ü <&"}).decode("ascii")
    numbers = written.partition('format="ascii">')[2].partition("<")[0]
    assert bytes(int(n) for n in numbers.split()).decode("utf-8") == "Ü <&"


def test_section_and_load_case_move_alike_where_nothing_but_the_fit_moves():
    """x, y, z of both: less what the load adds, the load case at 0 degrees is the section."""
    solution = study().service.solutions["stuck"][0]
    nodes = solution.meshed_joint.model.mesh.nodes
    used = np.unique(solution.meshed_joint.model.mesh.connectivity[:4])
    assert solution.static is None
    load = solution.response.displacement_at(used, np.zeros(1))[0, :, 0]
    both = loaded().point_data["displacement_mm"].reshape(len(used), -1, 3)[:, 0]
    fit, at = section().point_data["displacement_mm"], section().points[:, [0, 2]]
    shared = 0
    for moved, place in zip(both - load, nodes[:, used].T, strict=True):
        same = np.flatnonzero(np.hypot(*(at - place).T) < 1e-9)
        if len(same) == 1:  # on the joint two nodes share a place
            shared += 1
            assert moved == pytest.approx(fit[same[0]], abs=1e-4)  # two meshes, 0.1 µm of 14
    assert shared > 20
    assert np.abs(fit).max() > 5e-3


def test_judged_stress_of_the_section_is_that_of_the_tool_and_the_total_lies_above_it():
    judged, body = section().cell_data[JUDGED][0], section().cell_data["body"][0]
    for number, name in enumerate(BODIES, start=1):
        greatest = np.nanmax(judged[body == number])
        assert greatest == pytest.approx(study().nominal.finest.equivalent_peak(name).value, rel=1e-9)
        assert np.isfinite(judged[body == number]).any()
    assert section().point_data[TOTAL].max() > np.nanmax(judged)


def test_judged_stress_of_a_load_case_is_that_of_the_tool_away_from_the_clamp():
    solution, fit = study().service.solutions["stuck"][0], study().nominal.finest
    judged, body = loaded().cell_data[JUDGED][0], loaded().cell_data["body"][0]
    for number, name in enumerate(BODIES, start=1):
        wall = solution.walls[name]
        field = wall.von_mises(fit_surfaces(fit, name), slice(0, 1))[0]
        away = ~solution.edges.beside(wall.z)
        assert np.nanmax(judged[body == number]) == pytest.approx(field[:, away].max(), rel=1e-6)
    assert (~away).any()


def test_what_is_known_along_a_wall_lands_on_the_elements_at_that_surface():
    mesh = study().fine.meshed_joint
    lines = {name: len(mesh.recovery.lines[name].z) for name in BODIES}
    walls = {name: np.zeros((2, count, 1)) for name, count in lines.items()}
    walls["shell"][1, 3] = 7.0
    found = at_walls(mesh, walls)[:, 0]
    (outermost,) = np.flatnonzero(found == 7.0)
    assert outermost == mesh.model.mesh.bodies["shell"].cells[1][-1]
