"""Figures of the maps, and the script that reads them: the same numbers as in the document."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("jinja2")

from map_cases import maps_document
from page_benches import svgs, with_class

import hoopwright
from hoopwright.display import Units
from hoopwright.page.figures.contours import BANDS, Field, Scale, area, bands, lines, scale_of
from hoopwright.page.figures.map_frame import LAYOUTS
from hoopwright.page.figures.seat_map import TALL, TOP, seat_map, seat_of
from hoopwright.page.figures.section_map import (
    bodies_of,
    common_scale,
    is_beyond,
    section_map,
    sheet_of,
)

STATIC = Path(hoopwright.__file__).parent / "page" / "static"
NARROW, _, WIDE = LAYOUTS
METRIC = Units("metric")


def points(d):
    """Corners of the rings of a path."""
    return [
        np.array([[float(v) for v in p.split()] for p in re.split("[ML]", ring) if p])
        for ring in d.split("Z")
        if ring
    ]


def surface(d):
    """Area of a path of rings; those inside others run the other way round."""
    found = 0.0
    for ring in points(d):
        x, y = ring.T
        found += 0.5 * float(np.sum(x * np.roll(y, -1) - y * np.roll(x, -1)))
    return abs(found)


def ramp():
    x, y = np.meshgrid(np.linspace(0.0, 400.0, 9), np.linspace(0.0, 100.0, 5))
    return Field(x, y, x / 10.0)


@pytest.mark.parametrize(
    ("low", "high"), [(0.0, 104.78), (-2.06, 9.3), (0.0, 0.031), (0.0, 1.0), (3.0, 3.0)]
)
def test_scale_has_plain_edges_about_all_values_and_a_colour_for_each_band(low, high):
    scale = scale_of(low, high)
    assert scale.edges[0] <= low
    assert scale.edges[-1] >= high * (1.0 - 1e-9)
    count = len(scale.edges) - 1
    assert 1 <= count <= BANDS
    assert len({scale.class_of(k) for k in range(count)}) == count
    texts = [scale.text(value) for value in scale.edges]
    assert len(set(texts)) == len(texts)
    assert [float(t.replace("−", "-")) for t in texts] == pytest.approx(list(scale.edges), abs=1e-9)
    assert scale.band(low) == 0
    assert scale.band(1e9) == count - 1


def test_bands_cover_the_grid_once_and_lines_lie_at_their_value():
    field, scale = ramp(), scale_of(0.0, 40.0)
    found = svgs(str(bands([field], scale)))
    assert sum(surface(one.get("d")) for one in found) == pytest.approx(400.0 * 100.0, rel=1e-3)
    for one in found:
        band = next(k for k in range(len(scale.edges) - 1) if scale.class_of(k) == one.get("class"))
        at = np.concatenate(points(one.get("d")))[:, 0] / 10.0
        assert scale.edges[band] - 0.01 <= at.min() <= at.max() <= scale.edges[band + 1] + 0.01
    drawn = svgs(str(lines([field], scale)))
    values = [float(one.text) for one in drawn if "iso-value" in one.get("class")]
    assert values
    for one in (e for e in drawn if "iso-value" in e.get("class")):
        assert float(one.get("x")) == pytest.approx(10.0 * float(one.text), abs=0.1)


def test_area_is_what_lies_beyond_a_value():
    (beyond,) = svgs(str(area([ramp()], 30.0, np.inf, "beyond")))
    assert surface(beyond.get("d")) == pytest.approx(100.0 * 100.0, rel=1e-3)
    assert area([ramp()], 41.0, np.inf, "beyond") == ""


def test_every_band_has_its_colour_and_neighbours_differ_in_lightness():
    css = (STATIC / "maps.css").read_text("utf-8")
    colours = dict(re.findall(r"\.map \.band-(\d+) \{ fill: #(\w{6}); \}", css))
    assert [int(k) for k in colours] == list(range(BANDS))

    def lightness(colour):
        parts = (int(colour[k : k + 2], 16) / 255 for k in (0, 2, 4))
        linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in parts]
        return 116.0 * (0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]) ** (1 / 3) - 16.0

    steps = np.diff([lightness(c) for c in colours.values()])
    assert steps.min() > 4.0
    assert steps.max() < 2.0 * steps.min()


def section(moment=1, layout=WIDE, document=None):
    found = document or maps_document()
    bodies = bodies_of(found, found["moments"][moment], 1.0)
    figure = section_map(bodies, common_scale(found, 1.0), METRIC, layout, "s", ("name", "said"))
    return bodies, sheet_of(bodies, layout), svgs(str(figure))[0]


@pytest.mark.parametrize("layout", LAYOUTS, ids=lambda one: one.prefix)
def test_section_lies_inside_its_figure_and_its_peak_where_the_document_has_it(layout):
    bodies, sheet, figure = section(layout=layout)
    moment = maps_document()["moments"][1]
    nearest = next(b["nearest"] for b in moment["bodies"] if b["body"] == "shell")
    places = [(float(e.get("cx")), float(e.get("cy"))) for e in with_class(figure, "peak")]
    x = float(figure.get("data-left")) + (
        (nearest["z_mm"] - float(figure.get("data-z"))) * float(figure.get("data-per-z"))
    )
    y = float(figure.get("data-top")) + (
        (float(figure.get("data-r")) - nearest["r_mm"]) * float(figure.get("data-per-r"))
    )
    assert any(abs(x - a) < 0.1 and abs(y - b) < 0.1 for a, b in places)
    wide, high = float(figure.get("width")), float(figure.get("height"))
    for e in figure.iter():
        if e.get("class", "").startswith("band-") and e.get("d"):
            at = np.concatenate(points(e.get("d")))
            assert np.all((at >= 0.0) & (at <= [wide, high]))
    assert sheet.per_r == pytest.approx(sheet.stretch * sheet.along.per_mm)
    assert len(bodies) == 2


def test_nothing_that_is_not_judged_has_a_colour():
    bodies, sheet, figure = section()
    edge = min(float(body.z[body.judged][0]) for body in bodies)
    assert edge > 1.0
    for e in figure.iter():
        if e.get("class", "").startswith("band-") and e.get("d"):
            assert np.concatenate(points(e.get("d")))[:, 0].min() >= sheet.along.x(edge) - 0.1
    assert len(with_class(figure, "unjudged")) == 2


def test_what_is_beyond_its_limit_is_hatched_and_nothing_else():
    assert not is_beyond(section()[0])
    assert with_class(section()[2], "beyond") == []
    document = maps_document()
    for body in document["moments"][1]["bodies"]:
        body["limit_MPa"] = [v if v is None else 60.0 for v in body["limit_MPa"]]
    bodies, _, figure = section(document=document)
    assert is_beyond(bodies)
    assert with_class(figure, "beyond")


def test_body_without_a_wall_left_is_beyond_its_limit_everywhere():
    document = maps_document()
    document["moments"][1]["bodies"][1]["limit_MPa"] = [0.0] * len(document["bodies"][1]["z_mm"])
    bodies, _, figure = section(document=document)
    assert is_beyond(bodies)
    assert surface(with_class(figure, "beyond")[0].get("d")) > 1000.0


def test_colours_mean_the_same_in_every_moment():
    document = maps_document()
    scale = common_scale(document, 1.0)
    for moment in document["moments"]:
        for body in bodies_of(document, moment, 1.0):
            assert body.stress[:, body.judged].max() <= scale.edges[-1]
    assert scale.edges[0] == 0.0


def seat(key="pressure_MPa", part="opening", layout=WIDE):
    found = seat_of(maps_document()["seat"][part], key, 1.0)
    texts = ("pressure", "7.0 MPa")
    return found, svgs(str(seat_map(found, METRIC, layout, part, ("name", "said"), texts)))[0]


def test_mark_on_the_seat_is_where_the_row_has_it():
    for key, part in (("pressure_MPa", "opening"), ("share_of_grip", "slip")):
        _, figure = seat(key, part)
        nearest = maps_document()["seat"][part]["nearest"]
        (mark,) = with_class(figure, "peak")
        z = float(figure.get("data-z")) + (
            (float(mark.get("cx")) - float(figure.get("data-left"))) / float(figure.get("data-per-z"))
        )
        theta = (float(figure.get("data-bottom")) - float(mark.get("cy"))) / float(
            figure.get("data-per-theta")
        )
        assert (z, theta) == (
            pytest.approx(nearest["z_mm"], abs=0.01),
            pytest.approx(nearest["theta_deg"], abs=0.1),
        )


def test_seat_closes_at_360_degrees_and_hatches_what_slips():
    found, figure = seat("share_of_grip", "slip")
    assert np.array_equal(found.value[0], found.value[-1])
    (beyond,) = with_class(figure, "beyond")
    at = np.concatenate(points(beyond.get("d")))
    assert at[:, 1].min() >= TOP - 0.1
    assert at[:, 1].max() <= TOP + TALL + 0.1
    assert with_class(seat()[1], "beyond") == []


# -- the script ----------------------------------------------------------------------------

SCRIPT = """
const maps = require(process.argv[1]);
const given = JSON.parse(require("fs").readFileSync(0, "utf8"));
const found = given.walks.map((walk) => {
  const map = maps.made(walk.kind, given.document, walk.part), units = given.units;
  let point = map.home();
  const at = [];
  for (const [along, across] of walk.steps) {
    point = map.step(point, along, across);
    at.push({ at: map.atPoint(point), says: map.says(map.atPoint(point), units) });
  }
  return {
    home: map.atPoint(map.home()), end: map.atPoint(map.end()), at,
    pointed: walk.pointed.map(([z, across]) => {
      const place = map.at(z, across);
      return place === null ? null : { ...place, says: map.says(place, units) };
    }),
  };
});
process.stdout.write(JSON.stringify(found));
"""
UNITS = {
    "length": "mm", "stress": "MPa", "perMm": "1", "perMpa": "1", "along": "1", "across": "2", "digits": "1"
}  # fmt: skip


def with_node(document, *walks, units=None):
    node = shutil.which("node")
    if node is None:
        pytest.skip("no node here to run the script of the page with")
    given = json.dumps({"document": document, "walks": walks, "units": units or UNITS})
    words = [node, "-e", SCRIPT, str(STATIC / "maps.js")]
    done = subprocess.run(words, input=given, capture_output=True, text=True, check=True)
    return json.loads(done.stdout)


def walk(kind, part, steps=(), pointed=()):
    return {"kind": kind, "part": part, "steps": list(steps), "pointed": list(pointed)}


def test_script_reads_the_section_as_the_figure_draws_it():
    document, moment = maps_document(), maps_document()["moments"][1]
    bodies = {body.name: body for body in bodies_of(document, moment, 1.0)}
    shell, sleeve = bodies["shell"], bodies["sleeve"]
    level, line = shell.greatest()
    z, middle = 0.5 * (shell.z[-1] + shell.z[-2]), float(np.mean(shell.r[1:3, -1]))
    steps = [(0, -1)] * 6 + [(0, 1)] * 12 + [(-3, 0), (-99, 0), (99, 0)]
    last = int(np.flatnonzero(~shell.judged)[-1])
    edge = float(0.6 * shell.z[last] + 0.4 * shell.z[last + 1])
    pointed = [(z, middle), (z, 99.0), (-9.0, middle), (0.5, middle), (edge, middle)]
    (found,) = with_node(document, walk("section", "m2", steps, pointed))
    assert (found["home"]["body"], found["home"]["value"]) == ("shell", shell.stress[level, line])
    level, line = sleeve.greatest()
    assert (found["end"]["body"], found["end"]["value"]) == ("sleeve", sleeve.stress[level, line])
    for one in (step["at"] for step in found["at"]):
        body = bodies[one["body"]]
        k = int(np.argmin(np.abs(body.z - one["z"])))
        row = int(np.argmin(np.abs(body.r[:, k] - one["r"])))
        expected = float(body.stress[row, k])
        assert one["value"] == (expected if body.judged[k] else None)
    visited = [step["at"]["body"] for step in found["at"]]
    assert visited[4:6] == ["sleeve", "sleeve"]  # inwards through the seat, and outwards again
    assert visited[-1] == "shell"
    between, outside, beyond, beside_clamp, at_edge = found["pointed"]
    assert between["value"] == pytest.approx(float(np.mean(shell.stress[1:3, -2:])), rel=1e-6)
    assert outside["r"] == pytest.approx(float(shell.r[-1, -1]), abs=1e-3)
    assert beyond is None
    assert beside_clamp["value"] is at_edge["value"] is None
    assert beside_clamp["says"].endswith("not judged, beside an edge of the clamp")


def test_script_says_place_value_and_share_in_the_units_of_the_page():
    inch = UNITS | {
        "length": "in", "stress": "ksi", "perMm": str(1 / 25.4), "perMpa": str(1 / 6.894757293168361),
        "along": "2", "across": "3", "digits": "2",
    }  # fmt: skip
    ((metric,), (other,)) = (
        with_node(maps_document(), walk("section", "m2", [(0, 0)]), units=units) for units in (UNITS, inch)
    )
    said = metric["at"][0]["says"].replace("\u00a0", " ")
    nearest = maps_document()["moments"][1]["bodies"][1]["nearest"]
    share = nearest["stress_MPa"] / nearest["limit_MPa"]
    assert (
        said == f"shell, z 16.0 mm, r 21.00 mm: {nearest['stress_MPa']:.1f} MPa, {share:.2f} of its limit"
    )
    assert (
        other["at"][0]["says"].replace("\u00a0", " ").startswith("shell, z 0.63 in, r 0.827 in: 11.76 ksi")
    )


def test_script_walks_about_the_seat_and_reads_between_its_points():
    document = maps_document()
    found = document["seat"]["slip"]
    values, theta = np.array(found["share_of_grip"]), found["theta_deg"]
    z = found["z_mm"]
    steps = [(0, 1)] * len(theta) + [(-1, 0)]
    halfway = (0.5 * (z[-1] + z[-2]), 0.5 * (theta[3] + theta[4]))
    seam = (z[-1], 0.5 * (theta[-1] + 360.0))
    (walked,) = with_node(document, walk("slip", "slip", steps, [halfway, seam, (z[-1] + 1.0, 3.0)]))
    home, nearest = walked["home"], found["nearest"]
    assert home["value"] == pytest.approx(nearest["share_of_grip"], rel=0.01)
    assert (home["z"], home["theta"]) == (
        pytest.approx(nearest["z_mm"], abs=1e-3),
        pytest.approx(nearest["theta_deg"], abs=0.5 * theta[1] + 1e-6),
    )
    assert walked["at"][len(theta) - 1]["at"] == home  # all round
    assert walked["pointed"][0]["value"] == pytest.approx(float(values[-2:, 3:5].mean()), rel=1e-9)
    assert walked["pointed"][1]["value"] == pytest.approx(float(values[-1, [-1, 0]].mean()), rel=1e-9)
    assert walked["pointed"][2] is None
    assert walked["at"][0]["says"].endswith("of what is held, it slips")


def test_script_gives_no_number_in_a_gap_of_the_seat_or_where_it_is_not_judged():
    document = maps_document()
    seat_ = document["seat"]["opening"]
    last = len(seat_["z_mm"])
    seat_["runs"] = [[0, 10], [10, last]]
    seat_["judged"][-2:] = [False, False]
    gap, unjudged = (0.5 * (seat_["z_mm"][9] + seat_["z_mm"][10]), 90.0), (seat_["z_mm"][-1], 90.0)
    (found,) = with_node(document, walk("opening", "opening", (), [gap, unjudged]))
    assert [one["value"] for one in found["pointed"]] == [None, None]
    assert found["pointed"][0]["says"].endswith("no contact there")
    assert "not judged" in found["pointed"][1]["says"]


@pytest.mark.parametrize(("drop", "carried"), [(50.0, 1), (0.0, 0)])
def test_number_of_a_line_stands_clear_of_the_edges_of_its_body(drop, carried):
    """A line that runs 5 px off the foot in the middle carries its number further out, where it is clear;
    one that never is carries none."""
    x, y = np.meshgrid(np.linspace(0.0, 400.0, 41), np.linspace(0.0, 100.0, 21))
    value = y - (95.0 - drop * ((x - 200.0) / 200.0) ** 2)
    drawn = svgs(lines([Field(x, y, value)], Scale((-200.0, 0.0, 200.0), 0)))
    numbers = [shape for shape in drawn if shape.tag == "text"]
    assert len(numbers) == carried
    for number in numbers:
        across, middle = float(number.get("x")), float(number.get("y")) - 4.0
        assert 8.0 <= middle <= 92.0
        assert middle == pytest.approx(95.0 - drop * ((across - 200.0) / 200.0) ** 2, abs=0.5)
