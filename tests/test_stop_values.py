"""Stop values on screen, record and shop sheet never exceed the computed ones, in either unit."""

from __future__ import annotations

import random

import pytest
from test_press_table import INCH, METRIC, RAM_AREA, curve

from hoopwright.case.quantity import converted
from hoopwright.display.gauge import FINE, Gauge
from hoopwright.display.press_table import press_rows
from hoopwright.display.stop_line import stop_both, stop_mark, stop_number, stop_text
from hoopwright.record.pages.press import press as press_pages
from hoopwright.screen.press import table as screen_table

POUND = 4.4482216152605
"""N, exact by definition (NIST SP 811)."""
NOISE = 1e-8
"""Of a division: that a whole number of them is not taken one down."""
RANDOM = random.Random(30)


@pytest.mark.parametrize(("units", "newton"), [(METRIC, 1.0), (INCH, POUND)])
def test_a_stop_force_is_the_whole_unit_below(units, newton):
    """13216.6 N stood as 13217 N: one that stops there has passed the line."""
    for _ in range(2000):
        force = 10.0 ** RANDOM.uniform(0.0, 6.0)
        shown = float(stop_number(force, units)) * newton
        assert force - newton < shown <= force * (1.0 + NOISE)
        assert stop_text(force, units) == f"{stop_number(force, units)} {units.label('N')}"
        assert stop_both(force, units).startswith(stop_text(force, units) + " (")
    assert stop_number(40.0 * newton, units) == "40"
    other = INCH if units == METRIC else METRIC
    assert stop_both(13216.6, units).endswith(f"({stop_text(13216.6, other)})")


@pytest.mark.parametrize("unit", FINE)
def test_a_stop_on_the_gauge_is_the_division_below(unit):
    for _ in range(2000):
        gauge = Gauge(unit, float(f"{FINE[unit] * 10.0 ** RANDOM.uniform(-2.0, 2.0):.3g}"), known=True)
        pressure = 10.0 ** RANDOM.uniform(-1.0, 2.5)
        text = stop_mark(pressure, gauge)
        value, shown_unit = text.split()
        computed = converted(pressure, "MPa", unit)
        assert shown_unit == unit
        assert float(value) <= computed + NOISE * gauge.division
        assert float(value) > computed - (1.0 + NOISE) * gauge.division


@pytest.mark.parametrize(("units", "newton"), [(METRIC, 1.0), (INCH, POUND)])
def test_screen_and_record_show_no_stop_above_the_computed_one(units, newton):
    more = {"metal_yields": False, "capacity_N": None, "restart_force_max_N": 1.0}
    for _ in range(40):
        gauge = Gauge(*RANDOM.choice((("bar", 5.0), ("psi", 50.0), ("MPa", 0.2), ("bar", 1.0))), known=True)
        more["gauge_division_MPa"] = converted(gauge.division, gauge.unit, "MPa")
        part = curve(gauge, peak_bar=RANDOM.uniform(5.0, 400.0)) | more
        computed = [row["stop_N"] for row in part["table"][units.system]]
        rows = press_rows(part, units)
        for row, stop in zip(rows, computed, strict=True):
            assert float(row.force[2]) * newton <= stop * (1.0 + NOISE)
            mark = float(row.gauge[2].strip(" *")) * converted(1.0, gauge.unit, "MPa")
            assert mark <= stop / RAM_AREA + NOISE
        plan = {"blocked": "", "method": "push", "force_against_travel": part, "advice": []}
        plan |= {"past_yield": None, "closure_contradicts": "", "inferred_fit": None}
        plan |= {"heat_and_cold": {"ways": []}}
        (table,) = (b for b in press_pages({"press": plan}, units) if b["kind"] == "table")
        assert [cells[-1] for cells in table["rows"]] == [row.force[2] for row in rows]
        error = {"positions": [{**p, "numerical_error_N": 1.0} for p in part["positions"]]}
        lines = [line.split() for line in screen_table(part | error, units)]
        assert [words[-2] for words in lines if words[:1] == [rows[-1].travel]] == [rows[-1].force[2]]
        facts = str(press_pages({"press": plan}, units)[0])
        assert f"'{stop_both(part['greatest_stop_N'], units)}, gauge " in facts or "too coarse" in facts
