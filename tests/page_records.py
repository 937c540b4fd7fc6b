"""Records and sheets as small as they come, for tests of what the page lists, opens and orders."""

from __future__ import annotations

import hashlib
import json
import threading
from pathlib import Path

from page_parts import HOME, PORT
from starlette.testclient import TestClient

from hoopwright.page.app import create_app
from hoopwright.page.guard import Door
from hoopwright.page.solver import Outcome
from hoopwright.page.work import Work
from hoopwright.starters import starter_text
from hoopwright.version import VERSION

PLAIN = starter_text("plain")
FILES = ("record.pdf", "results.json", "mine.toml", "figures/wall.svg", "section.vtu")
VERDICT = "Holds: all ways to fail were judged and hold."


def sha(text: str) -> str:
    return hashlib.sha256(text.encode()).hexdigest()


def results(text: str = PLAIN, **given) -> dict:
    """As much of the results of a record as a list shows. given: in place of what it has."""
    found = {
        "tool": {"name": "hoopwright", "version": VERSION},
        "case": {"file": "mine.toml", "title": "A boss", "sha256": sha(text)},
        "record": {"kind": "repair", "shown_in": "metric"},
        "press_readings": {"sha256": None},
        "state": "holds",
        "verdict": VERDICT,
        "files": list(FILES),
    }
    return found | given


def write_record(folder: Path, name: str = "mine-001", text: str = PLAIN, **given) -> Path:
    """A folder that looks like a record; what is in its files is named by them."""
    where = folder / name
    for file in FILES:
        path = where / file
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(f"content of {file}", "utf-8")
    (where / "results.json").write_text(json.dumps(results(text, **given)), "utf-8")
    seal(where)
    return where


def seal(where: Path) -> None:
    """The checksum of the results, as of a record that nobody changed."""
    digest = hashlib.sha256((where / "results.json").read_bytes()).hexdigest()
    (where / "SHA256SUMS").write_text(f"{digest}  results.json\n", "utf-8")


def write_sheet(folder: Path, name: str = "mine-sheet-001.pdf", text: str = PLAIN) -> Path:
    path = folder / name
    path.write_bytes(b"%PDF-1.7 <pdf:Keywords>case SHA-256 " + sha(text).encode() + b"</pdf:Keywords>")
    return path


class Clerk:
    """Stands in for the process that solves: does what a button asks at once, or waits until it is let go
    on or given up. done: documents by command; what is not there fails with `words`."""

    def __init__(self, folder: Path) -> None:
        self.folder, self.words = folder, "the folder: cannot write: the disk is full"
        self.asked: list = []
        self.done: dict[str, dict] = {}
        self.let_go = threading.Event()
        self.let_go.set()

    def start(self) -> None: ...

    def close(self) -> None: ...

    def ask(self, question, progress, given_up) -> Outcome:
        if question.command == "check":
            return Outcome(failed="not here")
        self.asked.append(question)
        progress("typesetting the pages", 0, 0)
        while not self.let_go.wait(0.005):
            if given_up():
                return Outcome()
        found = self.done.get(question.command)
        return Outcome(failed=self.words) if found is None else Outcome(found)


class Desk:
    """The page on a folder with a case, and a client that has the token."""

    def __init__(self, folder: Path) -> None:
        folder.mkdir(exist_ok=True)
        (folder / "mine.toml").write_text(PLAIN, "utf-8")
        self.folder, self.door, self.clerk = folder, Door(PORT), Clerk(folder)
        self.work = Work(self.clerk)
        app = create_app(folder, self.door, work=self.work)
        self.client = TestClient(app, base_url=HOME, follow_redirects=False)

    def __enter__(self) -> Desk:
        self.client.__enter__()
        return self

    def __exit__(self, *error: object) -> None:
        self.clerk.let_go.set()
        self.client.__exit__(*error)

    def page(self) -> str:
        return self.client.get("/case/mine.toml/record").text

    def do(self, action: str, *, token: str | None = None, digest: str = sha(PLAIN), **fields):
        data = {"token": token or self.door.form_token, "digest": digest, **fields}
        return self.client.post(f"/case/mine.toml/do/record/{action}", data=data)
