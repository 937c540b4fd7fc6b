"""A plan of pressing made by hand, whose stop line is as many bar as mm, and a page that has it."""

from __future__ import annotations

import math
import re
from pathlib import Path

from starlette.testclient import TestClient

from hoopwright.page.app import create_app
from hoopwright.page.bench import Benches
from hoopwright.page.case_files import CaseFiles
from hoopwright.page.guard import Door
from hoopwright.page.solver import Outcome
from hoopwright.page.work import Work
from hoopwright.starters import starter_text

PORT = 8219
AREA = 1000.0
"""Of the ram, mm²: 100 N are 1 bar."""
RAM = 2.0 * math.sqrt(AREA / math.pi)
HOME_MM = 50.0
TEN_PSI = 0.0689476
"""MPa."""
SHARES = {"least": 0.3, "likely": 0.6, "stop": 1.0}


def at_travel(travel):
    """A row of the plan, N."""
    return {"travel_mm": travel} | {f"{name}_N": 100.0 * share * travel for name, share in SHARES.items()}


def plan(unit="bar", division_MPa=0.1, *, ram=True, yields=False):
    """A press document of a ram of 1000 mm²."""
    marks = {"metric": [5.0 * k for k in range(1, 11)], "inch": [6.35 * k for k in range(1, 8)] + [HOME_MM]}
    positions = []
    for travel in (0.0, 17.0, 33.0, HOME_MM):
        row = at_travel(travel)
        pressures = {f"gauge_{n}_MPa": row[f"{n}_N"] / AREA if ram else None for n in SHARES}
        positions.append(row | pressures)
    curve = {
        "enters_from": "left",
        "friction": {"low": 0.1, "likely": 0.14, "high": 0.2},
        "restart_ratio": 1.3,
        "metal_yields": yields,
        "capacity_N": None,
        "gauge_unit": unit if ram else None,
        "gauge_division_MPa": division_MPa if ram else None,
        "table": {system: [at_travel(t) for t in found] for system, found in marks.items()},
        "positions": positions,
    }
    return {
        "force_against_travel": curve,
        "failing": [],
        "undecided": [],
        "method": "push",
        "advice": ["Do not pause."],
        "inferred_fit": None,
        "heat_and_cold": {
            "interference_um": 45.0,
            "clearance_um": 42.0,
            "shell_limit_degC": 150.0,
            "ways": [
                {
                    "name": "hot shell alone",
                    "shell_degC": 110.0,
                    "sleeve_degC": 20.0,
                    "gap_um": 42.0,
                    "allowed": True,
                    "time_in_hand_s": 75.0,
                }
            ],
            "notes": ["Paint burns."],
        },
    }


def text(units="metric", unit="bar"):
    """The plain starter with a ram of 1000 mm² and a gauge."""
    ram = f'\n[press]\nram_diameter = "{RAM:.6f} mm"\ngauge_unit = "{unit}"\n'
    return re.sub(r"^\[press\][^\[]*", "", starter_text("plain", units), flags=re.MULTILINE) + ram


class Solver:
    """Answers with the plan, and with nothing to everything else."""

    def __init__(self, document):
        self.document = document
        self.asked = []

    def start(self): ...

    def close(self): ...

    def ask(self, question, *_):
        self.asked.append(question)
        if question.command == "plan":
            return Outcome(self.document)
        return Outcome(failed="not in this test")


class PressShop:
    """The page on one case, mine.toml, whose plan is known."""

    def __init__(self, folder: Path, document=None, case=None) -> None:
        self.folder, self.door = folder, Door(PORT)
        self.file, self.log = folder / "mine.toml", folder / "mine press.csv"
        self.file.write_text(case or text(), "utf-8")
        self.solver = Solver(document or plan())
        self.work = Work(self.solver)
        self.app = create_app(folder, self.door, work=self.work)
        self.client = self.another()

    def another(self):
        """Another device."""
        return TestClient(self.app, base_url=f"http://127.0.0.1:{PORT}", follow_redirects=True)

    def __enter__(self):
        self.client.__enter__()
        self.until('id="press-entry"')
        return self

    def until(self, words):
        """Load the page until it says so."""
        for _ in range(500):
            if words in self.get():
                return
        raise AssertionError(self.page)

    def __exit__(self, *error):
        self.client.__exit__(*error)

    def get(self, query="", client=None):
        self.page = (client or self.client).get(f"/case/mine.toml/press{query}").text
        return self.page

    def bench(self):
        return Benches(CaseFiles(self.folder), self.work).bench("mine.toml")

    def hidden(self, name):
        found = re.search(rf'name="{name}"[^>]*value="([0-9a-z-]*)"', self.page)
        return "" if found is None else found[1]

    def act(self, action, *, query="", script=False, **fields):
        """Send a form as the page that was seen last has it; the answer is the page then."""
        data = {"token": self.door.form_token, "digest": self.hidden("digest"), "log": self.hidden("log")}
        headers = {"hx-request": "true"} if script else {}
        answer = self.client.post(
            f"/case/mine.toml/do/press/{action}{query}", data=data | fields, headers=headers
        )
        self.page = answer.text
        self.status = answer.status_code
        return self.page

    def enter(self, travel, gauge, **more):
        return self.act("enter", travel=travel, gauge=gauge, **more)

    def written(self):
        return self.log.read_text("utf-8") if self.log.exists() else ""
