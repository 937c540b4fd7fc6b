"""Simulated shops: a stated 95 % is one, and is not bought by a ± that is far too wide.

Slow: run by `pytest -m slow`, with -s to see the table.
"""

import pytest
from studies.shops import LINES, Result, table

pytestmark = pytest.mark.slow

LEAST, WIDEST = 0.93, 1.3

LIMITS: dict[str, tuple[float, float | None]] = {
    "readings as they should be": (LEAST, WIDEST),
    "ovality read in one direction": (LEAST, WIDEST),
    "the same, without noted angles": (LEAST, WIDEST),
    "the same, 10 µm in every land": (LEAST, WIDEST),
    "ovality read at 0 and 60°": (LEAST, WIDEST),
    "taper, one station near an end": (LEAST, WIDEST),
    "bell-mouth, two stations at the ends": (LEAST, WIDEST),
    "bell-mouth, three stations": (LEAST, WIDEST),
    "read at 30 °C": (LEAST, WIDEST),
    "read at 38 °C": (LEAST, WIDEST),
    "set in a ring, shop known to 3 K": (LEAST, WIDEST),
    "sleeve turned at 30 °C": (LEAST, WIDEST),
    "sleeve turned at 38 °C": (LEAST, WIDEST),
    "shell bored at 30 °C": (LEAST, WIDEST),
    "shell bored at 38 °C": (LEAST, WIDEST),
    "sleeve read once": (LEAST, WIDEST),
    "a reading to come without repeatability": (LEAST, WIDEST),
    "two readings": (LEAST, WIDEST),
    "two gauges": (LEAST, WIDEST),
    "joint chance of two seats": (LEAST, WIDEST),
    "tapered land": (LEAST, WIDEST),
    "sound shops are told a size": (0.95, None),
}
"""Least share covered, short of its binomial error, and greatest width, None where none is compared."""


@pytest.fixture(scope="module")
def lines() -> dict[str, Result]:
    found = {name: line(name) for name, line in LINES.items()}
    print("\n" + table(list(found.values())))
    return found


def test_every_line_has_its_limits():
    assert set(LIMITS) == set(LINES)


@pytest.mark.parametrize("name", LIMITS)
def test_a_stated_95_percent_covers_93_and_is_not_far_too_wide(lines, name):
    (least, widest), found = LIMITS[name], lines[name]
    assert found.covers >= least - found.binomial_error
    assert widest is None or (found.width is not None and found.width <= widest)
