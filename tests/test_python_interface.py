"""What Python programs call: light to import, results that travel, faults as data, safe from threads."""

from __future__ import annotations

import dataclasses
import json
import multiprocessing
import pickle
import subprocess
import sys
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
import scipy.linalg  # noqa: F401 - its library too is counted below
from small_cases import ROUTE, SLIPS_IN, with_sleeve
from threadpoolctl import threadpool_info, threadpool_limits

import hoopwright
from hoopwright import status
from hoopwright.case import quantity
from hoopwright.cli import main
from hoopwright.fem.errors import MeshError, SolveError
from hoopwright.interface import solving
from hoopwright.one_thread import one_thread
from hoopwright.record.worker import in_worker

ROOT = Path(__file__).parents[1]
SIZES = (42.030, 42.034, 42.038, 42.042)


@pytest.fixture(scope="module")
def case():
    return hoopwright.parse_case(SLIPS_IN + ROUTE, file="small.toml")


@pytest.fixture(scope="module")
def found(case):
    """One result of each kind."""
    return {
        "check": hoopwright.check(case),
        "size": hoopwright.size(case),
        "compare": hoopwright.compare(case),
        "press": hoopwright.press(case),
    }


def test_importing_it_loads_nothing_large():
    heavy = "{'numpy', 'scipy', 'skfem', 'pint', 'matplotlib', 'tomlkit', 'typst', 'meshio'}"
    code = f"import sys, hoopwright; print({heavy} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_everything_it_offers_is_there_and_explained():
    for name in hoopwright.__all__:
        offered = getattr(hoopwright, name)
        assert name == "__version__" or offered.__doc__, name


def documents(pickled: bytes) -> list[dict]:
    return [one.document() for one in pickle.loads(pickled)]


def test_results_are_frozen_and_the_same_in_a_process_of_their_own(found):
    results = list(found.values())
    pickled = pickle.dumps(results)
    assert len(pickled) < 1_000_000
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        assert pool.apply(documents, (pickled,)) == [one.document() for one in results]
    again = pickle.loads(pickled)
    assert again == results
    assert len(set(map(hash, [*again, *results]))) == len(results)
    for one in results:
        with pytest.raises(dataclasses.FrozenInstanceError):
            one.status = 0
        one.document()["case"]["title"] = "changed"
        assert one.document()["case"]["title"] != "changed"


def test_a_result_names_its_rows_and_its_verdict(found):
    checked = found["check"]
    assert checked.state == "holds"
    assert checked.verdict.startswith("Holds: all")
    assert [row.id for row in checked.rows] == [row["id"] for row in checked.document()["checks"]]
    assert [r.route.name for r in found["compare"].routes] == ["Steel sleeve"]
    assert "Nothing that was judged fails" in found["press"].verdict


@pytest.mark.parametrize("command", ["check", "size", "compare", "press"])
def test_a_notebook_shows_table_and_figure_after_pickle_too(command, found):
    html = pickle.loads(pickle.dumps(found[command]))._repr_html_()
    assert "Small boss &amp; &lt;sleeve&gt;" in html
    assert "<sleeve>" not in html
    assert ("<table>" in html) is (command != "press")
    assert ("data:image/svg+xml;base64," in html) is (command != "press")  # it slips in: no force
    if command == "check":
        for row in found[command].rows:
            assert row.title in html


def test_a_notebook_without_a_plotting_library_has_the_table(found, monkeypatch):
    monkeypatch.setitem(sys.modules, "hoopwright.record.figures.style", None)
    monkeypatch.setitem(sys.modules, "hoopwright.record.figures.margins", None)
    html = found["check"]._repr_html_()
    assert "<table>" in html
    assert "<img" not in html


def test_faults_are_data():
    with pytest.raises(hoopwright.HoopwrightError) as raised:
        hoopwright.parse_case(SLIPS_IN.replace('"16 mm"', '"16"', 1), file="mine.toml")
    (fault,) = raised.value.faults
    assert (fault.file, fault.table, fault.key, fault.given) == ("mine.toml", "[shell]", "width", '"16"')
    assert "unit" in fault.problem
    assert "mm" in fault.advice
    assert str(raised.value) == str(fault)
    again = pickle.loads(pickle.dumps(raised.value))
    assert (type(again), again.faults) == (hoopwright.CaseError, raised.value.faults)


@pytest.mark.parametrize(
    ("given", "kind", "code"),
    [
        (MeshError("too thin"), hoopwright.CaseError, status.BAD_INPUT),
        (SolveError("no end"), hoopwright.NotSolvedError, status.NOT_SOLVED),
    ],
)
def test_what_cannot_be_solved_is_an_error_of_the_same_kind(given, kind, code):
    with pytest.raises(hoopwright.HoopwrightError) as raised, solving("mine.toml"):
        raise given
    assert type(raised.value) is kind
    assert raised.value.status == code
    assert raised.value.faults[0].file == "mine.toml"
    assert str(given) in str(raised.value)


def test_there_must_be_something_to_compare_and_a_file_to_record(case, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    with pytest.raises(hoopwright.CaseError, match="no route to compare"):
        hoopwright.compare(hoopwright.parse_case(SLIPS_IN))
    with pytest.raises(hoopwright.OutputError, match=r"small\.toml: cannot be read for the record"):
        hoopwright.write_record(case, "records")
    assert not list(tmp_path.iterdir())


@pytest.mark.slow
def test_a_record_is_written_and_verifies(tmp_path, capsys):
    path = tmp_path / "small.toml"
    path.write_text(SLIPS_IN, encoding="utf-8")
    where = hoopwright.write_record(hoopwright.read_case(path), tmp_path / "records")
    results = json.loads((where / "results.json").read_text(encoding="utf-8"))
    assert (results["command"], results["case"]["file"]) == ("record", "small.toml")
    assert main(["verify", str(where), "--json"]) == status.ALL_HOLD
    assert json.loads(capsys.readouterr().out)["case"]["file"] == "small.toml"


def blas_threads() -> set[int]:
    return {pool["num_threads"] for pool in threadpool_info() if pool["user_api"] == "blas"}


def test_four_threads_give_what_one_gives():
    """They read and check different cases, start at once, and leave the matrix library as it was."""
    texts = [with_sleeve(size) for size in SIZES]

    def check(text: str) -> dict:
        gate.wait()
        return hoopwright.check(hoopwright.parse_case(text)).document()

    gate = threading.Barrier(1)
    one_by_one = [check(text) for text in texts]
    gate = threading.Barrier(4)
    with threadpool_limits(2, user_api="blas"):
        before = blas_threads()
        with ThreadPoolExecutor(4) as pool:
            assert list(pool.map(check, texts)) == one_by_one
        assert blas_threads() == before
    assert len({json.dumps(document) for document in one_by_one}) == len(SIZES)


def test_four_threads_read_units_with_one_registry(monkeypatch):
    """Quantities of two registries do not go together."""
    built = []

    def slowly():
        built.append(1)
        time.sleep(0.05)  # so that every thread comes before the first is done
        return registry

    registry, gate = quantity._registry(), threading.Barrier(4)
    cached = (quantity._registry, quantity._internal_unit, quantity._pint_unit)
    with monkeypatch.context() as patch:
        patch.setattr("pint.UnitRegistry", slowly)
        for function in cached:
            function.cache_clear()

        def read(text: str) -> float:
            gate.wait()
            return quantity.parse(text, "length")

        with ThreadPoolExecutor(4) as pool:
            found = list(pool.map(read, ["4 hand", "2 yard", "3 dm", "1 fathom"]))
    assert found == pytest.approx([406.4, 1828.8, 300.0, 1828.804])
    assert built == [1]


def test_the_limit_of_threads_lasts_until_the_last_is_done():
    begun, release = threading.Event(), threading.Event()

    def solve() -> None:
        with one_thread():
            begun.set()
            release.wait()

    other = threading.Thread(target=solve)
    with threadpool_limits(2, user_api="blas"):
        before = blas_threads()
        with one_thread(), one_thread():
            other.start()
            begun.wait()
            assert blas_threads() == {1}
        assert blas_threads() == {1}
        release.set()
        other.join()
        assert blas_threads() == before


def test_every_solve_has_one_thread(case, monkeypatch):
    seen = []

    def solve(*_given):
        seen.append(blas_threads())
        raise SolveError("seen")

    for place in ("hoopwright.pipeline", "hoopwright.sizing.plan", "hoopwright.pressing.plan"):
        monkeypatch.setattr(f"{place}.usual_resolution", solve)
    with threadpool_limits(2, user_api="blas"):
        for call in (hoopwright.check, hoopwright.size, hoopwright.press):
            with pytest.raises(hoopwright.NotSolvedError):
                call(case)
    assert seen == [{1}] * 3


def test_a_process_with_threads_is_not_forked():
    """Locks that another thread holds would never be released in the child."""
    release = threading.Event()
    other = threading.Thread(target=release.wait)
    other.start()
    try:
        made_in = []
        with in_worker(lambda: iter([made_in.append(1)])) as items:
            list(items)
        assert made_in == [1]
    finally:
        release.set()
        other.join()


@pytest.mark.slow
def test_four_threads_check_the_demos_as_one_does():
    """They share every module-level cache, and a figure is drawn in each; two at a time solve the same."""
    names = ("thin_steel_shell", "worn_bearing_housing")
    cases = [hoopwright.read_case(ROOT / "cases" / f"{name}.toml") for name in names]

    def shown(case) -> tuple[dict, dict, str]:
        checked = hoopwright.check(case)
        return checked.document(), hoopwright.press(case).document(), checked._repr_html_()

    one_by_one = [shown(case) for case in cases]
    with ThreadPoolExecutor(4) as pool:
        assert list(pool.map(shown, 2 * cases)) == 2 * one_by_one
