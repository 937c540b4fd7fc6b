"""Commands on the trike demo: whole processes against bare imports, and single steps against one check."""

from __future__ import annotations

import sys
import tempfile

from tests.benchmarks.measure import Row, child, in_turn, median, ratios

CASE = "cases/cargo_trike_crank_shell.toml"
IMPORTS = "import numpy, scipy.sparse.linalg, skfem, pint, matplotlib.pyplot"


def rows(times: int) -> list[Row]:
    return [*_whole(times), *_steps(times)]


def _whole(times: int) -> list[Row]:
    with tempfile.TemporaryDirectory() as folder:
        bare = [sys.executable, "-c", IMPORTS]
        check = [sys.executable, "-m", "hoopwright", "check", CASE]
        found = in_turn(bare, check, [*check, "--out", folder], times=times, may_fail=True)
    wall = [[r.wall for r in runs] for runs in found]
    seconds = [f"{median(w):.2f} s" for w in wall]
    plain, plain_text = ratios(wall[1], wall[0])
    recorded, recorded_text = ratios(wall[2], wall[0])
    return [
        Row(
            "`hoopwright check`, whole process / bare imports",
            plain_text,
            "≤ 4.5",
            plain <= 4.5,
            f"{seconds[1]} / {seconds[0]}, {median([r.peak for r in found[1]]):.0f} MB",
        ),
        Row(
            "`hoopwright check --out` with record and PDF / bare imports",
            recorded_text,
            "≤ 11",
            recorded <= 11.0,
            f"{seconds[2]} / {seconds[0]}, {median([r.peak for r in found[2]]):.0f} MB",
        ),
    ]


def _steps(times: int) -> list[Row]:
    names = ("check", "from_python", "size", "compare", "samples")
    found = in_turn(*(child("steps", name, CASE) for name in names), times=times)
    check, called, size, compare, samples = ([r.output["seconds"] for r in runs] for runs in found)
    called_ratio, called_text = ratios(called, check)
    used = (median([r.output["processor"] for r in runs]) for runs in found[:2])
    of_command, of_call = (f"{seconds:.2f} s" for seconds in used)
    sized, sized_text = ratios(size, check)
    compared, compared_text = ratios(compare, check)
    one = f"one check {median(check):.2f} s"
    return [
        Row(
            "`check(case)` from Python, nothing set / the command's solve, imports left out",
            called_text,
            "≤ 1.2",
            called_ratio <= 1.2,
            f"processor time {of_call} / {of_command}",
        ),
        Row("`size` / `check`, imports left out", sized_text, "≤ 4", sized <= 4.0, one),
        Row(
            "`compare` with four routes / `check`, imports left out",
            compared_text,
            "≤ 6",
            compared <= 6.0,
            one,
        ),
        Row(
            "1,000,000 tolerance samples through all checks, after the solve",
            f"{median(samples):.2f} s",
            "≤ 2 s",
            median(samples) <= 2.0,
        ),
    ]
