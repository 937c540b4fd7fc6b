"""What is opened of a record is what was looked at, whatever is done to its folder meanwhile."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_records import write_record

from hoopwright.page.outputs import OutputFolder


@pytest.mark.parametrize("what", ["another file", "a folder above it", "a pipe"])
def test_what_is_put_in_the_place_of_a_file_while_it_is_opened_is_not_read(tmp_path, monkeypatch, what):
    where, away = write_record(tmp_path / "served"), tmp_path / "away"
    (away / "figures").mkdir(parents=True)
    (away / "figures/wall.svg").write_text("secret")
    file, open_ = where / "figures/wall.svg", os.open

    def exchanged(path, *flags):
        if Path(path) == file:
            if what == "a folder above it":
                (where / "figures").rename(where / "before")
                (where / "figures").symlink_to(away / "figures")
            else:
                file.unlink()
                os.mkfifo(file) if what == "a pipe" else os.link(away / "figures/wall.svg", file)
        found = open_(path, *flags)
        if what == "another file":
            file.unlink()
            file.write_text("content of figures/wall.svg")
        return found

    folder = OutputFolder(tmp_path / "served")
    assert folder.file_of("mine-001", "figures/wall.svg") == b"content of figures/wall.svg"
    monkeypatch.setattr(os, "open", exchanged)
    assert folder.file_of("mine-001", "figures/wall.svg") is None


def test_record_of_which_not_all_can_be_looked_at_has_no_stamp(tmp_path, monkeypatch):
    where = write_record(tmp_path)
    count = len(list(where.rglob("*")))
    monkeypatch.setattr("hoopwright.page.outputs.MAX_FILES", count)
    assert OutputFolder(tmp_path).stamp("mine-001")
    (where / "zz.txt").symlink_to("/etc/passwd")
    assert OutputFolder(tmp_path).stamp("mine-001") == ""
