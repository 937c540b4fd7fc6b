"""In a real browser: from an empty folder to the verdict of `hoopwright check` of the file."""

from __future__ import annotations

import json
from typing import Any

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from browser import ANSWER_TO_A_CHANGE, exchanged, of_path

from hoopwright.cli import main
from hoopwright.page.views.rows import margin_shown

WORDS = {
    "holds": "Holds",
    "holds as far as judged": "Holds as far as judged",
    "undecided": "Undecided",
    "fails": "Fails",
}
STEPS = ("piece", "sizes", "damage", "use", "routes", "fit")
CRANK_SHELL = {
    "piece": {"title": "Crank shell of a test", "shell.material": "6082-T6"},
    "sizes": {
        "shell.outside_diameter": "53.6",
        "sleeve.outside_diameter": "41.046 mm",
        "shell.least_wall": "2.2",
        "sleeve.most_bore_closure": "70",
    },
    "damage": {"boring.finish_cut": "0.06", "boring.runout": "0.05"},
    "use": {"temperatures.use_most": "45", "demand.axial_force": "1.6"},
}
"""Ten values, by the step on which each is given."""
HUB = {
    "piece": {"title": "Hub of a test"},
    "sizes": {
        "shell.outside_diameter": "2.25",
        "sleeve.outside_diameter": "1.4973",
        "shell.least_wall": "0.21",
        "fit.friction_high": "0.22",
    },
    "damage": {"boring.runout": "2.2 thou", "boring.depth_of_cut": "14 thou"},
    "use": {"demand.axial_force": "420", "demand.torque": "14", "temperatures.use_most": "108"},
}


def checked(file, capsys) -> dict[str, Any]:
    """What the command says of a file."""
    capsys.readouterr()
    main(["check", str(file), "--json"])
    return json.loads(capsys.readouterr().out)


def assert_says_the_same(bench, document) -> None:
    """Verdict, least margin and every cell of the table on the page against the document."""
    word, least = bench.judged()
    assert word == WORDS[document["state"]]
    margins = [row["margin"] for row in document["checks"] if row["margin"] is not None]
    assert least == f"{min(margins):+.2f}".replace("-", "\u2212")
    shown = bench.page.evaluate(
        "() => Object.fromEntries(Array.from(document.querySelectorAll('#rows td[id^=cell-]'),"
        " (td) => [td.id, (td.querySelector('.number') || {}).textContent || '']))"
    )
    seen = 0
    for row in document["checks"]:
        for cell in row["cells"]:
            if cell["margin"] is None:
                continue
            seen += 1
            text = shown[f"cell-{row['id']}-{cell['where']['stage'].replace(' ', '-')}"]
            assert text == margin_shown(cell["margin"]), cell["where"]
    assert seen > 20


@pytest.mark.slow
def test_crank_shell_in_mm_from_an_empty_folder_to_the_verdict_of_the_command(bench_page, capsys):
    page, file = bench_page.page, "crank.toml"
    page.get_by_role("radio", name="a crank shell").check()
    page.get_by_label("Name of its file").fill("crank")
    page.get_by_role("button", name="Begin").click()
    for step in STEPS:
        page.wait_for_url(f"**/case/{file}/{step}")
        for path, value in CRANK_SHELL.get(step, {}).items():
            bench_page.take(path, value)
            assert page.locator(".field-fault").all_inner_texts() == []
        if step == "piece":
            assert "Holds" not in page.locator("#verdict .verdict-word").inner_text()
            page.get_by_role("button", name="All values are mine now").click()
            page.get_by_role("button", name="All values are mine now").wait_for(state="detached")
        if step == "routes":
            page.locator("#verdict").get_by_role("button", name="Cancel").click()
            page.get_by_text("Cancelled before it was done.").first.wait_for()
        if step != STEPS[-1]:
            page.get_by_role("link", name="Next:").last.click()
    document = checked(bench_page.folder / file, capsys)
    assert "\nsample" not in (bench_page.folder / file).read_text("utf-8")
    assert_says_the_same(bench_page, document)
    page.locator("#row-shell_yields .row-head").click()
    opened = page.locator("#open-shell_yields")
    opened.get_by_text("Working", exact=True).click()
    assert opened.locator(".working").first.is_visible()
    opened.get_by_text("What this row is about").click()
    assert "If it fails" in opened.inner_text()
    assert opened.get_by_text("How it looks").is_visible()
    bench_page.assert_quiet()


@pytest.mark.slow
def test_hub_in_inch_from_an_empty_folder_to_the_verdict_by_keyboard_alone(bench_page, capsys):
    page, file, keys = bench_page.page, "hub.toml", bench_page.page.keyboard
    bench_page.tab_to("input[name=piece]")
    for _ in range(10):
        if page.evaluate("document.querySelector('input[name=piece][value=hub]').checked"):
            break
        keys.press("ArrowDown")
    bench_page.tab_to("input[name=units]")
    keys.press("ArrowRight")
    bench_page.tab_to("input[name=file]")
    keys.type("hub")
    keys.press("Enter")
    for step in STEPS:
        page.wait_for_url(f"**/case/{file}/{step}")
        for path, value in HUB.get(step, {}).items():
            bench_page.tab_to(f"{of_path(path)} input[name=value]")
            keys.press("Control+a")
            keys.type(value)
            with exchanged(page, ANSWER_TO_A_CHANGE):
                keys.press("Enter")
            assert page.locator(".field-fault").all_inner_texts() == []
            assert page.locator(f"{of_path(path)} input[name=value]").first.input_value().startswith(value)
        if step == "piece":
            bench_page.tab_to("button.action")
            keys.press("Enter")
            page.locator("button.action").wait_for(state="detached")
        if step == "routes":
            bench_page.tab_to(".verdict-cancel button")
            keys.press("Enter")
            page.get_by_text("Cancelled before it was done.").first.wait_for()
        if step != STEPS[-1]:
            keys.press("Alt+Shift+ArrowRight")
    document = checked(bench_page.folder / file, capsys)
    assert_says_the_same(bench_page, document)
    bench_page.tab_to("#row-shell_yields .row-head")
    keys.press("ArrowRight")
    keys.press("Enter")
    opened = page.locator("#open-shell_yields")
    opened.locator(".open").wait_for()
    bench_page.tab_to("#open-shell_yields summary")
    keys.press("Enter")
    assert opened.locator(".working").first.is_visible()
    keys.press("Escape")
    assert not opened.is_visible()
    bench_page.assert_quiet()
