"""Records, sheets and drawings of a folder: listed by what they say, opened only where they lie, and what
they say never stands as the verdict of the page."""

from __future__ import annotations

import json
import os
import re
from dataclasses import replace
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_benches import bench, html
from page_records import FILES, PLAIN, PORT, VERDICT, Desk, results, seal, sha, write_record, write_sheet

from hoopwright.page import guard
from hoopwright.page.guard import FILE_POLICY, PAPER_POLICY, POLICY
from hoopwright.page.model import BesideText, Order
from hoopwright.page.outputs import MAX_SERVED, OutputFolder
from hoopwright.page.steps import record
from hoopwright.page.views.difference import difference_view
from hoopwright.page.views.outputs import after_care, lists_view

STATIC = Path(guard.__file__).parent / "static"


def at(folder, text=PLAIN, file="mine.toml", **given):
    """The bench of a case in a folder."""
    found = replace(bench(text), file=file, digest=sha(text), outputs=OutputFolder(folder).found())
    return replace(found, **given)


def aged(path, seconds):
    for one in (path, *(path.rglob("*") if path.is_dir() else ())):
        os.utime(one, (seconds, seconds))


# -- listed --------------------------------------------------------------------------------


def test_records_stand_newest_first_with_the_text_that_they_are_of(tmp_path):
    aged(write_record(tmp_path, "mine-001", text="older"), 1_000)
    aged(write_record(tmp_path, "mine-002"), 2_000)
    theirs = {"file": "theirs.toml", "title": "Theirs", "sha256": sha("x")}
    write_record(tmp_path, "theirs-001", case=theirs)
    found = lists_view(at(tmp_path))
    assert [(one.name, one.text, one.of_now) for one in found.records] == [
        ("mine-002", "of the case as it stands", True),
        ("mine-001", "of another text of a case of this name", False),
    ]
    assert [(one.name, one.text) for one in found.others] == [("theirs-001", "of another case")]
    assert found.records[0].says == "Holds"
    assert found.records[0].verdict == VERDICT
    assert record.STEP.mark(at(tmp_path)) == "given"
    assert record.STEP.mark(at(tmp_path, PLAIN + "# changed\n")) == "partly"
    assert record.STEP.mark(at(tmp_path / "figures")) == "nothing"


def test_record_with_another_press_log_or_version_is_not_of_the_case_as_it_stands(tmp_path):
    write_record(tmp_path, press_readings={"sha256": sha("a log")})
    assert not lists_view(at(tmp_path)).records[0].of_now
    with_log = at(tmp_path, log=BesideText("log.csv", "a log", sha("a log")))
    assert lists_view(with_log).records[0].of_now
    other = at(tmp_path, log=BesideText("log.csv", "b log", sha("b log")))
    assert "another press log" in lists_view(other).records[0].text
    write_record(tmp_path, tool={"version": "0.0.1"})
    assert "made by version 0.0.1" in lists_view(at(tmp_path)).records[0].text


def test_record_whose_results_were_changed_says_nothing_and_is_of_nothing(tmp_path):
    where = write_record(tmp_path, state="fails", verdict="Do not cut: it fails.")
    path = where / "results.json"
    path.write_text(path.read_text("utf-8").replace('"fails"', '"holds"').replace("Do not cut", "Holds"))
    (found,) = lists_view(at(tmp_path)).records
    assert (found.of_now, found.says, found.verdict) == (False, "", "")
    assert "not as they were sealed" in html(record.STEP, at(tmp_path))
    assert "Holds" not in html(record.STEP, at(tmp_path))
    assert record.STEP.mark(at(tmp_path)) == "partly"
    seal(where)  # whoever seals it again is found by verifying alone
    assert lists_view(at(tmp_path)).records[0].says == "Holds"


@pytest.mark.parametrize("damage", ["{", "[]", '{"tool": 1}', "[" * 9000, '"\ud800"', '{"case": null}'])
def test_damaged_record_is_listed_as_such(tmp_path, damage):
    where = write_record(tmp_path)
    (where / "results.json").write_text(damage, "utf-8", "surrogatepass")
    (found,) = lists_view(at(tmp_path)).records
    assert "damaged" in found.fault
    assert found.says == ""
    assert "It says" not in html(record.STEP, at(tmp_path))


def test_odd_values_of_a_record_are_shown_as_text_only(tmp_path):
    case = {"file": "mine.toml", "title": "<script>x</script>", "sha256": 5}
    write_record(tmp_path, case=case, state=["holds"], verdict={"a": 1}, files=["figures/wall.svg", 3])
    write_record(tmp_path, "b-001", verdict="<b>bold</b>", state="<i>", case=case)
    shown = html(record.STEP, at(tmp_path))
    assert "<script>" not in shown
    assert "<b>bold" not in shown
    assert "says no verdict" in shown


def test_folders_that_are_links_hidden_or_no_records_are_not_listed(tmp_path):
    served = tmp_path / "served"
    served.mkdir()
    write_record(tmp_path, "out")
    write_record(served, ".hidden")
    (served / "link").symlink_to(tmp_path / "out")
    (served / "empty").mkdir()
    (served / "linked").mkdir()
    (served / "linked/results.json").symlink_to(tmp_path / "out/results.json")
    (served / "out-sheet-001.pdf").symlink_to(write_sheet(tmp_path))
    assert OutputFolder(served).found().records == ()
    assert OutputFolder(served).found().papers == ()


def test_sheets_and_drawings_are_of_a_case_by_the_hash_in_them_or_by_name(tmp_path):
    write_sheet(tmp_path, "mine-sheet-001.pdf", text="older")
    write_sheet(tmp_path, "odd-sheet-001.pdf")
    write_sheet(tmp_path, "theirs-sheet-001.pdf", text="theirs")
    (tmp_path / "mine_drawing.pdf").write_bytes(b"%PDF")
    tag = f"case SHA-256\n  9\n$CUSTOMPROPERTY\n  1\n{sha(PLAIN)}\n"
    (tmp_path / "mine_drawing.dxf").write_text(tag)
    (tmp_path / "mine-002_drawing.pdf").write_bytes(b"%PDF")
    found = lists_view(at(tmp_path))
    told = {one.files[0][1]: (one.of_now, one.text) for one in found.papers}
    assert told["mine-sheet-001.pdf"] == (False, "of another text of a case of this name")
    assert told["odd-sheet-001.pdf"][0]
    assert told["mine_drawing.pdf"] == (True, "of the case file as it stands")
    assert told["mine-002_drawing.pdf"][0] is False
    assert "does not say of which text" in told["mine-002_drawing.pdf"][1]
    assert [one.files[0][1] for one in found.other_papers] == ["theirs-sheet-001.pdf"]


def test_proof_and_removal_are_led_to_where_they_are_of_the_case_as_it_stands(tmp_path):
    write_sheet(tmp_path, text="older")
    write_record(tmp_path, text="older")
    lines = re.findall(r"<p[^>]*>Proof load.*", html(record.STEP, at(tmp_path)))
    assert len(lines) == 1
    assert "href" not in lines[0]
    write_sheet(tmp_path, "mine-sheet-002.pdf")
    write_record(tmp_path, "mine-002")
    (line,) = re.findall(r"<p[^>]*>Proof load.*", html(record.STEP, at(tmp_path)))
    assert re.findall(r'href="([^"]+)"', line) == [
        "/paper/mine-sheet-002.pdf",
        "/record/mine-002/record.pdf",
    ]


@pytest.mark.parametrize(
    ("beside", "words"),
    [
        (
            {"log": BesideText("log.csv", "", "1" * 64)},
            "with the readings of the press as they are",
        ),
        ({"materials": "1" * 64}, "with the materials as they are"),
    ],
)
def test_paper_is_not_said_to_be_of_what_it_does_not_name(tmp_path, beside, words):
    write_sheet(tmp_path)
    found = lists_view(at(tmp_path, **beside))
    (paper,) = found.papers
    assert not paper.of_now
    assert words in paper.text
    assert after_care(found).sheet == ""


def test_paper_that_names_two_cases_is_of_none(tmp_path):
    path = write_sheet(tmp_path)
    path.write_bytes(path.read_bytes() + b" case SHA-256 " + b"0" * 64)
    assert OutputFolder(tmp_path).found().papers[0].sha256 == ""


def test_comparison_is_no_record_of_the_repair(tmp_path):
    write_record(tmp_path, record={"kind": "comparison", "shown_in": "metric"})
    (found,) = lists_view(at(tmp_path)).records
    assert not found.of_now
    assert not found.can_compare
    assert found.text.startswith("a comparison of routes")


def test_stamp_changes_with_every_file_that_is_changed_added_or_gone(tmp_path):
    where, folder = write_record(tmp_path), OutputFolder(tmp_path)
    seen = {folder.stamp("mine-001")}
    (where / "record.pdf").write_text("content of record.pdX", "utf-8")
    seen.add(folder.stamp("mine-001"))
    (where / "more.txt").write_text("")
    seen.add(folder.stamp("mine-001"))
    (where / "more.txt").unlink()
    (where / "section.vtu").unlink()
    seen.add(folder.stamp("mine-001"))
    assert len(seen) == 4
    assert folder.stamp("nothing") == folder.stamp("../served") == ""
    (tmp_path / "link").symlink_to(where)
    assert folder.stamp("link") == ""


def test_stamp_changes_where_the_time_of_a_changed_file_is_set_back(tmp_path):
    path, folder = write_record(tmp_path) / "record.pdf", OutputFolder(tmp_path)
    before, seen = os.stat(path), folder.stamp("mine-001")
    path.write_text("Content of record.pdf", "utf-8")
    os.utime(path, ns=(before.st_atime_ns, before.st_mtime_ns))
    assert os.stat(path).st_size == before.st_size
    assert folder.stamp("mine-001") != seen


# -- opened --------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def desk(tmp_path_factory):
    top = tmp_path_factory.mktemp("desk")
    (top / "secret.txt").write_text("secret")
    with Desk(top / "served") as found:
        where = write_record(found.folder)
        for name in ("unlisted.txt", ".hidden"):
            (where / name).write_text("secret")
        listed = [
            *FILES,
            "link.txt",
            "inner.txt",
            "../secret.txt",
            "../../secret.txt",
            ".hidden",
            "figures",
        ]
        listed += ["huge.txt", "/etc/passwd", "away/secret.txt"]
        (where / "results.json").write_text(json.dumps(results(files=listed)))
        (where / "link.txt").symlink_to(top / "secret.txt")
        (where / "inner.txt").symlink_to(where / "record.pdf")
        (where / "away").symlink_to(top)
        with open(where / "huge.txt", "wb") as huge:
            huge.truncate(MAX_SERVED + 1)
        (found.folder / "linked").symlink_to(where)
        (found.folder / "secret-sheet-001.pdf").symlink_to(top / "secret.txt")
        write_sheet(found.folder)
        (found.folder / "mine_drawing.dxf").write_text("0\nEOF\n")
        yield found


@pytest.mark.parametrize(
    ("address", "kind", "policy", "how"),
    [
        ("record/mine-001/record.pdf", "application/pdf", PAPER_POLICY, "inline"),
        ("record/mine-001/results.json", "application/json", FILE_POLICY, "inline"),
        ("record/mine-001/figures/wall.svg", "image/svg+xml", FILE_POLICY, "inline"),
        ("record/mine-001/mine.toml", "text/plain; charset=utf-8", FILE_POLICY, "inline"),
        ("record/mine-001/SHA256SUMS", "text/plain; charset=utf-8", FILE_POLICY, "inline"),
        ("record/mine-001/section.vtu", "application/octet-stream", FILE_POLICY, "attachment"),
        ("paper/mine-sheet-001.pdf", "application/pdf", PAPER_POLICY, "inline"),
        ("paper/mine_drawing.dxf", "application/octet-stream", FILE_POLICY, "attachment"),
    ],
)
def test_file_is_opened_as_its_name_says_and_runs_nothing(desk, address, kind, policy, how):
    answer = desk.client.get(f"/{address}")
    assert answer.status_code == 200
    headers = answer.headers
    assert headers["content-type"] == kind
    assert headers["content-security-policy"] == policy
    assert headers["x-content-type-options"] == "nosniff"
    assert headers["cache-control"] == "no-store"
    assert headers["content-disposition"].startswith(how)


def test_policies_of_files_let_no_script_run():
    assert FILE_POLICY.startswith("sandbox; default-src 'none'")
    for policy in (FILE_POLICY, PAPER_POLICY):
        assert "default-src 'none'" in policy
        assert "script" not in policy
        assert "frame-ancestors 'none'" in policy


@pytest.mark.parametrize(
    "address",
    [
        "record/mine-001/unlisted.txt",
        "record/mine-001/.hidden",
        "record/mine-001/link.txt",
        "record/mine-001/inner.txt",
        "record/mine-001/away/secret.txt",
        "record/mine-001/huge.txt",
        "record/mine-001/figures",
        "record/mine-001/",
        "record/mine-001/..%2f..%2fsecret.txt",
        "record/mine-001/..%2fsecret.txt",
        "record/mine-001/%2e%2e/mine.toml",
        "record/mine-001/figures%2f..%2frecord.pdf",
        "record/mine-001//etc/passwd",
        "record/mine-001/%2fetc%2fpasswd",
        "record/mine-001/record.pdf%00",
        "record/mine-001/figures%5cwall.svg",
        "record/linked/record.pdf",
        "record/..%2fserved%2fmine-001/record.pdf",
        "record/%2e/record.pdf",
        "record/mine.toml/record.pdf",
        "record/nothing/record.pdf",
        "paper/secret-sheet-001.pdf",
        "paper/mine.toml",
        "paper/..%2fsecret.txt",
        "paper/mine-001%2frecord.pdf",
    ],
)
def test_nothing_else_is_opened(desk, address):
    answer = desk.client.get(f"/{address}")
    assert answer.status_code == 404
    assert "secret" not in answer.text
    assert answer.headers["content-security-policy"] == POLICY


def test_other_sites_do_not_open_a_record(desk):
    address = "/record/mine-001/record.pdf"
    assert desk.client.get(address, headers={"host": f"evil.example:{PORT}"}).status_code == 400
    assert desk.client.get(address, headers={"origin": "http://evil.example"}).status_code == 403
    assert desk.client.post(address, data={"token": desk.door.form_token}).status_code == 405


# -- what changed --------------------------------------------------------------------------


def a_difference(**given):
    def cell(title, old, new):
        judged = [None if one is None else {"margin": one[0], "state": one[1]} for one in (old, new)]
        return {"title": title, "stage": "in use", "old": judged[0], "new": judged[1]}

    found = {
        "a": {"name": "mine-001", "notes": ["changed since the record was written: results.json"]},
        "b": {"name": "mine.toml", "notes": []},
        "inputs": [{"table": "[sleeve]", "key": "length", "shown": ["50 mm", "40 mm"]}],
        "margins": [
            cell("sleeve turns", (0.4, "holds"), (-0.14, "fails")),
            cell("shell yields", (0.4001, "holds"), (0.4002, "holds")),
        ],
        "new": [cell("joint slips", None, (0.01, "unresolved"))],
        "lost": [],
        "verdict": {"old": "Holds.", "new": "Do not cut."},
        "state": {"old": "holds", "new": "fails"},
    }
    return found | given


def compared(tmp_path, *, current=True, **given):
    order = Order("diff", "metric\nmine-001\n", "v", a_difference(**given), current=current)
    return at(tmp_path, orders=(order,))


def test_difference_shows_inputs_margins_rows_and_both_verdicts(tmp_path):
    (found,) = difference_view(compared(tmp_path))
    assert (found.old, found.new, found.says) == ("mine-001", "the case as it stands", "")
    assert [(one.old, one.new) for one in found.verdicts] == [("Holds", "Fails"), ("Holds.", "Do not cut.")]
    assert [(one.where, one.what, one.old, one.new) for one in found.inputs] == [
        ("[sleeve]", "length", "50\u00a0mm", "40\u00a0mm")
    ]
    assert [(one.what, one.old, one.new) for one in found.margins] == [
        ("Sleeve turns", "+0.40", "\u22120.14 FAILS")
    ]
    assert found.margins_note == "1 margin more moved by less than 0.01."
    assert [(one.what, one.old, one.new) for one in found.rows] == [
        ("Joint slips", "not judged", "+0.01 undecided")
    ]
    shown = html(record.STEP, compared(tmp_path))
    assert "mine-001: changed since the record was written: results.json" in shown
    ids = re.findall(r'\sid="([^"]+)"', shown)
    assert len(ids) == len(set(ids))


def test_difference_of_files_that_were_changed_since_says_so(tmp_path):
    assert "Old: what was compared was changed since." in html(
        record.STEP, compared(tmp_path, current=False)
    )


# -- on paper ------------------------------------------------------------------------------


def test_every_colour_of_the_page_is_another_on_paper():
    """A colour that is forgotten may be white on white."""
    given = set(re.findall(r"(--[a-z0-9]+): #", (STATIC / "tokens.css").read_text("utf-8")))
    on_paper = dict(re.findall(r"(--[a-z0-9]+): (#[0-9A-F]{6})", (STATIC / "print.css").read_text("utf-8")))
    assert given == set(on_paper)
    assert given > {"--ink", "--onbad"}
    assert {on_paper[name] for name in ("--ink", "--yours", "--bad", "--onbad", "--ok")} == {"#000000"}
    assert {on_paper[name] for name in ("--bench", "--sheet", "--badfill")} == {"#FFFFFF"}
