"""The clock face: a reading is drawn as the gauge was held, and what stands out runs past the land."""

from __future__ import annotations

from dataclasses import replace

import pytest

pytest.importorskip("jinja2", reason="the page is an extra")

from page_benches import svgs, with_class

from hoopwright.page.figures.clock_face import ClockFace, Mark, clock_face


def test_face_draws_every_reading_as_it_was_read():
    marks = (Mark(0.0, "+2", "read"), Mark(90.0, "+11", "suspect"), Mark(135.0, "", "now"))
    face = ClockFace("t", ("z 21", "mm"), marks, True, True, "said", widest=20.0)
    for figure in svgs(clock_face(face)):
        middle = float(figure.get("width")) / 2, float(figure.get("height")) / 2
        assert [t.text for t in with_class(figure, "value")] == ["+2", "now", "? +11"]
        bore = min(float(c.get("r")) for c in with_class(figure, "outline"))
        (doubt,) = with_class(figure, "mark-suspect")
        ends = [float(line.get("y2")) - middle[1] for line in doubt if "reach" in line.get("class")]
        assert min(ends) < -bore - 5.0  # past the bore, and up is up
        assert max(ends) > bore + 5.0
        (read,) = with_class(figure, "mark-read")
        tips = [float(one.get("x2")) - middle[0] for one in read if "reach" in one.get("class")]
        assert sorted(tips) == pytest.approx([-bore, bore])
        assert with_class(figure, "doubt-box")
        assert not [e for e in figure.iter() if e.get("style")]
    texts = [t.text for t in svgs(clock_face(replace(face, sides=False)))[0].iter() if t.text]
    assert "forward" not in texts
    assert "180°" in texts


def test_upper_end_of_a_reading_below_the_axis_carries_its_value():
    figure = svgs(clock_face(ClockFace("t", ("z", "mm"), (Mark(225.0, "1", "read"),), True, True, "")))[0]
    (value,) = with_class(figure, "value")
    assert float(value.get("y")) < float(figure.get("height")) / 2
    assert float(value.get("x")) > float(figure.get("width")) / 2
