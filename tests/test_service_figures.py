"""Figures of service loads show what was computed, in the units of the reader, and are reproducible."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from matplotlib.figure import Figure
from matplotlib.text import Text
from service_cases import CRANK, PARTS, results_of
from stopped_cases import loaded_flange

from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.stage_stress import worst_loaded
from hoopwright.discretisation import usual_resolution
from hoopwright.display import Units
from hoopwright.record.figures import (
    FIGURES,
    SERVICE_FIGURES,
    figures_of,
    interface_map,
    loading,
    rendered,
    unrolled,
)
from hoopwright.record.figures.harmonics import amplitudes
from hoopwright.record.figures.interface_map import lowest_pressure
from hoopwright.study import CaseStudy


def words(artist) -> str:
    return " | ".join(text.get_text() for text in artist.findobj(Text))


@pytest.mark.parametrize(("system", "wanted"), [("metric", ["MPa", "mm"]), ("inch", ["ksi", "[in]"])])
@pytest.mark.parametrize("name", ["unrolled", "interface"])
def test_maps_state_their_units(name, system, wanted):
    shown = words(SERVICE_FIGURES[name](results_of(CRANK), Units(system)))
    assert all(unit in shown for unit in wanted)
    assert "load case" in shown


@pytest.mark.parametrize("name", SERVICE_FIGURES)
def test_the_same_results_give_the_same_bytes(name):
    one, other = (rendered(SERVICE_FIGURES[name](results_of(CRANK), Units()), "svg") for _ in range(2))
    assert one == other


def test_the_map_of_the_shell_peaks_at_the_judged_stress():
    results = results_of(CRANK)
    row = next(m for m in results.margins if m.id == "shell_yields")
    in_use = next(cell for cell in row.cells if cell.stage == "in use")
    governing = worst_loaded(evidence_of(results.case, results.study), "shell")
    peak = max(unrolled.stress_map(governing, "shell", side)[1].max() for side in (0, 1))
    assert peak <= in_use.demand.value == pytest.approx(peak, rel=2e-3)  # between two angles of the grid
    shown = words(SERVICE_FIGURES["unrolled"](results, Units()))
    assert f"{in_use.demand.value:.1f} MPa" in shown
    assert f"{governing.joint_condition} joint, {governing.fit.state.friction_text}, 20 °C" in shown


def test_the_map_of_the_seat_shows_the_judged_pressure():
    results = results_of(CRANK)
    row = next(m for m in results.margins if m.id == "joint_opens")
    spot, z, pressure = lowest_pressure(results)
    assert -spot.value == pytest.approx(row.capacity.value - row.demand.value, abs=1e-6)
    assert (spot.z, spot.theta) == (row.where.z, row.where.theta)
    # between two angles of the grid
    assert pressure[int(np.argmin(abs(z - spot.z)))].min() == pytest.approx(-spot.value, abs=0.01)


@pytest.mark.parametrize(
    ("judged", "elsewhere", "expected"),
    [
        (1.0, 1.0, "stays closed everywhere"),
        (1.0, -1.0, "separate in any case, not judged"),
        (-1.0, -1.0, "hatched: the joint opens"),
    ],
)
def test_the_map_of_the_seat_explains_its_hatching_as_the_check_does(
    monkeypatch, judged, elsewhere, expected
):
    results = results_of(CRANK)
    spot, z, pressure = lowest_pressure(results)
    shown = np.where(pressure == pressure.min(), elsewhere, np.abs(pressure) + 1.0)
    monkeypatch.setattr(
        interface_map, "lowest_pressure", lambda *_: (replace(spot, value=-judged), z, shown)
    )
    assert expected in words(SERVICE_FIGURES["interface"](results, Units()))


def test_the_loading_sketch_names_every_seat_and_tube_with_its_force():
    results = results_of(CRANK)
    shown = words(SERVICE_FIGURES["loading"](results, Units()))
    for balance in loading.reactions_by_case(results):
        assert balance.case.name in shown
        for entry in balance.loads:
            assert entry.name in shown
            assert f"{np.hypot(*entry.force[:2]):.0f} N" in shown


def test_the_loading_sketch_starts_every_reaction_at_the_tube_of_its_name(monkeypatch):
    results = results_of(CRANK)
    (balance, *_) = loading.reactions_by_case(results)
    tubes = {reaction.name: reaction.tube for reaction in balance.case.reactions}
    starts = {}
    monkeypatch.setattr(
        loading, "_plot_force", lambda _, __, entry, at, ___, **____: starts.update({entry.name: at})
    )
    for reactions in (balance.reactions, balance.reactions[::-1]):
        starts.clear()
        shuffled = replace(balance, reactions=reactions)
        loading.plot_loading(results, Units(), Figure().add_subplot(), balance=shuffled, view="end")
        assert set(tubes) <= set(starts)
        for name, tube in tubes.items():
            angle = np.radians(tube.angle)
            assert starts[name] == pytest.approx((22.0 * np.cos(angle), 22.0 * np.sin(angle)))


def test_the_loading_sketch_marks_more_entries_than_the_alphabet_has():
    results = results_of(CRANK)
    (balance, *_) = loading.reactions_by_case(results)
    loads = tuple(replace(balance.loads[0], name="cup") for _ in range(30))  # also of one name
    axes = loading.plot_loading(
        results, Units(), Figure().add_subplot(), balance=replace(balance, loads=loads)
    )
    shown = words(axes)
    assert "z cup, aa cup, ab cup, ac cup, ad cup, ae tube 1, af tube 2, ag tube 3, ah tube 4" in shown
    marks = [text.split()[0] for text in shown.split(" | ") if text.endswith(" N")]
    assert len(marks) == len(set(marks)) >= 30


def test_harmonics_decay_and_the_largest_is_bending_or_ovalising():
    state = results_of(CRANK).study.service.solutions["stuck"][0]
    sizes = amplitudes(state, "shell")
    assert len(sizes) == len(state.response.harmonics)
    assert int(np.argmax(sizes)) in (1, 2)
    assert sizes[-1] < 0.2 * sizes.max()


def test_a_case_without_service_has_none_of_these_figures():
    assert set(figures_of(results_of(PARTS))) == set(FIGURES)
    assert set(SERVICE_FIGURES) <= set(figures_of(results_of(CRANK)))
    assert "give [service]" in words(SERVICE_FIGURES["unrolled"](results_of(PARTS), Units()))


def test_a_seat_that_lies_beside_the_edges_of_a_clamp_has_no_map_and_says_so():
    """Under loads nothing is judged there, so that there is no lowest pressure to mark."""
    case = parse_case(loaded_flange("3 mm", cup=False))
    results = SimpleNamespace(case=case, study=CaseStudy(case, usual_resolution(case)))
    assert "all of the seat lies beside an edge" in words(interface_map.figure(results, Units()))
