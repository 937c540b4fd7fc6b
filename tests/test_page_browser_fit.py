"""In a real browser: the slider of Fit against the case that it writes, and a case without a window."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import IS_STILL

import hoopwright
from hoopwright.page.views.words import margin_shown
from hoopwright.starters import starter_text

pytestmark = pytest.mark.slow
FILE = "plain.toml"
SOUND = starter_text("plain").replace("sample = true ", "# mine       ")
ASKS_TOO_MUCH = SOUND.replace('axial_force = "2 kN"', 'axial_force = "400 kN"')
NUMBERS = """() => Object.fromEntries(Array.from(document.querySelectorAll('#rows td .number'),
  (e) => [e.closest('td').id, e.textContent]))"""


def opened(bench, text):
    """The step Fit of a case, with its slider at work. Returns what the verdict says."""
    (bench.folder / FILE).write_text(text, "utf-8")
    bench.open(FILE, "fit")
    said = bench.judged()
    bench.page.wait_for_selector("#fit-slider:not([disabled])")
    return said


def move_to(page, um):
    page.locator("#fit-field").fill(str(um))
    page.locator("#fit-field").press("Enter")


def test_slider_moves_margins_and_says_holds_of_nothing_until_a_check(bench_page):
    page = bench_page.page
    word, least = opened(bench_page, SOUND)
    before = page.evaluate(NUMBERS)
    page.locator("#fit-slider").focus()
    page.keyboard.press("PageDown")
    moved = page.evaluate(NUMBERS)
    assert sum(moved[id_] != text for id_, text in before.items()) > len(before) / 2
    for um in (30.0, 60.0, 80.0, 110.0):
        move_to(page, um)
        assert page.locator("#verdict .verdict-word").inner_text() == "Not checked"
        assert page.locator("#verdict.verdict-old").count() == 1
        assert page.locator(".verdict-holds, .verdict-part").count() == 0
        assert page.locator("#said").inner_text() != "Holds"
        assert "last full check" in page.locator("#fit-says").inner_text()
    page.locator("#fit-own").click()
    assert bench_page.judged() == (word, least)
    assert page.evaluate(NUMBERS) == before
    move_to(page, 60.0)
    page.get_by_role("button", name="Check at this interference").click()
    page.locator("#verdict[hx-get]").wait_for()
    assert "Holds" not in page.locator("#verdict .verdict-word").inner_text()
    word, least = bench_page.judged()
    written = (bench_page.folder / FILE).read_text("utf-8")
    assert 'outside_diameter = "42.0600 mm"' in written
    found = hoopwright.check(hoopwright.parse_case(written, file=FILE)).document()
    assert word.lower() == found["state"]
    assert least == margin_shown(min(row["margin"] for row in found["checks"] if row["margin"] is not None))
    assert page.locator("#fit-field").input_value() == "60.0"
    bench_page.assert_quiet()


def test_case_without_a_window_cannot_be_set_to_look_right(bench_page):
    page = bench_page.page
    word, _ = opened(bench_page, ASKS_TOO_MUCH)
    assert word == "Fails"
    assert "No window." in page.locator(".fit-bounds").inner_text()
    assert page.locator("#fit-middle").count() == 0
    low, high = (float(page.locator("#fit-slider").get_attribute(end)) for end in ("min", "max"))
    for k in range(9):
        move_to(page, round(low + 0.1 + (high - low - 0.2) * k / 8, 1))
        page.wait_for_function(IS_STILL)
        assert page.locator("#rows td.cell-fails").count() > 0
        assert page.locator("#verdict .verdict-word").inner_text() in ("Not checked", "Fails")
        assert page.locator("#verdict .verdict-least b").inner_text()[0] == "\u2212"
    bench_page.assert_quiet()
