"""A number without a unit is taken only where its unit is that of the size in its place."""

from __future__ import annotations

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from datetime import datetime

from hoopwright.page.bench import Benches
from hoopwright.page.case_files import CaseFiles
from hoopwright.page.changes import Edit, change
from hoopwright.page.render import time_said
from hoopwright.page.work import Work
from hoopwright.starters import starter_text


@pytest.fixture(scope="module")
def hub(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hub")
    (folder / "hub.toml").write_text(starter_text("hub", "inch").replace('"2.2 in"', '"55.88 mm"'), "utf-8")
    return Benches(CaseFiles(folder), Work(None))


@pytest.mark.parametrize(
    ("path", "typed", "written"),
    [
        ("shell.runout", "2.2", ""),  # over 1.5 thou; such a number is else in inches
        ("shell.runout", "1/16", 'runout = "1/16 in"'),
        ("shell.runout", "2.2 thou", 'runout = "2.2 thou"'),
        ("shell.runout", "0", 'runout = "0 in"'),
        ("sleeve.most_bore_closure", "2.2", 'most_bore_closure = "2.2 thou"'),
        ("shell.width", "2.376", 'width = "2.376 in"'),
        ("shell.outside_diameter", "2.21", ""),  # over 55.88 mm
        ("temperatures.use_most", "105", 'use_most = "105 degF"'),
    ],
)
def test_number_over_a_size_in_another_unit_is_asked_for_its_unit(hub, path, typed, written):
    made = change(hub, hub.files.read("hub.toml"), [Edit(path, typed)], "inch")
    if written:
        assert made.rejected == {}
        assert written in made.text
    else:
        assert made.text == ""
        assert f"{typed} of which unit?" in made.rejected[path][1]


def test_file_saved_today_has_its_time_and_an_older_one_its_date():
    now = datetime(2026, 5, 2, 14, 2).timestamp()
    assert time_said(now - 3600.0, now) == "13:02"
    assert time_said(now - 86400.0, now) == "2026-05-01"
    assert time_said(0.0, now) == ""
