"""What metal stands under loads that repeat: by stock, zone and heat, as yield. Cases are invented."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from test_strength import PUSHED, WELDED, ZONED, evidence, oven

from hoopwright.case.read import parse_case
from hoopwright.checks.local_strength import factors_at, shares
from hoopwright.materials import table
from hoopwright.service.fatigue_strength import fatigue_strength_of, share_of_zones


def test_fatigue_takes_the_stock_of_the_case():
    """A bar of 30 mm of 6061-T6 yields at 193 MPa across its grain, of 240 the row has: no tensile strength
    is given there, and the ratio of the yields stands for it."""
    row, bar = (
        parse_case(text) for text in (PUSHED, PUSHED.replace("[sleeve]", 'stock = "bar 30 mm"\n[sleeve]'))
    )
    of_row, of_bar = (fatigue_strength_of(case, "shell") for case in (row, bar))
    assert (of_row.yielding, of_bar.yielding) == (240.0, 193.0)
    assert of_bar.tensile == pytest.approx(260.0 * 193.0 / 240.0)
    assert of_bar.amplitude(1e6) == pytest.approx(of_row.amplitude(1e6) * 193.0 / 240.0, rel=1e-9)


def test_fatigue_is_judged_by_the_zone_it_is_in():
    """Welded metal by the ratio of the tensile strengths, 175 over 260 MPa, of the parent's curve; where a
    yield was measured, the tensile strength is at least as much."""
    case = parse_case(ZONED)
    at = share_of_zones(case, "shell", np.array([5.0, 11.0, 20.0, 35.0]))
    assert at == pytest.approx([min(260.0 / 175.0, 240.0 / 115.0), 1.0, 1.0, 240.0 / 175.0], rel=1e-9)
    given = '\n[fatigue.shell]\namplitude = "70 MPa"\nat_cycles = 1000000\nslope = 8\nsource = "invented"\n'
    assert share_of_zones(parse_case(ZONED + given), "shell", np.array([5.0])) == [1.0]


def test_a_zone_is_credited_no_more_than_its_yield_and_only_by_the_same_curve():
    case = parse_case(ZONED)

    def share(**changes):
        zone = replace(case.shell_strength[0], material=replace(table()["6061-T6"], **changes))
        return share_of_zones(replace(case, shell_strength=(zone,)), "shell", np.array([5.0]))[0]

    assert share(yield_strength=150.0) == pytest.approx(150.0 / 115.0)
    assert share(fatigue=table()["7075-T6"].fatigue) == 1.0
    assert share(fatigue=None) == 1.0
    assert share(fatigue=None, yield_strength=100.0) == pytest.approx(100.0 / 115.0)


def test_the_zones_count_at_every_place_of_a_wall():
    found = shares(evidence(ZONED), "shell", SimpleNamespace(z=np.array([5.0, 20.0])))
    assert found == pytest.approx(np.array([[260.0 / 175.0, 1.0]] * 2))
    assert shares(evidence(WELDED), "shell", SimpleNamespace(z=np.array([5.0, 20.0]))) is None
    at = [factors_at(evidence(ZONED), "shell", SimpleNamespace(z=z, surface="bore")) for z in (5.0, 20.0)]
    assert at == [{"zone of strength": pytest.approx(260.0 / 175.0)}, {}]


def test_where_heat_puts_the_yield_in_doubt_fatigue_is_in_doubt():
    case = parse_case(oven(PUSHED, 230))
    strength = fatigue_strength_of(case, "shell")
    assert "loses strength for good" in strength.doubt
    assert not fatigue_strength_of(parse_case(oven(PUSHED, 190)), "shell").doubt


def test_what_heat_of_use_takes_from_yield_is_taken_off_fatigue():
    """6061-T6 at 150 °C, between 100 °C and 71.7 % at 192 °C; none up to 100 °C."""
    cool, hot = (
        fatigue_strength_of(
            parse_case(PUSHED.replace('use_most = "40 degC"', f'use_most = "{t} degC"')), "shell"
        )
        for t in (100, 150)
    )
    share = 1.0 - 0.283 * 50.0 / 92.0
    assert hot.amplitude(1e6) == pytest.approx(share * cool.amplitude(1e6), rel=1e-9)
    assert hot.yielding == pytest.approx(share * 240.0)
