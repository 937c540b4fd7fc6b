"""In a real browser: sheet, drawing and record made, opened, verified, compared; the step on paper."""

from __future__ import annotations

import io
import os
import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import IS_JUDGED, PATIENCE

from hoopwright.cli import main
from hoopwright.page.questions import Outcome, Question
from hoopwright.page.solver import Solver
from hoopwright.starters import starter_text

pypdf = pytest.importorskip("pypdf")
pytest.importorskip("ezdxf", reason="drawings are an extra")

FILE, CASE = "plain.toml", starter_text("plain")
MADE = ["plain-001", "plain-sheet-001.pdf", "plain.toml", "plain_drawing.dxf", "plain_drawing.pdf"]
CANCELLED_AT = ("sleeve_yields", "typesetting the pages")


def ask(bench_page, button):
    """Press a button and wait until the worker has done what it asks."""
    page = bench_page.page
    with page.expect_response("**/do/record/*"):
        page.locator(button).click()
    page.wait_for_function(IS_JUDGED, timeout=PATIENCE)


def on_paper(page):
    """Pages of the print of a step, as text."""
    made = page.pdf(format="A4", print_background=False, prefer_css_page_size=True)
    return [one.extract_text() for one in pypdf.PdfReader(io.BytesIO(made)).pages]


def signs_of_cells(page, media):
    """How cells are told apart: the sign of one that fails, and its colour, that of one not judged."""
    page.emulate_media(media=media)
    found = page.evaluate("""() => {
      const cells = ["cell-fails", "cell-unsaid"].map((look) => {
        const cell = document.createElement("span");
        cell.className = look;
        cell.innerHTML = '<span class="value"><span class="sign">×</span></span>';
        document.querySelector("#step").append(cell);
        return cell;
      });
      const sign = getComputedStyle(cells[0].querySelector(".sign"));
      return [sign.display, sign.color, getComputedStyle(cells[1], "::after").content];
    }""")
    page.emulate_media(media="screen")
    return found


def words_of(bench_page, selector):
    return re.sub(r"\s+", " ", bench_page.page.locator(selector).inner_text())


@pytest.mark.slow
def test_sheet_drawing_and_record_from_button_to_paper(bench_page, capsys):
    page, folder = bench_page.page, bench_page.folder
    (folder / FILE).write_text(CASE, "utf-8")
    bench_page.open(FILE, "record")
    bench_page.judged()
    assert "Nothing was made of this case yet." in page.content()
    for what in ("sheet", "drawing", "record"):
        ask(bench_page, f"#make-{what}")
        assert page.locator(".order-failed").all_inner_texts() == []
    assert sorted(os.listdir(folder)) == MADE
    assert page.locator("#compare-old option").all_inner_texts() == ["plain-001"]
    assert page.locator(".made-now").all_inner_texts() == [
        "of the case as it stands",
        *(2 * ["of the case file as it stands"]),
    ]

    for address in page.locator(".made-files a").evaluate_all("(found) => found.map((a) => a.href)"):
        assert page.request.get(address).ok, address
    drawn = page.context.new_page()
    bench_page.listen(drawn)
    drawn.goto(f"{bench_page.home}record/plain-001/figures/margins.svg")
    assert drawn.evaluate("document.documentElement.clientWidth") > 100
    drawn.close()

    ask(bench_page, "#verify-plain-001")
    capsys.readouterr()
    assert main(["verify", str(folder / "plain-001")]) == 0
    said = capsys.readouterr().out.replace(f"{folder}/", "")
    shown = page.locator("#verified-plain-001 .verify-lines li").all_inner_texts()
    assert [line.replace("\u00a0", " ") for line in shown] == said.splitlines()
    assert words_of(bench_page, "#verified-plain-001 .verified-word") == "Reproduced"

    page.emulate_media(color_scheme="dark")
    sheets = on_paper(page)
    assert len(sheets) in (1, 2)
    words = re.sub(r"\s+", " ", " ".join(sheets))
    for part in ("Sample values: holds as far as judged", "plain.toml", "Look for cracks", "Reproduced"):
        assert part in words
    assert "Make the record" not in words
    assert "Cancel" not in words
    assert signs_of_cells(page, "print") == ["inline", "rgb(0, 0, 0)", '"· · ·"']
    assert signs_of_cells(page, "screen")[0] == "inline"
    bench_page.assert_quiet()


@pytest.mark.slow
def test_older_record_is_compared_and_one_that_was_changed_does_not_verify(bench_page, capsys):
    page, folder = bench_page.page, bench_page.folder
    (folder / FILE).write_text(CASE, "utf-8")
    bench_page.open(FILE, "record")
    ask(bench_page, "#make-record")
    bench_page.open(FILE, "sizes")
    bench_page.take("sleeve.outside_diameter", "42.050 mm")
    bench_page.judged()
    bench_page.open(FILE, "record")
    assert words_of(bench_page, "#record-plain-001 .made-text") == "of another text of a case of this name"
    assert "the case was changed since" in words_of(bench_page, ".orders")
    ask(bench_page, "#compare-plain-001")
    shown = words_of(bench_page, "[aria-label=Compared]")
    assert "outside_diameter [sleeve] 42.045 mm 42.050 mm" in shown
    assert re.search(r"Sleeve yields entering \+0\.\d\d \+0\.\d\d", shown)

    results = folder / "plain-001" / "results.json"
    text = results.read_text("utf-8")
    changed = re.sub(r'"margin": 0\.6', '"margin": 0.9', text, count=1)
    assert changed != text
    results.write_text(changed, "utf-8")
    page.reload()
    assert "Old: what was compared was changed since." in words_of(bench_page, "[aria-label=Compared]")
    ask(bench_page, "#verify-plain-001")
    assert words_of(bench_page, "#verified-plain-001 .verified-word") == "Not reproduced"
    capsys.readouterr()
    assert main(["verify", str(folder / "plain-001")]) == 1
    said = capsys.readouterr().out.replace(f"{folder}/", "")
    assert "results.json" in said
    lines = page.locator("#verified-plain-001 .verify-lines li").all_inner_texts()
    assert len(lines) == len(said.splitlines())
    assert "Changed since the record was written: results.json" in lines
    bench_page.assert_quiet()


@pytest.mark.slow
def test_cancelled_record_leaves_nothing_behind(tmp_path):
    (tmp_path / FILE).write_text(CASE, "utf-8")
    real = Solver(tmp_path)
    seen: list[str] = []
    record = Question("record", FILE, CASE, "one", "metric")
    for at in CANCELLED_AT:
        outcome = real.ask(record, lambda *news: seen.append(news[0]), lambda at=at: at in seen)
        assert outcome == Outcome()
        seen.clear()
    real.close()
    assert os.listdir(tmp_path) == [FILE]
