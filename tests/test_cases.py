"""Every shipped case, run as a whole, against the expected values in the file beside it."""

import tomllib
from pathlib import Path

import pytest

from hoopwright.case.read import read_case
from hoopwright.display import Units
from hoopwright.document.check import document
from hoopwright.pipeline import check_case
from hoopwright.screen.check import report

ROOT = Path(__file__).parents[1]
CASES = sorted(
    p
    for folder in (ROOT / "cases", ROOT / "hoopwright" / "published")
    for p in folder.rglob("*.toml")
    if not p.name.endswith(".expected.toml")
)


def at(found, path):
    """Return the value at a dotted path; an entry of a list of checks is found by its id."""
    for key in path.split("."):
        if isinstance(found, list):
            found = next(entry for entry in found if entry.get("id", entry.get("what")) == key)
        else:
            found = found[key]
    return found


TURNING = "cart_wheel_hub"
"""A demo that turns under its load takes several times as long as the others."""


@pytest.mark.parametrize(
    "path",
    [pytest.param(p, marks=pytest.mark.slow) if p.stem == TURNING else p for p in CASES],
    ids=lambda p: p.stem,
)
def test_case_gives_its_expected_values_on_a_screen_of_80_columns(path):
    found = document(check_case(read_case(path)))
    has_its_expected_values(path, found)
    for units in ("metric", "inch"):
        screen = report(found, Units(units))
        assert max(map(len, screen.splitlines())) <= 80
        for word in ("not an approval", "weld toes", "cracks", "press", "Lamé"):
            assert word in screen


def has_its_expected_values(path, found):
    expected = tomllib.loads(path.with_suffix(".expected.toml").read_text())
    assert expected["value"]
    for row in expected["value"]:
        assert row["source"]
        value = at(found, row["path"])
        if isinstance(row["is"], float):
            assert value == pytest.approx(row["is"], rel=row["within"]), row
        else:
            assert value == row["is"], row


def test_every_demo_is_marked_as_invented():
    demos = [p for p in CASES if p.parent.name == "cases"]
    assert len(demos) >= 3
    assert all(read_case(p).invented for p in demos)
