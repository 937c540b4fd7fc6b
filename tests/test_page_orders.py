"""What a button asks for is done once for a case as it stands, and tells of itself what became of it."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import bench as case_bench
from page_cases import bench_of, held, small
from page_parts import SolverAtOnce, started, until
from page_records import PLAIN, Desk, write_record, write_sheet

from hoopwright.case.read import parse_case
from hoopwright.drawing import needed
from hoopwright.errors import CaseError, OutputError
from hoopwright.page import jobs
from hoopwright.page.case_files import CaseFiles
from hoopwright.page.jobs import about_sides
from hoopwright.page.model import AtWork, BesideText
from hoopwright.page.questions import Question
from hoopwright.page.steps import fit, record
from hoopwright.page.views.rows import opened_of
from hoopwright.page.views.verdict import verdict_view
from hoopwright.page.work import CANCELLED, CHANGED
from hoopwright.record.files import require_same_log

RECORD = ("record", "metric")
NOT_COUNTED = BesideText("mine press.csv", "travel, gauge\n", "of something")
"""A log beside the case that no check counts, since it cannot be read."""


@pytest.fixture
def solver():
    return SolverAtOnce()


@pytest.fixture
def work(solver):
    with started(solver) as found:
        yield found


def ordered(version="one", command="record", about="metric"):
    return Question(command, "mine.toml", f"text {version}", version, about)


def asked(version="one"):
    return Question("check", "mine.toml", f"text {version}", version)


def order_of(work, key=RECORD):
    return work.found("mine.toml").orders.get(key)


def test_order_waits_is_at_work_and_is_done(work, solver):
    solver.let_go.clear()
    work.ask([asked()])
    until(lambda: solver.asked)
    work.order(ordered())
    assert order_of(work).waits
    solver.let_go.set()
    until(lambda: order_of(work).document)
    assert not order_of(work).waits
    found = work.found("mine.toml")
    assert (list(found.answers), found.at_work) == (["check"], None)


def test_order_is_not_asked_twice_at_a_time_and_is_done_anew_after_that(work, solver):
    solver.let_go.clear()
    work.order(ordered())
    until(lambda: solver.asked)
    work.order(ordered())
    assert work.found("mine.toml").at_work.about == "metric"
    solver.let_go.set()
    until(lambda: order_of(work).document)
    assert len(solver.asked) == 1
    work.order(ordered())
    until(lambda: len(solver.asked) == 2)


def test_cancelled_order_says_so_and_the_verdict_does_not(work, solver):
    solver.let_go.clear()
    work.order(ordered())
    until(lambda: solver.asked)
    work.cancel("mine.toml")
    assert order_of(work).failed == CANCELLED
    assert work.found("mine.toml").failed == ""
    assert work.found("mine.toml").at_work is None


def test_order_that_was_done_before_it_was_given_up_counts_as_done(work, solver):
    solver.let_go.clear()
    solver.deaf = True
    work.order(ordered())
    until(lambda: solver.asked)
    work.cancel("mine.toml")
    assert order_of(work).failed == CANCELLED
    solver.let_go.set()
    until(lambda: order_of(work).document)
    assert order_of(work).failed == ""


@pytest.mark.parametrize("waits", [False, True])
def test_newer_text_gives_up_what_is_made_of_the_older_but_not_what_is_verified(work, solver, waits):
    solver.let_go.clear()
    if waits:
        work.ask([asked()])
        until(lambda: solver.asked)
    work.order(ordered())
    work.order(ordered("", "verify", "mine-001"))
    until(lambda: solver.asked)
    work.ask([asked("two")])
    assert order_of(work).failed == CHANGED
    solver.let_go.set()
    until(lambda: order_of(work, ("verify", "mine-001")).document)
    assert order_of(work).failed == CHANGED


def test_order_of_the_newer_text_is_not_given_up_with_that_of_the_older(work, solver):
    solver.let_go.clear()
    work.ask([asked()])
    until(lambda: solver.asked)
    work.order(ordered())
    work.order(ordered("two"))
    work.ask([asked("two")])
    assert order_of(work).waits
    solver.let_go.set()
    until(lambda: order_of(work).document)
    assert order_of(work).version == "two"


# -- on the page ---------------------------------------------------------------------------


@pytest.fixture
def desk(tmp_path):
    with Desk(tmp_path / "served") as found:
        yield found


def orders(desk):
    return desk.work.found("mine.toml").orders


def test_sheet_is_made_once_in_the_units_of_the_page_and_again_where_it_is_gone(desk):
    made = write_sheet(desk.folder)
    desk.clerk.done["sheet"] = {"files": [made.name], "state": "holds", "verdict": "Holds."}
    assert desk.do("make", what="sheet").status_code == 303
    until(lambda: orders(desk)[("sheet", "metric")].document)
    assert "Made, of the case as it stands. It says: Holds." in desk.page()
    desk.do("make", what="sheet")
    assert [(one.text, one.about) for one in desk.clerk.asked] == [(PLAIN, "metric")]
    made.unlink()
    assert "it is not there any more" in desk.page()
    desk.do("make", what="sheet")
    until(lambda: len(desk.clerk.asked) == 2)
    desk.client.post("/case/mine.toml/units", data={"token": desk.door.form_token, "units": "inch"})
    desk.do("make", what="sheet")
    until(lambda: len(desk.clerk.asked) == 3)
    assert desk.clerk.asked[-1].about == "inch"


def test_order_survives_a_reload_at_work_and_failed(desk):
    desk.clerk.let_go.clear()
    desk.do("make", what="record")
    until(lambda: "At work: typesetting the pages." in desk.page())
    desk.clerk.let_go.set()
    until(lambda: orders(desk)[RECORD].failed)
    for _ in range(2):
        assert "Not made. The folder: cannot write: the disk is full" in desk.page()


def test_what_was_made_is_old_once_the_case_is_changed(desk):
    desk.clerk.done["record"] = {"files": [write_record(desk.folder).name], "verdict": "Holds."}
    desk.do("make", what="record")
    until(lambda: orders(desk)[RECORD].document)
    assert "It says: Holds." in desk.page()
    (desk.folder / "mine.toml").write_text(PLAIN + "# other\n", "utf-8")
    shown = desk.page()
    assert "Made, but the case was changed since. Make it again." in shown
    assert "It says: Holds." not in shown
    assert "of another text of a case of this name" in shown
    assert "of the case as it stands" not in shown


def test_verified_record_is_verified_again_and_old_once_a_file_of_it_is_other(desk):
    where = write_record(desk.folder)
    stamp = desk_stamp(desk)
    document = {"holds": True, "lines": ["all 12 numbers are reproduced."], "stamps": {"mine-001": stamp}}
    desk.clerk.done["verify"] = document
    desk.do("verify", name="mine-001")
    until(lambda: orders(desk)[("verify", "mine-001")].document)
    assert "Every number is reproduced" in desk.page()
    desk.do("verify", name="mine-001")
    until(lambda: len(desk.clerk.asked) == 2)
    (where / "figures/wall.svg").write_text("other", "utf-8")
    shown = desk.page()
    assert "It was changed since. Verify it again." in shown
    assert "Every number is reproduced" not in shown


def desk_stamp(desk):
    return jobs.OutputFolder(desk.folder).stamp("mine-001")


def test_record_that_does_not_verify_is_a_fault_of_the_step(desk):
    write_record(desk.folder)
    lines = ["Changed since the record was written: results.json"]
    desk.clerk.done["verify"] = {"holds": False, "lines": lines, "stamps": {"mine-001": desk_stamp(desk)}}
    desk.do("verify", name="mine-001")
    until(lambda: orders(desk)[("verify", "mine-001")].document)
    shown = desk.page()
    assert "Not reproduced" in shown
    assert lines[0] in shown
    assert "a fault" in shown


@pytest.mark.parametrize(
    ("action", "fields", "words"),
    [
        ("make", {"what": "nothing"}, "Say what is to be made"),
        ("verify", {"name": "../mine-001"}, "There is no record"),
        ("verify", {"name": "theirs"}, "There is no record"),
        ("compare", {"old": "theirs", "new": ""}, "There is no record"),
        ("compare", {"old": "mine-001", "new": "theirs"}, "There is no record"),
        ("compare", {"old": "mine-001", "new": "mine-001"}, "does not differ from itself"),
    ],
)
def test_what_cannot_be_asked_is_said_and_not_asked(desk, action, fields, words):
    write_record(desk.folder)
    answer = desk.do(action, **fields)
    assert answer.status_code == 422
    assert words in answer.text
    assert desk.clerk.asked == []


def test_nothing_is_made_of_a_text_that_was_not_seen_or_without_the_token(desk):
    assert desk.do("make", what="record", token="wrong").status_code == 403
    answer = desk.do("make", what="record", digest="0" * 64)
    assert answer.status_code == 409
    assert "Nothing was done: the case was changed meanwhile." in answer.text
    assert desk.clerk.asked == []


def test_nothing_is_made_of_a_text_that_is_saved_while_the_button_is_pressed(desk, monkeypatch):
    read = CaseFiles.read

    def saved(files, file):
        found = read(files, file)
        (desk.folder / file).write_text(f"{PLAIN}# saved in an editor\n", "utf-8")
        return found

    seen = iter((read, read, saved))
    monkeypatch.setattr(CaseFiles, "read", lambda *a: next(seen, read)(*a))
    assert desk.do("make", what="record").status_code == 409
    assert desk.clerk.asked == []


def test_comparison_of_two_records_does_not_wait_for_the_case(desk):
    for name in ("mine-001", "mine-002"):
        write_record(desk.folder, name)
    desk.do("compare", old="mine-001", new="mine-002")
    desk.do("compare", old="mine-001", new="")
    until(lambda: len(desk.clerk.asked) == 2)
    versions = {one.about: one.version for one in desk.clerk.asked}
    assert versions[about_sides("metric", "mine-001", "mine-002")] == ""
    assert versions[about_sides("metric", "mine-001", "")] != ""


# -- in the process that solves ------------------------------------------------------------


def test_without_what_a_drawing_needs_one_line_says_what_to_install(monkeypatch):
    monkeypatch.setattr(needed, "find_spec", lambda _: None)
    with pytest.raises(CaseError, match=r"not installed \(ezdxf\); run: pip install"):
        jobs.JOBS["drawing"](Question("drawing", "mine.toml", PLAIN, "", "metric"), lambda *_: None)


def test_place_of_the_folder_is_said_in_words():
    with pytest.raises(OutputError) as told, jobs._in_this_folder():
        raise OutputError.at(".", "cannot write: no permission to write there")
    assert str(told.value) == "the folder: cannot write: no permission to write there"


def test_next_drawing_has_a_number_of_its_own(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert jobs._next_stem("mine") == "mine"
    (tmp_path / "mine_drawing.dxf").write_text("")
    assert jobs._next_stem("mine") == "mine-002"


@pytest.mark.parametrize("command", ["verify", "diff"])
def test_only_records_of_the_folder_are_read(tmp_path, monkeypatch, command):
    (tmp_path / "served").mkdir()
    monkeypatch.chdir(tmp_path / "served")
    write_record(tmp_path, "out")
    write_record(tmp_path / "served", "links")
    (tmp_path / "served/links/figures/wall.svg").unlink()
    (tmp_path / "served/links/figures/wall.svg").symlink_to(tmp_path / "out/record.pdf")
    for name, words in (("../out", "no record in the folder"), ("links", "leads out of the record")):
        about = name if command == "verify" else about_sides("metric", name, name)
        with pytest.raises(jobs.RecordError, match=words):
            jobs.JOBS[command](Question(command, "mine.toml", PLAIN, "", about), lambda *_: None)


def test_nothing_is_made_of_a_press_log_that_grows_meanwhile(tmp_path, monkeypatch):
    log = tmp_path / "log.csv"
    log.write_text("travel [mm], force [kN]\n5, 0.2\n10, 0.5\n15, 0.8\n")
    text = re.sub(r"^\[press\]$", '[press]\nlog = "log.csv"', PLAIN, count=1, flags=re.MULTILINE)
    monkeypatch.chdir(tmp_path)
    written = []

    def check(case, _):
        log.write_text(f"{log.read_text()}20, 1.1\n")
        return case

    monkeypatch.setattr("hoopwright.pipeline.check_case", check)
    monkeypatch.setattr("hoopwright.record.files.write_repair_record", lambda *a, **_: written.append(a))
    with pytest.raises(OutputError, match=r"log\.csv: changed while it was being solved; ask again"):
        jobs.JOBS["record"](Question("record", "mine.toml", text, "", "metric"), lambda *_: None)
    assert written == []
    case = parse_case(text)
    given = {"log.csv": log.read_bytes()}
    require_same_log(case, "mine.toml", given)
    log.write_text(f"{log.read_text()}25, 1.4\n")
    with pytest.raises(OutputError, match="changed while it was being solved"):
        require_same_log(case, "mine.toml", given)


def test_verdict_says_what_is_being_made():
    bench = bench_of(held(small()), old=True, at_work=AtWork("record", "typesetting the pages"))
    assert "Making the record." in " ".join(verdict_view(bench).lines)


def test_nothing_is_made_while_readings_at_the_press_take_the_verdict_back():
    """Sheet, drawing and record are of the check, which does not count them."""
    form = {"what": ["record"]}
    assert record.make(case_bench(PLAIN), form).ask == (RECORD,)
    done = record.make(replace(case_bench(PLAIN), own_log=NOT_COUNTED), form)
    assert done.ask == ()
    assert done.rejected["ask"][1].startswith("Not made. Readings of the press lie beside this case")


def test_cells_are_as_of_the_last_full_check_while_readings_at_the_press_take_the_verdict_back():
    """On Fit and in a row that is opened: none is said to hold."""
    for log, holds in ((None, True), (NOT_COUNTED, False)):
        at = replace(bench_of(held(small())), own_log=log)
        rows = [row for group in fit.view(at)["fit"].rows.groups for row in group.rows]
        assert any("holds" in cell.said for row in rows for cell in row.cells) == holds
        assert opened_of(at, "sleeve_yields", "").old is not holds
