"""The page on a plain piece that is read with a gauge, for tests of step Readings."""

from __future__ import annotations

import re
import tomllib
from urllib.parse import parse_qsl, urlsplit

from page_benches import starter
from page_parts import HOME, PORT, Shop, SolverAtOnce
from starlette.testclient import TestClient

from hoopwright.page.app import create_app
from hoopwright.page.case_files import digest_of
from hoopwright.page.guard import Door
from hoopwright.page.solver import Outcome
from hoopwright.page.work import Work

READ = """[[shell.bore]]
from = "0 mm"
to = "50 mm"
gauge = "bore gauge"
readings = [
    { z = "8 mm", angles = "0 45 90 135 deg", values = "42.001 42.000 42.001 42.001 mm" },
    { z = "25 mm", angles = "0 45 90 135 deg", values = "42.000 42.001 42.001 42.000 mm" },
    { z = "42 mm", angles = "0 45 90 deg", values = "42.001 42.000 42.001 mm" },  # the far end
]
"""
PLAIN = starter()
ELEVEN = (
    PLAIN.replace('bore_diameter = "42.000 mm"', "")
    .replace('bore_plus_minus = "5 um"', "")
    .replace("\n[boring]", f"\n{READ}\n[boring]")
)
"""The plain piece with eleven of twelve readings of its bore."""
TWELFTH = {"land": "shell.bore[0]", "station": "row 2", "at": "3"}


class Silent(SolverAtOnce):
    """A worker that never has an answer."""

    def ask(self, *_):
        return Outcome()


class Bench(Shop):
    """The page on one case, with all its steps and no answer of any command."""

    def __init__(self, folder, text):
        folder.mkdir()
        self.folder, self.door = folder, Door(PORT)
        self.solver = Silent()
        self.work = Work(self.solver)
        (folder / "mine.toml").write_text(text, "utf-8")
        self.app = create_app(folder, self.door, work=self.work)
        self.client = TestClient(self.app, base_url=HOME, follow_redirects=False)

    @property
    def text(self):
        return (self.folder / "mine.toml").read_text("utf-8")

    @property
    def tables(self):
        return tomllib.loads(self.text)

    def get(self, **asked):
        return self.client.get("/case/mine.toml/readings", params=asked).text

    def do(self, action, asked, **form):
        digest = digest_of(self.text.encode())
        return self.client.post(
            f"/case/mine.toml/do/readings/{action}",
            params=asked,
            data={"digest": digest, "token": self.door.form_token, **form},
            headers={"origin": HOME},
        )


def asked_of(answer):
    assert answer.status_code == 303, re.findall(r"△! </span>[^<]*", answer.text)
    return dict(parse_qsl(urlsplit(answer.headers["location"]).query))
