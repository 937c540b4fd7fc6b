"""Figures are legible, reproducible, and free of side effects."""

from __future__ import annotations

import hashlib
import os
import random
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from figure_cases import CASES, UNITS, plotted, solved, texts

from hoopwright.record.figures import FIGURES, dimension_chains, style

ROOT = Path(__file__).resolve().parents[1]
VARIED = pytest.mark.parametrize(
    ("case", "system"), [*((case, "metric") for case in CASES), ("short", "inch"), ("threaded", "inch")]
)
EVERY = pytest.mark.parametrize("name", FIGURES)


@EVERY
@VARIED
def test_no_text_is_cut_off_or_too_small(name, case, system):
    figure = plotted(name, case, system)
    page = figure.bbox
    for text in texts(figure):
        box = text.get_window_extent()
        assert page.x0 - 1 <= box.x0 < box.x1 <= page.x1 + 1, text.get_text()
        assert page.y0 - 1 <= box.y0 < box.y1 <= page.y1 + 1, text.get_text()
        assert text.get_fontsize() >= style.SMALL


@pytest.mark.parametrize("name", ["drawing", "margins", "section"])
@VARIED
def test_no_two_texts_overlap(name, case, system):
    shown = [(t.get_text(), t.get_window_extent()) for t in texts(plotted(name, case, system))]
    for k, (one, a) in enumerate(shown):
        for other, b in shown[k + 1 :]:
            wide = min(a.x1, b.x1) - max(a.x0, b.x0)
            high = min(a.y1, b.y1) - max(a.y0, b.y0)
            assert wide < 1.0 or high < 1.5, (one, other)


@pytest.mark.parametrize(
    ("name", "kind"),
    [*((name, "svg") for name in FIGURES), ("section", "png"), ("section", "pdf"), ("drawing", "pdf")],
)
def test_the_same_results_give_the_same_bytes(name, kind):
    make = FIGURES[name]
    first, second = (style.rendered(make(solved("threaded"), UNITS["metric"]), kind) for _ in range(2))
    assert first == second
    assert not re.search(rb"CreationDate|<dc:date>|(src|href)=\"http", first)


PROGRAM = """
import hashlib, sys
import figure_cases as t
total = hashlib.sha256()
for name in t.FIGURES:
    for kind in sys.argv[1:]:
        total.update(t.style.rendered(t.plotted(name, "plain"), kind))
assert "matplotlib.pyplot" not in sys.modules
print(total.hexdigest())
"""


@pytest.mark.parametrize(
    "home",
    [
        "none",
        pytest.param("unwritable", marks=pytest.mark.slow),
        pytest.param("with settings of its own", marks=pytest.mark.slow),
    ],
)
def test_another_process_without_a_home_folder_plots_the_same_silently(tmp_path, home):
    kinds = ("png", "svg") if home == "none" else ("svg",)
    environment = {
        k: v for k, v in os.environ.items() if k not in ("HOME", "MPLCONFIGDIR", "XDG_CONFIG_HOME")
    }
    environment |= {"PYTHONPATH": f"{ROOT}:{ROOT / 'tests'}", "PYTHONHASHSEED": str(len(home))}
    if home == "unwritable":
        environment |= {"HOME": "/proc/nowhere", "MPLCONFIGDIR": "/proc/nowhere"}
    if home == "with settings of its own":
        (tmp_path / "matplotlibrc").write_text(
            "font.size: 20\ntext.usetex: True\nsavefig.dpi: 33\naxes.facecolor: red\nfont.family: serif\n"
        )
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM, *kinds],
        cwd=tmp_path,
        env=environment,
        capture_output=True,
        text=True,
    )
    assert done.stderr == ""
    here = hashlib.sha256()
    for name in FIGURES:
        for kind in kinds:
            here.update(style.rendered(plotted(name, "plain"), kind))
    assert done.stdout.strip() == here.hexdigest()


def test_plotting_leaves_the_settings_of_matplotlib_unchanged():
    import matplotlib

    before = dict(matplotlib.rcParams)
    style.rendered(FIGURES["margins"](solved("plain"), UNITS["metric"]), "svg")
    assert dict(matplotlib.rcParams) == before


def test_line_colours_are_distinguishable_in_greyscale():
    """Relative luminance of sRGB as in IEC 61966-2-1 (coefficients from memory, not seen)."""

    def grey(colour: str) -> float:
        channels = np.array([int(colour[k : k + 2], 16) for k in (1, 3, 5)]) / 255.0
        linear = np.where(channels <= 0.04045, channels / 12.92, ((channels + 0.055) / 1.055) ** 2.4)
        return 116.0 * np.cbrt(linear @ [0.2126, 0.7152, 0.0722]) - 16.0

    steps = np.diff([grey(c) for c in (style.DARK, style.MIDDLE, style.LIGHT)] + [100.0])
    assert steps.min() > 20.0


def test_labels_in_a_row_keep_order_distance_and_limits():
    seed = random.Random(7)
    for _ in range(200):
        widths = [seed.uniform(1.0, 12.0) for _ in range(seed.randint(1, 9))]
        wanted = sorted(seed.uniform(-20.0, 120.0) for _ in widths)
        centres = style.place_labels(wanted, widths, low=0.0, high=100.0 + 9 * 14.0, gap=2.0)
        left = np.array(centres) - 0.5 * np.array(widths)
        assert np.all(left[1:] - (left + widths)[:-1] > 2.0 - 1e-9)
        assert left[0] > -1e-9
        assert (left + widths)[-1] < 226.0 + 1e-9
    assert style.place_labels([10.0, 50.0], [4.0, 4.0], low=0.0, high=100.0, gap=2.0) == [10.0, 50.0]
    assert style.place_labels([10.0, 10.0], [4.0, 4.0], low=0.0, high=100.0, gap=2.0) == [7.0, 13.0]


def test_labels_that_do_not_fit_one_row_get_more_rows():
    sheet = dimension_chains.Sheet(left=0.0, scale=1.0, low=0.0, high=100.0)
    many = dimension_chains.DimensionChain(
        "bore",
        tuple(
            dimension_chains.Dimension(5.0 * k, 5.0 * k + 5.0, "Ø 34.900 ±0.005", "5.00") for k in range(12)
        ),
        10.0,
    )
    with style.plot_style():
        assert sheet.label_rows(many) >= 3
        assert sheet.height(many) > 3 * sheet.height(replace(many, dimensions=many.dimensions[:1])) / 2
