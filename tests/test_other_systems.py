"""Without what only some systems have: every module imports, and a case is checked and recorded.

Our own code is refused the modules and names; the libraries have their own ways where those are missing.
"""

from __future__ import annotations

import subprocess
import sys

import pytest

from hoopwright import status
from hoopwright.starters import starter_text

WITHOUT = """
import builtins, importlib, os, pkgutil, signal, sys
import asyncio, multiprocessing.connection, subprocess  # of this system, and written for it

MODULES = {"fcntl", "resource", "pwd", "grp", "termios", "tty", "pty"}
OURS = ("hoopwright", "fem", "geometry", "loads")
real, refused = builtins.__import__, []

def without(name, globals=None, locals=None, fromlist=(), level=0):
    asking = (globals or {}).get("__name__", "").partition(".")[0]
    if asking in OURS and name.partition(".")[0] in MODULES:
        refused.append(name)
        raise ModuleNotFoundError(f"No module named {name!r}", name=name)
    return real(name, globals, locals, fromlist, level)

builtins.__import__ = without
for where, names in (
    (os, "fork forkpty getuid geteuid killpg setsid fchmod fchown mkfifo sched_getaffinity WNOHANG"),
    (signal, "SIGKILL SIGHUP SIGQUIT SIGPIPE SIGALRM SIGUSR1"),
):
    for name in names.split():
        if hasattr(where, name):
            delattr(where, name)
"""
IMPORT_ALL = """
import hoopwright
missing = []
for found in pkgutil.walk_packages(hoopwright.__path__, "hoopwright."):
    if found.name == "hoopwright.__main__":
        continue
    try:
        importlib.import_module(found.name)
    except ImportError as error:
        missing.append((found.name, error.name))
print("missing", [one for one in missing if (one[1] or "").partition(".")[0] not in EXTRAS])
print("refused", sorted(set(refused)))
print("many", sum(name.startswith("hoopwright.") for name in sys.modules) > 300)
"""
RUN = """
from hoopwright.cli import main
print("ends", main(sys.argv[1:]))
print("refused", sorted(set(refused)))
"""


def run(code, folder, *words):
    (folder / "plain.toml").write_text(starter_text("plain"), encoding="utf-8")
    command = [sys.executable, "-c", WITHOUT + code, *words]
    done = subprocess.run(command, cwd=folder, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    return done.stdout.splitlines()


@pytest.mark.slow
def test_every_module_imports(tmp_path):
    extras = "EXTRAS = {'starlette', 'uvicorn', 'jinja2', 'segno', 'ezdxf'}\n"
    said = run(extras + IMPORT_ALL, tmp_path)
    assert said == ["missing []", "refused ['fcntl', 'resource']", "many True"]


def test_a_case_is_checked(tmp_path):
    assert f"ends {status.AS_FAR_AS_JUDGED}" in run(RUN, tmp_path, "check", "plain.toml", "--quiet")


@pytest.mark.slow
def test_a_case_is_recorded_and_verified(tmp_path):
    said = run(RUN, tmp_path, "record", "plain.toml", "--out", "records", "--quiet")
    assert said == [f"ends {status.AS_FAR_AS_JUDGED}", "refused ['fcntl', 'resource']"]
    assert f"ends {status.ALL_HOLD}" in run(RUN, tmp_path, "verify", "records/plain-001")
    assert not list((tmp_path / "records").glob(".*")), "no entry is left half written"
