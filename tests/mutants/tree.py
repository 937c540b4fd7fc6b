"""A throw-away copy of the sources, in which a file can be given a fault."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
FOLDERS = ("hoopwright", "fem", "geometry", "loads", "tests", "cases")
INSIDE = ("fem", "geometry", "loads")
FILES = ("pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE")


class Tree:
    """The copy, made in a folder; what Python imports in it comes from there."""

    def __init__(self, root: Path) -> None:
        self.root = root

    def copy(self) -> None:
        """Take the sources as they are now."""
        self.root.mkdir(parents=True, exist_ok=True)
        for name in FOLDERS:
            shutil.rmtree(self.root / name, ignore_errors=True)
            shutil.copytree(ROOT / name, self.root / name, ignore=shutil.ignore_patterns("__pycache__"))
        for name in FILES:
            shutil.copy2(ROOT / name, self.root / name)
        for name in INSIDE:
            (self.root / "hoopwright" / name).symlink_to(self.root / name, target_is_directory=True)

    def write(self, path: str, source: str) -> None:
        """Replace a file, and forget what was compiled of it."""
        file = self.root / path
        file.write_text(source, encoding="utf-8")
        for compiled in (file.parent / "__pycache__").glob(f"{file.stem}.*.pyc"):
            compiled.unlink()

    @property
    def environment(self) -> dict[str, str]:
        """Variables with which Python imports from the copy, on one processor."""
        return {**os.environ, "PYTHONPATH": str(self.root), "OPENBLAS_NUM_THREADS": "1"}

    def python(self, *words: str, seconds: float, log: Path | None = None) -> int | None:
        """Run Python in the copy; its status, None where it takes longer than the seconds allowed."""
        output = subprocess.DEVNULL if log is None else log.open("w", encoding="utf-8")
        try:
            return subprocess.run(
                [sys.executable, *words],
                cwd=self.root,
                env=self.environment,
                stdout=output,
                stderr=subprocess.STDOUT,
                timeout=seconds,
                check=False,
            ).returncode
        except subprocess.TimeoutExpired:
            return None
        finally:
            if log is not None:
                output.close()


class WarmPytest:
    """pytest in the copy, its libraries loaded once for all runs: `tests.mutants.warm`."""

    def __init__(self, tree: Tree) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-m", "tests.mutants.warm"],
            cwd=tree.root,
            env=tree.environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        self._answer()

    def run(self, words: list[str], *, seconds: float, log: Path) -> int | None:
        """Status of pytest; None where it takes longer than the seconds allowed."""
        assert self._process.stdin is not None
        self._process.stdin.write(json.dumps([words, seconds, str(log)]) + "\n")
        self._process.stdin.flush()
        return self._answer()

    def _answer(self) -> int | None:
        assert self._process.stdout is not None
        line = self._process.stdout.readline()
        if not line:
            raise RuntimeError("tests.mutants.warm has ended")
        return json.loads(line)
