"""The page on a network: the addresses that are printed, and what a phone reads off the terminal."""

from __future__ import annotations

import io
import re
import socket

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

import numpy as np
import zxingcpp

from hoopwright.cli import main
from hoopwright.page import own_address, qr_code, serve
from hoopwright.page.guard import Door

KEY = "k3Zt_-" + 37 * "x"
IN_NUMBERS = ("192.168.178.123", "fd12:3456:789a:1:1234:5678:9abc:def0")
LEVEL = {"16": 0, "231": 255}
"""Black and white among the 256 colours."""


class Terminal(io.StringIO):
    encoding = "utf-8"

    def isatty(self):
        return True


class NoUtf8(Terminal):
    encoding = "latin-1"


@pytest.fixture
def window(monkeypatch):
    """A terminal of 80 columns and 30 lines that shows colours."""
    for name in ("NO_COLOR", "TERM"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("COLUMNS", "80")
    monkeypatch.setenv("LINES", "30")
    return monkeypatch


def seen(text, ground):
    """What a terminal with a ground of that level shows of a text of half blocks, as a picture."""
    rows = []
    for line in text.splitlines():
        upper, lower, ink, paper = [], [], 255 - ground, ground
        for escape, char in re.findall(r"(\x1b\[[\d;]*m)|(.)", line):
            if escape == "\x1b[0m":
                ink, paper = 255 - ground, ground
            elif escape:
                fore, back = re.fullmatch(r"\x1b\[38;5;(\d+);48;5;(\d+)m", escape).groups()
                ink, paper = LEVEL[fore], LEVEL[back]
            else:
                upper.append(ink if char in "▀█" else paper)
                lower.append(ink if char in "▄█" else paper)
        rows += [upper, lower]
    width = max(map(len, rows)) + 8
    full = [4 * [ground] + row + (width - 4 - len(row)) * [ground] for row in rows]
    edge = 4 * [width * [ground]]
    return np.kron(np.array(edge + full + edge, dtype=np.uint8), np.ones((4, 4), dtype=np.uint8))


@pytest.mark.usefixtures("window")
@pytest.mark.parametrize("ground", [0, 255])
@pytest.mark.parametrize("host", IN_NUMBERS)
def test_a_phone_reads_the_address_off_a_dark_and_a_light_terminal(host, ground):
    where = serve.address(host, 8217, Door(8217, key=KEY))
    shown = qr_code.for_terminal(where, Terminal())
    picture = seen(shown, ground)
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [where]
    assert picture[20, 20] == 255, "the quiet zone is light: some cameras read no negative"


def test_code_is_surrounded_by_the_quiet_zone_and_fits_the_window():
    rows = np.array(qr_code.modules(serve.address(IN_NUMBERS[0], 8217, Door(8217, key=KEY))))
    assert rows.shape[0] == rows.shape[1]
    dark = np.argwhere(rows)
    assert dark.min(axis=0).tolist() == [4, 4]
    assert dark.max(axis=0).tolist() == [rows.shape[0] - 5] * 2
    lines = qr_code.lines(serve.address(IN_NUMBERS[1], 8217, Door(8217, key=KEY)))
    assert (len(lines), {len(line) for line in lines}) == (25, {49})


def test_code_survives_what_level_m_corrects():
    """ISO/IEC 18004: level M restores about 15 % of the codewords; 3 % of the modules are wrong."""
    where = serve.address(IN_NUMBERS[0], 8217, Door(8217, key=KEY))
    rows = 255 * (1 - np.array(qr_code.modules(where), dtype=np.uint8))
    rows[22:29, 19:26] = 255 - rows[22:29, 19:26]
    picture = np.kron(rows, np.ones((4, 4), dtype=np.uint8))
    assert [found.text for found in zxingcpp.read_barcodes(picture)] == [where]


def test_terminal_that_cannot_show_the_code_says_why(window):
    assert qr_code.for_terminal("http://192.168.1.2/", io.StringIO()) == ""
    assert "needs a terminal with UTF-8, not latin-1" in qr_code.for_terminal(
        "http://192.168.1.2/", NoUtf8()
    )
    window.setenv("LINES", "12")
    assert qr_code.for_terminal("http://192.168.1.2/", Terminal()).startswith(
        "The code needs a window of 18"
    )
    window.setenv("COLUMNS", "32")
    assert "a window of 33 columns" in qr_code.for_terminal("http://192.168.1.2/", Terminal())
    window.setenv("NO_COLOR", "1")
    assert "NO_COLOR" in qr_code.for_terminal("http://192.168.1.2/", Terminal())


def printed(monkeypatch, stream, folder, *words):
    """What the command prints on a stream; nothing is served."""
    monkeypatch.setattr("uvicorn.Server.run", lambda *_, **__: None)
    monkeypatch.setattr("sys.stdout", stream)
    assert main(["page", str(folder), "--no-open", "--port", "0", *words]) == 0
    return stream.getvalue()


def test_served_on_a_network_it_prints_numbers_name_and_what_to_know(window, tmp_path):
    window.setattr(own_address, "_towards_nobody", lambda _: "192.168.178.123")
    said = printed(window, io.StringIO(), tmp_path, "--host", "0.0.0.0").splitlines()
    where = re.search(r": (http://192\.168\.178\.123:\d+/\?token=\S+)$", said[0])[1]
    assert said[1].endswith(where.replace("192.168.178.123", socket.gethostname()))
    assert [line.partition(":")[0] for line in said[2:]] == [
        "Whoever has this address can change the case files of this folder.",
        "The connection is not encrypted",
        "Ctrl-C stops it.",
    ]
    shown = printed(window, Terminal(), tmp_path, "--host", "0.0.0.0")
    *_, last = re.findall(r"http://\S+123:\S+", shown)
    (found,) = zxingcpp.read_barcodes(seen(shown[shown.index("\x1b") :], 0))
    assert found.text == last


def test_without_a_network_it_says_so_and_shows_no_code(window, tmp_path):
    window.setattr(own_address, "_towards_nobody", lambda _: "")
    said = printed(window, Terminal(), tmp_path, "--host", "0.0.0.0")
    assert f"http://{socket.gethostname()}:" in said.splitlines()[0]
    assert "No address that a phone can open was found" in said
    assert "\x1b" not in said


def test_served_on_this_machine_alone_it_prints_the_address_alone(window, tmp_path):
    said = printed(window, Terminal(), tmp_path).splitlines()
    assert said[1:] == ["Ctrl-C stops it."]
    assert "token" not in said[0]


def test_hosts_are_numbers_before_names(monkeypatch):
    found = {socket.AF_INET: "192.168.1.2", socket.AF_INET6: "fd00::2"}
    monkeypatch.setattr(own_address, "_towards_nobody", lambda family: found[family])
    name = socket.gethostname()
    with socket.create_server(("127.0.0.1", 0)) as here:
        assert own_address.hosts("127.0.0.1", here) == ["127.0.0.1"]
        assert own_address.hosts("workshop", here) == ["127.0.0.1", "workshop"]
    with socket.create_server(("0.0.0.0", 0)) as everywhere:
        assert own_address.hosts("0.0.0.0", everywhere) == ["192.168.1.2", name]
    if not socket.has_dualstack_ipv6():
        return
    for dualstack, first in ((True, "192.168.1.2"), (False, "fd00::2")):
        with socket.create_server(
            ("::", 0), family=socket.AF_INET6, dualstack_ipv6=dualstack
        ) as everywhere:
            assert own_address.hosts("::", everywhere) == [first, name]


def test_own_address_asks_nobody(monkeypatch):
    """The socket is of datagrams and only connected; one that finds no way leaves no address."""
    done = []

    class Socket:
        def __init__(self, family, kind):
            done.append((family, kind))

        def __enter__(self):
            return self

        def __exit__(self, *_):
            done.append("closed")

        def connect(self, where):
            done.append(where)

        def getsockname(self):
            return ("192.168.1.2", 50000)

    monkeypatch.setattr(own_address.socket, "socket", Socket)
    assert own_address._towards_nobody(socket.AF_INET) == "192.168.1.2"
    assert done == [(socket.AF_INET, socket.SOCK_DGRAM), ("192.0.2.1", 9), "closed"]
    monkeypatch.setattr(Socket, "connect", lambda *_: (_ for _ in ()).throw(OSError("no way")))
    assert own_address._towards_nobody(socket.AF_INET) == ""


@pytest.mark.parametrize("host", ["127.0.0.2", "::1", "0.0.0.0", "fe80::1%eth0", "workshop"])
def test_another_machine_reaches_none_of_these(host):
    assert not own_address.reaches(host)
