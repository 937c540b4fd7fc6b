"""The drawings of the bench page: what is written on them is what the case says, and they are sound SVG."""

import re
import xml.etree.ElementTree as ET
from dataclasses import replace

import pytest
from page_benches import TRIKE, bench, demo, starter, svgs, with_class
from plain_pair import plain_pair

from hoopwright.display import Units
from hoopwright.page.dimensions import dimensions_of, glyph
from hoopwright.page.figures.half_section import half_section, limit_text
from hoopwright.page.figures.pieces import piece_figure
from hoopwright.page.section import section_of, size_text
from hoopwright.page.steps import damage
from hoopwright.starters import PIECES

NARROW, MIDDLE, WIDE = 0, 1, 2


def drawing(at, **more):
    return svgs(half_section(section_of(at), at.units, **more))


def links(figure):
    return {
        a.get("data-path"): " ".join(t.text for t in a.iter("text")) for a in with_class(figure, "size")
    }


def number(text):
    return float(re.search(r"[0-9.]+", text)[0])


@pytest.mark.parametrize("units", ["metric", "inch"])
@pytest.mark.parametrize("name", [TRIKE, "thin_steel_shell", "cart_wheel_hub"])
def test_every_dimension_is_the_size_of_the_case(name, units):
    at = bench(demo(name), units)
    case, mm = at.case, 1.0 if units == "metric" else 25.4
    fine = 0.5e-3 if units == "metric" else 0.5e-4  # half of the last digit shown
    listed = {("shell", "bore"): case.shell_lands_listed, ("sleeve", "outside"): case.sleeve_lands_listed}
    expected = {"shell.width": case.shell.width, "sleeve.length": case.sleeve.length}
    for (part, surface), several in listed.items():
        for k, land in enumerate(getattr(getattr(case, part), surface)):
            path = f"{part}.{surface}[{k}].diameter" if several else f"{part}.{surface}_diameter"
            expected[path] = land.mean_diameter
    expected["shell.outside_diameter"] = case.shell.outside[0].mean_diameter
    for k, zone in enumerate(case.sleeve.bore):
        if zone.thread is None:
            expected[f"sleeve.bore[{k}].diameter"] = zone.diameter
    for side in ("left", "right"):
        if chamfer := getattr(case.sleeve, f"chamfer_{side}"):
            expected[f"sleeve.chamfer_{side}"] = chamfer
    found = links(drawing(at)[WIDE])
    for path, size in expected.items():
        assert number(found[path]) * mm == pytest.approx(size, abs=fine * mm + 1e-9), path
    threads = {f"sleeve.bore[{k}].thread" for k, z in enumerate(case.sleeve.bore) if z.thread}
    assert set(found) == set(expected) | threads


def test_thread_is_written_with_its_hand():
    found = links(drawing(bench(demo(TRIKE)))[WIDE])
    assert found["sleeve.bore[0].thread"] == "1.370 in × 24 tpi right hand, 20 long"
    assert "left hand" in found["sleeve.bore[2].thread"]


def test_glyphs_on_the_phone_are_those_of_the_list():
    at = bench(demo(TRIKE))
    found = dimensions_of(section_of(at), at.units)
    assert links(drawing(at)[NARROW]) == {d.path: d.glyph for d in found.all}
    assert [glyph(k) for k in (0, 25, 26, 27, 52)] == ["a", "z", "aa", "ab", "ba"]


def outlines(figure):
    """Corners of both bodies."""
    found = []
    for name in ("shell-outline", "sleeve-outline"):
        (body,) = with_class(figure, name)
        found.append([tuple(map(float, p.split(","))) for p in body.get("points").split()])
    return found


def test_section_is_to_one_scale_along_and_across():
    at = bench(demo(TRIKE))
    (shell, _), case = outlines(drawing(at)[WIDE]), at.case
    along = (max(x for x, _ in shell) - min(x for x, _ in shell)) / case.shell.width
    ys = [y for _, y in shell]
    wall = 0.5 * (case.shell.outside[0].mean_diameter - min(b.mean_diameter for b in case.shell.bore))
    assert (max(ys) - min(ys)) / wall == pytest.approx(along, rel=2e-3)


LEFT_ENTRY = plain_pair(
    sleeve='outside_diameter = "41.036 mm"\nchamfer_right = "2 mm"', more='[press]\nenters_from = "left"\n'
)
RIGHT_ENTRY = plain_pair(
    sleeve='outside_diameter = "41.036 mm"\nchamfer_left = "2 mm"', more='[press]\nenters_from = "right"\n'
)


@pytest.mark.parametrize("width", [WIDE, MIDDLE, NARROW])
def test_the_other_leading_end_gives_the_mirror_image(width):
    right, left = (drawing(bench(text))[width] for text in (LEFT_ENTRY, RIGHT_ENTRY))
    for one, other in zip(outlines(right), outlines(left), strict=True):
        xs = [x for x, _ in one]
        span = min(xs) + max(xs)
        there = sorted((round(span - x, 1), round(y, 1)) for x, y in one)
        assert there == sorted((round(x, 1), round(y, 1)) for x, y in other)
    for figure, end in ((right, "right"), (left, "left")):
        assert f"Chamfer 2 at the {end} end, which leads in." in figure.find("desc").text


def test_chamfer_takes_the_corner_of_its_own_end():
    for text, end in ((LEFT_ENTRY, max), (RIGHT_ENTRY, min)):
        sleeve = outlines(drawing(bench(text))[WIDE])[1]
        top, at = min(y for _, y in sleeve), end(x for x, _ in sleeve)
        assert min(y for x, y in sleeve if x == at) > top + 5.0


def test_chamfer_that_does_not_lead_in_says_nothing_of_it():
    text = LEFT_ENTRY.replace('enters_from = "left"', 'enters_from = "right"')
    assert "Chamfer 2 at the right end." in drawing(bench(text))[WIDE].find("desc").text


def test_wall_and_limit_are_written_on_the_safe_side():
    at = bench(demo(TRIKE))
    section = section_of(at)
    words = "".join(drawing(at)[WIDE].itertext())
    assert "5.468" in words  # 5.4686 left
    assert f"Ø {limit_text(section.bore_limit, at.units)}" in words
    assert float(limit_text(section.bore_limit, at.units)) <= section.bore_limit


HOSTILE = {
    "tiny": plain_pair(
        shell='bore_diameter = "2 mm"',
        sleeve='outside_diameter = "2.003 mm"',
        shell_outside="3 mm",
        sleeve_bore="1 mm",
        length="2 mm",
    ),
    "disc": plain_pair(
        shell='bore_diameter = "400 mm"',
        sleeve='outside_diameter = "400.1 mm"',
        shell_outside="500 mm",
        sleeve_bore="350 mm",
        length="3 mm",
    ),
    "wire": plain_pair(
        shell='bore_diameter = "6 mm"',
        sleeve='outside_diameter = "6.01 mm"',
        shell_outside="9 mm",
        sleeve_bore="4 mm",
        length="900 mm",
    ),
    "nothing": "",
    "no TOML": "x = = 3",
    "wrong kinds": "shell = 3\n[sleeve]\nbore = 3\noutside = []\nchamfer_left = '4 m'",
    "beyond its ends": "[[shell.bore]]\nfrom = '9 m'\nto = '-5 m'\ndiameter = '0 mm'\n"
    "[sleeve]\nlength = '1e-9 mm'",
    "many lands": "[shell]\nwidth = '100 mm'\n"
    + "".join(
        f"[[shell.bore]]\nfrom = '{k} mm'\nto = '{k + 1} mm'\ndiameter = '40 mm'\n" for k in range(100)
    ),
    "inside out": "[shell]\nwidth = '50 mm'\noutside_diameter = '20 mm'\nbore_diameter = '40 mm'\n"
    "[sleeve]\nlength = '70 mm'\nstart = '-10 mm'\noutside_diameter = '9 mm'\nbore_diameter = '30 mm'\n",
    "markup": '[shell]\nmaterial = "<script>&\\"</script>"\n[[sleeve.bore]]\nthread = "<b>"\n',
}


def assert_sound(figures):
    """Parsed, named, within its frame, ids unique, no style of its own."""
    ids = [e.get("id") for f in figures for e in f.iter() if e.get("id")]
    assert len(ids) == len(set(ids))
    for figure in figures:
        width, height = (float(figure.get(key)) for key in ("width", "height"))
        has_links = any(e.tag == "a" for e in figure.iter())
        assert figure.get("role") == ("group" if has_links else "img"), "what an image holds is not reached"
        assert figure.find("title").text
        assert figure.find("desc").text
        assert figure.get("aria-labelledby").split() == [
            figure.find(k).get("id") for k in ("title", "desc")
        ]
        assert 80 < height < 900
        for e in figure.iter():
            assert not {"style", "onclick"} & set(e.keys()), e.attrib
            assert e.tag in ALLOWED, e.tag
            for x, y in corners(e):
                assert -1.0 <= x <= width + 1.0, e.attrib
                assert -1.0 <= y <= height + 1.0, e.attrib


ALLOWED = {"svg", "title", "desc", "g", "a", "defs", "pattern", "line", "polygon", "circle"} | {
    "rect",
    "text",
    "ellipse",
    "path",
}


def corners(element):
    if element.get("points"):
        yield from (tuple(map(float, p.split(","))) for p in element.get("points").split())
    for x, y in (("x1", "y1"), ("x2", "y2"), ("cx", "cy"), ("x", "y")):
        if element.get(x) is not None:
            yield float(element.get(x)), float(element.get(y))


@pytest.mark.parametrize("name", HOSTILE)
def test_whatever_is_given_the_drawing_is_sane(name):
    figures = drawing(bench(HOSTILE[name]))
    assert len(figures) == 3
    assert_sound(figures)


def test_what_is_not_given_is_dashed_and_asked_for():
    figure = drawing(bench("[shell]\nwidth = '50 mm'\noutside_diameter = '44 mm'\n"))[WIDE]
    found = links(figure)
    assert found["shell.width"] == "50"
    assert found["shell.outside_diameter"] == "Ø 44"
    assert found["shell.bore_diameter"] == found["sleeve.bore_diameter"] == "Ø ?"
    assert all("assumed" in body.get("class") for body in with_class(figure, "outline"))


def test_lands_without_room_are_left_to_the_list():
    at = bench(HOSTILE["many lands"])
    figure = drawing(at)[NARROW]
    assert "100 lands, listed below" in "".join(figure.itertext())
    assert not any("shell.bore[" in path for path in links(figure))


def test_fingers_find_every_dimension_and_never_two_at_once():
    for figure in drawing(bench(demo(TRIKE))):
        boxes = []
        for link in with_class(figure, "size"):
            (hit,) = with_class(link, "hit")
            x, y, w, h = (float(hit.get(k)) for k in ("x", "y", "width", "height"))
            assert h == 48.0
            assert w >= 32.0
            boxes.append((x, y, x + w, y + h))
        for k, a in enumerate(boxes):
            for b in boxes[:k]:
                assert a[2] <= b[0] + 0.1 or b[2] <= a[0] + 0.1 or a[3] <= b[1] + 0.1 or b[3] <= a[1] + 0.1


def test_dimension_in_hand_is_marked():
    figure = drawing(bench(starter()), in_use="shell.width")[WIDE]
    (marked,) = with_class(figure, "in-hand")
    assert with_class(marked, "size")[0].get("data-path") == "shell.width"


def test_sizes_are_written_without_zeros_at_their_end():
    at = bench(starter())
    assert size_text(83.0, at.units) == "83"
    assert size_text(35.5, at.units) == "35.5"
    assert size_text(50.8, replace(at, units=bench("", "inch").units).units) == "2"


@pytest.mark.parametrize("piece", PIECES)
def test_drawings_of_pieces_are_sound(piece):
    assert_sound(svgs(piece_figure(piece, "new")))


@pytest.mark.parametrize("units", ["metric", "inch"])
def test_damage_shows_the_metal_that_goes(units):
    view = damage.view(bench(starter("plain", units), units))
    figures = svgs(view["drawing"])
    assert_sound(figures)
    words = figures[0].find("desc").text
    now, cut = ("40", "42") if units == "metric" else ("1.575", "1.6535")
    assert f"Bore now Ø {now}" in words
    assert f"Bore once cut Ø {cut}" in words
    clean, outside = (float(with_class(figures[0], name)[0].get("r")) for name in ("clean", "outline"))
    case = bench(starter("plain", units), units).case
    ratio = case.shell.bore[0].mean_diameter / case.shell.outside[0].mean_diameter
    assert clean / outside == pytest.approx(ratio, abs=1e-3)


def test_markup_in_a_name_stays_text():
    figures = drawing(bench(HOSTILE["markup"]))
    assert "<script>" in "".join(figures[WIDE].itertext())
    assert all(e.tag != "script" for f in figures for e in f.iter())
    assert ET.tostring(figures[WIDE])


def test_a_bore_cut_after_pressing_leads_to_what_it_is_cut_to():
    """The size shown is the finished one; to change it must not change the blank."""
    given = 'outside_diameter = "41.036 mm"\nbored_after = "35 mm"'
    found = dimensions_of(section_of(bench(plain_pair(sleeve_bore="30 mm", sleeve=given))), Units("metric"))
    shown = {d.path: d.text for d in found.all}
    assert "35" in shown["sleeve.bored_after"]
    assert "sleeve.bore_diameter" not in shown
