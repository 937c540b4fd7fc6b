"""The contributors' guide, followed to the letter: what it tells to write is written, and works."""

import json
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from studies.structure import FOLDERS

ROOT = Path(__file__).parents[1]
STEP = re.compile(
    r"<!-- (?:new file: (?P<new>\S+)|in (?P<file>\S+) (?P<how>below|instead of): (?P<line>.*?)) -->\n"
    r"```(?:python|toml)\n(?P<code>.*?)```",
    re.S,
)


def section(title):
    text = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    return re.search(rf"^## {title}\n(.*?)^## ", text, re.S | re.M)[1]


def follow(title, tree):
    """Do what the section says in a copy of the code."""
    steps = list(STEP.finditer(section(title)))
    assert len(steps) >= 3
    for step in steps:
        path = tree / (step["new"] or step["file"])
        if step["new"]:
            assert not path.exists()
            path.write_text(step["code"], encoding="utf-8")
            continue
        lines = path.read_text(encoding="utf-8").split("\n")
        at = lines.index(step["line"])
        keep = step["how"] == "below"
        lines[at : at + 1] = [*lines[at : at + keep], *step["code"].rstrip("\n").split("\n")]
        path.write_text("\n".join(lines), encoding="utf-8")


@pytest.fixture
def tree(tmp_path):
    """A copy of the code that runs where it lies: the three folders stand linked inside the package."""
    for folder in (*FOLDERS, "cases"):
        shutil.copytree(ROOT / folder, tmp_path / folder, ignore=shutil.ignore_patterns("__pycache__"))
    for folder in set(FOLDERS) - {"hoopwright"}:
        (tmp_path / "hoopwright" / folder).symlink_to(tmp_path / folder, target_is_directory=True)
    return tmp_path


def checked(tree, case):
    return json.loads(run(tree, "check", str(case), "--json"))


def run(tree, *words):
    """What the tool of a tree prints."""
    done = subprocess.run(
        [sys.executable, "-m", "hoopwright", *words],
        cwd=tree,
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "PYTHONPATH": str(tree)},
    )
    assert done.returncode in (0, 1, 5), done.stderr
    assert "Traceback" not in done.stderr, done.stderr[-2000:]
    return done.stdout


def test_worked_check_gives_one_more_row(tree):
    follow("Adding a check, worked", tree)
    document = checked(tree, "hoopwright/published/steel_jacket.toml")
    row = next(row for row in document["checks"] if row["id"] == "outside_grows")
    # Lamé: 2 p b² c / [E (c² − b²)] at the contact pressure found
    p = document["fit"]["contact_pressure_MPa"]["mean"]
    b, c = 19.984, 30.0
    growth = 2.0 * p * b**2 * c / (207e3 * (c**2 - b**2))
    assert row["demand"] == pytest.approx(2e3 * growth, rel=0.01)
    assert row["state"] == "holds"
    working = row["working"]
    assert working["lines"][-1]["symbol"] == "margin"
    assert working["by_hand"]["lines"][-1]["value"] == pytest.approx(row["demand"], rel=0.03)
    explained = run(tree, "explain", "outside", "grows", "--json")
    assert json.loads(explained)["rows"][0]["id"] == "outside_grows"


def test_worked_load_gives_one_more_balanced_load_case(tree):
    follow("Adding a load, worked", tree)
    case = tree / "cases" / "cargo_trike_crank_shell.toml"
    text = case.read_text(encoding="utf-8")
    lengths = "".join(
        f'{key} = "{value} mm"\n'
        for key, value in (("crank_length", 170), ("chainring_radius", 84), ("pedal_offset", 140))
        if f"\n{key} = " not in text
    )
    text, count = re.subn(r"^(\[service\].*)$", rf'\1\nlanding = "1200 N"\n{lengths}', text, flags=re.M)
    assert count == 1
    case.write_text(text, encoding="utf-8")
    document = checked(tree, case)
    landing = next(c for c in document["loads"]["cases"] if c["name"] == "landing")
    down = sum(entry["force_N"][1] for entry in landing["loads"])
    up = sum(entry["force_N"][1] for entry in landing["reactions"])
    assert down == pytest.approx(-1200.0, abs=1e-3)
    assert up == pytest.approx(1200.0, abs=1e-3)


def test_guide_names_every_file_it_changes_in_its_words():
    for title in ("Adding a check, worked", "Adding a load, worked"):
        words = STEP.sub("", section(title))
        for step in STEP.finditer(section(title)):
            assert f"`{step['new'] or step['file']}`" in words
