"""A page of `hoopwright page` in a real browser, for tests: with what its log says and whom it asks.

Skipped where there is no Chromium, unless REQUIRE_BROWSER is set as in a run of everything. The
fixtures are those of every test. What a user does on the page has a method of its own.
"""

from __future__ import annotations

import os
import shutil
import signal
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
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
PATIENCE = 180_000
"""Longest time, ms, that the page may take for one thing."""
ANSWER_TO_A_CHANGE = "**/set"
IS_STILL = "() => !document.querySelector('.htmx-request, .htmx-swapping, .htmx-settling')"
IS_JUDGED = """() => !document.querySelector("#verdict[hx-get]")
  && !document.querySelector(".htmx-request, .htmx-swapping, .htmx-settling")"""
SHOWN_LATE = """Object.defineProperty(XMLHttpRequest.prototype, "onload", {
  set(show) { this.addEventListener("load", (event) => setTimeout(() => show.call(this, event), 50)); }
})"""
"""An answer is shown a moment after it has come, as on a slow phone: a test that does not wait fails."""
FOCUSED = "(selector) => document.activeElement !== null && document.activeElement.matches(selector)"


@dataclass
class BenchPage:
    """A page in the browser. page: as Playwright gives it. server: id of the process that serves it.
    console: errors and warnings of its log. asked: addresses that it asked for."""

    page: Any
    home: str
    folder: Path
    server: int
    console: list[str] = field(default_factory=list)
    asked: list[str] = field(default_factory=list)

    def assert_quiet(self) -> None:
        """Nothing was wrong, and no other machine was asked."""
        assert self.console == []
        machines = {urlsplit(address).netloc for address in self.asked if not address.startswith("data:")}
        assert machines <= {urlsplit(self.home).netloc}

    def listen(self, page: Any) -> None:
        """Take down what the log of a page says and what it asks for."""
        page.set_default_timeout(PATIENCE)
        page.add_init_script(SHOWN_LATE)
        page.on(
            "console",
            lambda said: self.console.append(said.text) if said.type in ("error", "warning") else None,
        )
        page.on("pageerror", lambda error: self.console.append(str(error)))
        page.on("request", lambda asked: self.asked.append(asked.url))

    def open(self, file: str, step: str, page: Any = None) -> None:
        (page or self.page).goto(f"{self.home}case/{file}/{step}")

    def take(self, path: str, value: str, page: Any = None) -> None:
        """Put a value into the field of a path, send it, and wait until the page shows what came of it."""
        page = page or self.page
        field_ = page.locator(f"{of_path(path)} [name=value]:not([type=hidden])").first
        with exchanged(page, ANSWER_TO_A_CHANGE):
            if field_.evaluate("(e) => e.tagName") == "SELECT":
                field_.select_option(value)
            else:
                field_.fill(value)
                field_.press("Tab")

    def judged(self, page: Any = None) -> tuple[str, str]:
        """The word of the verdict and the least margin, once nothing is at work."""
        page = page or self.page
        page.wait_for_function(IS_JUDGED, timeout=PATIENCE)
        least = page.locator("#verdict .verdict-least b")
        return page.locator(
            "#verdict .verdict-word"
        ).inner_text(), least.inner_text() if least.count() else ""

    def tab_to(self, selector: str, times: int = 250) -> None:
        """Press Tab until the element has the focus."""
        for _ in range(times):
            if self.page.evaluate(FOCUSED, selector):
                return
            self.page.keyboard.press("Tab")
        raise AssertionError(f"{selector} is not reached by Tab")


@contextmanager
def exchanged(page: Any, address: str) -> Iterator[None]:
    """What is done inside asks the server at an address; wait until the page shows the answer.

    An answer that has come is not yet shown: until it is, the element that asked for it is marked.
    """
    with page.expect_response(address):
        yield
    page.wait_for_function(IS_STILL)


def of_path(path: str) -> str:
    """A selector of the field of a path."""
    return f".field[data-path='{path}']"


def missing(what: str) -> Any:
    """Skip a test for want of something, or fail it where everything has to run."""
    if os.environ.get("REQUIRE_BROWSER") == "1":
        pytest.fail(f"{what}, and REQUIRE_BROWSER is set")
    pytest.skip(what)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """The browser of the system, started once."""
    program = shutil.which("chromium") or shutil.which("chromium-browser")
    if program is None:
        missing("no chromium is installed")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("playwright is not installed")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=program, args=list(FLAGS))
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def solved_steps(chromium: Any, tmp_path_factory: pytest.TempPathFactory) -> Iterator[str]:
    """The address of the steps of the trike demo, served and with everything computed, once for all tests
    that only look."""
    from page_states import CASE, serving, solve

    with serving(CASE, tmp_path_factory.mktemp("served")) as steps:
        page = chromium.new_page()
        solve(page, steps)
        page.close()
        yield steps


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[str, Path, int]]:
    """The address and the empty folder of a page that is served, and the id of its process."""
    folder = tmp_path / "served"
    folder.mkdir()
    command = [sys.executable, "-m", "hoopwright", "page", str(folder), "--port", "0", "--no-open"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as server:
        try:
            assert server.stdout is not None
            yield server.stdout.readline().split()[-1], folder, server.pid
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(60)


@pytest.fixture
def bench_page(
    chromium: Any, served: tuple[str, Path, int], request: pytest.FixtureRequest
) -> Iterator[BenchPage]:
    """The first page, open. Indirect parameters go to the browser's context: viewport, color_scheme."""
    home, folder, server = served
    context = chromium.new_context(**getattr(request, "param", {}))
    found = BenchPage(context.new_page(), home, folder, server)
    found.listen(found.page)
    found.page.goto(home)
    yield found
    context.close()
