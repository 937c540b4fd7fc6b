"""Figures of a record for those who see no colours, or nothing: words, ids, hatches, one colour scale."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from functools import cache
from importlib.resources import files
from xml.etree import ElementTree

import numpy as np
import pytest
from record_cases import results, written_record
from service_cases import CRANK, results_of

from hoopwright.checks.margin import Location, Margin, When
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.record.comparison import MAX_BARS
from hoopwright.record.figures import FIGURES, SERVICE_FIGURES, unrolled
from hoopwright.record.figures.compare import figure as compare_figure
from hoopwright.record.figures.labelled_svg import labelled
from hoopwright.record.figures.margin_bars import ROUTE_STYLES
from hoopwright.record.figures.save import save
from hoopwright.record.figures.style import plot_style
from hoopwright.record.pages import record_pages
from hoopwright.record.pages.blocks import figure
from hoopwright.record.pages.descriptions import REPAIR, descriptions
from hoopwright.record.pdf import pdf, plain_pdf

pypdf = pytest.importorskip("pypdf")
SVG = "{http://www.w3.org/2000/svg}"


def elements(svg: bytes) -> list[ElementTree.Element]:
    return list(ElementTree.fromstring(svg).iter())


def record_svgs() -> dict[str, bytes]:
    return {path.stem: path.read_bytes() for path in (written_record("metric") / "figures").glob("*.svg")}


# ---- words ------------------------------------------------------------------------------------


def test_every_image_of_the_pages_takes_alternative_text():
    template = files("hoopwright.record").joinpath("template.typ").read_text(encoding="utf-8")
    images = re.findall(r"image\((?:[^()]|\([^()]*\))*\)", template)
    assert images
    assert all("alt:" in image for image in images)


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_every_figure_of_a_record_has_words_of_its_own(units):
    said = descriptions(results(), Units(units))
    assert {*FIGURES, *SERVICE_FIGURES, "readings", "press"} == set(said)
    assert all(title and description.endswith(".") for title, description in said.values())
    assert len(set(said.values())) == len(REPAIR)


def test_the_pages_hand_the_alternative_text_on():
    """As in the structure of the PDF that screen readers go by (ISO 32000-1, 14.9.3: /Alt)."""
    pages = record_pages(results(), hashes={})
    pages |= {"blocks": [figure("drawing"), figure("press")], "appendix": []}
    shown = {name: record_svgs()[name].decode("utf-8") for name in ("drawing", "press")}
    reader = pypdf.PdfReader(io.BytesIO(pdf(pages, shown)))
    every = (reader.get_object(number) for number in range(1, reader.trailer["/Size"]))
    found = {str(one["/Alt"]) for one in every if isinstance(one, dict) and "/Alt" in one}
    assert found == {descriptions(results(), Units())[name][1] for name in shown}


def test_a_figure_without_words_is_not_typeset():
    pages = record_pages(results(), hashes={})
    with pytest.raises(RuntimeError, match="drawing"):
        pdf(pages | {"alt": {}}, {"drawing": record_svgs()["drawing"].decode()})


def test_two_figures_share_no_id_and_refer_only_to_their_own():
    seen: set[str] = set()
    svgs = record_svgs()
    assert len(svgs) > 8
    for name, svg in svgs.items():
        ids = [e.get("id") for e in elements(svg) if e.get("id")]
        assert len(ids) == len(set(ids)) > 5
        assert seen.isdisjoint(ids)
        seen |= set(ids)
        text = svg.decode("utf-8")
        named = set(re.findall(r'href="#([^"]+)"', text)) | set(re.findall(r"url\(#([^)]+)\)", text))
        assert named
        assert named <= set(ids), name


def test_every_svg_has_title_and_description_that_it_is_labelled_by():
    for name, svg in record_svgs().items():
        root, title, description, *_ = elements(svg)
        assert (title.tag, description.tag) == (f"{SVG}title", f"{SVG}desc")
        assert root.get("aria-labelledby") == f"{title.get('id')} {description.get('id')}"
        assert (title.text, description.text) == descriptions(results(), Units())[name]


def test_words_are_escaped_and_a_name_makes_a_valid_id():
    svg = b'<svg><defs><path id="a"/></defs><use href="#a" style="clip-path: url(#a)"/></svg>'
    made = labelled(svg, 'my "figure" <1>', title="<b>&", description="a < b")
    root, title, description, _, path, use = elements(made)
    assert (title.text, description.text) == ("<b>&", "a < b")
    assert re.fullmatch("[A-Za-z0-9_-]+", path.get("id"))
    assert use.get("href") == f"#{path.get('id')}"
    assert path.get("id") in use.get("style")
    assert root.get("role") == "img"


def test_a_figure_that_is_saved_by_itself_says_what_it_plots(tmp_path):
    _, title, description, *_ = elements(save(compared(2), str(tmp_path / "both.svg")).read_bytes())
    assert title.text == "Margins by check"
    assert "1  way 0, 2  way 1" in description.text


# ---- margins on one page ----------------------------------------------------------------------


@pytest.mark.parametrize("count", [8, pytest.param(30, marks=pytest.mark.slow)])
def test_a_table_of_margins_is_on_one_page_as_long_as_one_holds_it(count):
    whole = dict(results())
    judged = [row for row in whole["checks"] if row["state"] != "not assessed"]
    whole["checks"] = [{**judged[k % len(judged)], "title": f"way number {k:02d}"} for k in range(count)]
    pages = record_pages(whole, hashes={}) | {"appendix": []}
    shown = [page.extract_text() for page in pypdf.PdfReader(io.BytesIO(plain_pdf(pages))).pages]
    for title in ("Ways to fail, by stage", "What governs, worst first"):
        (page,) = [text for text in shown if title in text]
        table = page.split(title)[1]
        assert all(f"way number {k:02d}" in table for k in range(count))


@pytest.mark.slow
def test_a_table_taller_than_a_page_loses_no_row():
    whole = dict(results())
    row = next(row for row in whole["checks"] if row["state"] != "not assessed")
    whole["checks"] = [{**row, "title": f"way number {k:03d}"} for k in range(70)]
    pages = record_pages(whole, hashes={}) | {"appendix": []}
    shown = [p.extract_text() for p in pypdf.PdfReader(io.BytesIO(plain_pdf(pages))).pages]
    first, last = (
        next(n for n, text in enumerate(shown) if f"way number {k:03d}" in text) for k in (0, 69)
    )
    assert first < last  # or its end would stand below the edge of the paper
    assert all("".join(shown).count(f"way number {k:03d}") >= 2 for k in range(70))


def test_the_table_by_stage_stands_before_all_other_margins():
    kinds = [str(block) for block in record_pages(results(), hashes={})["blocks"]]
    by_stage, governs = (
        next(k for k, block in enumerate(kinds) if words in block)
        for words in ("Ways to fail, by stage", "What governs")
    )
    assert by_stage == 2  # after title and verdict
    assert by_stage < governs


# ---- maps -------------------------------------------------------------------------------------


@cache
def maps(yielding: float = 1.2):
    found = results_of(CRANK)
    factors = replace(found.case.factors, yielding=yielding)
    found = replace(found, case=replace(found.case, factors=factors))
    with plot_style():
        return found, unrolled.figure(found, Units())


def test_three_maps_have_one_colour_scale_from_the_least_to_the_greatest_stress():
    found, drawn = maps()
    first, *others = [axes.collections[0] for axes in drawn.axes[:3]]
    fields = [unrolled.surface_of(found, body, side).stress for body, side, _ in unrolled.SURFACES]
    assert first.levels[0] == pytest.approx(min(f.min() for f in fields))
    assert first.levels[-1] == pytest.approx(max(f.max() for f in fields))
    assert all(np.array_equal(first.levels, other.levels) for other in others)
    assert {c.get_cmap().name for c in (first, *others)} == {"viridis"}
    assert len(drawn.axes) == 4  # three maps and one bar


def test_the_limit_is_a_contour_that_encloses_what_exceeds_it():
    """Strength over its factor: with a factor by which half the greatest stress of the shell's bore is the
    limit, the line runs where stress is that half."""
    found, _ = maps()
    shell = unrolled.surface_of(found, "shell", 0)
    strength = shell.limit * found.case.factors.yielding
    assert strength == pytest.approx(found.case.shell_material.yield_strength)
    half = 0.5 * (shell.stress.min() + shell.stress.max())
    _, drawn = maps(float(strength[0] / half))
    beyond, line = drawn.axes[1].collections[1:3]
    assert beyond.hatches == ["xxxx"]
    assert line.levels == pytest.approx([1.0])
    assert len(line.get_paths()[0].vertices) > 3
    assert f"limit {half:.1f} MPa" in drawn.axes[1].get_title(loc="left")


def test_no_contour_where_the_limit_is_not_reached():
    _, drawn = maps(0.05)
    assert [len(axes.collections) for axes in drawn.axes[:3]] == [1, 1, 1]


def test_the_colours_of_stress_rise_evenly_in_lightness():
    """CIE 1976 L* (ISO/CIE 11664-4) of the map at 21 levels: steps within a fifth of their mean."""
    from matplotlib import colormaps

    rgb = colormaps["viridis"](np.linspace(0.0, 1.0, 21))[:, :3]
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    lightness = 116.0 * np.cbrt(linear @ [0.2126, 0.7152, 0.0722]) - 16.0
    steps = np.diff(lightness)
    assert np.abs(steps / steps.mean() - 1.0).max() < 0.2


# ---- routes side by side ----------------------------------------------------------------------


def compared(routes: int, *, rows: int = 3, max_bars: int | None = None):
    from hoopwright.case.sizing_model import RouteInput
    from hoopwright.sizing.routes import RouteResult

    found = [
        RouteResult(
            RouteInput(f"way {k}", "sleeve"), 40.0, 3.0, tuple(row(n, k) for n in range(rows)), None
        )
        for k in range(routes)
    ]
    return compare_figure(found, Units(), max_bars=max_bars)


def row(number: int, route: int) -> Margin:
    margin = 0.1 * (number + 1) + 0.02 * route
    estimates = Estimate(1.0), Estimate(1.0 + margin)
    return Margin(
        f"row_{number}", f"row {number}", *estimates, "mm", 1.0, Location("shell"), "made up", When()
    )


def test_every_bar_has_the_number_and_the_hatch_of_its_route():
    """Every bar has the number of its route beside it, and routes differ in hatch."""
    axes = compared(4).axes[0]
    labels = [text.get_text() for text in axes.texts]
    assert [label.split(":")[0] for label in labels] == [str(k) for k in (1, 2, 3, 4) for _ in range(3)]
    assert [text.get_text().split()[0] for text in axes.get_legend().get_texts()] == ["1", "2", "3", "4"]
    assert len({style["hatch"] for style in ROUTE_STYLES}) == len(ROUTE_STYLES)


def test_the_figure_of_a_page_has_as_many_checks_as_there_is_room_for_nearest_their_limits():
    drawn = compared(3, rows=21, max_bars=MAX_BARS)
    axes = drawn.axes[0]
    shown = [tick.get_text() for tick in axes.get_yticklabels()]
    assert shown == [f"row {k}" for k in range(MAX_BARS // 4)]
    assert f"the {MAX_BARS // 4} of 21 nearest their limits" in axes.get_title(loc="left")
    assert drawn.get_figheight() * 25.4 < 200.0
    assert len(compared(3, rows=21).axes[0].get_yticklabels()) == 21
