"""Cells along the interference, against full checks of cases whose sleeve has that size."""

from __future__ import annotations

from dataclasses import replace

import jsonschema
import numpy as np
import pytest
from curve_cases import plain_case, plain_curves, plain_document
from sizing_cases import TRIKE, study_of

import hoopwright
from hoopwright.checks import Location, Margin, evidence_of, judged
from hoopwright.document.curves import document
from hoopwright.estimate import Estimate
from hoopwright.page.readings import cell_of, least, reading
from hoopwright.sizing.cell_curves import MAX_BENDING, bending, cell_curves


def with_shift(case, shift):
    """The case with its sleeve turned larger by a shift, mm."""
    lands = tuple(
        replace(land, diameter_start=land.diameter_start + shift, diameter_end=land.diameter_end + shift)
        for land in case.sleeve.outside
    )
    return replace(case, sleeve=replace(case.sleeve, outside=lands))


def checked(case):
    """Every judged cell of a case, by row and stage, solved from scratch."""
    return {(c.id, c.stage): c for row in judged(evidence_of(case, study_of(case))) for c in row.cells}


def between(found, count=5):
    """Shifts off the grid: in steps spread over it, not in their middle."""
    steps = np.linspace(1, len(found.shifts) - 2, count).round().astype(int)
    shifts = np.array(found.shifts)
    return [float(shifts[k] + 0.4 * (shifts[k + 1] - shifts[k])) for k in steps]


def compare_with_checks(found, curves, *, count=5):
    """Hold the curves against full checks between their interferences; the number of cells told."""
    told = 0
    for shift in between(found, count):
        um = curves["fit"]["likely_um"] + 1e3 * shift
        real = checked(with_shift(found.case, shift))
        for cell in curves["cells"]:
            read, cell_there = reading(curves, cell, um), real[cell["id"], cell["stage"]]
            if read.margin is None:
                continue
            told += 1
            margin, error = cell_there.margin, cell_there.numerical_error
            allowed = curves["tolerance"] * max(1.0, 1.0 + margin) + error
            place = cell["id"], cell["stage"], um
            assert min(read.margin, 1e6) == pytest.approx(min(margin, 1e6), abs=allowed), place
            if read.state == "clear":
                assert cell_there.state == "holds", place
            if read.state == "fails":
                assert margin < 0.0 or cell_there.capacity.value <= 0.0, place
    return told


def test_between_the_interferences_solved_every_cell_is_that_of_a_full_check():
    assert compare_with_checks(plain_curves(), plain_document()) > 80


@pytest.mark.slow
def test_so_is_every_cell_of_the_trike():
    found = cell_curves(hoopwright.read_case(TRIKE))
    assert compare_with_checks(found, document(found)) > 120


def test_at_the_interference_of_the_case_the_cells_are_those_of_its_check():
    curves, real = plain_document(), checked(plain_case())
    assert len(curves["cells"]) + len(curves["needs_solve"]) == len(real)
    for cell in curves["cells"]:
        own = real[cell["id"], cell["stage"]]
        read = reading(curves, cell, curves["fit"]["likely_um"])
        assert read.margin == pytest.approx(own.margin, rel=1e-7, abs=1e-7)
        assert read.state == {"holds": "clear", "unresolved": "undecided", "fails": "fails"}[own.state]
    worst, _ = least(curves, curves["fit"]["likely_um"])
    assert worst["id"] == min(real.values(), key=lambda cell: cell.margin).id


def test_where_an_end_of_the_interval_lies_on_an_end_of_the_window_the_row_of_that_end_is_at_its_limit():
    curves = plain_document()
    half, window = curves["fit"]["half_width_um"], curves["window"]
    for end, way in (("least", 1.0), ("greatest", -1.0)):
        cell = cell_of(curves, curves["ends"][end])
        at_end = window[end]["effective_interference_um"] + way * half
        read = reading(curves, cell, at_end)
        assert cell["worse_end"] == end
        assert read.margin == pytest.approx(0.0, abs=2e-3 + max(cell["numerical_error"][7:]))
        assert reading(curves, cell, at_end - way * 3.0).state == "fails"


def test_the_document_fits_its_definition_and_comes_from_the_interface(monkeypatch):
    solved = plain_curves()
    monkeypatch.setattr("hoopwright.sizing.cell_curves.cell_curves", lambda _: solved)
    found = hoopwright.curves(plain_case())
    schema = hoopwright.document_schema()
    whole = {key: value for key, value in schema.items() if key != "oneOf"}
    validator = jsonschema.Draft202012Validator({**whole, "$ref": "#/$defs/curves"})
    assert [error.message for error in validator.iter_errors(found.document())] == []
    assert "check" in found.verdict
    assert "holds" not in found.verdict.split(".")[0]


def test_beyond_the_interferences_solved_a_curve_tells_nothing():
    curves = plain_document()
    at = curves["interference_um"]
    for um in (at[0] - 0.01, at[-1] + 0.01):
        assert {reading(curves, cell, um).state for cell in curves["cells"]} == {"needs a solve"}


def test_what_bends_is_left_to_a_check_there_and_read_elsewhere():
    """Where the loose end of the interval begins to hold, what slips first changes."""
    curves = plain_document()
    cell = cell_of(curves, {"id": "slips_combined", "stage": "in use"})
    at = curves["interference_um"]
    middles = [0.5 * (a + b) for a, b in zip(at, at[1:], strict=False)]
    left = [um for um in middles if reading(curves, cell, um).margin is None]
    assert left
    assert max(left) < curves["window"]["least"]["effective_interference_um"]


def test_a_margin_nearer_to_zero_than_a_curve_can_tell_is_undecided():
    curves = {"interference_um": [10.0, 20.0], "tolerance": 0.02}
    cell = {"factor": 1.0, "demand": [1.0, 1.0], "numerical_error": [0.005, 0.005], "bends": [False]}
    for excess, state in ((0.03, "clear"), (0.015, "undecided"), (-0.015, "undecided"), (-0.03, "fails")):
        sides = {"capacity": [1.0 + excess] * 2, "doubt": ["", ""]}
        assert reading(curves, cell | sides, 14.0).state == state


def of_capacity(capacity):
    return Margin("x", "x", Estimate(1.0), Estimate(capacity), "N", 1.0, Location("interface"), "")


def test_a_corner_bends_and_a_straight_line_does_not():
    at = [0.0, 1.0, 2.0, 3.0, 4.0]
    straight = [of_capacity(1.0 + x) for x in at]
    corner = [of_capacity(1.0 + max(x - 2.0, 0.0)) for x in at]
    assert bending(at, straight).max() < 1e-12
    assert list(bending(at, corner) > MAX_BENDING) == [False, True, True, False]


def test_a_doubt_or_a_bend_beside_an_interference_keeps_it_from_being_clear():
    curves = plain_document()
    cell = curves["cells"][0] | {}
    um = 0.6 * curves["interference_um"][6] + 0.4 * curves["interference_um"][7]
    assert reading(curves, cell, um).state == "clear"
    doubted = cell | {"doubt": ["", "", "", "", "", "", "", "past yield", *cell["doubt"][8:]]}
    assert reading(curves, doubted, um).state == "undecided"
    bends = cell | {"bends": [True] * len(cell["bends"])}
    assert reading(curves, bends, um) == reading(curves, cell, -1.0)
