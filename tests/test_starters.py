"""Starter cases: whole, in plain sizes of either trade, and never taken for somebody's own values."""

from __future__ import annotations

import itertools
import re
import tomllib

import pytest

from hoopwright.case import CaseError, parse_case
from hoopwright.case.fill_in import filled_in
from hoopwright.pipeline import check_case
from hoopwright.starters import COMMENT_COLUMN, PIECES, starter_text
from hoopwright.verdict import verdict_state

ALL = list(itertools.product(PIECES, ("metric", "inch")))
METRIC_UNITS = re.compile(r"\b(mm|um|µm|N|kN|MPa|bar|degC|K|N\*m)\b")
INCH_UNITS = re.compile(r"\b(in|thou|uin|lbf|ton|ksi|psi|degF|delta_degF)\b")
QUANTITY = re.compile(r'"[-0-9][^"]*"')
IN_PLACE_OF_ANOTHER = re.compile("given as well|goes with|give one of|cannot be read")
TRADE_SIZES = ("1.37 in x 24", "36 mm x 24")


def blocks_switched_off(text: str) -> list[str]:
    """Stretches of lines that start with # and no space after it."""
    lines = itertools.groupby(text.splitlines(), key=lambda line: bool(re.match(r"#\S", line)))
    return ["\n".join(group) for off, group in lines if off]


@pytest.mark.parametrize(("piece", "units"), ALL)
def test_every_starter_is_read_without_a_fault_and_is_a_sample(piece, units):
    case = parse_case(starter_text(piece, units))
    assert case.sample
    assert not case.invented
    assert case.units == units
    assert case.temperatures and case.boring and case.press.capacity and case.routes and case.size.gauge  # noqa: PT018


@pytest.mark.parametrize(("piece", "units"), ALL)
def test_every_size_of_a_starter_is_in_the_units_asked_for(piece, units):
    other = INCH_UNITS if units == "metric" else METRIC_UNITS
    sizes = [s for s in QUANTITY.findall(starter_text(piece, units)) if not s[1:].startswith(TRADE_SIZES)]
    assert len(sizes) > 30
    assert [s for s in sizes if other.search(s)] == []


@pytest.mark.parametrize("piece", PIECES)
def test_the_sizes_of_both_trades_are_nearly_the_same(piece):
    ours, theirs = (parse_case(starter_text(piece, units)) for units in ("metric", "inch"))
    assert theirs.shell.outside[0].diameter_start == pytest.approx(
        ours.shell.outside[0].diameter_start, rel=0.01
    )
    pairs = [(c.sleeve.outside[0].diameter_start, c.shell.bore[0].diameter_start) for c in (ours, theirs)]
    metric, inch = (outside - bore for outside, bore in pairs)
    assert inch == pytest.approx(metric, abs=2e-3)


@pytest.mark.parametrize(("piece", "units"), ALL)
def test_what_is_switched_off_is_read_once_it_is_switched_on(piece, units):
    """Each block by itself; where it stands in place of another, only that is told."""
    text = starter_text(piece, units)
    blocks = blocks_switched_off(text)
    assert len(blocks) > 5
    for block in blocks:
        on = re.sub(r"(?m)^#", "", block)
        if "none =" in text and "[[service.bearing]]" in on:
            text_on = re.sub(r"(?m)^none = .*\n", "", text).replace(block, on)
        else:
            text_on = text.replace(block, on)
        try:
            parse_case(text_on)
        except CaseError as error:
            told = str(error).splitlines()
            assert all(
                re.search("given as well|goes with|give one of|cannot be read", line) for line in told
            ), told


@pytest.mark.parametrize(("piece", "units"), ALL)
def test_comments_stand_in_one_column_and_lines_fit(piece, units):
    lines = starter_text(piece, units).splitlines()
    behind = [line.index("  # ") + 2 for line in lines if re.match(r"\S.*\S\s+  # ", line)]
    assert set(behind) == {COMMENT_COLUMN}
    assert max(map(len, lines)) <= 108
    assert not any("<" in line and "|" in line for line in lines)


@pytest.mark.slow
@pytest.mark.parametrize(("piece", "units"), ALL)
def test_the_check_of_a_starter_holds_as_far_as_judged(piece, units):
    """And with the line taken away it ends as its values say: they hold."""
    text = starter_text(piece, units)
    assert verdict_state(check_case(parse_case(text))) == "holds as far as judged"
    own = re.sub(r"(?m)^sample = .*\n", "", text)
    assert verdict_state(check_case(parse_case(own))) == "holds"


@pytest.mark.parametrize(("piece", "units"), ALL)
def test_a_wider_piece_takes_along_what_lies_in_its_right_half(piece, units):
    wider = {"metric": "90 mm", "inch": "3 1/2 in"}[units]
    text = filled_in(piece, units, {("shell", "width"): wider})
    case, before = parse_case(text), parse_case(starter_text(piece, units))
    grown = case.shell.width - before.shell.width
    assert case.sleeve.z_end == pytest.approx(case.shell.width, abs=1e-3)
    assert [zone.z_end for zone in case.sleeve.bore][-1] == pytest.approx(case.sleeve.z_end, abs=1e-3)
    if before.service is not None and before.service.crank is not None:
        ours, was = case.service.crank, before.service.crank
        assert ours.left == was.left
        assert ours.right.bearing == pytest.approx(was.right.bearing + grown, abs=1e-3)
        assert case.service.support[0].z_centre == pytest.approx(0.5 * case.shell.width, abs=0.02)


def test_filling_in_keeps_every_comment():
    answers = {("shell", "outside_diameter"): "56 mm", ("sleeve", "bore", 1, "diameter"): "35.4 mm"}
    text = filled_in("crank-shell", "metric", answers)
    old, new = starter_text().splitlines(), text.splitlines()
    changed = [(a, b) for a, b in zip(old, new, strict=True) if a != b]
    assert changed == [
        ('outside_diameter = "54 mm"', 'outside_diameter = "56 mm"'),
        ('diameter = "35.5 mm"', 'diameter = "35.4 mm"'),
    ]
    assert tomllib.loads(text)["sleeve"]["bore"][1]["diameter"] == "35.4 mm"


def test_a_place_that_the_starter_has_not_is_refused():
    with pytest.raises(KeyError):
        filled_in("hub", "metric", {("shell", "colour"): "red"})
