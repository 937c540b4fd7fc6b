"""What the working of a stress is made of, and its formulae by hand for cups and loads. Invented sizes."""

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from plain_pair import plain_pair
from scipy.integrate import solve_bvp

from hoopwright.case.read import parse_case
from hoopwright.case.service_model import Endurance
from hoopwright.checks import evidence_of
from hoopwright.checks.fatigue import Repeated
from hoopwright.checks.holding import turned
from hoopwright.discretisation import usual_resolution
from hoopwright.fem import Resolution
from hoopwright.loads.cases import Cycle
from hoopwright.loads.fourier_series import uniform
from hoopwright.loads.traction import beyond, resultant, traction
from hoopwright.materials import table
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.miner import Spectrum
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS, Sheet, beam, evaluate
from hoopwright.working.loads_by_hand import _stress
from hoopwright.working.miner import add_miner
from hoopwright.working.ring import BENT, Band, Ring
from hoopwright.working.section import Acting, Point, section_wrench
from hoopwright.working.stress_parts import fit_part

HOOP, AXIAL, RADIAL = 1, 2, 0
LONG = """
title = "Long shell held at one end and bent by a bearing at the other, invented"
[shell]
material = "6061-T6"
width = "200 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
[sleeve]
material = "E355 steel"
length = "200 mm"
outside_diameter = "39.04 mm"
bore_diameter = "34.9 mm"
[fit]
friction_low = 0.1
friction_high = 0.2
[service]
[service.clamped]
from = "0 mm"
to = "20 mm"
[[service.bearing]]
name = "end load"
radial = "1 kN"
angle = "30 deg"
z = "190 mm"
from = "180 mm"
to = "200 mm"
hold = "pressed"
[mesh]
elements_through_wall = 2
"""
MIDDLE, TOWARDS = 80.0, np.radians(30.0)


@pytest.fixture(scope="module")
def long_shell():
    case = parse_case(LONG)
    return evidence_of(case, CaseStudy(case, usual_resolution(case)))


def loaded(evidence, joint="stuck"):
    return evidence.study.service.solutions[joint][0]


def acting_in(evidence):
    (case,) = evidence.study.service.cases
    return Acting(case, None, case.name)


def at(wall, z, theta):
    """Line and angle of a field next to a place."""
    return int(np.argmin(np.abs(wall.z - z))), int(np.argmax(np.cos(wall.theta - theta)))


@pytest.mark.parametrize("surface", ["bore", "outside"])
@pytest.mark.parametrize("body", ["shell", "sleeve"])
def test_axial_stress_of_a_long_shell_is_that_of_the_beam(long_shell, body, surface):
    wall = loaded(long_shell).walls[body]
    own = ("bore", "outside").index(surface)
    line, angle = at(wall, MIDDLE, TOWARDS)
    point = Point(body, float(wall.r[own, line]), float(wall.z[line]), float(wall.theta[angle]))
    hand = _stress(long_shell, point, [acting_in(long_shell)], hoop=False, stuck=True)
    found = wall.stress[0, own, line, angle, AXIAL]
    assert hand.title == beam.TITLE
    assert hand.lines[-1].value < -10.0
    assert found == pytest.approx(hand.lines[-1].value, rel=0.015)


def test_what_acts_on_both_sides_of_a_section_is_together_the_whole_load(long_shell):
    tilted = replace(acting_in(long_shell).case.tractions[0], factor_start=-1.0, factor_end=1.5)
    face = traction("sleeve.right", level=200.0, start=18.0, end=19.0, axial=uniform(2.0))
    whole = np.concatenate(resultant([tilted, face]))
    parts = [np.concatenate(resultant(beyond([tilted, face], 188.0, way))) for way in (1, -1)]
    assert np.linalg.norm(parts[1]) > 0.1 * np.linalg.norm(whole)
    assert sum(parts) == pytest.approx(whole, rel=1e-9)


def test_the_moment_across_a_section_is_force_times_lever_and_there_is_none_inside_a_clamp(long_shell):
    wrench = section_wrench(acting_in(long_shell), MIDDLE)
    force = 1000.0 * np.array([np.cos(TOWARDS), np.sin(TOWARDS), 0.0])
    assert wrench.force == pytest.approx(force, abs=1e-6)
    assert wrench.moment == pytest.approx(np.cross([0.0, 0.0, 190.0 - MIDDLE], force), rel=1e-9, abs=1e-6)
    assert section_wrench(acting_in(long_shell), 10.0) is None


@pytest.mark.parametrize("joint", ["stuck", "sliding"])
@pytest.mark.parametrize("from_load", [0.0, 90.0])
def test_hoop_stress_under_a_bearing_at_a_free_end_is_about_that_of_the_ring(long_shell, joint, from_load):
    wall = loaded(long_shell, joint).walls["shell"]
    line, angle = at(wall, 200.0, TOWARDS + np.radians(from_load))
    point = Point("shell", float(wall.r[1, line]), float(wall.z[line]), float(wall.theta[angle]))
    hand = _stress(long_shell, point, [acting_in(long_shell)], hoop=True, stuck=joint == "stuck")
    found = wall.stress[0, 1, line, angle, HOOP]
    assert abs(found) > 5.0
    assert found == pytest.approx(hand.lines[-1].value, rel=0.25)


@pytest.mark.parametrize("x", [0.0, 3.0, 12.0, 30.0])
def test_the_length_of_a_ring_is_that_of_a_beam_on_an_elastic_foundation(x):
    """w'''' / (4 β⁴) + w = 1 on the band, its near end free, solved by collocation."""
    beta, begin, end, far = 0.12, 4.0, 16.0, 80.0

    def slopes(s, w):
        load = ((s >= begin) & (s <= end)).astype(float)
        return np.stack([w[1], w[2], w[3], 4.0 * beta**4 * (load - w[0])])

    s = np.linspace(0.0, far, 401)
    ends = solve_bvp(
        slopes,
        lambda a, b: np.array([a[2], a[3], b[0], b[1]]),
        s,
        np.zeros((4, len(s))),
        tol=1e-3,
        max_nodes=20000,
    )
    assert ends.success
    sheet, ring = Sheet(), SimpleNamespace(x=x)
    for symbol, value in {"b_1": begin, "e_1": end, "x": x, "β": beta}.items():
        sheet.agreed(symbol, value, "", "as given", "test")
    ring.sheet = sheet
    Ring._add_share(ring, "k_L1", "b_1", "e_1", "β", "test")
    assert sheet.value("k_L1") == pytest.approx(float(ends.sol(x)[0]), rel=0.02, abs=0.02)


def test_moments_of_a_pinched_and_of_a_spread_force_are_the_sums_of_their_series(long_shell):
    """M_n = p_n R² / (n² − 1) of a thin ring, summed over the series of a force at one angle and of a half
    cosine."""
    wall = loaded(long_shell).walls["shell"]
    point = Point("shell", float(wall.r[1, 0]), 199.0, 0.7)
    for spread, share in (
        ("pinched", lambda n: n**0 / np.pi),
        ("half cosine", lambda n: 4.0 / np.pi**2 * np.cos(n * np.pi / 2.0) / (1.0 - n**2) * (n % 2 == 0)),
    ):
        sheet = Sheet()
        ring = Ring(sheet, long_shell, point, stuck=True)
        own = {"W": "W", "ψ": "ψ", "H": "H"}
        for symbol, value in (("W", 100.0), ("ψ", 0.7), ("H", 12.0)):
            sheet.agreed(symbol, value, "", "as given", "test")
        found = evaluate(BENT[spread].format(**own), {line.symbol: line.value for line in sheet.lines})
        R = sheet.value("R")
        series = sum(100.0 * R / 12.0 * share(n) / (n**2 - 1.0) * np.cos(n * 0.7) for n in range(2, 400))
        assert found == pytest.approx(series, rel=0.01)
        assert ring.counts(Band(1.0, 0.0, 190.0, 200.0, spread, "near"), "β")
        assert not ring.counts(Band(1.0, 0.0, 0.0, 20.0, spread, "far"), "β")


def test_membrane_and_bending_of_a_fit_are_what_equilibrium_and_lame_ask_for(long_shell):
    """p b is the hoop force of the shell's wall; both surfaces together are Lamé's, and p at the bore."""
    solution = long_shell.study.at(frictionless(0.0, 0.0)).finest
    wall = solution.walls["shell"]
    line = int(np.argmin(np.abs(wall.z - 100.0)))
    b, c = float(wall.r_inner[line]), float(wall.r_outer[line])
    parts = {surface: fit_part(solution, "shell", surface, line) for surface in ("bore", "outside")}
    pressure = -parts["bore"].total[RADIAL]
    assert pressure == pytest.approx(solution.mean_pressure, rel=5e-3)
    for surface, r in (("bore", b), ("outside", c)):
        part, lame = parts[surface], pressure * b**2 / (c**2 - b**2) * (1.0 + c**2 / r**2)
        assert part.membrane[HOOP] * (c - b) == pytest.approx(pressure * b, rel=2e-3)
        assert part.total[HOOP] == pytest.approx(lame, rel=2e-3)
        assert part.bending[HOOP] * (1.0 if surface == "bore" else -1.0) > 0.0
        assert abs(part.rest[HOOP]) < 0.1 * abs(part.bending[HOOP])


COUNTS = {"rare": 2e4, "often": 3e5, "always": 2e6}
AMPLITUDES = {"1": 190.0, "2": 120.0, "3": 60.0, "12": 230.0, "13": 200.0, "23": 125.0}
OWN = Endurance(100.0, 2e6, 6.0, "invented")
STRENGTHS = {
    "own data": (OWN, {}, 1.0),
    "own data, scatter, fretting": (replace(OWN, scatter=0.2), {"reliability": 0.99}, 0.45),
    "own data up to yield": (OWN, {"yielding": 130.0}, 0.5),
    "straight curve": (replace(table()["6061-T6"].fatigue, min_cycles=1e3), {"reliability": 0.99}, 0.7),
    "straight curve up to yield": (table()["6061-T6"].fatigue, {"yielding": 150.0}, 1.0),
    "straight curve up to its least life": (replace(table()["6061-T6"].fatigue, min_cycles=1e6), {}, 0.5),
    "curve": (table()["7075-T6"].fatigue, {}, 1.0),
    "curve up to its least life": (replace(table()["7075-T6"].fatigue, min_cycles=3e5), {}, 1.0),
    "curve of many bars": (table()["7075-T6"].fatigue, {"reliability": 0.999}, 0.8),
    "two equations that level off": (table()["4130 steel"].fatigue, {"reliability": 0.99}, 0.6),
}
"""S-N data, what else the strength has, and the share of it that is left at the place."""
CAPPED = {name for name in STRENGTHS if "up to" in name}


def sheet_of(strength, leading, share):
    """A sheet with the symbols that the working of fatigue strength writes, by the data themselves."""
    sheet, data = Sheet(), strength.data
    values = {"z": strength.quantile, "s": strength.scatter, "k_f": 0.9, "F_y": strength.yielding}
    if isinstance(data, Endurance):
        values |= {"S_1": data.amplitude, "N_1": data.cycles, "k": data.slope}
    else:
        values |= {f"A_{k}": getattr(data, f"a{k}") for k in (1, 2, 3, 4)}
        values |= {"N_a": data.min_cycles, "N_b": data.max_cycles, "K": 6.894757293168361}
        if data.reversed is not None:
            values |= {f"B_{k}": getattr(data.reversed, f"a{k}") for k in (1, 2, 4)}
    if share < 1.0:
        values["k_r"] = share
    values["S_N"] = share * strength.amplitude(leading.count)
    for symbol, value in values.items():
        sheet.agreed(symbol, value, "", "constant", "invented")
    return sheet


@pytest.mark.parametrize("name", STRENGTHS)
def test_loads_that_repeat_are_summed_line_by_line_as_by_miner(name):
    """Three loads, of which the first alternates with the second: invented amplitudes."""
    data, more, share = STRENGTHS[name]
    strength = FatigueStrength(data, {"surface": 0.9}, "invented", **more)
    cycles = tuple(Cycle(one, (), count, "invented") for one, count in COUNTS.items())
    leading = cycles[1]
    sheet, names = sheet_of(strength, leading, share), [f"S{k}" for k in (1, 2, 3)]

    def amplitude(_, number):
        sheet.agreed(f"S{number}", share * AMPLITUDES[number], "MPa", "amplitude", "invented")
        return f"S{number}"

    for k in (1, 2, 3):
        amplitude((), str(k))
    symbol = add_miner(sheet, Repeated("shell", "Sines", strength, cycles, None), names, leading, amplitude)
    spectrum = Spectrum(
        tuple(COUNTS.values()),
        tuple(np.array(AMPLITUDES[k]) for k in "123"),
        {(i, j): np.array(AMPLITUDES[f"{i + 1}{j + 1}"]) for i, j in ((0, 1), (0, 2), (1, 2))},
    )
    found = float(spectrum.amplitude(strength, leading.count))
    assert sheet.value(symbol) == pytest.approx(share * found, rel=1e-9)
    straight = strength.line.is_straight
    by_sum = sheet.value("D") ** (1.0 / strength.line.a2) * sheet.value("S_N") if straight else 0.0
    assert (sheet.value(symbol) > 1.01 * by_sum if straight else sheet.value("D") < 0.99) == (
        name in CAPPED
    )
    assert ("k_b" in sheet) == name.startswith("curve")  # the least amplitude lies on the tangent
    assert ("d3" in sheet) == ("level off" in name)
    if straight and name in CAPPED:
        return
    scale = 1.0 if straight else spectrum.scale(strength)
    assert [sheet.value(f"D_{k}") for k in (1, 2, 3)] == pytest.approx(
        [float(one) for one in spectrum.damage(strength, scale)], rel=1e-9
    )
    assert sheet.value("D_1") > 1.2 * COUNTS["rare"] * float(strength.damage(scale * np.array(190.0)))


def test_a_row_that_is_not_judged_has_its_working_at_the_temperature_of_the_bench():
    """Nothing asks for a torque, and the bench is at 35 °C: there is no fit at 20 °C to read it from."""
    bench = '[press]\ntemperature = "35 degC"\n'
    case = parse_case(plain_pair(sleeve_bore="34 mm", length="6 mm", more=bench))
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))
    row = turned(evidence)
    assert row.margin is None
    working = WORKINGS["turned"](evidence, row)
    assert any("35 °C" in line.source for line in working.lines if hasattr(line, "source"))
