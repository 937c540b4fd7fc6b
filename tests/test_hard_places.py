"""The command in awkward places: odd paths, no home, no font cache, another locale, two at once."""

from __future__ import annotations

import json
import os
import shutil
import stat
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from studies.structure import modules

from hoopwright import status
from hoopwright.cli import main
from hoopwright.screen.wrapping import WIDTH
from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[1]
STARTER = status.AS_FAR_AS_JUDGED
"""Exit status of a starter case, whose values are samples."""
NAMES = ("Gehäuse été 漢字 🚲", "-dash; $HOME & 'quotes\"", "a" * 200)


def starter(folder: Path, name: str = "case.toml") -> Path:
    folder.mkdir(parents=True, exist_ok=True)
    path = folder / name
    path.write_text(starter_text("plain"), encoding="utf-8")
    return path


def command(*words: str, where: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """hoopwright with those words in a folder and with little else in the environment."""
    bare = {"PATH": os.defpath, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1", **environment}
    return subprocess.run(
        [sys.executable, "-m", "hoopwright", *words],
        cwd=where,
        env=bare,
        timeout=300,
        capture_output=True,
        text=True,
        encoding="utf-8",
        check=False,
    )


@pytest.mark.parametrize("name", NAMES)
def test_a_path_may_contain_any_characters(name, tmp_path, capsys):
    folder = tmp_path / name
    path = starter(folder, f"{name[:60]}.toml")
    assert main(["check", str(path)]) == STARTER
    assert main(["check", str(path.with_suffix(".missing"))]) == status.BAD_INPUT
    (line,) = capsys.readouterr().err.splitlines()
    assert "no such file" in line


@pytest.mark.slow
def test_a_name_that_is_no_text_is_answered_in_one_line(tmp_path):
    """A byte that is no UTF-8 reaches Python as a lone surrogate, which no terminal takes."""
    bad = os.fsencode(starter(tmp_path)).replace(b"case.toml", b"c\xff.toml")
    os.rename(tmp_path / "case.toml", bad)
    for argument, code in ((bad, STARTER), (bad + b"x", status.BAD_INPUT)):
        for option in ("--json", "--units=inch"):
            done = subprocess.run(
                [sys.executable, "-m", "hoopwright", "check", option, argument],
                cwd=ROOT,
                capture_output=True,
                check=False,
                timeout=300,
            )
            assert done.returncode == code, done.stderr
            assert b"Traceback" not in done.stderr
            if code == STARTER and option == "--json":
                json.loads(done.stdout)


@pytest.mark.slow
def test_no_home_no_locale_and_no_place_for_caches_are_needed(tmp_path):
    """As from a service: HOME leads nowhere, font and configuration folders cannot be made."""
    path = starter(tmp_path / "in")
    nowhere = str(tmp_path / "in" / "case.toml" / "below a file")
    done = command(
        "check",
        str(path),
        "--out",
        str(tmp_path / "out"),
        where=tmp_path,
        HOME=nowhere,
        MPLCONFIGDIR=nowhere,
        XDG_CACHE_HOME=nowhere,
        XDG_CONFIG_HOME=nowhere,
        LC_ALL="C",
    )
    assert done.returncode == STARTER, done.stderr
    assert "Traceback" not in done.stderr
    (record,) = (tmp_path / "out").iterdir()
    assert any(record.iterdir())


def test_output_in_a_terminal_that_knows_ascii_only_does_not_fall_over(tmp_path):
    path = starter(tmp_path)
    done = command("check", str(path), where=tmp_path, PYTHONIOENCODING="ascii", LC_ALL="C")
    assert done.returncode == STARTER, done.stderr
    assert done.stdout.isascii()
    assert max(map(len, done.stdout.splitlines())) <= WIDTH
    done = command("check", str(path), "--json", where=tmp_path, PYTHONIOENCODING="ascii", LC_ALL="C")
    assert json.loads(done.stdout)["verdict"]


@pytest.fixture(scope="module")
def comma_locale(tmp_path_factory) -> dict[str, str]:
    """Environment of a locale whose decimal sign is a comma: made here, or one that is installed."""
    listed = subprocess.run(["locale", "-a"], capture_output=True, text=True, check=False).stdout.split()
    if found := [n for n in listed if n.lower().startswith(("de_", "fr_", "nl_", "cs_", "it_", "es_es"))]:
        return {"LC_ALL": found[0]}
    folder = tmp_path_factory.mktemp("locales")
    if shutil.which("localedef"):
        subprocess.run(
            ["localedef", "-i", "de_DE", "-f", "UTF-8", folder / "de_DE.UTF-8"],
            capture_output=True,
            check=False,
        )
    if not any(folder.iterdir()):
        pytest.skip("no locale with a decimal comma here, and none can be made")
    return {"LOCPATH": str(folder), "LC_ALL": "de_DE.UTF-8"}


@pytest.mark.slow
def test_a_locale_with_a_decimal_comma_changes_no_number(comma_locale, tmp_path):
    """The locale is set in the process, as a program that embeds the tool would do."""
    path = starter(tmp_path)
    code = (
        "import locale, sys; locale.setlocale(locale.LC_ALL, ''); "
        "assert locale.localeconv()['decimal_point'] == ','; "
        "from hoopwright.cli import main; sys.exit(main(sys.argv[1:]))"
    )
    # one thread of the matrix library, as the command sets: with another number the last digits differ
    bare = {"PATH": os.defpath, "PYTHONPATH": str(ROOT), "OPENBLAS_NUM_THREADS": "1", **comma_locale}
    done = subprocess.run(
        [sys.executable, "-c", code, "check", str(path), "--json"],
        cwd=tmp_path,
        env=bare,
        capture_output=True,
        text=True,
        encoding="utf-8",
        timeout=300,
        check=False,
    )
    assert done.returncode == STARTER, done.stderr
    assert done.stdout == command("check", str(path), "--json", where=tmp_path).stdout


def test_no_module_asks_the_locale_for_the_form_of_a_number():
    """Holds where no such locale is installed: nothing formats or reads numbers by the locale."""
    asked = [
        p.name
        for _, p in modules()
        if any(
            word in p.read_text(encoding="utf-8")
            for word in ("import locale", "use_locale", "from locale", ":n}", "%n")
        )
    ]
    assert asked == []


@pytest.mark.slow
def test_runs_at_once_into_one_folder_lose_nothing(tmp_path):
    path = starter(tmp_path / "in")
    out = tmp_path / "out"
    with ThreadPoolExecutor(3) as pool:
        runs = list(
            pool.map(lambda _: command("check", str(path), "--out", str(out), where=tmp_path), range(3))
        )
    assert [run.returncode for run in runs] == [STARTER] * 3, runs[0].stderr
    records = sorted(out.iterdir())
    assert len(records) == 3
    assert len({run.stderr.split("written: ")[1].strip() for run in runs}) == 3
    contents = [sorted(p.relative_to(r).as_posix() for p in r.rglob("*")) for r in records]
    assert contents[0] == contents[1] == contents[2]
    assert all(p.stat().st_size for r in records for p in r.rglob("*") if p.is_file())


@pytest.mark.slow
@pytest.mark.skipif(os.name == "nt", reason="modes of POSIX")
def test_output_where_nothing_may_be_written_is_one_line(tmp_path):
    path = starter(tmp_path / "in")
    shut = tmp_path / "shut"
    shut.mkdir()
    shut.chmod(stat.S_IRUSR | stat.S_IXUSR)
    place = shut if os.geteuid() else tmp_path / "in" / "case.toml"  # root may write anywhere
    done = command("check", str(path), "--out", str(place), where=tmp_path)
    shut.chmod(stat.S_IRWXU)
    assert done.returncode == status.NOT_WRITTEN
    assert len(done.stderr.strip().splitlines()) == 1
