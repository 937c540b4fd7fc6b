"""Rows of other distributions: shown like the tool's own and named as what they are; never lost."""

from __future__ import annotations

import json
import pickle
import re
import subprocess
import sys

import pypdf
import pytest
from installed_rows import EXAMPLE, example, install, uninstall
from small_cases import ROUTE, SLIPS_IN
from studies.structure import ROOT, modules
from test_json_documents import faults_of

import hoopwright
from hoopwright import status
from hoopwright.checks import evidence_of
from hoopwright.cli import main
from hoopwright.discretisation import usual_resolution
from hoopwright.display import Units
from hoopwright.errors import RowError
from hoopwright.record.manual import _rows
from hoopwright.record.pages.margins import stage_table
from hoopwright.record.pages.provenance import before_signing
from hoopwright.record.pages.working import working
from hoopwright.rows.installed import installed_rows
from hoopwright.rows.judging import checks
from hoopwright.rows.working import working_of
from hoopwright.study import CaseStudy

HOLDS = ("LEAST_WALLS = 3.0", "LEAST_WALLS = 1.0")
RAISES = ("    cell = Margin(", '    raise ValueError("no such seat\\nin here")\n    cell = Margin(')
ORIGIN = "example-rows 0.1"


@pytest.fixture
def put(tmp_path, monkeypatch):
    """Install the example with changes; afterwards nothing of it is left."""

    def with_changes(*changes):
        project, text = example(*changes)
        install(tmp_path, monkeypatch, project=project, example_rows=text)

    yield with_changes
    uninstall()


@pytest.fixture
def small(tmp_path):
    path = tmp_path / "small.toml"
    path.write_text(SLIPS_IN + ROUTE, encoding="utf-8")
    return str(path)


@pytest.fixture(scope="module")
def evidence():
    case = hoopwright.parse_case(SLIPS_IN)
    return evidence_of(case, CaseStudy(case, usual_resolution(case)))


def row_of(document):
    return next((row for row in document["checks"] if row["id"] == "short_seat"), None)


def test_a_further_row_fails_and_is_named_wherever_it_is_shown(put, small, capsys):
    """A seat of 16 mm between walls of 10 and 4 mm: three of the thicker are 30 mm."""
    put()
    found = hoopwright.check(hoopwright.read_case(small))
    document = found.document()
    row = row_of(document)
    assert (row["demand"], row["capacity"], row["state"]) == (30.0, 16.0, "fails")
    assert row["distribution"] == ORIGIN
    assert found.status == status.SOME_FAIL
    assert "seat long enough" in found.verdict
    assert found.rows[0].id == "short_seat"
    assert faults_of(document, "check") == []
    assert [p for p in document["before_signing"] if p["kind"] == "further row" and ORIGIN in p["text"]]
    assert pickle.loads(pickle.dumps(found)).document() == document
    assert ORIGIN in found._repr_html_()
    assert main(["check", small]) == status.SOME_FAIL
    screen = capsys.readouterr().out
    assert re.search(r"seat long enough .*× -0\.47", screen)
    assert f"Not of hoopwright: seat long enough ({ORIGIN})." in screen
    assert re.search(rf"30.000 of 16.000 mm,\s+pressed,\s+of {ORIGIN}", screen)


def test_a_further_row_that_holds_leaves_the_verdict_as_it_was(put, small):
    without = hoopwright.check(hoopwright.read_case(small)).document()
    assert row_of(without) is None
    assert not any("distribution" in row for row in without["checks"])
    put(HOLDS)
    document = hoopwright.check(hoopwright.read_case(small)).document()
    assert row_of(document)["margin"] == pytest.approx(16.0 / 10.0 - 1.0)
    assert document["state"] == without["state"] == "holds"
    assert [r for r in document["checks"] if "distribution" not in r] == without["checks"]


def test_its_working_and_its_explanation_are_shown(put, small, capsys):
    put()
    main(["check", small, "--working", "seat long enough"])
    assert re.search(r"demand\s+= k · t = 30 mm", capsys.readouterr().out)
    assert main(["explain", "seat", "long"]) == status.ALL_HOLD
    assert f"not part of hoopwright: from {ORIGIN}" in capsys.readouterr().out
    main(["explain", "short_seat", "--json"])
    document = json.loads(capsys.readouterr().out)
    assert faults_of(document, "explain") == []
    assert document["rows"][0]["distribution"] == ORIGIN
    assert {"kind": "chapter", "text": "Seat long enough"} in list(_rows())


@pytest.mark.parametrize(
    ("command", "place"),
    [
        pytest.param("size", "window", marks=pytest.mark.slow),
        pytest.param("compare", "routes", marks=pytest.mark.slow),
        ("press", "failing"),
    ],
)
def test_the_window_the_routes_and_the_press_are_judged_by_it_too(put, small, capsys, command, place):
    put()
    assert main([command, small, "--json"]) == status.SOME_FAIL
    document = json.loads(capsys.readouterr().out)
    assert faults_of(document, command) == []
    assert "seat long enough" in json.dumps(document[place])
    main([command, small])
    assert ORIGIN in capsys.readouterr().out


def test_the_pages_name_it_beside_the_table_and_in_its_working(put, small):
    put()
    document = hoopwright.check(hoopwright.read_case(small)).document()
    assert f"Not of hoopwright: seat long enough ({ORIGIN})." in json.dumps(stage_table(document))
    assert f"seat long enough, pressed, of {ORIGIN}" in json.dumps(working(document, Units("metric")))
    assert ORIGIN in json.dumps(before_signing(document))


@pytest.mark.slow
def test_the_record_shows_it_and_verify_misses_it(put, small, tmp_path, capsys):
    put()
    case = hoopwright.read_case(small)
    folder = hoopwright.write_record(case, tmp_path / "records")
    text = "".join(p.extract_text() for p in pypdf.PdfReader(folder / "record.pdf").pages)
    plain = " ".join(text.split())
    assert f"Not of hoopwright: seat long enough ({ORIGIN})." in plain
    assert "least length in walls" in plain
    results = json.loads((folder / "results.json").read_text(encoding="utf-8"))
    assert results["versions"]["example-rows"] == "0.1"
    assert main(["verify", str(folder)]) == status.ALL_HOLD
    uninstall()
    sys.path.remove(str(tmp_path))
    assert main(["verify", str(folder)]) == status.SOME_FAIL
    assert "example-rows" in capsys.readouterr().out


@pytest.mark.parametrize(
    "command",
    [
        "check",
        "record",
        *(pytest.param(name, marks=pytest.mark.slow) for name in ("size", "compare", "press")),
    ],
)
def test_one_that_raises_ends_every_command_with_one_line(put, small, tmp_path, capsys, command):
    put(RAISES)
    out = ["--out", str(tmp_path / "records")] if command == "record" else []
    assert main([command, small, *out]) == RowError.status == status.BAD_INPUT
    printed = capsys.readouterr()
    assert "holds" not in printed.out.lower()
    assert printed.err.splitlines()[-1] == (
        "example-rows: entry point short_seat of hoopwright.rows: its check raised ValueError: no such "
        "seat\\u000ain here; nothing is judged without it: mend it or uninstall example-rows"
    )
    assert not (tmp_path / "records").exists() or not list((tmp_path / "records").iterdir())


CELL, RETURN = "    cell = Margin(", "    return row_of([cell])"
GIVEN_WRONGLY = {
    "leaves the process": ((CELL, f"    raise SystemExit(0)\n{CELL}"), "SystemExit"),
    "gives nothing": ((RETURN, "    return None"), "gave NoneType, no Margin"),
    "gives another row": (('id="short_seat"', 'id="shell_yields"'), "gave the id 'shell_yields'"),
    "gives another stage": (('stage="pressed"', 'stage="oven"'), "gave the stage 'oven'"),
    "turns its factor round": (("factor=1.0", "factor=-1.0"), "gave the factor -1.0"),
    "has no error": (("capacity=Estimate(", "capacity=Estimate(error=-1.0, value="), "no value with its"),
    "lies nowhere": (('Location("interface")', 'Location("interface", z="end")'), "a place or a state"),
    "hides its worst cell": (
        (RETURN, "    return Margin(**{**vars(cell), 'demand': None, 'cells': (cell,)})"),
        "not the worst of its cells",
    ),
    "does not apply, and fails": (
        (RETURN, "    return Margin(**{**vars(cell), 'applies': False})"),
        "a margin of a row that does not apply",
    ),
    "works out another margin": (
        ('closed(sheet, row, "k * t"', 'closed(sheet, row, "t"'),
        "leads to demand = 10",
    ),
    "raises in its working": (
        ("    sheet = Sheet()", "    sheet = Sheet(1, 2, 3)"),
        "its working raised TypeError",
    ),
}


@pytest.mark.parametrize(("change", "said"), GIVEN_WRONGLY.values(), ids=GIVEN_WRONGLY)
def test_what_is_no_sound_row_is_refused(put, evidence, change, said):
    put(change)
    with pytest.raises(RowError, match=re.escape(said)):
        working_of(evidence, checks()[-1](evidence))


def test_a_failing_row_without_cells_gets_its_cell_by_which_a_window_is_sought(put, evidence):
    put((RETURN, "    return cell"))
    assert [cell.state for cell in checks()[-1](evidence).cells] == ["fails"]


TITLE = 'title = "seat long enough"'
DECLARED_WRONGLY = {
    "cannot be imported": (
        ("LEAST_WALLS = 3.0", "LEAST_WALLS = 1 / 0"),
        "cannot be loaded from example_rows:SHORT_SEAT: raised ZeroDivisionError",
    ),
    "is not there": (("SHORT_SEAT = Fu", "OTHER = Fu"), "raised AttributeError"),
    "is no row": (("FurtherRow(check, working, EXPLANATION)", "check"), "is no FurtherRow"),
    "has the id of another": (
        ("[short_seat]", "[shell_yields]"),
        "its id 'shell_yields' is that of a row of hoopwright",
    ),
    "has the title of another": (
        (TITLE, 'title = "Wall left"'),
        "its title 'Wall left' is that of a row of hoopwright",
    ),
    "has a title too long": (
        (TITLE, 'title = "seat long enough for its walls"'),
        "up to 26 characters",
    ),
    "has an unknown stage": (('stages = ["pressed"]', 'stages = ["cut"]'), "its stages"),
    "has an unknown unit": (('"mm"\nformula', '"furlong"\nformula'), "its unit 'furlong'"),
    "lacks a part of its explanation": (("looks = ", "smells = "), "lacks 'looks'"),
    "is not all text": (("\nfails = ", "\nfails = 3\nrest = "), "a part that is no text"),
    "has a source of no label": (
        ('three walls long", "common', 'three walls long", "un'),
        "a source without",
    ),
    "has no function": (("FurtherRow(check,", "FurtherRow(3,"), "its check is no function"),
}


@pytest.mark.parametrize(("change", "said"), DECLARED_WRONGLY.values(), ids=DECLARED_WRONGLY)
def test_what_declares_no_sound_row_ends_in_one_line(put, small, capsys, change, said):
    put(change)
    for words in (["explain"], ["check", small]):
        assert main(words) == status.BAD_INPUT
        printed = capsys.readouterr()
        (line,) = printed.err.splitlines()
        assert line.startswith("example-rows: entry point short_seat of hoopwright.rows: ")
        assert said in line
        assert printed.out == ""


def test_two_distributions_with_the_same_row_are_refused_by_name(put, tmp_path, monkeypatch):
    put()
    project, text = example()
    other = tmp_path / "other"
    other.mkdir()
    points = {"hoopwright.rows": {"again": "more_rows:SHORT_SEAT"}}
    install(
        other, monkeypatch, project=project | {"name": "more-rows", "entry-points": points}, more_rows=text
    )
    with pytest.raises(RowError, match=r"more-rows.*its id 'short_seat' is that of a row of example-rows"):
        installed_rows()


def test_a_faulty_row_gives_a_document_of_faults(put, small, capsys):
    put(RAISES)
    main(["check", small, "--json"])
    document = json.loads(capsys.readouterr().out)
    assert faults_of(document, "faults") == []
    assert document["faults"][0]["file"] == "example-rows"


def test_a_further_row_is_looked_for_only_where_something_is_judged():
    code = "import sys, hoopwright; print({'importlib.metadata', 'hoopwright.rows'} & set(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "set()"


def test_no_command_judges_the_rows_of_the_tool_alone():
    """Whoever took CHECKS itself would leave out the rows of other distributions."""
    taken = re.compile(r"from hoopwright\.checks import [^\n]*\b(CHECKS|judged|STAGES_OF)\b")
    users = {name for name, path in modules() if taken.search(path.read_text(encoding="utf-8"))}
    assert users == {"hoopwright.rows.judging", "hoopwright.rows.installed"}


def test_the_guide_has_the_example_as_it_stands():
    guide = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    section = re.search(r"^## A further way to fail\n(.*?)^## ", guide, re.S | re.M)[1]
    for name, language in (("pyproject.toml", "toml"), ("example_rows.py", "python")):
        shown = re.search(rf"`tests/example_rows/{name}`.*?```{language}\n(.*?)```", section, re.S)[1]
        assert shown == (EXAMPLE / name).read_text(encoding="utf-8")
