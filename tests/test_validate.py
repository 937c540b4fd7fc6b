"""hoopwright validate: published examples solved again, and the friction of published press forces."""

import json
import math
import tomllib
from dataclasses import replace

import pytest

from hoopwright import status
from hoopwright.cli import main
from hoopwright.display import Units
from hoopwright.published import examples, press_forces
from hoopwright.published.examples import solve
from hoopwright.published.report import validation_document
from hoopwright.screen.validate import report

LABELS = {"seen", "seen, transcription", "from memory"}


@pytest.fixture(scope="module")
def ring():
    return solve("pushed_ring")


def weakened(example, share):
    """The example as if its source had printed another number."""
    first, *rest = example.comparisons
    return replace(example, comparisons=(replace(first, theirs=first.theirs * share), *rest))


def test_pushed_ring_has_the_pressure_that_its_push_out_force_demands(ring):
    # 150 kN at friction 0.15 on a seat of 140 mm, 40 mm long; three digits printed
    pressure = 150e3 / (math.pi * 140.0 * 40.0 * 0.15)
    (found,) = ring.comparisons
    assert found.ours == pytest.approx(pressure, rel=1e-3)
    assert found.agrees
    assert (ring.label, found.unit) == ("from memory", "MPa")


def test_every_example_says_what_is_compared_and_how_its_source_is_known():
    assert len(examples.names()) >= 5
    for name in examples.names():
        expected = tomllib.loads(examples._text(name + examples.EXPECTED))
        assert expected["source"]["label"] in LABELS
        assert expected["source"]["text"]
        printed = [v for v in expected["value"] if v["source"] == "book"]
        assert printed
        for value in printed:
            assert value["what"]
            assert value["unit"] in ("MPa", "um")
            assert 0.0 < value["within"] <= 2e-3


def test_press_forces_imply_the_friction_worked_out_apart():
    # derived by hand: 0.078 at 1 in to 0.068 at 10 in for iron, 0.045 to 0.039 read as steel
    rows = press_forces.implied_friction()
    ends = rows[0], rows[-1]
    assert [r.diameter for r in ends] == pytest.approx([25.4, 254.0])
    assert [r.cast_iron for r in ends] == pytest.approx([0.078, 0.068], abs=5e-4)
    assert [r.steel for r in ends] == pytest.approx([0.045, 0.039], abs=5e-4)
    assert all(r.agrees for r in rows)
    assert press_forces.spread((1.0, 3.0)) == pytest.approx(0.5)


def test_a_pressure_twice_too_high_is_seen_in_the_friction(monkeypatch, ring):
    true = press_forces.contact_pressure
    monkeypatch.setattr(press_forces, "contact_pressure", lambda **k: 2.0 * true(**k))
    shown = validation_document([ring], press_forces.implied_friction())
    assert not shown["agree"]
    assert "Not reproduced: press forces." in report(shown, Units())


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_screen_is_within_80_columns_and_says_what_differs(ring, units):
    other = weakened(ring, 1.01)
    shown = validation_document([ring, other], press_forces.implied_friction())
    text = report(shown, Units(units))
    assert max(map(len, text.splitlines())) <= 80
    assert text.count("DIFFERS") == 1
    assert "Not reproduced: Ring pushed out" in text
    assert ("8.238 ksi" if units == "inch" else "56.8 MPa") in text
    assert "Source (from memory): E. J. Hearn" in text


def test_command_ends_in_zero_where_all_agree_and_in_one_where_not(monkeypatch, capsys, ring):
    monkeypatch.setattr(examples, "solved", lambda: iter([ring]))
    assert main(["validate", "--json"]) == status.ALL_HOLD
    shown = json.loads(capsys.readouterr().out)
    (value,) = shown["examples"][0]["values"]
    assert value["difference"] == pytest.approx(value["ours"] / value["theirs"] - 1.0, abs=1e-8)
    monkeypatch.setattr(examples, "solved", lambda: iter([weakened(ring, 0.99)]))
    assert main(["validate"]) == status.SOME_FAIL
    assert "Not reproduced" in capsys.readouterr().out


@pytest.mark.slow
def test_all_published_examples_are_reproduced(capsys):
    assert main(["validate"]) == status.ALL_HOLD
    out = capsys.readouterr().out
    assert out.startswith("All published examples are reproduced.")
    assert max(map(len, out.splitlines())) <= 80
