"""What a step does beside setting values: all of it is written or nothing of the case, and it goes on where
it says. Answers are of the case with its press log."""

from __future__ import annotations

import os
import re

import pytest

pytest.importorskip("starlette", reason="the page is an extra")

from page_parts import Shop

from hoopwright.page.bench import own_log_name
from hoopwright.starters import starter_text

PLAIN = starter_text("plain")
LOG = own_log_name("mine.toml")
NAMED = re.sub(r"^\[press\]$", f'[press]\nlog = "{LOG}"', PLAIN, count=1, flags=re.MULTILINE)
ROWS = "travel [mm], force [kN]\n5, 0.2\n10, 0.5\n15, 0.8\n"


@pytest.fixture
def shop(tmp_path):
    with Shop(tmp_path / "served", tmp_path / "templates") as found:
        (found.folder / "mine.toml").write_text(PLAIN, "utf-8")
        yield found


def digest(shop, asked=""):
    text = shop.client.get(f"/case/mine.toml/piece{asked}").text
    return re.search(r'id="digest"[^>]*value="([0-9a-f]{64})"', text)[1]


def written(shop, file="mine.toml"):
    path = shop.folder / file
    return path.read_text("utf-8") if path.exists() else None


def test_action_writes_beside_and_into_the_case_and_goes_on_where_it_says(shop):
    answer = shop.act("note", digest(shop), said="A boss")
    assert answer.status_code == 303
    assert answer.headers["location"] == "/case/mine.toml/piece?at=A+boss"
    assert 'title = "A boss"' in written(shop)
    assert written(shop, LOG) == "A boss\n"
    again = shop.act("note", digest(shop), said="B boss", script=True)
    assert again.status_code == 200
    assert '<p id="at">B boss</p>' in again.text
    assert again.headers["hx-replace-url"] == "/case/mine.toml/piece?at=B+boss"
    assert written(shop, LOG) == "A boss\nB boss\n"


def test_rejected_action_writes_nothing_and_an_unknown_one_is_not_there(shop):
    answer = shop.act("note", digest(shop), said="no", script=True)
    assert answer.status_code == 422
    assert "not this one" in answer.text
    assert written(shop) == PLAIN
    assert written(shop, LOG) is None
    assert shop.act("nothing", digest(shop)).status_code == 404


def test_action_on_an_older_text_or_an_older_log_writes_nothing(shop):
    old = digest(shop)
    (shop.folder / "mine.toml").write_text(PLAIN + "# theirs\n", "utf-8")
    assert shop.act("note", old, said="mine", script=True).status_code == 409
    (shop.folder / LOG).write_text("theirs\n", "utf-8")
    answer = shop.act("note", digest(shop), said="mine", log="", script=True)
    assert answer.status_code == 422
    assert "changed on the disk meanwhile" in answer.text
    assert written(shop, LOG) == "theirs\n"
    assert written(shop) == PLAIN + "# theirs\n"


def test_where_a_step_is_stays_while_the_worker_is_asked(shop):
    shop.solver.let_go.clear()
    text = shop.client.get("/case/mine.toml/piece?at=2").text
    again = re.search(r'hx-get="(state[^"]*)"', text)[1].replace("&amp;", "&")
    assert "at=2" in again
    assert '<p id="at">2</p>' in text


def test_log_that_changed_makes_answers_old(shop):
    (shop.folder / "mine.toml").write_text(NAMED, "utf-8")
    (shop.folder / LOG).write_text(ROWS, "utf-8")
    benches = shop.benches
    before = benches.bench("mine.toml")
    assert before.case is not None, before.faults
    assert before.log.text == ROWS
    (shop.folder / LOG).write_text(ROWS + "20, 9.9\n", "utf-8")
    after = benches.bench("mine.toml")
    assert (after.digest, after.text) == (before.digest, before.text)
    assert after.version != before.version


def test_file_of_materials_is_read_from_the_folder_and_makes_answers_old(shop):
    """The server may be started in any other folder."""
    case = shop.folder / "mine.toml"
    case.write_text(f'materials = "metals.toml"\n{PLAIN}', "utf-8")
    (missing,) = shop.benches.bench("mine.toml").faults
    assert (missing.file, missing.problem) == ("metals.toml", "no such file")
    metals = """[material.hard]
young_modulus = "205 GPa"
poisson_ratio = 0.29
expansion = "12e-6 /K"
yield_strength = "{} MPa"
"""
    (shop.folder / "metals.toml").write_text(metals.format(500), "utf-8")
    before = shop.benches.bench("mine.toml")
    assert before.faults == ()
    (shop.folder / "metals.toml").write_text(metals.format(510), "utf-8")
    after = shop.benches.bench("mine.toml")
    assert after.version != before.version
    assert after.plan_version != before.plan_version
    (shop.folder / "metals.toml").unlink()
    shared = shop.folder.parent / "shared.toml"
    shared.write_text(metals.format(510), "utf-8")
    os.symlink(shared, shop.folder / "metals.toml")
    assert shop.benches.bench("mine.toml").case is not None
    assert shop.benches.bench("mine.toml").version == after.version
    shared.write_text(metals.format(520), "utf-8")
    (hard,) = (one for one in shop.benches.bench("mine.toml").case.materials_file.materials)
    assert hard.yield_strength == 520.0
    assert shop.benches.bench("mine.toml").version != after.version


@pytest.mark.parametrize("name", ["../out.csv", "/tmp/out.csv", "mine.toml", ".hidden.csv", "a/b.csv"])
def test_nothing_but_a_log_in_the_folder_is_written_beside(shop, name):
    from hoopwright.errors import HoopwrightError
    from hoopwright.page.model import BesideText

    with pytest.raises(HoopwrightError):
        shop.benches.files.write_beside(BesideText(name, "x"))
    assert [path.name for path in shop.folder.iterdir()] == ["mine.toml"]


def test_number_is_in_the_units_of_the_page_that_it_was_typed_on(shop):
    """Two pages of one browser: one shows millimetres, while the other was set to inches; and back."""
    token = {"token": shop.door.form_token}
    typed = token | {"path": "shell.runout", "step": "piece"}
    shop.client.post("/case/mine.toml/units", data=token | {"units": "inch"})
    seen = shop.benches.bench("mine.toml", "metric").seen
    answer = shop.client.post("/case/mine.toml/set", data=typed | {"value": "0.04", "digest": seen})
    assert answer.status_code == 303
    assert 'runout = "0.04 mm"' in (shop.folder / "mine.toml").read_text("utf-8")
    shop.client.post("/case/mine.toml/units", data=token | {"units": "metric"})
    seen = shop.benches.bench("mine.toml", "inch").seen
    answer = shop.client.post("/case/mine.toml/set", data=typed | {"value": "0.002", "digest": seen})
    assert answer.status_code == 422  # in inches, where the case has mm: which is meant is asked
    answer = shop.client.post("/case/mine.toml/set", data=typed | {"value": "0.002 in", "digest": seen})
    assert answer.status_code == 303
    assert 'runout = "0.002 in"' in (shop.folder / "mine.toml").read_text("utf-8")
