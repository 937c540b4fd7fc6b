"""In a real browser: a whole repair, from an empty folder through readings, size, press log and record to
`hoopwright verify`; in mm on a phone, in inches on a desk."""

from __future__ import annotations

import json
import tomllib

import pytest

pytest.importorskip("starlette", reason="the page is an extra")
pytest.importorskip("ezdxf", reason="drawings are an extra")

from browser import IS_JUDGED, IS_STILL, PATIENCE, exchanged

from hoopwright.cli import main

pytestmark = pytest.mark.slow
PHONE = {"viewport": {"width": 390, "height": 844}}
PER_MPA = {"bar": 10.0, "psi": 145.0377377}
PLAN = ("piece", "sizes", "damage", "use", "routes", "fit")
MACHINE = ("readings", "turn-to", "press", "in-use", "record")
WORDS = {"holds": "Holds", "holds as far as judged": "Holds as far as judged"}


def document(bench, file, command, capsys):
    """What a command says of the file."""
    capsys.readouterr()
    main([command, str(bench.folder / file), "--json"])
    return json.loads(capsys.readouterr().out)


def begin(bench, piece, units, name):
    page = bench.page
    page.locator(f"input[name=piece][value={piece}]").check()
    page.locator(f"input[name=units][value={units}]").check()
    page.get_by_label("Name of its file").fill(name)
    page.get_by_role("button", name="Begin").click()


def go_on(bench, file, step):
    """By the link at the foot of the step before."""
    bench.page.wait_for_function(IS_STILL)
    bench.page.get_by_role("link", name="Next:").last.click()
    bench.page.wait_for_url(f"**/case/{file}/{step}*")


def act(bench, action, button):
    """Press a button of a step, and wait until the page shows what came of it."""
    page = bench.page
    with exchanged(page, f"**/do/{action}*"):
        page.get_by_role("button", name=button).first.click()


def plan(bench, file, values):
    """The steps before the machine, with a few values of one's own on the way."""
    page = bench.page
    for step in PLAN:
        page.wait_for_url(f"**/case/{file}/{step}")
        if step == "piece":
            page.get_by_role("button", name="All values are mine now").click()
            page.get_by_role("button", name="All values are mine now").wait_for(state="detached")
        if step == "sizes":
            page.locator("#more summary", has_text="Mesh density").click()
            bench.take("mesh.elements_through_wall", "2")
        for path, value in values.get(step, {}).items():
            bench.take(path, value)
        assert page.locator(".field-fault").all_inner_texts() == []
        if step != PLAN[-1]:
            go_on(bench, file, PLAN[PLAN.index(step) + 1])


def read_the_bore(bench, file, column):
    """By a column from a sheet of paper: shown first, then taken."""
    page = bench.page
    go_on(bench, file, "readings")
    page.locator("#paste-column").fill("\n".join(column))
    page.get_by_role("button", name="Show where they would go").click()
    act(bench, "readings/", f"Take these {len(column)}")
    rows = tomllib.loads((bench.folder / file).read_text("utf-8"))["shell"]["bore"][0]["readings"]
    assert [number for row in rows for number in row["values"].split()[:-1]] == column


def turn(bench, file, units, capsys):
    """Too large at first, then in the band."""
    page = bench.page
    go_on(bench, file, "turn-to")
    bench.judged()
    (band,) = document(bench, file, "size", capsys)["turn_to"]["bands"]
    aim, digits, step, unit = (1.0, 3, 0.02, "mm") if units == "metric" else (1.0 / 25.4, 4, 0.001, "in")
    aim, above = aim * band["shop_aim_mm"], band[f"shop_readable_{unit}"][1] + step
    assert page.locator(".turn-size b").inner_text() == f"{aim:.{digits}f}"
    for size, said in ((above, "Take off "), (aim, "Stop.")):
        page.get_by_label("It measures now").fill(f"{size:.{digits}f}")
        with exchanged(page, "**/do/turn-to/note*"):
            page.keyboard.press("Enter")
        assert page.locator(".turn-said-head").inner_text().startswith(said)
    act(bench, "turn-to/", "This is what it is")
    bench.judged()
    assert page.locator(".turn-out").inner_text().startswith("Press it as it is.")


def press(bench, file, gauge, capsys):
    """Mark by mark, as likely; the greatest mistyped once."""
    page = bench.page
    go_on(bench, file, "press")
    page.locator("#press-entry").wait_for()
    table = document(bench, file, "press", capsys)["force_against_travel"]["table"]
    for row in table["metric" if gauge == "bar" else "inch"]:
        page.locator(".press-gauge").fill(f"{row['gauge_likely_MPa'] * PER_MPA[gauge]:.0f}")
        with exchanged(page, "**/do/press/enter**"):
            page.locator(".press-gauge").press("Enter")
        assert page.locator("#press-stop").count() == 0
    assert "It is home" in page.locator(".press-ahead").inner_text()
    return bench.judged()[0]


def look_in_use(bench, file):
    page = bench.page
    go_on(bench, file, "in-use")
    bench.judged()
    assert page.locator("#stress-map svg:visible").count() == 1
    page.locator("#stress-map").focus()
    page.keyboard.press("Home")
    assert "of its limit" in page.locator("#answers").inner_text()


def record(bench, file, capsys):
    """Sheet, drawing and record made; the record verified on the page and by the command."""
    page = bench.page
    go_on(bench, file, "record")
    for button in ("#make-sheet", "#make-drawing", "#make-record"):
        with page.expect_response("**/do/record/*"):
            page.locator(button).click()
        page.wait_for_function(IS_JUDGED, timeout=PATIENCE)
    assert page.locator(".order-failed").all_inner_texts() == []
    (folder,) = (path for path in bench.folder.iterdir() if path.is_dir())
    with page.expect_response("**/do/record/*"):
        page.locator(f"#verify-{folder.name}").click()
    page.wait_for_function(IS_JUDGED, timeout=PATIENCE)
    assert "Reproduced" in page.locator(f"#verified-{folder.name}").inner_text()
    capsys.readouterr()
    assert main(["verify", str(folder)]) == 0
    assert (folder / f"{folder.name.rpartition('-')[0]} press.csv").is_file(), "the log is in the record"
    return json.loads((folder / "results.json").read_text("utf-8"))


def repaired(bench, piece, units, values, column, capsys):
    """The whole repair; what the command says of the file in the end, and the record of it."""
    file, gauge = "mine.toml", "bar" if units == "metric" else "psi"
    begin(bench, piece, units, "mine")
    plan(bench, file, values)
    bench.judged()
    read_the_bore(bench, file, column)
    turn(bench, file, units, capsys)
    word = press(bench, file, gauge, capsys)
    look_in_use(bench, file)
    kept = record(bench, file, capsys)
    found = document(bench, file, "check", capsys)
    assert word == WORDS[found["state"]] == bench.page.locator("#verdict .verdict-word").inner_text()
    assert kept["state"] == found["state"]
    return found, kept


@pytest.mark.parametrize("bench_page", [PHONE], indirect=True)
def test_plain_boss_in_mm_on_a_phone(bench_page, capsys):
    column = [f"42.00{k}" for k in (1, 0, 1, 2, 1, 0, 2, 1, 1, 0, 2, 1)]
    values = {"piece": {"title": "Boss of a test"}, "use": {"temperatures.use_most": "42"}}
    found, _ = repaired(bench_page, "plain", "metric", values, column, capsys)
    assert found["case"]["title"] == "Boss of a test"
    assert bench_page.page.evaluate("document.documentElement.scrollWidth") <= 390
    bench_page.assert_quiet()


def test_bearing_housing_in_inches_at_a_desk(bench_page, capsys):
    column = [f"1.653{k}" for k in (5, 5, 6, 5, 5, 6, 5, 5, 6, 5, 5, 5)]
    found, _ = repaired(bench_page, "housing", "inch", {}, column, capsys)
    assert found["state"].startswith("holds")
    bench_page.assert_quiet()
