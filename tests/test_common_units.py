"""The table of usual units against pint."""

import numpy as np
import pint
import pytest

from hoopwright.case.common_units import COMMON_UNITS
from hoopwright.case.quantity import KINDS, converted, parse

REGISTRY = pint.UnitRegistry()
REGISTRY.define("tenth = 0.0001 * inch")


EVERY = [(kind, unit) for kind, known in COMMON_UNITS.items() for unit in known]


@pytest.mark.parametrize(("kind", "unit"), EVERY)
def test_a_usual_unit_has_the_factor_of_the_registry(kind, unit):
    for number in (0.0, 1e-4, 1e-3):
        exact = REGISTRY.Quantity(number, unit).m_as(KINDS[kind].unit) - KINDS[kind].reference
        assert parse(f"{number} {unit}", kind) == pytest.approx(exact, rel=1e-11, abs=1e-9)


@pytest.mark.parametrize("kind", COMMON_UNITS)
def test_usual_units_convert_into_each_other_as_the_registry_does(kind):
    for unit in COMMON_UNITS[kind]:
        for into in COMMON_UNITS[kind]:
            exact = REGISTRY.Quantity(7.0, unit).m_as(into)
            assert converted(7.0, unit, into) == pytest.approx(exact, rel=1e-11, abs=1e-9)


def test_a_unit_outside_the_table_is_still_read():
    assert parse("0.001 furlong", "length") == pytest.approx(201.168, rel=1e-5)
    assert np.isclose(parse("3 hN", "force"), 300.0)
