"""The page as HTML, and its tokens and type."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path

import pytest

pytest.importorskip("jinja2")

from page_cases import (
    bench_of,
    page,
    small,
    steps,
    undecided,
)

from hoopwright.checks import STAGES
from hoopwright.page import assets
from hoopwright.page.views.frame import frame_view
from hoopwright.page.views.rows import cell_id

PAGE = Path(assets.__file__).parent
STATIC = PAGE / "static"
OWN_CSS = ("tokens", "layout", "verdict", "rows")
ROOT = Path(__file__).parents[1]


@pytest.fixture(scope="module")
def whole_page():
    bench = bench_of(undecided(small()))
    return page(bench, "pushed_out")


def test_the_page_has_no_style_or_script_of_its_own(whole_page):
    assert " style=" not in whole_page
    assert not re.search(r"\son\w+=", whole_page)
    assert not re.search(r"<script(?! src=)", whole_page)
    assert not re.search(r"(?:src|href)=\"(?:https?:)?//", whole_page)
    assert "&lt;sleeve&gt;" in whole_page
    assert "<sleeve>" not in whole_page


def test_ids_stand_once_and_cells_carry_row_and_stage(whole_page):
    ids = re.findall(r'\sid="([^"]+)"', whole_page)
    assert len(ids) == len(set(ids))
    for row in small()["checks"]:
        for stage in STAGES:
            assert f'id="{cell_id(row["id"], stage)}"' in whole_page
            assert f'data-row="{row["id"]}" data-stage="{stage}"' in whole_page
    assert whole_page.count('role="img"') == whole_page.count("<desc ")


def test_the_frame_leads_on_and_marks_the_step_at_hand(whole_page):
    assert whole_page.count('aria-current="step"') == 1
    assert whole_page.count("<h1") == 1
    assert 'href="#verdict"' in whole_page
    assert 'href="#step"' in whole_page
    frame = frame_view(bench_of(None), steps(), "piece")
    assert frame.before is None
    assert (frame.position, frame.after.name, frame.title) == ("1 of 6", "Sizes", "Small boss & <sleeve>")


def tokens(dark):
    text = (STATIC / "tokens.css").read_text(encoding="utf-8")
    light, night = text.split("@media", 1)
    return {
        name: tuple(int(value[k : k + 2], 16) / 255 for k in (0, 2, 4))
        for name, value in re.findall(r"--(\w+): #(\w{6});", night if dark else light)
    }


def ratio(one, other):
    """Contrast ratio of two colours, WCAG 2.2."""

    def luminance(colour):
        linear = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in colour)
        return sum(w * c for w, c in zip((0.2126, 0.7152, 0.0722), linear, strict=True))

    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


TEXT = (
    *((ink, ground) for ink in ("ink", "ink2", "yours") for ground in ("sheet", "bench", "shade")),
    *((ink, ground) for ink in ("ok", "part", "und", "bad") for ground in ("sheet", "bench")),
    *(("yours", "yoursbg"), ("ink2", "yoursbg"), ("und", "undbg"), ("ink", "undbg"), ("onbad", "badfill")),
    *(("ink", "shell"), ("ink", "sleeve")),
)
LINES = (("rule", "sheet"), ("rule", "bench"), ("rule", "shade"), ("bad", "shell"))


@pytest.mark.parametrize("dark", [False, True])
def test_text_and_lines_stand_out_from_their_ground(dark):
    """WCAG 2.2: 4.5 : 1 for text, 3 : 1 for lines that carry meaning."""
    colours = tokens(dark)
    for pairs, least in ((TEXT, 4.5), (LINES, 3.0)):
        for ink, ground in pairs:
            assert ratio(colours[ink], colours[ground]) >= least, (ink, ground)
    assert set(tokens(False)) == set(tokens(True))


def test_a_ratio_is_that_of_black_on_white():
    assert ratio((0.0, 0.0, 0.0), (1.0, 1.0, 1.0)) == pytest.approx(21.0)


def test_colours_stand_in_the_tokens_alone_and_green_is_one_word():
    texts = {name: (STATIC / f"{name}.css").read_text(encoding="utf-8") for name in OWN_CSS}
    for name in OWN_CSS[1:]:
        assert not re.search(r"#[0-9A-Fa-f]{3,8}\b(?!\s*\{)|rgba?\(|hsl", texts[name]), name
    green = [line for text in texts.values() for line in text.splitlines() if "var(--ok)" in line]
    assert green == [".verdict-holds { --frame: var(--ok); }"]


def test_the_fonts_are_small_and_come_with_their_licence():
    fonts = sorted(STATIC.glob("*.woff2"))
    assert [path.name for path in fonts] == ["B612-Bold.woff2", "B612-Regular.woff2"]
    assert sum(path.stat().st_size for path in fonts) <= 45_000
    assert "SIL OPEN FONT LICENSE" in (STATIC / "B612-OFL.txt").read_text(encoding="utf-8")
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    assert "hoopwright/page/static/B612-OFL.txt" in project["license-files"]
