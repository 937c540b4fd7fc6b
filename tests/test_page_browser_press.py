"""In a real browser: a sleeve is pressed reading by reading, a stop stands until it is answered, and a log
that contradicts the case leaves nothing that holds on any step."""

from __future__ import annotations

import json
import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import FOCUSED, exchanged

from hoopwright.cli import main
from hoopwright.page.parts import Parts
from hoopwright.pressing.press_log import open_log
from hoopwright.starters import starter_text

FILE, LOG = "mine.toml", "mine press.csv"
PHONE = {"viewport": {"width": 390, "height": 844}}
COARSE = "\n[mesh]\nelements_through_wall = 2\n"
IS_ANOTHER_LINE = """(before) => {
  const line = document.querySelector(".press-line");
  return line === null || line.innerText !== before;
}"""
PER_BAR, PER_PSI = 10.0, 145.0377377


def begun(bench, units):
    """A case that holds, its page of pressing with the line computed, and its document by the command."""
    text = re.sub(r"^sample.*\n", "", starter_text("plain", units), flags=re.MULTILINE) + COARSE
    (bench.folder / FILE).write_text(text, "utf-8")
    bench.open(FILE, "press")
    bench.page.locator("#press-entry").wait_for()


def document(bench, capsys):
    capsys.readouterr()
    main(["press", str(bench.folder / FILE), "--json"])
    return json.loads(capsys.readouterr().out)


def enter(bench, gauge, travel=""):
    """Type what is called out, and Enter; the page that comes of it."""
    page = bench.page
    if travel:
        page.locator(".press-travel").fill(travel)
    page.locator(".press-gauge").fill(gauge)
    with exchanged(page, "**/do/press/enter**"):
        page.locator(".press-gauge").press("Enter")


def readings(bench):
    return [row.values for row in open_log((bench.folder / LOG).read_bytes(), file="log").rows]


@pytest.mark.slow
def test_pressing_in_bar_stops_at_a_misreading_and_goes_home(bench_page, capsys):
    begun(bench_page, "metric")
    page, table = bench_page.page, document(bench_page, capsys)["force_against_travel"]["table"]["metric"]
    for row in table[:3]:
        said = page.locator(".press-line").inner_text()
        assert said == f"Stop above {row['gauge_stop_MPa'] * PER_BAR:.0f} bar at {row['travel_mm']:.0f} mm"
        assert page.locator(".dial .plate-words").text_content() == f"stop above {said.split()[2]} bar"
        enter(bench_page, f"{row['gauge_likely_MPa'] * PER_BAR:.0f}")
        page.wait_for_function(FOCUSED, arg=".press-gauge")
    assert f'log = "{LOG}"' in (bench_page.folder / FILE).read_text("utf-8")
    above = f"{table[3]['gauge_stop_MPa'] * PER_BAR + 5:.0f}"
    page.locator(".press-gauge").press_sequentially(above)
    assert page.locator(".press-field-over").count() == 1, "red while it is typed"
    assert "Take the pressure off" in page.locator("#press-live").inner_text()
    enter(bench_page, above)
    assert_stopped(page, f"{above} bar at 20 mm.")
    page.reload()
    assert_stopped(page, f"{above} bar at 20 mm.")
    page.get_by_role("button", name=f"Misread: correct {above}").click()
    page.locator("#press-entry").wait_for()
    assert page.locator(".press-travel").input_value() == "20"
    for row in table[3:]:
        enter(bench_page, f"{row['gauge_likely_MPa'] * PER_BAR:.0f}")
    assert "It is home" in page.locator(".press-ahead").inner_text()
    assert [row["travel"] for row in readings(bench_page)] == [row["travel_mm"] for row in table]
    assert f"# {above} bar at 20 mm, misread" in (bench_page.folder / LOG).read_text("utf-8")
    word, _ = bench_page.judged()
    assert word == "Holds"
    found = document(bench_page, capsys)["inferred_fit"]
    fit = found["interference_um"]
    told = page.locator("#answers").inner_text()
    assert f"Interference {fit['low']:.1f} to {fit['high']:.1f}" in told.replace("\u00a0", " ")
    bench_page.assert_quiet()


def assert_stopped(page, said):
    assert page.get_by_role("alert").filter(has_text="Stop").first.is_visible()
    assert said in page.locator("#press-stop").inner_text()
    assert page.locator(".press-gauge").count() == 0


@pytest.mark.slow
@pytest.mark.parametrize("bench_page", [PHONE], indirect=True)
def test_log_in_psi_that_contradicts_the_case_turns_the_verdict_on_every_step(bench_page, capsys):
    begun(bench_page, "inch")
    page, table = bench_page.page, document(bench_page, capsys)["force_against_travel"]["table"]["inch"]
    line, verdict = (page.locator(name).bounding_box() for name in (".press-line", "#verdict"))
    assert line["y"] < verdict["y"]
    assert bench_page.judged()[0] == "Holds"
    for row in table:
        assert page.locator(".press-line b").inner_text() == f"{row['gauge_stop_MPa'] * PER_PSI:.0f} psi"
        enter(bench_page, "100")
    assert "below the least: suspect the fit" in page.locator(".press-read").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert bench_page.judged() == ("Undecided", "")
    assert "contradicts the case" in page.locator("#answers").inner_text()
    for step in Parts().steps:
        bench_page.open(FILE, step.id)
        assert page.locator("#verdict .verdict-word").inner_text() == "Undecided", step.id
        assert page.locator("#verdict .verdict-least").count() == 0
        assert page.locator("#verdict a", has_text="See the press").count() == 1
    found = document(bench_page, capsys)["inferred_fit"]
    assert "interference_um" not in found
    assert found["misfit"] or found["contradicts"]
    assert found["source"] == f"a log of {len(table)} readings"
    bench_page.assert_quiet()


@pytest.mark.slow
def test_sizes_changed_on_another_device_take_the_line_from_the_page(bench_page):
    begun(bench_page, "metric")
    page, file = bench_page.page, bench_page.folder / FILE
    assert bench_page.judged()[0] == "Holds"
    other = page.context.new_page()
    bench_page.listen(other)
    bench_page.open(FILE, "sizes", other)
    bench_page.take("sleeve.outside_diameter", "42.040", other)
    page.locator(".press-gauge").fill("15")
    with exchanged(page, "**/do/press/enter**"):
        page.locator(".press-gauge").press("Enter")
    assert "42.040" in file.read_text("utf-8")
    assert not (bench_page.folder / LOG).exists()
    page.locator("#press-entry").wait_for()
    assert "Stop above" in page.locator(".press-line").inner_text(), "taken up by itself"


@pytest.mark.slow
def test_page_left_open_shows_nothing_of_sizes_that_are_no_more(bench_page):
    """What an editor changed meanwhile takes verdict and stop line away, with nobody asking."""
    begun(bench_page, "metric")
    page, file = bench_page.page, bench_page.folder / FILE
    bench_page.judged()
    before = page.locator(".press-line").inner_text()
    page.locator(".press-gauge").fill("7")
    file.write_text(file.read_text("utf-8").replace('"42.045 mm"', '"42.060 mm"'), "utf-8")
    page.wait_for_function(IS_ANOTHER_LINE, arg=before)
    bench_page.assert_quiet()
