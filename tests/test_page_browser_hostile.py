"""In a real browser: markup, large bodies, a worker that is killed, files and tabs that disagree; nothing
is run and nothing is lost."""

from __future__ import annotations

import os
import signal
import time
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import ANSWER_TO_A_CHANGE, IS_STILL, PATIENCE, exchanged, of_path

from hoopwright.starters import starter_text

pytestmark = pytest.mark.slow
FILE = "plain.toml"
PLAIN = starter_text("plain")
MARKUP = "</p><img src=x onerror='window.ran = 1'><script>window.ran = 1</script><b class=made>"
OUTSIDE = 'outside_diameter = "62 mm"'


@pytest.fixture
def plain(bench_page):
    """The page with a plain case in its folder."""
    (bench_page.folder / FILE).write_text(PLAIN, "utf-8")
    return bench_page


def text_of(bench) -> str:
    return (bench.folder / FILE).read_text("utf-8")


def worker_of(server: int) -> int:
    """Id of the process that solves, of the process that serves."""
    until = time.monotonic() + PATIENCE / 1000
    while time.monotonic() < until:
        for child in Path(f"/proc/{server}/task/{server}/children").read_text().split():
            if "spawn_main" in Path(f"/proc/{child}/cmdline").read_text():
                return int(child)
        for thread in Path(f"/proc/{server}/task").iterdir():
            for child in (thread / "children").read_text().split():
                if "spawn_main" in Path(f"/proc/{child}/cmdline").read_text():
                    return int(child)
        time.sleep(0.05)
    raise AssertionError("no process that solves")


def test_markup_in_title_material_and_file_name_stays_text_and_runs_nothing(plain):
    page = plain.page
    name = "a&b {{7}}.toml"
    text = PLAIN.replace("Plain boss, worn bore, steel sleeve", MARKUP)
    (plain.folder / name).write_text(text.replace("6082-T6", "<i class=made>6082</i>"), "utf-8")
    page.goto(plain.home)
    page.get_by_role("link", name=name).click()
    for step in ("piece", "sizes", "damage", "use", "routes", "fit"):
        plain.open(name.replace("{", "%7B").replace("&", "%26"), step)
        assert page.title().count(MARKUP) == 1
        assert page.locator(".box-piece b").inner_text() == MARKUP
        assert plain.judged()[0] == "Not judged yet"
        assert "<i class=made>6082</i>" in page.locator("#verdict").inner_text()
        assert page.locator(".made, img").count() == 0
    plain.open(FILE, "piece")
    plain.take("title", MARKUP)
    assert page.locator(f"{of_path('title')} input[name=value]").input_value() == MARKUP
    plain.judged()
    assert page.locator(".made, img").count() == 0
    assert page.evaluate("window.ran === undefined")
    plain.assert_quiet()


def test_a_value_of_400_kb_is_not_taken_and_the_page_goes_on(plain):
    page = plain.page
    plain.open(FILE, "piece")
    notes = page.locator(f"{of_path('job.notes')} textarea")
    notes.evaluate("(e) => { e.value = 'x'.repeat(400000); e.form.requestSubmit(); }")
    page.locator("#not-answered").wait_for()
    plain.judged()
    assert "kB" in page.locator("#not-answered").inner_text(), "whatever the server answers meanwhile"
    assert text_of(plain) == PLAIN
    page.reload()
    plain.take("title", "As before")
    assert text_of(plain) == PLAIN.replace("Plain boss, worn bore, steel sleeve", "As before")
    assert page.locator("#not-answered").count() == 0


def test_a_worker_that_is_killed_is_said_in_one_line_and_the_next_question_is_answered(plain):
    page = plain.page
    plain.open(FILE, "piece")
    page.locator("#verdict").get_by_text("Working").wait_for()
    os.kill(worker_of(plain.server), signal.SIGKILL)
    word, least = plain.judged()
    assert (word, least) == ("Not judged yet", "")
    said = page.locator("#verdict .verdict-says p").all_inner_texts()
    assert [line for line in said if "ended by signal 9" in line and "nothing is lost" in line] == said[1:]
    assert text_of(plain) == PLAIN
    plain.take("shell.material", "6061-T6")
    word, least = plain.judged()
    assert (word, least[0]) == ("Sample values: holds as far as judged", "+")
    plain.assert_quiet()


def test_a_file_that_is_edited_outside_shows_both_values_and_either_can_be_chosen(plain):
    page = plain.page
    plain.open(FILE, "sizes")
    for outside, typed, button in (("63 mm", "61", "Write mine"), ("64 mm", "60", "Take the file's")):
        field = page.locator(f"{of_path('shell.outside_diameter')} input[name=value]").first
        field.fill(typed)
        before = text_of(plain)
        theirs = before.replace(
            before[before.index("outside_diameter") :].split("\n")[0], f'outside_diameter = "{outside}"', 1
        ).replace("Worn oval", "Edited outside")
        (plain.folder / FILE).write_text(theirs, "utf-8")
        with exchanged(page, ANSWER_TO_A_CHANGE):
            field.press("Enter")
        shown = page.locator("#changed")
        shown.wait_for()
        assert outside in shown.inner_text()
        assert typed in shown.locator("td").last.inner_text()
        assert text_of(plain) == theirs
        assert "Holds" not in page.locator("#verdict .verdict-word").inner_text()
        shown.get_by_text(button).click()
        shown.wait_for(state="detached")
        page.wait_for_function(IS_STILL)
        kept = text_of(plain)
        assert "Edited outside" in kept
        assert kept == (
            theirs.replace(f'"{outside}"', f'"{typed} mm"') if button == "Write mine" else theirs
        )
        expected = typed if button == "Write mine" else outside.removesuffix(" mm")
        assert (
            page.locator(f"{of_path('shell.outside_diameter')} input")
            .locator("visible=true")
            .first.input_value()
            == expected
        )
    assert [line for line in plain.console if "409" not in line] == []


def test_two_tabs_on_one_file_do_not_write_over_each_other(plain):
    other = plain.page.context.new_page()
    plain.listen(other)
    plain.open(FILE, "sizes")
    plain.open(FILE, "sizes", other)
    plain.take("shell.outside_diameter", "61")
    plain.take("shell.least_wall", "5", other)
    shown = other.locator("#changed")
    shown.wait_for()
    assert 'least_wall = "6 mm"' in text_of(plain)
    assert 'outside_diameter = "61 mm"' in text_of(plain)
    shown.get_by_role("button", name="Write mine").click()
    shown.wait_for(state="detached")
    assert 'least_wall = "5 mm"' in text_of(plain)
    assert 'outside_diameter = "61 mm"' in text_of(plain)


def test_what_is_being_typed_outlives_news_of_the_worker_and_the_answer_to_another_field(plain):
    page, held = plain.page, []
    plain.open(FILE, "sizes")
    wall = page.locator(f"{of_path('shell.least_wall')} input[name=value]")
    wall.fill("5.")
    assert plain.judged()[0] == "Sample values: holds as far as judged"
    assert (wall.input_value(), wall.evaluate("(e) => e === document.activeElement")) == ("5.", True)
    page.route(ANSWER_TO_A_CHANGE, lambda route: held.append(route))
    page.keyboard.press("Escape")
    outside = page.locator(f"{of_path('shell.outside_diameter')} input[name=value]").first
    outside.fill("61")
    outside.press("Tab")
    wall.fill("5.2")
    while not held:
        page.wait_for_timeout(20)
    held[0].continue_()
    page.locator(f"{of_path('shell.outside_diameter')} input[value='61']").first.wait_for()
    page.wait_for_function(IS_STILL)
    assert (wall.input_value(), wall.evaluate("(e) => e === document.activeElement")) == ("5.2", True)
    page.unroute(ANSWER_TO_A_CHANGE)
    with exchanged(page, ANSWER_TO_A_CHANGE):
        wall.press("Enter")
    assert 'least_wall = "5.2 mm"' in text_of(plain)
    assert 'outside_diameter = "61 mm"' in text_of(plain)
    plain.assert_quiet()


def test_a_dimension_is_edited_where_it_stands_and_what_is_typed_there_outlives_an_answer(plain):
    page, held = plain.page, []
    plain.open(FILE, "sizes")

    def open_at(path):
        page.locator(f"#drawing a.size[data-path='{path}']").locator("visible=true").first.click()
        page.locator(".in-place").wait_for()

    open_at("shell.outside_diameter")
    page.keyboard.type("60")
    page.keyboard.press("Escape")
    assert page.locator(".in-place").count() == 0
    assert text_of(plain) == PLAIN
    page.route(ANSWER_TO_A_CHANGE, lambda route: held.append(route))
    open_at("shell.outside_diameter")
    page.keyboard.type("61")
    page.keyboard.press("Enter")
    open_at("sleeve.bore_diameter")
    page.keyboard.type("33.")
    while not held:
        page.wait_for_timeout(20)
    held.pop().continue_()
    page.locator(f"{of_path('shell.outside_diameter')} input[value='61']").first.wait_for()
    page.wait_for_function(IS_STILL)
    assert text_of(plain) == PLAIN.replace(OUTSIDE, 'outside_diameter = "61 mm"')
    page.unroute(ANSWER_TO_A_CHANGE)
    page.keyboard.type("1")
    with exchanged(page, ANSWER_TO_A_CHANGE):
        page.keyboard.press("Enter")
    assert 'bore_diameter = "33.1 mm"' in text_of(plain)
    plain.assert_quiet()
