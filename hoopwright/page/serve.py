"""Serve the page on this machine until it is stopped."""

from __future__ import annotations

import errno
import ipaddress
import os
import secrets
import socket
import sys
import threading
import webbrowser
from contextlib import suppress
from pathlib import Path

import uvicorn

from hoopwright import status
from hoopwright.errors import CaseError, OutputError
from hoopwright.page import own_address, qr_code
from hoopwright.page.app import create_app
from hoopwright.page.guard import LOOPBACK, Door

USUAL_PORT = 8217
LONGEST_END = 2
"""Time, s, that open answers have when the server is stopped."""


def serve(folder: Path, *, host: str = "", port: int | None = None, opens: bool = True) -> int:
    """Serve the cases of a folder until Ctrl-C; the exit status.

    host: address to serve on where not loopback; then a token goes with the address. port: 0 for any that
    is free; None for the usual one, or any where that is taken. Raises CaseError and OutputError.
    """
    require_folder(folder)
    listening = _listen(host or LOOPBACK[0], port)
    with listening:
        at = listening.getsockname()[1]
        door = door_for(host, at)
        hosts = own_address.hosts(host, listening) if door.key else [host or LOOPBACK[0]]
        where = address(hosts[0], at, door)
        server = uvicorn.Server(
            uvicorn.Config(
                create_app(folder, door),
                log_level="warning",
                access_log=False,
                ws="none",
                server_header=False,
                limit_concurrency=64,
                timeout_keep_alive=5,
                timeout_graceful_shutdown=LONGEST_END,
            )
        )
        print(f"cases of {folder.resolve()}: {where}")
        for line in for_other_machines(hosts, at, door) if door.key else ():
            print(line)
        print("Ctrl-C stops it.", flush=True)
        # The code comes last, so that all of it stands in the window.
        if own_address.reaches(hosts[0]) and (code := qr_code.for_terminal(where, sys.stdout)):
            print(code, flush=True)
        if opens and _has_screen():
            threading.Thread(target=_open, args=(where,), daemon=True).start()
        with suppress(KeyboardInterrupt):
            server.run(sockets=[listening])
    print("stopped", file=sys.stderr)
    return status.ALL_HOLD


def require_folder(folder: Path) -> None:
    """Raise CaseError for what is no folder, OutputError for one that cannot be written to."""
    if not folder.is_dir():
        problem = "is not a folder" if folder.exists() else "no such folder"
        raise CaseError.at(folder, problem, "give the folder that the case files are in")
    if not os.access(folder, os.R_OK | os.W_OK | os.X_OK):
        raise OutputError.at(folder, "no permission to read and write there", "give another folder")


def door_for(host: str, port: int) -> Door:
    """Who is let in, by where the page is served."""
    if not host or host.lower() in LOOPBACK:
        return Door(port)
    name = socket.gethostname().lower()
    names = frozenset(one for one in (host.lower(), name, f"{name}.local") if one)
    return Door(port, names, key=secrets.token_urlsafe(32))


def for_other_machines(hosts: list[str], port: int, door: Door) -> list[str]:
    """What who serves the page on a network has to know, a line each."""
    lines = [f"The same by name, where names are known: {address(host, port, door)}" for host in hosts[1:]]
    if not own_address.reaches(hosts[0]):
        lines.append("No address that a phone can open was found: connect this machine to the network")
        lines.append("of the shop, or give --host the address that it has there.")
    return [
        *lines,
        "Whoever has this address can change the case files of this folder.",
        "The connection is not encrypted: use it only on a network that is yours.",
    ]


def address(host: str, port: int, door: Door) -> str:
    """The address to open; with the token where one is needed."""
    with suppress(ValueError):
        host = f"[{host}]" if ipaddress.ip_address(host).version == 6 else host
    return f"http://{host}:{port}/" + (f"?token={door.key}" if door.key else "")


def _listen(host: str, port: int | None) -> socket.socket:
    """A socket that listens. Raises CaseError where there can be none."""
    try:
        return _bound(host, USUAL_PORT if port is None else port)
    except OSError as error:
        if port is None and error.errno == errno.EADDRINUSE:
            return _listen(host, 0)
        if error.errno == errno.EADDRINUSE:
            raise CaseError.at("--port", f"{port} is in use", "give another, or 0 for any") from None
        if error.errno == errno.EACCES:
            raise CaseError.at("--port", f"no permission for {port}", "give one above 1023") from None
        advice = "give an address of this machine, or leave --host out"
        raise CaseError.at("--host", f"cannot serve on {host}: {error.strerror}", advice) from None


def _bound(host: str, port: int) -> socket.socket:
    family, kind, protocol, _, where = socket.getaddrinfo(
        host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
    )[0]
    found = socket.socket(family, kind, protocol)
    try:
        if os.name == "posix":
            found.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        found.bind(where)
        found.listen(64)
    except OSError:
        found.close()
        raise
    return found


def _has_screen() -> bool:
    """Whether there is a screen for a browser; without one some open in the terminal that is printed on."""
    return not sys.platform.startswith("linux") or any(map(os.environ.get, ("DISPLAY", "WAYLAND_DISPLAY")))


def _open(where: str) -> None:
    with suppress(Exception):  # the address is printed
        webbrowser.open(where)
