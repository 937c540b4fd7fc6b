"""In a real browser: a size is read, is too large, in the band and too small; a way out is taken, and the
file checks as the page said."""

from __future__ import annotations

import json
import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import exchanged
from test_came_out import case_text

from hoopwright.cli import main
from hoopwright.display import margin_text

FILE = "pair.toml"
PHONE = {"viewport": {"width": 390, "height": 844}}
SHOP = 'readings = 3\nshop_temperature = "24 degC"\nshop_plus_minus = "1 K"\n'


def unturned(units):
    """The pair with its bore read, and its sleeve still to be turned."""
    text = case_text(units=units).replace("readings = 3\n", SHOP)
    at = text.index("[[sleeve.outside]]")
    end = text.index("[fit]")
    size = "40.056 mm" if units == "metric" else "1.5770 in"
    single = f'outside_diameter = "{size}"\noutside_plus_minus = "3 um"\n'
    micrometer = '[gauge.micrometer]\ntype = "outside micrometer"'
    return (text[:at] + single + text[end:]).replace("[gauge.micrometer]", micrometer)


def note(bench, typed):
    """Type what the gauge shows and ask what is left to cut."""
    page = bench.page
    page.get_by_label("It measures now").fill(typed)
    with exchanged(page, "**/do/turn-to/note*"):
        page.keyboard.press("Enter")
    return page.locator(".turn-said-head").inner_text()


def press_button(bench, name):
    page = bench.page
    with exchanged(page, "**/do/turn-to/*"):
        page.get_by_role("button", name=name).click()


def on(file, command, capsys):
    capsys.readouterr()
    main([command, str(file), "--json"])
    return json.loads(capsys.readouterr().out)


def opened(bench, units):
    file = bench.folder / FILE
    file.write_text(unturned(units), "utf-8")
    bench.open(FILE, "turn-to")
    bench.judged()
    return file


@pytest.mark.slow
@pytest.mark.parametrize("bench_page", [PHONE], indirect=True, ids=["phone"])
def test_sleeve_comes_out_small_in_mm_and_another_is_turned(bench_page, capsys):
    page, file = bench_page.page, opened(bench_page, "metric")
    text = file.read_text("utf-8")
    (band,) = on(file, "size", capsys)["turn_to"]["bands"]
    aim, (low, high) = band["shop_aim_mm"], band["shop_readable_mm"]
    assert page.locator(".turn-size b").inner_text() == f"{aim:.3f}"
    assert f"{low:.3f} to {high:.3f}" in page.locator(".turn-band").inner_text()
    assert (
        page.locator("svg.micrometer:visible title").text_content()
        == f"A micrometer that reads {aim:.3f} mm"
    )
    above = note(bench_page, f"{high + 0.011:.3f}")
    assert above.startswith(f"Take off {1e3 * (high + 0.011 - aim):.0f}")
    assert page.get_by_role("button", name="This is what it is").count() == 0
    typed = page.get_by_label("It measures now")
    assert typed.evaluate("(e) => e === document.activeElement")
    assert note(bench_page, f"{aim:.3f} {aim + 0.001:.3f} {aim - 0.001:.3f}").startswith("Stop.")
    assert "mean of 3" in page.locator(".turn-said").inner_text()
    assert note(bench_page, f"{low - 0.020:.3f}") == "It came out small."
    assert page.locator("svg.cut-strip:visible .now-size").text_content() == f"{low - 0.020:.3f} now"
    assert file.read_text("utf-8") == text, "nothing is written by looking"
    press_button(bench_page, "This is what it is")
    assert "turned = true" in file.read_text("utf-8")
    bench_page.judged()
    document = on(file, "size", capsys)
    assert document["verdict"].startswith("Do not press it as it is")
    shown = [card.inner_text() for card in page.locator("article.route").all()]
    for way, card in zip(document["came_out"]["ways"], shown, strict=True):
        assert card.startswith(way["title"])
        assert margin_text(way["margin"]).replace("-", "\u2212") in card
    best = document["came_out"]["ways"][0]
    assert best["state"].startswith("holds")
    press_button(bench_page, re.compile(f"^Make the case so.*{best['title']}"))
    bench_page.judged()
    check = on(file, "check", capsys)
    assert check["state"] == best["state"]
    assert min(row["margin"] for row in check["checks"] if row["margin"] is not None) == pytest.approx(
        best["margin"], abs=1e-6
    )
    assert page.locator(".turn-size b").is_visible()
    assert page.evaluate("document.documentElement.scrollWidth") == 390
    bench_page.assert_quiet()


@pytest.mark.slow
def test_sleeve_in_its_band_in_inches_is_pressed_and_may_be_unturned(bench_page, capsys):
    page, file = bench_page.page, opened(bench_page, "inch")
    text = file.read_text("utf-8")
    (band,) = on(file, "size", capsys)["turn_to"]["bands"]
    low, high = band["shop_readable_in"]
    aim = band["shop_aim_mm"] / 25.4
    assert page.locator(".turn-size").inner_text() == f"{aim:.4f} in"
    assert note(bench_page, f"{high + 0.0008:.4f}").startswith("Take off ")
    assert "thou" in page.locator(".turn-said-head").inner_text()
    assert note(bench_page, f"{low - 0.0004:.4f}") == "It came out small."
    middle = f"{25.4 * aim:.3f} mm"
    assert note(bench_page, middle).startswith(f"Stop. {aim:.4f}")
    page.reload()
    assert page.get_by_label("It measures now").input_value() == middle, "the address has what was read"
    assert file.read_text("utf-8") == text
    press_button(bench_page, "This is what it is")
    bench_page.judged()
    document = on(file, "size", capsys)
    assert document["came_out"]["press"]
    assert page.locator(".turn-out").inner_text().startswith("Press it as it is.")
    assert page.locator("article.route").count() == 0
    press_button(bench_page, "Not turned yet")
    bench_page.judged()
    assert page.locator(".turn-size").inner_text() == f"{aim:.4f} in"
    assert 'outside_diameter = "1.5770 in"' in file.read_text("utf-8")
    assert "\nturned = true" not in file.read_text("utf-8")
    bench_page.assert_quiet()
