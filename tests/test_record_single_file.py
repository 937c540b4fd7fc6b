"""A single file is written completely or not at all, and replaced only on request."""

from __future__ import annotations

import errno
import os
from pathlib import Path

import pytest
from record_folders import NEEDS_LINUX, entries

from hoopwright.record.atomic_write import OutputError, write_file


def test_a_single_file_is_not_replaced_unless_overwrite_is_given(tmp_path):
    path = tmp_path / "results ü.json"
    assert write_file(path, b"one") == path
    with pytest.raises(OutputError, match="already exists"):
        write_file(path, b"two")
    assert path.read_bytes() == b"one"
    path.chmod(0o640)
    write_file(path, b"two", overwrite=True)
    assert path.read_bytes() == b"two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert entries(tmp_path) == [path.name]


def test_a_single_file_at_a_bad_path_gives_one_error_line(tmp_path):
    with pytest.raises(OutputError, match="the folder does not exist"):
        write_file(tmp_path / "no" / "a.json", b"x")
    with pytest.raises(OutputError, match="a folder, not a file"):
        write_file(tmp_path, b"x", overwrite=True)
    with pytest.raises(OutputError, match="the name is too long"):
        write_file(tmp_path / ("n" * 300), b"x")
    assert entries(tmp_path) == []


@NEEDS_LINUX
@pytest.mark.skipif(not os.path.exists("/dev/full"), reason="no /dev/full")
def test_a_single_file_on_a_full_device_gives_one_error_line():
    with pytest.raises(OutputError, match=r"^/dev/full: cannot write: the disk is full$"):
        write_file(Path("/dev/full"), b"x")


def test_replacing_a_file_through_a_link_keeps_the_link(tmp_path):
    (tmp_path / "real").write_bytes(b"one")
    (tmp_path / "link").symlink_to("real")
    write_file(tmp_path / "link", b"two", overwrite=True)
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_bytes() == b"two"


def test_a_file_system_without_links_still_gets_its_file_but_no_replacement(tmp_path, monkeypatch):
    def no_links(*_args, **_options):
        raise OSError(errno.EPERM, "no links")

    monkeypatch.setattr(os, "link", no_links)
    assert write_file(tmp_path / "a", b"one").read_bytes() == b"one"
    with pytest.raises(OutputError, match="already exists"):
        write_file(tmp_path / "a", b"two")
    assert entries(tmp_path) == ["a"]
