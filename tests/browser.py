"""A page of `hoopwright page` in a real browser, for tests: with what its log says and whom it asks.

Skipped where there is no Chromium, unless REQUIRE_BROWSER is set as in a run of everything. A test file
takes the fixtures by `from browser import bench_page, chromium, served  # noqa: F401`.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

FLAGS = (
    "--headless=new",
    "--no-sandbox",
    "--disable-dev-shm-usage",
    "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
)


@dataclass
class BenchPage:
    """A page in the browser. page: as Playwright gives it. console: errors and warnings of its log. asked:
    addresses that it asked for."""

    page: Any
    home: str
    folder: Path
    console: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def assert_quiet(self) -> None:
        """Nothing was wrong, and no other machine was asked."""
        assert self.console == []
        machines = {urlsplit(address).netloc for address in self.asked if not address.startswith("data:")}
        assert machines <= {urlsplit(self.home).netloc}


def _missing(what: str) -> Any:
    if os.environ.get("REQUIRE_BROWSER") == "1":
        pytest.fail(f"{what}, and REQUIRE_BROWSER is set")
    pytest.skip(what)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The browser of the system, started once."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        _missing("no chromium is installed")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("playwright is not installed")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path]]:
    """The address and the empty folder of a page that is served."""
    folder = tmp_path / "served"
    folder.mkdir()
    command = [sys.executable, "-m", "hoopwright", "page", str(folder), "--port", "0", "--no-open"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            yield server.stdout.readline().split()[-1], folder
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(60)


@pytest.fixture
def bench_page(
    chromium: Any, served: tuple[str, Path], request: pytest.FixtureRequest
) -> Iterator[BenchPage]:
    """The first page, open. Indirect parameters go to the browser's context: viewport, color_scheme."""
    home, folder = served
    context = chromium.new_context(**getattr(request, "param", {}))
    found = BenchPage(context.new_page(), home, folder)
    found.page.on(
        "console",
        lambda said: found.console.append(said.text) if said.type in ("error", "warning") else None,
    )
    found.page.on("pageerror", lambda error: found.console.append(str(error)))
    found.page.on("request", lambda asked: found.asked.append(asked.url))
    found.page.goto(home)
    yield found
    context.close()
