"""The step Fit of the page: what its script reads, the size that gives an interference, figure and view."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from dataclasses import replace
from math import inf
from pathlib import Path

import pytest
from curve_cases import plain_case, plain_document, plain_text
from small_cases import SLIPS_IN

import hoopwright
from hoopwright.errors import CaseError
from hoopwright.page.planned_size import diameters_for, fixed_because
from hoopwright.page.readings import reading
from hoopwright.starters import starter_text

SCRIPT = Path(hoopwright.__file__).parent / "page" / "static" / "fit.js"
SCALES = """
const fit = require(process.argv[1]);
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
const found = given.at.map((um) => fit.readAll(given.curves, um).map((one) =>
    [one.margin === Infinity ? "without end" : one.margin, one.state]));
const order = given.at.map((um) => fit.nearest(fit.readAll(given.curves, um)).map((one) => one.cell.id)[0]);
const texts = [0.4249, -0.031, -0.001, 12.4, 2000, Infinity, -1].map(fit.marginText);
const typed = given.typed.map((text) => [fit.typed(text, "metric"), fit.typed(text, "inch")]);
process.stdout.write(JSON.stringify({ found, order, texts, typed }));
"""


def with_node(curves, at, typed=()):
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node here to run the script of the page with")
    given = json.dumps({"curves": curves, "at": at, "typed": typed})
    words = [node, "-e", SCALES, str(SCRIPT)]
    done = subprocess.run(words, input=given, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def test_the_script_reads_every_cell_as_the_page_does():
    curves = plain_document()
    curves["cells"][2] |= {"doubt": ["", "", "past yield"] + [""] * (len(curves["interference_um"]) - 3)}
    curves = json.loads(json.dumps(curves))
    grid = curves["interference_um"]
    at = [grid[0] - 1.0, *grid, *(grid[0] + 0.37 * k for k in range(300)), grid[-1] + 1.0]
    there = with_node(curves, at)["found"]
    seen = set()
    for um, cells in zip(at, there, strict=True):
        for cell, (margin, state) in zip(curves["cells"], cells, strict=True):
            own = reading(curves, cell, um)
            seen.add(state)
            assert state == own.state, (cell["id"], um)
            found = inf if margin == "without end" else margin
            assert found == own.margin or found == pytest.approx(own.margin, rel=1e-12, abs=1e-12)
    assert seen == {"clear", "undecided", "fails", "needs a solve"}


def test_the_script_writes_margins_and_reads_sizes_with_their_units():
    curves = json.loads(json.dumps(plain_document()))
    typed = ["36", "36 um", "1.5 thou", "0.036 mm", "0.0015 in", "-3", "a", "36 kg", ""]
    found = with_node(curves, [curves["fit"]["likely_um"]], typed)
    assert found["texts"] == ["+0.42", "\u22120.03", "\u22120.00", "+12", ">999", "no loss", "\u22121.00"]
    sizes = [[36.0, 914.4], [36.0, 36.0], [38.1, 38.1], [36.0, 36.0], [38.1, 38.1]]
    for one, size in zip(found["typed"][:5], sizes, strict=True):
        assert one == pytest.approx(size)
    assert found["typed"][5:] == [[None, None]] * 4
    assert found["order"] == ["wall_left"]


def test_the_script_says_of_nothing_that_it_holds():
    text = re.sub(r"//[^\n]*", "", SCRIPT.read_text(encoding="utf-8"))
    said = re.findall(r'"([^"]*)"', text)
    assert not [words for words in said if re.search(r"\bholds?\b", words.replace("cell-holds", ""))]
    assert "verdict-holds" not in text
    assert not re.search(r"\b(eval|innerHTML|insertAdjacentHTML|Function)\b", text)


# -- the size that gives an interference -----------------------------------------------------


def written(text, pairs):
    """The text with its values set by path, lands by their place in the file."""
    for where, value in pairs:
        key = where.rpartition(".")[2]
        text, count = re.subn(rf'(?m)^{key} = "[^"]*"', f'{key} = "{value}"', text)
        assert count == 1
    return text


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_the_diameters_written_give_the_interference_asked_for(units):
    text = starter_text("plain", units)
    case = hoopwright.parse_case(text, file="plain.toml")
    pairs = diameters_for(case, 51.3)
    assert [where for where, _ in pairs] == ["sleeve.outside_diameter"]
    assert pairs[0][1].endswith(" in" if units == "inch" else " mm")
    sleeve = "[sleeve]" + text.split("\n[sleeve]")[1]
    changed = text.replace(sleeve, written(sleeve, pairs).replace("\n[sleeve]", "[sleeve]", 1))
    other = hoopwright.parse_case(changed, file="plain.toml")
    for one, expected in ((case, None), (other, 51.3)):
        bore, outside = one.shell.bore[0].mean_diameter, one.sleeve.outside[0].mean_diameter
        found = 1e3 * (outside - bore - one.smoothing_loss_mm)
        assert expected is None or found == pytest.approx(expected, abs=0.05)


def test_every_land_changes_alike_and_a_taper_keeps_its_form():
    case = plain_case()
    lands = case.sleeve.outside
    two = (
        replace(lands[0], z_end=25.0),
        replace(lands[0], z_start=25.0, diameter_start=42.05, diameter_end=42.04),
    )
    stepped = replace(case, sleeve=replace(case.sleeve, outside=two), sleeve_lands_listed=True)
    same, more = (dict(diameters_for(stepped, 45.0 + up)) for up in (0.0, 10.0))
    assert list(same) == [
        "sleeve.outside[0].diameter",
        "sleeve.outside[1].diameter_from",
        "sleeve.outside[1].diameter_to",
    ]
    steps = {float(more[k].split()[0]) - float(same[k].split()[0]) for k in same}
    assert [round(step, 6) for step in sorted(steps)] == [0.01] * len(steps)


def test_a_finished_sleeve_leaves_the_bore_and_two_finished_parts_leave_nothing():
    case = replace(plain_case(), sleeve_turned=True)
    likely = 1e3 * (case.sleeve.outside[0].mean_diameter - case.shell.bore[0].mean_diameter)
    ((where, value),) = diameters_for(case, likely + 10.0 - 1e3 * case.smoothing_loss_mm)
    assert (where, value) == ("shell.bore_diameter", "41.9900 mm")
    assert fixed_because(case) == ""
    both = replace(case, shell_bored=True)
    assert "both" in fixed_because(both)
    with pytest.raises(CaseError, match="Turn to"):
        diameters_for(both, likely)


def test_a_part_that_was_read_is_not_changed():
    read = (
        SLIPS_IN.replace(
            'outside_diameter = "42.040 mm"\noutside_plus_minus = "4 um"',
            '[[sleeve.outside]]\nfrom = "0 mm"\nto = "16 mm"\ngauge = "mic"\n'
            'readings = [{ z = "8 mm", angles = "0 60 120 deg", values = "42.041 42.040 42.039 mm" }]',
        )
        + '[gauge.mic]\ntype = "outside micrometer"\nresolution = "1 um"\nmax_error = "2 um"\n'
    )
    case = hoopwright.parse_case(read, file="read.toml")
    assert [where for where, _ in diameters_for(case, 30.0)] == ["shell.bore_diameter"]


# -- figure and view -------------------------------------------------------------------------


def bench(curves, units="metric", **more):
    from hoopwright.display import Units
    from hoopwright.page.model import Answer, Bench

    answers = {} if curves is None else {"curves": Answer(curves, "d")}
    given = {"answers": answers, "faults": (), "case": plain_case()} | more
    return Bench("plain.toml", plain_text(), "d", {}, units=Units(units), **given)


def test_the_figures_have_ids_of_their_own_and_no_styles_and_escape_what_they_are_given():
    step = pytest.importorskip("hoopwright.page.steps.fit")
    curves = plain_document()
    curves["cells"] = [cell | {"title": f"<b>{cell['title']}</b>"} for cell in curves["cells"]]
    figures = step.view(bench(curves))["fit"].plan.figures
    ids = [found for one in figures for found in re.findall(r'\bid="([^"]+)"', one)]
    assert len(ids) == len(set(ids)) > 30
    for one in figures:
        assert "style=" not in one
        assert "<b>" not in one
        assert "&lt;b&gt;" in one
        assert one.startswith("<svg")


def test_the_view_says_what_ends_the_window_and_moves_nothing_of_other_sizes():
    step = pytest.importorskip("hoopwright.page.steps.fit")
    curves = plain_document()
    plan = step.view(bench(curves))["fit"].plan
    assert [bound.where for bound in plan.bounds] == ["Below 24.9\u00a0µm", "Above 90.9\u00a0µm"]
    assert plan.bounds[0].other == "0.98\u00a0thou"
    assert "slips" in plan.bounds[0].what
    assert (plan.number, plan.unit) == ("45.0", "µm")
    inch = step.view(bench(curves, "inch"))["fit"].plan
    assert (inch.number, inch.unit, inch.step) == ("1.77", "thou", pytest.approx(0.508))
    older = bench(curves)
    older = replace(older, digest="another")
    found = step.view(older)["fit"]
    assert found.plan is None
    assert "not searched" in found.says
    assert step.view(bench(None))["fit"].plan is None


def test_without_a_window_the_hatched_parts_overlap_and_the_clash_is_said():
    step = pytest.importorskip("hoopwright.page.steps.fit")
    curves = plain_document()
    ends = (("slips_combined", "needs at least", 60.0), ("sleeve_yields", "allows at most", 50.0))
    clash = [
        {"check": id_, "title": id_, "what": what, "effective_interference_um": um, "doubt": ""}
        for id_, what, um in ends
    ]
    curves["window"] |= {"empty": True, "least": None, "greatest": None, "width_um": 0.0, "clash": clash}
    plan = step.view(bench(curves))["fit"].plan
    assert plan.empty
    assert [bound.where for bound in plan.bounds] == [
        "Slips_combined needs at least 60.0\u00a0µm",
        "Sleeve_yields allows at most 50.0\u00a0µm",
    ]
    hatched = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)"[^>]*fill="url', plan.figures[2])
    (loose, loose_width), (tight, _) = ((float(x), float(w)) for x, w in hatched)
    assert loose + loose_width > tight
    assert 'class="window"' not in plan.figures[2]


# -- in a browser ----------------------------------------------------------------------------

PAGE = """<!doctype html><html><head><meta charset="utf-8"><link rel="icon" href="data:,"></head><body>
<section id="verdict" class="verdict verdict-holds" data-word="Holds"><svg class="hoop"></svg>
<div class="verdict-says"><p class="verdict-word">Holds</p><p>All hold.</p></div>
<p class="verdict-least"><span>least margin</span><b>+0.66</b></p></section>
{fit}
<table><tr>{cells}</tr></table><script src="fit.js"></script></body></html>"""
CELL = (
    '<td id="cell-{id}-{stage}" class="cell-holds">'
    '<span class="value"><span class="number">{text}</span></span>'
    '<svg class="bar"><rect class="used" width="50"/></svg><span class="said">, holds</span></td>'
)


def page_of(curves):
    """The step alone, with its cells as the table has them."""
    from jinja2 import ChoiceLoader, DictLoader, Environment, FileSystemLoader, StrictUndefined

    from hoopwright.page.steps.fit import view

    templates = SCRIPT.parents[1] / "templates"
    rows = {"components/rows.html": "{% macro rows_table(table) %}{% endmacro %}"}
    sources = [DictLoader(rows), FileSystemLoader(templates)]
    made = Environment(loader=ChoiceLoader(sources), autoescape=True, undefined=StrictUndefined)
    fit = made.get_template("steps/fit.html").render(view(bench(curves)))
    cells = "".join(
        CELL.format(id=c["id"], stage=c["stage"].replace(" ", "-"), text=f"{k}.00")
        for k, c in enumerate(curves["cells"])
    )
    return PAGE.format(fit=fit, cells=cells)


def test_in_a_browser_the_slider_moves_all_and_a_cell_that_needs_a_solve_keeps_its_number(chromium):
    pytest.importorskip("hoopwright.page.steps.fit")
    curves = json.loads(json.dumps(plain_document()))
    slips = next(
        k for k, c in enumerate(curves["cells"]) if (c["id"], c["stage"]) == ("slips_combined", "in use")
    )
    grid, bends = curves["interference_um"], curves["cells"][slips]["bends"]
    bend = bends.index(True)
    answers = {
        "/": ("text/html", page_of(curves)),
        "/fit.js": ("text/javascript", SCRIPT.read_text(encoding="utf-8")),
        "/curves.json": ("application/json", json.dumps(curves)),
    }

    def answer(route):
        kind, body = answers[route.request.url.removeprefix("http://page.invalid").partition("?")[0]]
        route.fulfill(content_type=kind, body=body)

    page = chromium.new_page()
    said = []
    page.on("console", lambda message: said.append(message.text))
    page.on("pageerror", lambda error: said.append(str(error)))
    page.route("**/*", answer)
    page.goto("http://page.invalid/")
    page.wait_for_selector("#fit-slider:not([disabled])", state="attached")
    cell, word = "#cell-slips_combined-in-use", ".verdict-word"
    assert page.inner_text(word) == "Holds"
    page.focus("#fit-slider")
    page.keyboard.press("PageUp")
    assert page.input_value("#fit-field") == "47.0"
    assert page.inner_text(word) == "Not checked"
    there = reading(curves, curves["cells"][slips], 47.0).margin
    assert page.inner_text(f"{cell} .number") == f"+{there:.2f}"
    page.fill("#fit-field", f"{0.5 * (grid[bend] + grid[bend + 1]):.1f}")
    page.press("#fit-field", "Enter")
    assert page.inner_text(f"{cell} .number") == f"{slips}.00"
    assert "old" in page.get_attribute(cell, "class")
    assert "need a solve" in page.inner_text("#fit-says")
    page.fill("#fit-field", "<b>3</b>")
    page.press("#fit-field", "Enter")
    assert page.inner_text("#fit-fault").startswith("Not a size")
    page.click("#fit-own")
    assert page.inner_text(word) == "Holds"
    assert page.get_attribute(cell, "class") == "cell-holds"
    assert said == []
    page.close()
