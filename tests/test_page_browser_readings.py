"""In a real browser: a bore read by keyboard in mm, and by its dial in tenths on a phone. A slip is marked
before the next is typed, and the command says of the file what the page says."""

from __future__ import annotations

import json
import tomllib

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import IS_STILL, exchanged
from page_pictures import TOO_SMALL

from hoopwright.cli import main
from hoopwright.starters import starter_text

pytestmark = pytest.mark.slow
FILE = "plain.toml"
PLAIN = starter_text("plain")
COARSE = "\n[mesh]\nelements_through_wall = 2\n"
METRIC = PLAIN.replace("\nsample = true", "\n#sample = true") + COARSE
INCH = starter_text("plain", "inch") + COARSE
BORE = "readings?land=shell.bore"
TAKEN = "**/do/readings/*"
WORDS = {"undecided": "Undecided", "holds": "Holds", "holds as far as judged": "Holds as far as judged"}
MARKUP = "</p><img src=x onerror='window.ran = 1'><b class=made>"


def begin(bench, text):
    (bench.folder / FILE).write_text(text, "utf-8")
    bench.open(FILE, BORE)


def tables(bench):
    return tomllib.loads((bench.folder / FILE).read_text("utf-8"))


def rows_of(bench):
    return tables(bench)["shell"]["bore"][0]["readings"]


def state_of(bench, capsys):
    """How `hoopwright check` of the file ends."""
    capsys.readouterr()
    main(["check", str(bench.folder / FILE), "--json"])
    return json.loads(capsys.readouterr().out)["state"]


def enter(page, typed):
    """Type a reading and Enter, and wait until it is taken."""
    page.keyboard.type(typed)
    with exchanged(page, TAKEN):
        page.keyboard.press("Enter")


def test_bore_is_read_by_keyboard_and_a_slip_is_marked_before_the_next(bench_page, capsys):
    begin(bench_page, METRIC)
    page = bench_page.page
    bench_page.tab_to("#entry .reading")
    for typed in ("42.001", "42.000", "42.001", "42.002", "42.001", "42.000"):
        enter(page, typed)
        assert page.evaluate("document.activeElement.className") == "reading"
    before = (bench_page.folder / FILE).read_text("utf-8")
    page.keyboard.type("42.012")
    page.locator(".doubt").wait_for()
    assert "90°, 25.0\u00a0mm along: 42.012\u00a0mm" in page.locator(".doubt h3").inner_text()
    assert page.locator("#typed-as").inner_text() == "42.012 mm, next"
    assert page.locator(".clock-face:visible .mark-suspect .value").text_content() == "? 42.012"
    assert (bench_page.folder / FILE).read_text("utf-8") == before
    enter(page, "")
    assert bench_page.judged()[0] == "Undecided" == WORDS[state_of(bench_page, capsys)]
    assert page.locator(".stations .dot-doubt").count() == 1
    bench_page.tab_to("a.doubt-again")
    page.keyboard.press("Enter")
    page.get_by_text("What is typed takes its place").wait_for()
    enter(page, "42.002")
    assert page.locator(".doubt").count() == 0
    for typed in ("42.001", "42.001", "42.000", "42.002", "42.001"):
        enter(page, typed)
    page.get_by_text("Every reading that is planned here was taken").wait_for()
    assert [row["values"] for row in rows_of(bench_page)] == [
        "42.001 42.000 42.001 42.002 mm",
        "42.001 42.000 42.002 42.001 mm",
        "42.001 42.000 42.002 42.001 mm",
    ]
    assert [row["z"] for row in rows_of(bench_page)] == ["8 mm", "25 mm", "42 mm"]
    word = bench_page.judged()[0]
    assert word == WORDS[state_of(bench_page, capsys)]
    assert word.startswith("Holds")
    bench_page.assert_quiet()


@pytest.mark.parametrize("bench_page", [{"viewport": {"width": 390, "height": 844}}], indirect=True)
def test_bore_is_read_by_its_dial_in_tenths_on_a_phone(bench_page):
    begin(bench_page, INCH)
    page = bench_page.page
    page.get_by_label("what the bore gauge shows").select_option("tenth")
    page.get_by_label("ring it is set in").fill("1.6535")
    page.get_by_role("button", name="Read it so").click()
    field = page.locator("#entry .reading")
    field.fill("0.5")
    page.get_by_text("1.65355 in, next").wait_for()
    page.get_by_role("button", name="change the sign").click()
    page.get_by_text("1.65345 in, next").wait_for()
    page.get_by_role("button", name="change the sign").click()
    with exchanged(page, TAKEN):
        page.locator(".entry-take").click()
    page.keyboard.type("+0.3\n1\n", delay=0)  # ahead of the answers
    page.wait_for_function(
        "() => document.querySelectorAll('.stations li:first-child i')[2].textContent === '●'"
    )
    page.wait_for_function(IS_STILL)
    assert rows_of(bench_page)[0]["values"] == "1.65355 1.65353 1.6536 in"
    page.keyboard.press("Backspace")
    page.get_by_text("3rd of 4: 90°").wait_for()
    with exchanged(page, TAKEN):
        page.get_by_role("button", name="Take 1.6536 in away").click()
    assert rows_of(bench_page)[0]["values"] == "1.65355 1.65353 in"
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    assert page.evaluate(TOO_SMALL) == []
    page.goto(bench_page.home)
    bench_page.open(FILE, "readings?land=shell.bore%5B0%5D")
    page.get_by_text("dial against the 1.6535 in ring").wait_for()  # as this gauge was read before
    bench_page.assert_quiet()


def test_markup_in_every_field_is_text_and_a_column_is_seen_first(bench_page):
    begin(bench_page, METRIC)
    page = bench_page.page
    for name in ("#plan-stations", "#plan-angles", "#plan-ring", "#plan-warm"):
        page.locator(name).fill(MARKUP)
    page.locator("#plan-dial").select_option("um")
    page.get_by_role("button", name="Read it so").click()
    page.locator("#entry .reading").fill(MARKUP)
    page.locator("#entry-fault").get_by_text("△!").wait_for()
    with exchanged(page, TAKEN):
        page.keyboard.press("Enter")
    assert page.locator("#entry .reading").input_value() == MARKUP[:60]
    bench_page.open(FILE, BORE)
    page.locator("#paste-column").fill(f"42.001\n{MARKUP}")
    page.get_by_role("button", name="Show where they would go").click()
    assert page.get_by_role("button", name="Take these").count() == 0
    page.locator("#paste-column").fill("42.001\n42.000\n42.002")
    page.get_by_role("button", name="Show where they would go").click()
    assert tables(bench_page)["shell"]["bore_diameter"] == "42.000 mm"
    with exchanged(page, TAKEN):
        page.get_by_role("button", name="Take these 3").click()
    assert rows_of(bench_page)[0]["values"] == "42.001 42.000 42.002 mm"
    assert page.evaluate("window.ran") is None
    assert page.locator(".made").count() == 0
    said = [line for line in bench_page.console if "422" not in line]
    assert said == []
