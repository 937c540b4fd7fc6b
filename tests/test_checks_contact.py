"""Where on the seat contact is judged: not where the fit itself all but parts the bodies."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from service_cases import case_of
from studies.designs import design

from fem import Resolution
from hoopwright.checks import evidence_of
from hoopwright.checks.contact import BARELY, contact, total_pressure
from hoopwright.checks.service_rows import opening
from hoopwright.study import CaseStudy

PARTS = 97
"""Seed of a design whose short sleeve parts from the shell beside its ends."""


def flat(pressure: list[float], closed: list[bool], seats: list[list[float]]):
    """A seat of equal weights without averaging, from which service takes 1 MPa on one side."""
    count = sum(closed)
    seat = SimpleNamespace(
        average=np.eye(count), weight=np.full(count, 1.0 / count), standing=np.zeros((count, 2)),
        pressure=np.tile([0.0, -1.0], (1, count, 1)))
    service = SimpleNamespace(seat=seat, closed=np.array(closed), assembly=SimpleNamespace(
        interface=SimpleNamespace(seat_share=np.array(seats))))
    return SimpleNamespace(press=SimpleNamespace(pressure=np.array(pressure))), service


def test_an_edge_of_contact_is_judged_at_the_same_pressure_wherever_its_nodes_lie():
    for beside in (0.2, 0.5, 0.9):
        found = contact(*flat([0.0, 0.01, beside, 4.0, 4.0], [False, *[True] * 4], [[1.0] * 5]))
        mean = (0.01 + beside + 8.0) / 4
        assert list(found.firm) == [False, beside >= BARELY * mean, True, True]
        edge = int(np.argmax(found.firm))
        expected = BARELY * mean if edge == 1 else 4.0
        assert found.fit[edge] == pytest.approx(expected)
        assert found.total[0, edge, 1] == pytest.approx(expected - 1.0)


def test_high_pressure_beside_a_step_is_no_edge_that_parts():
    seats = [[1.0, 1.0, 1.0, 0.0], [0.0, 0.0, 1.0, 1.0]]
    found = contact(*flat([9.0, 9.0, 40.0, 0.0], [True, True, True, False], seats))
    assert list(found.fit) == [9.0, 9.0, 40.0]
    assert found.firm.all()


def test_ends_of_a_seat_are_judged_as_they_are():
    found = contact(*flat([1.0, 4.0, 4.0], [True] * 3, [[1.0] * 3]))
    assert list(found.fit) == [1.0, 4.0, 4.0]


@pytest.mark.parametrize("way", [1, -1])
def test_an_open_pair_of_another_seat_makes_no_edge(way):
    pressure, closed = [4.0, 4.0, 1.0, 4.0, 4.0][::way], [True, True, True, False, True, True][::way]
    seats = [[1.0, 1.0, 1.0, 0.0, 0.0, 0.0][::way], [0.0, 0.0, 0.0, 1.0, 1.0, 1.0][::way]]
    fit, service = flat([0.0] * 6, closed, seats)
    fit.press.pressure[np.array(closed)] = pressure
    assert list(contact(fit, service).fit) == pressure


def test_lowest_pressure_beside_a_natural_edge_settles_with_the_mesh():
    case = case_of(design(PARTS).text)
    usual, finer = (evidence_of(case, CaseStudy(case, r)) for r in (
        Resolution(), Resolution(largest=0.3, growth=0.35)))
    fits = [(found.loosest.free[0], found.study.service.states["sliding"][0]) for found in (usual, finer)]
    assert not any(service.closed.all() for _, service in fits)
    everywhere = [total_pressure(*pair).min() for pair in fits]
    mean = fits[0][0].mean_pressure
    assert abs(everywhere[0] - everywhere[1]) > 0.06 * mean
    assert opening(usual)[0].value == pytest.approx(opening(finer)[0].value, abs=0.03 * mean)
