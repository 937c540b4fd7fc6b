"""A page of one plain step, and a solver that answers at once, for tests of what lies round both."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

from starlette.testclient import TestClient

from hoopwright.page.app import create_app
from hoopwright.page.bench import Benches
from hoopwright.page.case_files import CaseFiles
from hoopwright.page.guard import Door
from hoopwright.page.model import Bench, BesideText, Done, Edit, Form, Step
from hoopwright.page.parts import Parts
from hoopwright.page.solver import Outcome
from hoopwright.page.work import Work

PORT = 8217
HOME = f"http://127.0.0.1:{PORT}"
PATIENCE = 60.0
"""s; what a process of its own does takes a few."""
BASE = """<!doctype html><title>{{ bench.file }}</title>
<nav id="steps"><a href="{{ step.id }}">{{ step.name }}</a></nav>
<section id="verdict"{% if poll %} hx-get="{{ poll }}" hx-trigger="every 500ms"{% endif %}>
<p>{{ bench.at_work.row if bench.at_work else "" }}{{ bench.failed }}</p></section>
<input id="digest" name="digest" type="hidden" value="{{ bench.digest }}">
<div id="step">{% block step %}{% endblock %}</div>
"""
STEP = """<p id="title">{{ title }}</p><p id="at">{{ bench.asked.get("at", "") }}</p>
{% for path, given in rejected %}<p class="fault">{{ path }} {{ given[0] }} {{ given[1] }}</p>{% endfor %}
{% for fault in bench.faults %}<p class="fault">{{ fault }}</p>{% endfor %}
<div id="answers">{{ state }}<br><svg><path d="M0 0"/></svg><div>units {{ bench.units.system }}</div></div>
"""


def view(bench: Bench) -> dict[str, object]:
    found = bench.answer("check")
    state = "not judged yet" if found is None else found["state"]
    old = "" if bench.is_current("check") else "old "
    return {
        "title": bench.tables.get("title", ""),
        "state": f"{old}{state}",
        "rejected": sorted(bench.rejected.items()),
    }


def note(bench: Bench, form: Form) -> Done:
    """An action: a line for the log beside the case, a title, and where the step goes on."""
    said = form["said"][0]
    if said == "no":
        return Done(rejected={"title": (said, "not this one")})
    log = bench.own_log
    assert log is not None
    longer = BesideText(log.name, f"{log.text}{said}\n", form.get("log", [log.digest])[0])
    return Done((Edit("title", said),), longer, asked={"at": said})


STEPS = tuple(
    Step(name, number, name, "Plan", ("check",), view, lambda _: "given", {"note": note})
    for number, name in enumerate(("piece", "sizes"), start=1)
)


def parts_in(folder: Path) -> Parts:
    """Parts of the page with templates of their own, and those of the product that need no other."""
    ours = Parts().templates
    for name in ("case.html", "index.html", "problem.html", "components/changed.html"):
        target = folder / name
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_text((ours / name).read_text("utf-8"), "utf-8")
    (folder / "base.html").write_text(BASE, "utf-8")
    (folder / "steps").mkdir(exist_ok=True)
    (folder / "components/opened_row.html").write_text("<p>{{ opened }}</p>", "utf-8")
    for step in STEPS:
        (folder / f"steps/{step.id}.html").write_text(STEP, "utf-8")
    return Parts(
        steps=STEPS,
        views=lambda *_: {},
        opened=lambda _, row, stage: f"{row} {stage}" if row == "wall" else None,
        templates=folder,
    )


class SolverAtOnce:
    """Answers every question with its length as state, or waits until it is let go on or given up. deaf: it
    does not look whether it is."""

    def __init__(self) -> None:
        self.asked: list = []
        self.deaf = False
        self.let_go = threading.Event()
        self.let_go.set()

    def start(self) -> None: ...

    def close(self) -> None: ...

    def ask(self, question, progress, given_up) -> Outcome:
        self.asked.append(question)
        progress("shell_yields", 3, 22)
        while not self.let_go.wait(0.005):
            if given_up() and not self.deaf:
                return Outcome()
        return Outcome({"state": f"{question.command} of {len(question.text)}"})


@contextmanager
def started(solver: SolverAtOnce) -> Iterator[Work]:
    """The work of a page with this solver, closed at the end whatever it waits for."""
    work = Work(solver)
    work.start()
    yield work
    solver.let_go.set()
    work.close()


def until(true: Callable[[], object]) -> None:
    """Wait until something is so; a test that waits in vain fails."""
    ends = time.monotonic() + PATIENCE
    while not true():
        assert time.monotonic() < ends
        time.sleep(0.005)


class Shop:
    """A folder that is served, with a client that has the token."""

    def __init__(self, folder: Path, templates: Path, door: Door | None = None) -> None:
        self.folder, self.door, self.solver = folder, door or Door(PORT), SolverAtOnce()
        folder.mkdir(exist_ok=True)
        self.work = Work(self.solver)
        self.benches = Benches(CaseFiles(folder), self.work)
        self.app = create_app(folder, self.door, parts=parts_in(templates), work=self.work)
        self.client = TestClient(self.app, base_url=HOME, follow_redirects=False)

    def __enter__(self) -> Shop:
        self.client.__enter__()
        return self

    def __exit__(self, *error: object) -> None:
        self.solver.let_go.set()
        self.client.__exit__(*error)

    def post(self, address: str, *, token: str | None = None, script: bool = False, **fields):
        headers = {"hx-request": "true"} if script else {}
        data = {"token": self.door.form_token if token is None else token, **fields}
        return self.client.post(address, data=data, headers=headers)

    def act(self, action: str, digest: str, **fields):
        return self.post(f"/case/mine.toml/do/piece/{action}", digest=digest, **fields)

    def set(self, file: str, path, value, digest: str, **more):
        return self.post(f"/case/{file}/set", path=path, value=value, digest=digest, **more)
