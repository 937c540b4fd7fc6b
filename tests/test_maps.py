"""Maps of the joint in use: what they show is what the rows judge, and what is not judged is no number."""

import json
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import numpy as np
import pytest
from map_cases import LOADED, maps_document, maps_text, results_of
from small_cases import PARTS
from test_json_documents import faults_of

from hoopwright import fem
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.stays_tight import interference_lost
from hoopwright.interface.results import mapped
from hoopwright.maps import maps_of
from hoopwright.maps.moments import MAX_MOMENTS, moments_of, surfaces_at
from hoopwright.maps.section import MAX_LINES, section_grids, section_limit, section_stress, thinned
from hoopwright.page.solver import LastCheck, Question
from hoopwright.pipeline import check_case
from hoopwright.service.study import fit_surfaces

LARGEST = 150_000
"""Size of a document, bytes."""
CASES = Path(__file__).parents[1] / "cases"


def sent(document):
    """The document as the page sends it."""
    return json.dumps(document, separators=(",", ":"))


def moments(text=LOADED):
    results = results_of(text)
    return moments_of(evidence_of(results.case, results.study))


def cells_in_use(results, id_):
    return next(c for m in results.margins if m.id == id_ for c in m.cells if c.stage == "in use")


def assert_rows_agree(document):
    """Every moment that governs a row has its margin where its body is nearest to yield."""
    seen = []
    for moment in document["moments"]:
        for row in moment["rows"]:
            body = row["id"].removesuffix("_yields")
            (found,) = (b["nearest"] for b in moment["bodies"] if b["body"] == body)
            used = 1.0 / (1.0 + row["margin"])
            error = used * row["numerical_error_MPa"] / row["demand_MPa"]
            assert found["share"] == pytest.approx(used, abs=error + 1e-6)
            seen.append(body)
    assert sorted(seen) == ["shell", "sleeve"]


def test_moment_that_governs_a_row_is_as_near_to_yield_as_its_margin():
    assert_rows_agree(maps_document())


def test_rise_of_an_eccentric_bore_is_in_the_limit_and_not_in_the_stress():
    (loaded,) = (m for m in maps_document()["moments"] if [r["id"] for r in m["rows"]] == ["shell_yields"])
    (row,), shell = loaded["rows"], loaded["bodies"][1]
    rise = row["demand_MPa"] / shell["nearest"]["stress_MPa"]
    assert rise > 1.03  # the wall on the thin side, squared
    assert shell["nearest"]["limit_MPa"] == pytest.approx(240.0 / 1.2 / rise, rel=1e-6)


def test_map_has_the_value_of_its_row_at_its_place():
    for moment in moments():
        for grid in section_grids([moment]):
            stress, found = section_stress(moment, grid), moment.nearest[grid.body]
            line = int(np.argmin(np.abs(grid.z - found.z)))
            if found.theta == moment.theta:
                at_surface = stress[0 if found.surface == "bore" else -1, line]
                assert at_surface == pytest.approx(found.stress, rel=2e-3)
            judged = np.isfinite(section_limit(moment, grid))
            assert stress[:, judged].max() <= found.stress * 1.002


def test_stress_between_the_surfaces_lies_below_the_greater_of_them():
    for moment in moments():
        for grid in section_grids([moment]):
            stress = section_stress(moment, grid)
            assert np.all(stress <= np.maximum(stress[0], stress[-1]) * (1.0 + 1e-12))


def test_section_at_an_angle_of_the_grid_is_the_field_that_the_rows_search():
    loaded = next(m for m in moments() if m.load_case)
    wall, k = loaded.service.walls["shell"], loaded.service.instants.nearest(loaded.instant)
    field = wall.von_mises(fit_surfaces(loaded.fit, "shell"), slice(k, k + 1))[0]
    for angle in (0, 7, 30):
        found = fem.von_mises(surfaces_at(loaded, "shell", float(np.degrees(wall.theta[angle]))))
        assert found == pytest.approx(field[:, :, angle], rel=1e-9)
    assert np.ptp(field[0], axis=1).max() > 5.0  # it does depend on the angle


def test_each_load_case_and_no_load_at_each_temperature_has_a_moment():
    found = {(m["load_case"], m["state"]["temperature_degC"]) for m in maps_document()["moments"]}
    assert found == {(name, t) for name in ("", "laden wheel") for t in (-5.0, 20.0, 40.0)}
    shares = [max(b["nearest"]["share"] for b in m["bodies"]) for m in maps_document()["moments"]]
    assert shares == sorted(shares, reverse=True)


def test_nothing_has_a_limit_under_loads_beside_an_edge_of_the_clamp():
    edges = results_of(LOADED).study.service.solutions["stuck"][0].edges
    for moment in maps_document()["moments"]:
        for grid, body in zip(maps_document()["bodies"], moment["bodies"], strict=True):
            beside = edges.beside(np.array(grid["z_mm"])) & bool(moment["load_case"])
            assert [limit is None for limit in body["limit_MPa"]] == beside.tolist()
    assert edges.bands


def test_seat_comes_as_near_to_opening_and_slip_as_its_rows_say():
    seat, results = maps_document()["seat"], results_of(LOADED)
    opens, slips = (cells_in_use(results, id_) for id_ in ("joint_opens", "joint_slips"))
    pressure = np.array(seat["opening"]["pressure_MPa"])
    lowest = seat["opening"]["nearest"]["pressure_MPa"]
    assert lowest == pytest.approx(opens.capacity.value - opens.demand.value, rel=1e-3)
    assert pressure[np.array(seat["opening"]["judged"])].min() == pytest.approx(lowest, rel=5e-3)
    share, nearest = np.array(seat["slip"]["share_of_grip"]), seat["slip"]["nearest"]
    assert nearest["share_of_grip"] == pytest.approx(slips.demand.value / slips.capacity.value, rel=0.02)
    assert share[np.array(seat["slip"]["judged"])].max() == pytest.approx(
        nearest["share_of_grip"], rel=5e-3
    )
    assert (opens.where.z, slips.where.theta) == (
        pytest.approx(seat["opening"]["nearest"]["z_mm"]),
        pytest.approx(nearest["theta_deg"]),
    )


def test_fit_at_each_temperature_is_what_is_left_of_it_there():
    study, found = results_of(LOADED).study, maps_document()["temperatures"]
    assert [one["temperature_degC"] for one in found] == [-5.0, 20.0, 40.0]
    for one in found:
        lost = interference_lost(study, one["temperature_degC"] - 20.0).value
        assert one["interference_um"]["likely"] == pytest.approx(1e3 * (study.nominal_interference - lost))
        least, likely, greatest = one["pressure_MPa"].values()
        assert least < likely < greatest
    assert found[0]["pressure_MPa"]["likely"] > found[2]["pressure_MPa"]["likely"]


def test_document_fits_the_schema_and_stays_small_whatever_the_case():
    document = maps_document()
    assert faults_of(document, "maps") == []
    one = max(len(sent(moment)) for moment in document["moments"])
    lines = max(len(grid["z_mm"]) for grid in document["bodies"])
    seats = sum(len(sent(seat)) for seat in document["seat"].values())
    assert (MAX_MOMENTS * one * max(MAX_LINES / lines, 1.0)) + 1.3 * seats < LARGEST
    assert len(document["moments"]) <= MAX_MOMENTS


def test_thinned_lines_are_few_and_have_the_wanted_ones():
    assert thinned(7, 56, ()).tolist() == list(range(7))
    found = thinned(400, 56, (3, 4, 201))
    assert len(found) <= 56
    assert {0, 3, 4, 201, 399} <= set(found.tolist())


@pytest.mark.slow
def test_no_map_of_a_case_that_does_not_say_how_it_is_used():
    text = f'title = "at rest"\n{PARTS}[mesh]\nelements_through_wall = 2\n'
    document = mapped(results_of(text))
    assert faults_of(document, "maps") == []
    assert (document["moments"], document["temperatures"]) == ([], [])
    assert document["seat"] == {"opening": None, "slip": None}


def test_maps_are_withheld_of_what_does_not_stand():
    results = results_of(LOADED)
    read = replace(results.case, press=replace(results.case.press, observed_peak=1.0))
    read_otherwise = replace(results, case=read, readings=SimpleNamespace(contradicted=True, misfit=None))
    against_lame = replace(results, comparison=SimpleNamespace(contradicts=True))
    for withheld, word in ((read_otherwise, "read at the press"), (against_lame, "Lamé")):
        document = mapped(withheld)
        assert word in document["withheld"]
        assert (document["moments"], document["bodies"]) == ([], [])
        assert faults_of(document, "maps") == []
    assert maps_document()["withheld"] == ""


def question(command, text="one"):
    return Question(command, "a.toml", text, f"version of {text}")


def test_last_check_serves_the_maps_of_the_same_case_once_and_is_freed_by_any_other(monkeypatch):
    monkeypatch.setattr("hoopwright.interface.solve", lambda case, **_: f"results of {case}")
    last = LastCheck()
    for between, expected in (
        ((), "results of one"),
        ((question("curves"),), None),
        ((question("check", "two"),), None),
        ((question("maps", "two"),), None),
    ):
        last.begin(question("check"))
        assert last.solve("one", None) == "results of one"
        for other in between:
            last.begin(other)
        last.begin(question("maps"))
        assert last.take() == expected
        assert last.take() is None


def test_check_that_was_given_up_leaves_nothing_behind(monkeypatch):
    def given_up(*_, **__):
        raise KeyboardInterrupt

    last = LastCheck()
    monkeypatch.setattr("hoopwright.interface.solve", lambda *_, **__: "results")
    last.begin(question("check"))
    last.solve("one", None)
    monkeypatch.setattr("hoopwright.interface.solve", given_up)
    with pytest.raises(KeyboardInterrupt):
        last.solve("one", None)
    last.begin(question("maps"))
    assert last.take() is None


@pytest.mark.slow
@pytest.mark.parametrize("name", ["cargo_trike_crank_shell", "worn_bearing_housing"])
def test_maps_of_the_demo_cases_agree_with_their_rows_and_stay_small(name):
    text = (CASES / f"{name}.toml").read_text("utf-8")
    results = check_case(parse_case(text, file=str(CASES / f"{name}.toml")))
    document = mapped(results)
    assert_rows_agree(document)
    assert faults_of(document, "maps") == []
    assert len(sent(document)) < LARGEST
    assert len(maps_of(results).moments) == len(document["moments"]) >= 9


def test_same_case_gives_the_same_maps():
    assert json.dumps(mapped(results_of(LOADED))) == maps_text(LOADED)
