"""Figures show what was computed, in the units of the reader."""

from __future__ import annotations

import math
import re
from dataclasses import replace

import numpy as np
import pytest
from figure_cases import PLAIN, THREADED, UNITS, plotted, solved, words

from hoopwright.case.read import parse_case
from hoopwright.checks import Location, Margin, evidence_of
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.fit import Fits
from hoopwright.pipeline import Results, check_case
from hoopwright.record.figures import FIGURES, drawing, margins, pressure, section, style, wall
from hoopwright.record.figures.margin_bars import MAX_BAR
from hoopwright.state import let_go


def axes_of(module, results: Results, system: str = "metric"):
    """Return the axes that the figure's own function fills."""
    with style.plot_style():
        axes = style.new_figure(height=80.0, constrained=False).add_subplot()
        assert (
            getattr(module, "plot_" + module.__name__.rsplit(".", 1)[1])(results, UNITS[system], axes)
            is axes
        )
    return axes


def tightest(case: str) -> Fits:
    """The greatest fit at rest on the bench, without friction first."""
    results = solved(case)
    evidence = evidence_of(results.case, results.study)
    return evidence.at_rest("pressed", evidence.greatest)


@pytest.mark.parametrize(
    ("system", "length", "stress"), [("metric", "[mm]", "[MPa]"), ("inch", "[in]", "[ksi]")]
)
@pytest.mark.parametrize("name", ["section", "pressure", "wall"])
def test_axes_state_their_units(name, system, length, stress):
    shown = words(plotted(name, "plain", system))
    assert length in shown
    assert stress in shown


def test_user_text_is_shown_as_typed():
    assert "$\\frac{1}$ & <b>#%_{ " in words(plotted("drawing", "threaded"))


def test_a_designation_with_glyphs_missing_from_the_font_is_replaced_by_the_pitch():
    assert style.font_covers("Ø 34.9 ±µm, резьба")
    assert not style.font_covers("螺纹")
    case = parse_case(THREADED.replace("and a great many words more", "螺纹"))
    shown = words(FIGURES["drawing"](replace(solved("threaded"), case=case), UNITS["metric"]))
    assert "24.00, thread, pitch 0.200 mm" in shown


def lines_of(axes, label: str):
    return next(line.get_xydata().T for line in axes.lines if label in str(line.get_label()))


def test_plotted_pressure_is_the_solved_pressure_with_a_gap_at_the_relief():
    results = solved("stepped")
    axes = axes_of(pressure, results)
    for state, friction in zip(let_go(results.case, 0.0)[::2], ("frictionless", "μ = 0.2"), strict=True):
        z, p = lines_of(axes, f"likely, 32.5 µm, {friction}")
        assert np.array_equal(p[~np.isnan(p)], results.study.at(state).finest.press.pressure)
    assert 25.0 <= z[np.flatnonzero(np.isnan(p))[0] - 1] <= 25.0 + 1e-9
    assert "relieved" in words(plotted("pressure", "stepped"))


def test_pressure_without_stated_tolerance_shows_the_likely_fit_alone():
    case = parse_case(PLAIN.replace('bore_plus_minus = "5 um"', ""))
    labels = [str(line.get_label()) for line in axes_of(pressure, check_case(case)).lines]
    assert sum("likely" in x for x in labels) == 2
    assert not any("greatest" in x or "least" in x for x in labels)


def test_the_pressure_axis_is_cut_off_only_at_a_singularity_and_the_figure_says_so():
    short = axes_of(pressure, solved("short"))
    assert short.get_ylim()[1] < max(np.nanmax(line.get_ydata()) for line in short.lines)
    assert "cut off: highest" in words(plotted("pressure", "short"))
    top = axes_of(pressure, solved("plain")).get_ylim()[1]
    free, _, high = tightest("plain").fits
    assert free.finest.press.pressure.max() < top
    # what pushing has left at the end that went in first grows as the mesh is refined
    highest, *_, on_coarsest = (s.press.pressure.max() for s in high.solutions)
    assert highest > top
    assert highest > 1.1 * on_coarsest


def test_pressure_in_ksi_is_the_pressure_in_mpa_converted():
    """1 ksi = 6.894757 MPa (NIST SP 811, from memory, not seen)."""
    metric, inch = (lines_of(axes_of(pressure, solved("plain"), s), "likely")[1] for s in UNITS)
    assert np.allclose(metric, 6.894757 * inch, rtol=1e-6, equal_nan=True)


def test_stress_through_the_wall_lies_on_lame_where_it_applies():
    results = solved("plain")
    assert results.comparison.applies
    axes = axes_of(wall, results)
    for body in ("sleeve", "shell"):
        r, hoop = lines_of(axes, f"{body}, finite elements")
        along, lame = lines_of(axes, f"{body}, Lamé")
        assert len(r) >= 4
        assert np.allclose(np.interp(r, along, lame), hoop, rtol=2e-3)
    assert "guide" not in words(plotted("wall", "plain"))


def test_the_wall_figure_says_where_lame_is_only_a_guide_and_omits_the_relief():
    shown = words(plotted("wall", "stepped"))
    assert "only a guide" in shown
    assert "stepped or tapered" in " ".join(shown.split())
    assert wall.station(solved("stepped")) == pytest.approx(12.5)
    assert wall.station(solved("plain")) == pytest.approx(36.5)


def margin(value: float | None, *, error: float = 0.0, title: str = "x", doubt: str = "") -> Margin:
    capacity = None if value is None else Estimate(value + 1.0, error)
    return Margin(
        title, title, Estimate(1.0), capacity, "MPa", 1.0, Location("shell"), "made up", doubt=doubt
    )


def test_margin_bars_are_as_long_as_the_margins_and_show_their_state_without_colour():
    rows = (
        margin(-0.25),
        margin(0.02, error=0.05),
        margin(0.3, doubt="in doubt"),
        margin(0.8),
        margin(7.0),
        margin(None),
    )
    (axes,) = margins.figure_of_rows(rows).axes
    assert [b.get_width() for b in axes.patches] == pytest.approx([-0.25, 0.02, 0.3, 0.8, MAX_BAR])
    assert [bool(b.get_hatch()) for b in axes.patches] == [True, True, True, False, False]
    assert len({b.get_hatch() for b in axes.patches}) == 3
    shown = [t.get_text() for t in axes.texts]
    assert shown == [
        "-0.25  FAILS",
        "+0.02  undecided",
        "+0.30  undecided",
        "+0.80  holds",
        "+7.00  holds",
        "not assessed",
    ]


def test_margins_without_demand_or_without_any_row_are_plotted():
    endless = replace(margin(1.0), demand=Estimate(0.0))
    figure = FIGURES["margins"](replace(solved("plain"), margins=(endless,)), Units())
    assert "no loss  holds" in words(figure)
    assert FIGURES["margins"](replace(solved("plain"), margins=()), Units())


@pytest.mark.parametrize("case", ["plain", "short", "stepped"])
def test_exaggerated_bodies_meet_where_they_touch(case):
    state = tightest(case).fits[0].finest
    times = section._exaggeration(state)
    assert f"{times:g}"[0] in "125"
    shape = section._deformed(state, times)
    pairs, closed = state.mesh.meshed_joint.interface, state.press.closed
    gap = shape[1, pairs.shell[closed]] - shape[1, pairs.sleeve[closed]]
    assert np.abs(gap).max() < 1e-6
    assert f"magnified {times:g} times" in words(plotted("section", case))


def test_section_marks_the_governing_stress_of_both_bodies():
    shown = words(plotted("section", "short"))
    for body in ("shell", "sleeve"):
        value = max(fit.finest.equivalent_peak(body).value for fit in tightest("short").fits)
        assert re.search(rf"[12]: {body}( \((frictionless|μ = [\d.]+)\))? {value:.1f} MPa at its", shown)


def test_section_never_averages_across_the_interface():
    state = tightest("plain").fits[0].finest
    hoop = state.mesh.recovery.at_nodes(state.stress)[:, 1]
    pairs = state.mesh.meshed_joint.interface
    assert hoop[pairs.shell].min() > 20.0
    assert hoop[pairs.sleeve].max() < -20.0


def test_the_stated_exaggeration_of_the_section_is_the_one_plotted():
    axes = plotted("section", "plain").axes[0]
    assert f"r stretched {axes.get_aspect():g} times" in words(plotted("section", "plain"))


def test_the_drawing_gives_every_size_in_the_units_of_the_reader():
    metric, inch = words(plotted("drawing", "threaded")), words(plotted("drawing", "threaded", "inch"))
    for size in (
        "Ø 44.000",
        "Ø 39.000 ±0.005",
        "Ø 39.040",
        "Ø 35.500",
        "Ø 34.798 root",
        "73.000",
        "1.370 in x 24 tpi right",
        "40.0 ±4.8 µm",
        "lead-in left 1.00",
        "sizes in mm at 20 °C",
    ):
        assert size in metric
    for size in ("Ø 1.7323", "Ø 1.5354 ±0.0002", "Ø 1.5370", "1.57 ±0.19 thou", "sizes in inches at 68 °F"):
        assert size in inch


def test_the_drawing_is_to_scale():
    axes = plotted("drawing", "short").axes[0]
    assert axes.get_aspect() == 1.0
    shell, sleeve = (p.get_xy() for p in axes.patches[:2])
    (wide, thick), (short, thin) = (np.ptp(p, axis=0) for p in (shell, sleeve))
    assert wide / thick == pytest.approx(73.0 / 2.5)
    assert short / thin == pytest.approx(40.0 / 2.05)


def test_the_drawing_shows_threads_as_teeth_or_hatched_where_too_fine():
    patches = plotted("drawing", "threaded").axes[0].patches
    teeth, fine = patches[2], patches[3]
    assert len(teeth.get_xy()) > 2 * 22.0 / (25.4 / 24.0)
    assert not teeth.get_hatch()
    assert fine.get_hatch()
    assert drawing.MAX_DESIGNATION == 30


def test_the_drawing_shows_the_bore_of_the_blank_dashed_and_a_chamfer_as_deep_as_it_is():
    """Bored from 30 to 34.9 mm after pressing, and 2 mm of chamfer at 20° to the axis: 0.728 mm deep."""
    text = PLAIN.replace(
        'bore_diameter = "34.9 mm"',
        'bore_diameter = "30 mm"\nbored_after = "34.9 mm"\n'
        'chamfer_left = "2 mm"\nchamfer_left_angle = "20 deg"',
    )
    found = FIGURES["drawing"](replace(solved("plain"), case=parse_case(text)), UNITS["metric"])
    assert "Ø 34.900, blank Ø 30.000" in words(found)
    assert "left 2.00 × 20°" in words(found)
    axes = found.axes[0]
    sleeve = axes.patches[1].get_xy()
    scale = np.ptp(sleeve[:, 0]) / 73.0
    axis = sleeve[:, 1].min() - scale * 17.45
    dashed = [one for one in axes.lines if one.is_dashed() and np.ptp(one.get_ydata()) == 0.0]
    heights = [(line.get_ydata()[0] - axis) / scale for line in dashed]
    assert any(height == pytest.approx(15.0) for height in heights)
    left = sleeve[np.isclose(sleeve[:, 0], sleeve[:, 0].min()), 1].max()
    assert (sleeve[:, 1].max() - left) / scale == pytest.approx(2.0 * math.tan(math.radians(20.0)))
