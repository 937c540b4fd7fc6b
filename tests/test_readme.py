"""What the README shows is what the tool prints."""

import re
import shlex
import signal
import subprocess
import sys
import tomllib
import urllib.request
from pathlib import Path

import pytest

from hoopwright.cli import main

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def sessions():
    """(command, lines shown) for every `$ hoopwright ...` in a console block; `...` leaves lines out."""
    for block in re.findall(r"```console\n(.*?)```", README, re.S):
        for part in re.split(r"^\$ ", block, flags=re.M)[1:]:
            command, *shown = part.rstrip("\n").split("\n")
            yield command, shown


def is_long(command):
    """Whether a command is another one in other units, or judges every route."""
    return "--units" in command or " compare " in command


@pytest.mark.parametrize(
    ("command", "shown"),
    [pytest.param(*one, marks=pytest.mark.slow) if is_long(one[0]) else one for one in sessions()],
    ids=lambda v: v if isinstance(v, str) else "",
)
def test_readme_shows_what_the_command_prints(command, shown, capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    program, *arguments = shlex.split(command)
    assert program == "hoopwright"
    main(arguments)
    printed = [line.rstrip() for line in capsys.readouterr().out.splitlines()]
    at = 0
    for line in (line.rstrip() for line in shown):
        if line == "...":
            continue
        assert line in printed[at:], f"the README shows a line that is not printed here: {line!r}"
        at = printed.index(line, at) + 1


def test_readme_code_from_python_runs(capsys, monkeypatch):
    monkeypatch.chdir(ROOT)
    (code,) = re.findall(r"```python\n(.*?)```", README, re.S)
    assert len(code.splitlines()) <= 15
    exec(compile(code, "README.md", "exec"), {})
    state, size, faults = capsys.readouterr().out.splitlines()
    assert state.startswith("holds sleeve yields 0.4")
    assert size.startswith("Turn the sleeve to the size below")
    assert "missing table" in faults


def test_readme_opens_with_the_job_and_its_pictures_exist():
    paragraphs = README.split("\n\n")
    assert paragraphs[0] == "# hoopwright"
    assert "ruined bore" in paragraphs[1]
    for picture in re.findall(r"!\[[^\]]*\]\(([^)]+)\)", README):
        assert (ROOT / picture).is_file(), picture


def set_up_lines():
    return [line for line in README.splitlines() if line.startswith("python3 -m venv")]


def test_readme_set_up_lines_are_three_and_begin_with_a_virtual_environment():
    lines = set_up_lines()
    assert len(lines) == 3
    assert "hoopwright check cases/" in lines[0]
    assert "pytest" in lines[1]
    assert '".[page]"' in lines[2]


def test_readme_lines_that_install_the_command_take_extras_that_are_there():
    """Both are run where everything is."""
    lines = [line for line in README.splitlines() if line.startswith(("pipx ", "uv "))]
    assert [line.partition(' "')[0] for line in lines] == ["pipx install", "uv tool install"]
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    for line in lines:
        (extras,) = re.findall(r'"\.\[([a-z,]+)\]"$', line)
        assert set(extras.split(",")) <= set(project["optional-dependencies"])


def test_readme_line_of_the_page_starts_it():
    pytest.importorskip("starlette", reason="the page is an extra")
    program, *words = shlex.split(set_up_lines()[2].rpartition("&& ")[2])
    assert program == ".venv/bin/hoopwright"
    command = [sys.executable, "-m", "hoopwright", *words, "--port", "0", "--no-open"]
    with subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True) as server:
        try:
            home = server.stdout.readline().split()[-1]
            with urllib.request.urlopen(home, timeout=60) as answer:
                assert "cargo_trike_crank_shell.toml" in answer.read().decode()
        finally:
            server.send_signal(signal.SIGINT)
            server.wait(60)


def test_readme_carries_the_cautions_and_the_exit_status():
    for words in (
        "not an approval",
        "weld toes",
        "thread roots",
        "cracks",
        "corrosion",
        "maker",
        "licensed",
        "press",
        "exit status",
    ):
        assert words.lower() in README.lower(), words
