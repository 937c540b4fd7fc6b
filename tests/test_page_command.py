"""hoopwright page: where it serves, what it says where it cannot, how it ends."""

from __future__ import annotations

import os
import re
import signal
import socket
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from hoopwright import status
from hoopwright.cli import main
from hoopwright.commands import page
from hoopwright.page import serve
from hoopwright.starters import starter_text


def one_line(capsys):
    lines = capsys.readouterr().err.splitlines()
    assert len(lines) == 1
    return lines[0]


def test_serves_this_machine_alone_and_ends_at_ctrl_c(tmp_path):
    command = [sys.executable, "-m", "hoopwright", "page", str(tmp_path), "--port", "0", "--no-open"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as server:
        try:
            where = re.search(r"http://127\.0\.0\.1:\d+/$", server.stdout.readline().rstrip())[0]
            with urllib.request.urlopen(where) as answer:
                assert "No case in this folder yet" in answer.read().decode()
            children = Path(f"/proc/{server.pid}/task/{server.pid}/children")
            worker = children.read_text().split() if children.exists() else []
        finally:
            server.send_signal(signal.SIGINT)
        out, err = server.communicate(timeout=60)
    assert (server.returncode, err) == (status.ALL_HOLD, "stopped\n")
    assert "Traceback" not in out
    assert not any(Path(f"/proc/{pid}").exists() for pid in worker)


def test_folder_that_is_not_there_or_is_none_is_one_line(tmp_path, capsys):
    (tmp_path / "file").write_text("")
    for folder, said in (("none", "no such folder"), ("file", "is not a folder")):
        assert main(["page", str(tmp_path / folder), "--no-open"]) == status.BAD_INPUT
        assert said in one_line(capsys)


def test_folder_that_cannot_be_written_is_one_line(tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(os, "access", lambda *_: False)
    assert main(["page", str(tmp_path), "--no-open"]) == status.NOT_WRITTEN
    assert "no permission" in one_line(capsys)


def test_port_in_use_is_one_line_and_the_usual_one_gives_way(tmp_path, capsys, monkeypatch):
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
        assert main(["page", str(tmp_path), "--no-open", "--port", str(port)]) == status.BAD_INPUT
        assert one_line(capsys) == f"--port: {port} is in use; give another, or 0 for any"
        monkeypatch.setattr(serve, "USUAL_PORT", port)
        with serve._listen("127.0.0.1", None) as other:
            assert other.getsockname()[1] != port


def test_address_of_another_machine_is_one_line(tmp_path, capsys):
    assert main(["page", str(tmp_path), "--no-open", "--host", "192.0.2.1"]) == status.BAD_INPUT
    assert "cannot serve on 192.0.2.1" in one_line(capsys)
    with pytest.raises(SystemExit):
        main(["page", str(tmp_path), "--port", "65536"])


def test_without_its_packages_the_command_names_the_extra(capsys, monkeypatch):
    monkeypatch.setattr(page, "find_spec", lambda _: None)
    assert main(["page", "--no-open"]) == status.BAD_INPUT
    assert 'pip install "hoopwright[page]"' in one_line(capsys)


def test_only_a_page_for_other_machines_has_a_key():
    assert not serve.door_for("", 80).key
    assert not serve.door_for("localhost", 80).key
    door, other = serve.door_for("0.0.0.0", 80), serve.door_for("0.0.0.0", 80)
    assert len(door.key) > 30
    assert door.key != other.key
    assert serve.address("192.0.2.7", 80, door) == f"http://192.0.2.7:80/?token={door.key}"
    assert serve.address("::1", 80, serve.door_for("::1", 80)) == "http://[::1]:80/"


def test_other_commands_do_without_the_packages_of_the_page(tmp_path):
    """As where [page] is not installed: whoever asks for one of them ends."""
    (tmp_path / "plain.toml").write_text(starter_text("plain"), "utf-8")
    code = (
        "import sys\n"
        "class Absent:\n"
        "    def find_spec(self, name, *_):\n"
        "        absent = ('starlette', 'uvicorn', 'jinja2', 'markupsafe', 'anyio', 'segno')\n"
        "        if name.split('.')[0] in absent:\n"
        "            raise SystemExit(f'{name} was asked for')\n"
        "sys.meta_path.insert(0, Absent())\n"
        "import hoopwright\n"
        "from hoopwright.cli import build_parser, main\n"
        "build_parser()\n"
        "code = main(['check', 'plain.toml', '--quiet'])\n"
        "print(code, {'tomlkit', 'hoopwright.page'} & set(sys.modules))\n"
    )
    words = [sys.executable, "-c", code]
    done = subprocess.run(words, cwd=tmp_path, capture_output=True, text=True)
    assert done.stderr == ""
    assert done.stdout.strip() == f"{status.AS_FAR_AS_JUDGED} set()"
