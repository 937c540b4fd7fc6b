"""A bore closure read at the press without a force: held against the sizes, alone."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from math import hypot

import numpy as np
import pytest
from plain_pair import PRESSED

from hoopwright import status
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.closure_read import closure_doubt
from hoopwright.cli import main
from hoopwright.fem import Resolution
from hoopwright.interface import compare
from hoopwright.pipeline import check_case
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict_state


def case_with(closure_um: float, more: str = ""):
    return parse_case(PRESSED + f'observed_closure = "{closure_um} um"\n{more}')


@cache
def expected() -> tuple[float, float]:
    """Closure that the sizes give, and half the width of its 95 % interval, µm: of the mean fit and of
    those at both ends of the sizes."""
    case = parse_case(PRESSED)
    study = CaseStudy(case, Resolution(elements_through_wall=1))
    half_width = study.interference_half_width
    middle, high = (
        float(study.at(frictionless(shift, 0.0)).finest.bore_closure(np.array([20.0]))[0])
        for shift in (0.0, half_width)
    )
    return 1e3 * middle, 1e3 * (high - middle)


@pytest.mark.parametrize(("widths", "doubted"), [(-1.75, True), (-1.6, False), (1.6, False), (1.75, True)])
def test_a_closure_is_otherwise_where_it_falls_so_once_in_a_thousand(widths, doubted):
    """3.29 standard uncertainties are 1.68 half-widths of 95 %; that of the reading is 2 µm."""
    middle, half = expected()
    case = case_with(round(middle + widths * hypot(half, 2.0), 4))
    evidence = evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=1)))
    assert bool(closure_doubt(evidence)) is doubted
    beside_a_force = replace(case, press=replace(case.press, observed_peak=22e3))
    assert closure_doubt(replace(evidence, case=beside_a_force)) == ""


@pytest.mark.parametrize("command", ["check", "size", "press", "record"])
def test_a_closure_that_contradicts_the_sizes_is_said_first_and_nothing_holds(command, tmp_path, capsys):
    """60 µm where the sizes give 21 were read and left out of everything: "holds", status 0."""
    path = tmp_path / "case.toml"
    path.write_text(PRESSED + 'observed_closure = "60 um"\n', encoding="utf-8")
    more = ["--out", str(tmp_path)] if command == "record" else []
    assert main([command, str(path), *more]) == status.SOME_FAIL
    first = " ".join(capsys.readouterr().out.replace("plain pair, invented", "").split())[:160]
    assert "read at the press" in first
    assert "contradicts" in first


def test_no_row_holds_beside_a_closure_that_contradicts_it():
    agrees, contradicts = (check_case(case_with(closure)) for closure in (21, 60))
    assert verdict_state(agrees) == "holds"
    assert verdict_state(contradicts) == "undecided"
    assert all(row.state != "holds" for row in contradicts.margins)
    assert "60.0 µm" in contradicts.margins[0].doubt


def test_a_closure_says_nothing_of_another_sleeve_but_of_the_bore_that_all_share():
    """A sleeve of aluminium closes by more: what was read of the one of steel is not of it."""
    text = PRESSED.replace('plus_minus = "4 um"', 'plus_minus = "0.5 um"') + 'observed_closure = "21 um"\n'
    both = (parse_case(text), parse_case(text.replace("21 um", "60 um")))
    agrees, contradicts = (compare(case, ["E355 steel", "7075-T6"]) for case in both)
    said = [
        ["read at the press" in row["doubt"] for row in route["checks"]]
        for one in (agrees, contradicts)
        for route in one.document()["routes"]
    ]
    assert [any(one) for one in said] == [False, False, True, True]
    assert all(map(all, said[2:]))
