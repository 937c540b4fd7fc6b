"""The figures of Turn to: the micrometer reads what is aimed at, the strip runs as the cut does."""

from __future__ import annotations

from dataclasses import replace

import pytest
from page_benches import svgs, with_class

from hoopwright.page.figures import cut_strip
from hoopwright.page.figures.micrometer import INCH, METRIC, micrometer


def read_back(figure, metric):
    """What a machinist reads from the figure: the last number and marks that the thimble leaves bare, and
    the thimble at the datum line."""
    edge = min(float(p.split(",")[0]) for p in with_class(figure, "bevel")[0].get("points").split())
    numbers = [
        (float(t.get("x")), t.text, t.get("text-anchor")) for t in with_class(figure, "barrel-number")
    ]
    above = sorted(float(m.get("x1")) for m in with_class(figure, "mark-above"))
    below = sorted(float(m.get("x1")) for m in with_class(figure, "mark-below"))
    assert all(x <= edge + 1e-6 for x in (*above, *below))
    shown_x, text, anchor = max(numbers)
    mark = min(above, key=lambda x: abs(x - (shown_x + (2.0 if anchor == "end" else 0.0))))
    beyond = [x for x in above if x > mark + 1e-6]
    if metric:
        barrel = float(text) + len(beyond)
        barrel += 0.5 if below and below[-1] > max([mark, *beyond]) else 0.0
    else:
        barrel = 0.1 * int(text) + 0.025 * len(beyond)
    datum = float(with_class(figure, "datum")[0].get("y1"))
    lines = [float(m.get("y1")) for m in with_class(figure, "thimble-mark")]
    named = [
        (min(lines, key=lambda y, t=t: abs(y + 5.0 - float(t.get("y")))), int(t.text))
        for t in with_class(figure, "thimble-number")
    ]
    divisions = 50 if metric else 25
    apart = min(abs(a - b) for a in lines for b in lines if a != b)
    y, number = min(named, key=lambda one: abs(one[0] - datum))
    thimble = (number + (y - datum) / apart) % divisions
    return barrel + thimble * (0.01 if metric else 0.001)


@pytest.mark.parametrize("graduation", [METRIC, INCH], ids=["metric", "inch"])
def test_the_micrometer_reads_the_size_that_is_aimed_at(graduation):
    """Sizes of every part of a turn, and bands from one step to many."""
    metric = graduation is METRIC
    step_, low = (0.001, 25.0) if metric else (0.0001, 1.0)
    for k in range(60):
        size = low + step_ * (k * 397 % 9000 + 260)
        half = step_ * (1, 4, 19, 60)[k % 4]
        for figure in svgs(micrometer(size, (size - half, size + half), graduation)):
            whole = 0.0 if metric else float(int(size + 1e-9))
            assert whole + read_back(figure, metric) == pytest.approx(size, abs=0.06 * step_)
            assert f"reads {size:.{graduation.decimals}f}" in figure.find("title").text
            numbers = [(float(t.get("y")), int(t.text)) for t in with_class(figure, "thimble-number")]
            rising = [
                b - a
                for (_, a), (_, b) in zip(sorted(numbers)[::-1], sorted(numbers)[::-1][1:], strict=False)
            ]
            assert sum(one < 0 for one in rising) <= 1  # once over the end of a turn


@pytest.mark.parametrize("graduation", [METRIC, INCH], ids=["metric", "inch"])
def test_the_box_on_the_thimble_is_the_band_in_its_graduations(graduation):
    size, step_ = (41.04, 0.001) if graduation is METRIC else (1.6157, 0.0001)
    for low, high in ((4, 4), (2, 7), (20, 12)):
        band = size - low * step_, size + high * step_
        for figure in svgs(micrometer(size, band, graduation)):
            box = with_class(figure, "band-box")[0]
            datum = float(with_class(figure, "datum")[0].get("y1"))
            lines = sorted(float(m.get("y1")) for m in with_class(figure, "thimble-mark"))
            apart = min(b - a for a, b in zip(lines, lines[1:], strict=False))
            top, height = float(box.get("y")), float(box.get("height"))
            assert (datum - top) / apart == pytest.approx(0.1 * high, abs=0.01)
            assert (top + height - datum) / apart == pytest.approx(0.1 * low, abs=0.01)
            ends = [t.text for t in with_class(figure, "band-size")]
            assert ends == [graduation.text(band[1]), graduation.text(band[0])]


def test_strip_runs_in_the_direction_of_the_cut():
    turned = cut_strip.Strip(
        41.044, 41.036, 41.040, 41.049, ("41.044", "41.036", "41.049"), "a", "b", "s", "t"
    )
    for width in (366.0, 720.0):
        places = [cut_strip.place(turned, v, width) for v in (41.049, 41.044, 41.040, 41.036, 41.030)]
        assert places == sorted(places)
    bored = replace(turned, first=39.0, last=39.02, aim=39.01, now=38.9)
    places = [cut_strip.place(bored, v, 366.0) for v in (38.99, 39.0, 39.01, 39.02, 39.05)]
    assert places == sorted(places)
    pointer = with_class(svgs(cut_strip.cut_strip(bored))[1], "pointer")[0].get("points")
    xs = [float(p.split(",")[0]) for p in pointer.split()]
    assert min(xs) >= 0.0, "far off, it points out of the figure and stays in it"
    assert xs[0] == min(xs)
