"""Several loads that repeat, summed by Miner: hand calculation, and cases in which a load once vanished."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from cells import Rows
from service_cases import CRANK, case_of, edited

from hoopwright.case.service_model import Endurance
from hoopwright.checks import evidence_of, judged
from hoopwright.fem import Resolution
from hoopwright.left_out import left_out
from hoopwright.materials import table
from hoopwright.service.fatigue_strength import FatigueStrength
from hoopwright.service.miner import Spectrum
from hoopwright.study import CaseStudy

SLOPE = 8.0
POWER = FatigueStrength(Endurance(100.0, 1e7, SLOPE, "invented"), {"of the test": 0.9}, "")
LIMITED = FatigueStrength(table()["4130 steel"].fatigue, {"of the test": 0.9}, "")
BOTH = pytest.mark.parametrize("strength", [POWER, LIMITED], ids=["power law", "fatigue limit"])


def mpa(*values: float) -> np.ndarray:
    return np.array(values)


def two(counts: tuple[float, float], one: float, other: float, both: float) -> Spectrum:
    """Two loads at one point."""
    return Spectrum(counts, (mpa(one), mpa(other)), {(0, 1): mpa(both)})


@BOTH
def test_one_load_alone_keeps_its_amplitude(strength):
    alone = Spectrum((3e5,), (mpa(0.0, 40.0, 310.0),), {})
    assert list(alone.amplitude(strength, 3e5)) == [0.0, 40.0, 310.0]


def test_two_equal_loads_are_one_with_twice_the_cycles():
    """Palmgren–Miner: n/N twice. With N ∝ S^-8 the amplitude rises by 2^(1/8)."""
    found = two((1e6, 1e6), 50.0, 50.0, 50.0)
    assert float(found.amplitude(POWER, 2e6)[0]) == pytest.approx(50.0, rel=1e-12)
    assert float(found.amplitude(POWER, 1e6)[0]) == pytest.approx(50.0 * 2.0 ** (1.0 / SLOPE), rel=1e-12)


def test_loads_of_opposite_sense_count_with_the_range_between_them():
    """+50 and −50 about rest, 1e4 and 1e6 times: ± 50 for 1e4 cycles, 0 to 50 for the rest, by hand."""
    rest_to_50, reversed_50 = 35.0, 50.0
    found = two((1e4, 1e6), rest_to_50, rest_to_50, reversed_50)
    lives = [POWER.cycles(s) for s in (reversed_50, rest_to_50)]
    total = 1e4 / lives[0] + (1e6 - 1e4) / lives[1]
    assert float(sum(found.damage(POWER))[0]) == pytest.approx(total, rel=1e-12)
    assert float(found.amplitude(POWER, 1e6)[0]) == pytest.approx(
        POWER.amplitude(1e6) * total ** (1.0 / SLOPE), rel=1e-12
    )


@BOTH
def test_every_point_of_a_wall_is_summed_by_itself(strength):
    rng = np.random.default_rng(5)
    one, other = rng.uniform(0.1, 1.2, (2, 2, 3)) * strength.amplitude(1e6)
    both = np.maximum(one, other) * 1.2
    found = Spectrum((2e5, 3e6), (one, other), {(0, 1): both}).amplitude(strength, 3e6)
    assert found.shape == one.shape
    for at in np.ndindex(one.shape):
        alone = two((2e5, 3e6), one[at], other[at], both[at]).amplitude(strength, 3e6)
        assert found[at] == pytest.approx(float(alone[0]), rel=1e-9)


@BOTH
def test_at_the_factor_of_the_margin_the_sum_is_one(strength):
    """capacity/demand is the factor on all amplitudes at which Σ n/N = 1, lives from the curve itself."""
    top = strength.amplitude(1e5)
    found = two((1e5, 4e6), 0.55 * top, 0.45 * top, 0.7 * top)
    factor = strength.amplitude(4e6) / float(found.amplitude(strength, 4e6)[0])
    lives = [strength.cycles(factor * s * top) for s in (0.7, 0.45)]
    assert 1e5 / lives[0] + (4e6 - 1e5) / lives[1] == pytest.approx(1.0, rel=1e-9)
    other = strength.amplitude(1e5) / float(found.amplitude(strength, 1e5)[0])
    assert other == pytest.approx(factor, rel=1e-9)  # the number of cycles it is told for does not matter


@BOTH
def test_a_load_more_never_lowers_the_amplitude(strength):
    rng = np.random.default_rng(11)
    top = strength.amplitude(1e6)
    for _ in range(40):
        counts = tuple(sorted(10.0 ** rng.uniform(3, 8, size=3)))
        stress = rng.uniform(-1.0, 1.0, size=3) * top
        alone = [0.5 * abs(s) for s in stress]
        pairs = {
            (i, j): 0.5 * (max(stress[i], stress[j], 0.0) - min(stress[i], stress[j], 0.0))
            for i, j in ((0, 1), (0, 2), (1, 2))
        }
        whole = Spectrum(counts, tuple(map(mpa, alone)), {k: mpa(v) for k, v in pairs.items()})
        for gone in range(3):
            i, j = (k for k in range(3) if k != gone)
            less = two((counts[i], counts[j]), alone[i], alone[j], pairs[i, j])
            before, after = (float(one.amplitude(strength, counts[-1])[0]) for one in (less, whole))
            assert after >= before * (1.0 - 1e-9)


BEARING = """
[[service.bearing]]
name = "motor"
radial = "FORCE N"
z = "36.5 mm"
from = "28 mm"
to = "45 mm"
hold = "pressed"
CYCLES
"""
SLEEVE = '[fatigue.sleeve]\namplitude = "180 MPa"\nat_cycles = 2000000\nslope = 10\nsource = "invented"\n'
ROWS = [f"{body}_fatigue_{by}" for body in ("shell", "sleeve") for by in ("sines", "walker")]


@cache
def rows(force: float | None, *, test: bool = True, cycles: str = "") -> Rows:
    """Rows of an invented crank shell whose loads repeat 1e8 times, with a bearing at mid-shell."""
    source = edited(
        CRANK, ("[service]", "[mesh]\nelements_through_wall = 2\n[service]\ncycles = 100000000")
    )
    if not test:
        source = edited(source, ('pedalling_test = "city"\n', ""))
    if force is not None:
        source += BEARING.replace("FORCE", f"{force:g}").replace("CYCLES", cycles)
    case = case_of(source + SLEEVE)
    return Rows(evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2))))


@pytest.mark.slow
@pytest.mark.parametrize("id_", ROWS)
def test_a_bearing_does_not_drop_out_of_fatigue_beside_a_pedalling_test(id_):
    """1 N, 8 kN and 25 kN once gave the same six digits as soon as the test was given."""
    without, tiny, heavy, heavier = (rows(force)[id_].margin for force in (None, 1.0, 8e3, 25e3))
    alone = rows(8e3, test=False)[id_].margin
    assert tiny == pytest.approx(without, abs=2e-3)
    assert heavy <= min(without, alone) + 2e-3
    assert heavier < heavy - 0.2
    assert heavier < 0.0


def test_the_row_names_the_loads_that_do_the_damage():
    heavy, tiny = rows(8e3)["shell_fatigue_sines"], rows(1.0)["shell_fatigue_sines"]
    assert "motor" in heavy.when.load_case
    assert "Miner's sum" in heavy.note
    assert "summed by Miner" in heavy.basis
    assert tiny.when.load_case == "city pedalling test"


def test_every_load_may_have_a_number_of_cycles_of_its_own():
    """Fewer cycles of the bearing do less damage; the rest of the case stays."""
    often, seldom = (rows(8e3, cycles=f"cycles = {n}")["shell_fatigue_sines"] for n in (10**8, 10**4))
    assert often.margin == pytest.approx(rows(8e3)["shell_fatigue_sines"].margin, rel=1e-12)
    assert seldom.margin > often.margin + 0.05
    assert seldom.margin <= rows(None)["shell_fatigue_sines"].margin + 2e-3


def test_a_load_without_cycles_is_named_where_others_have_them():
    """The test brings its own number, the bearing has none: judged by the test, and said so."""
    case = case_of(CRANK + BEARING.replace("FORCE", "8000").replace("CYCLES", "") + SLEEVE)
    found = judged(evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2))))
    row = next(row for row in found if row.id == "shell_fatigue_sines")
    assert "not judged under 'motor': give cycles" in row.note
    assert "fatigue under 'motor' was not judged (no cycles)" in left_out(case, found)
    given = case_of(CRANK + BEARING.replace("FORCE", "8000").replace("CYCLES", "cycles = 5") + SLEEVE)
    assert not any("motor" in clause for clause in left_out(given, found))
