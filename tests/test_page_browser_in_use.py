"""In a real browser: walking over the maps of In use by keys, pointer and finger, and without script."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from map_cases import LOADED

pytestmark = pytest.mark.slow
FILE = "loaded.toml"
LINE = "#{}-map-line"
ALL_READY = "() => document.querySelectorAll('.map-frame[data-ready]').length === 3"
READY = ".map-frame[data-ready]"
SMALL = {"viewport": {"width": 390, "height": 844}, "color_scheme": "dark", "has_touch": True}


def opened(bench, asked=""):
    """The step with its maps ready to be walked over. Returns the document of its values."""
    (bench.folder / FILE).write_text(LOADED, "utf-8")
    bench.open(FILE, f"in-use{asked}")
    assert bench.judged()[0] == "Fails"
    bench.page.wait_for_function(ALL_READY)
    return bench.page.request.get(f"{bench.home}case/{FILE}/maps.json").json()


def said(page, which):
    return page.locator(LINE.format(which)).inner_text().replace("\u00a0", " ")


def section_text(document, moment, body, line, level):
    """What the section says at a point of its grid, from the document."""
    k = [grid["body"] for grid in document["bodies"]].index(body)
    grid, values = document["bodies"][k], document["moments"][moment]["bodies"][k]
    share = document["levels"][level]
    r = grid["bore_mm"][line] + share * (grid["outside_mm"][line] - grid["bore_mm"][line])
    place = f"{body}, z {grid['z_mm'][line]:.1f} mm, r {r:.2f} mm: "
    limit, stress = values["limit_MPa"][line], values["stress_MPa"][level][line]
    if limit is None:
        return f"{place}not judged, beside an edge of the clamp"
    return f"{place}{stress:.1f} MPa, {stress / limit:.2f} of its limit"


def test_keys_and_pointer_say_what_the_document_says(bench_page):
    page, keys = bench_page.page, bench_page.page.keyboard
    document = opened(bench_page, "?moment=m2")
    shell = document["bodies"][1]
    last = len(shell["z_mm"]) - 1
    bench_page.tab_to("#stress-map")
    assert page.locator("#stress-map").get_attribute("role") == "application"
    keys.press("Home")
    nearest = document["moments"][1]["bodies"][1]["nearest"]
    assert said(page, "stress").startswith(f"shell, z {nearest['z_mm']:.1f} mm, r 21.00 mm: ")
    assert f"{nearest['stress_MPa']:.1f} MPa" in said(page, "stress")
    for _ in range(3):
        keys.press("ArrowRight")
    assert said(page, "stress") == section_text(document, 1, "shell", last, 0)
    keys.press("ArrowUp")
    assert said(page, "stress") == section_text(document, 1, "shell", last, 1)
    for _ in range(12):
        keys.press("Shift+ArrowLeft")
    assert said(page, "stress") == section_text(document, 1, "shell", 0, 1)
    assert "not judged" in said(page, "stress")
    for _ in range(2):
        keys.press("ArrowDown")
    assert said(page, "stress").startswith("sleeve, ")
    keys.press("End")
    sleeve = said(page, "stress")
    assert sleeve.startswith("sleeve, ")
    assert page.locator(LINE.format("stress")).get_attribute("aria-live") == "polite"
    # the pointer, on the mark of the shell
    page.locator("#stress-map svg:visible .peak").nth(1).hover(force=True)
    assert said(page, "stress") != sleeve
    assert f"{nearest['stress_MPa']:.1f} MPa" in said(page, "stress")
    assert page.locator("#stress-map svg:visible .cross").get_attribute("visibility") == "visible"
    # the seat: once round it, and to where it slips
    page.locator("#slip-map").focus()
    keys.press("Home")
    home = said(page, "slip")
    assert "of what is held, it slips" in home
    keys.press("ArrowUp")
    assert said(page, "slip") != home
    keys.press("ArrowDown")
    assert said(page, "slip") == home
    bench_page.assert_quiet()


def test_another_moment_and_a_row_are_a_tap_away_and_old_maps_go(bench_page):
    page = bench_page.page
    document = opened(bench_page)
    page.locator(".moments a").nth(1).click()
    page.wait_for_url("**/in-use?moment=*")
    page.wait_for_selector(READY)
    chosen = page.locator("#stress-map").get_attribute("data-part")
    moment = next(m for m in document["moments"] if m["id"] == chosen)
    assert f"{moment['state']['temperature_degC']:.0f} °C" in page.locator(
        "#answers .map-says"
    ).first.inner_text().replace("\u00a0", " ")
    page.locator("#row-shell_yields .row-head").click()
    page.locator("#open-shell_yields .open[data-stage='in use']").wait_for()
    (bench_page.folder / FILE).write_text(LOADED.replace('"42.040 mm"', '"42.050 mm"'), "utf-8")
    page.reload()
    if page.locator("#verdict[hx-get]").count():
        assert page.locator(".map-frame").count() == 0
    bench_page.judged()
    page.wait_for_selector(READY)
    other = page.request.get(f"{bench_page.home}case/{FILE}/maps.json").json()
    assert other["moments"][0]["interference_um"] > document["moments"][0]["interference_um"] + 5.0
    page.locator("#row-shell_yields a").click()
    page.wait_for_url("**/fit?row=shell_yields*")
    assert page.locator("#open-shell_yields .open[data-stage='in use']").is_visible()
    bench_page.assert_quiet()


@pytest.mark.parametrize("bench_page", [SMALL], indirect=True)
def test_a_finger_reads_the_maps_on_a_phone(bench_page):
    page = bench_page.page
    opened(bench_page)
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    frame = page.locator("#opening-map svg:visible")
    frame.scroll_into_view_if_needed()
    box, before = frame.bounding_box(), said(page, "opening")
    page.touchscreen.tap(box["x"] + 0.92 * box["width"], box["y"] + 0.3 * box["height"])
    assert said(page, "opening") != before
    assert "MPa" in said(page, "opening")
    assert said(page, "opening").startswith("seat, z ")
    bench_page.assert_quiet()


@pytest.mark.parametrize("bench_page", [{"java_script_enabled": False}], indirect=True)
def test_without_script_the_maps_are_drawings_with_tables(bench_page):
    page = bench_page.page
    (bench_page.folder / FILE).write_text(LOADED, "utf-8")
    for _ in range(200):
        bench_page.open(FILE, "in-use")
        if page.locator(".map-frame").count() == 3:
            break
        page.wait_for_timeout(200)
    assert page.locator(".map-keys:visible").count() == 0
    assert page.locator(".map-line:visible").all_inner_texts() == ["", "", ""]
    page.get_by_text("The same as a table").first.click()
    assert page.get_by_role("region", name="Map of the stress in the section, as a table").is_visible()
    assert page.locator("svg.map:visible").count() == 3
