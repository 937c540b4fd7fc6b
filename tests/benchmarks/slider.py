"""One move of the slider of the page against one check: the script reads every cell and sorts them."""

from __future__ import annotations

import json
import shutil
import tempfile
from pathlib import Path

from tests.benchmarks.measure import ROOT, Row, child, in_turn, median, ratios

CASE = "cases/cargo_trike_crank_shell.toml"
MOVES = 2000
SCRIPT = ROOT / "hoopwright" / "page" / "static" / "fit.js"
READ = f"""
const fit = require(process.argv[1]);
const curves = JSON.parse(require("fs").readFileSync(process.argv[2], "utf8"));
const at = curves.interference_um, width = at[at.length - 1] - at[0];
const start = process.hrtime.bigint();
for (let k = 0; k < {MOVES}; k += 1) fit.nearest(fit.readAll(curves, at[0] + width * k / {MOVES}));
console.log(JSON.stringify({{ seconds: Number(process.hrtime.bigint() - start) / 1e9 / {MOVES} }}));
"""


def rows(times: int) -> list[Row]:
    node = shutil.which("node")
    if node is None:
        return [Row("one check / one move of the slider", "not measured: no node here", "≥ 20")]
    with tempfile.TemporaryDirectory() as folder:
        curves = Path(folder) / "curves.json"
        _write_curves(curves)
        move = [node, "-e", READ, str(SCRIPT), str(curves)]
        check, curve, moved = (
            [run.output["seconds"] for run in runs]
            for runs in in_turn(
                child("steps", "check", CASE), child("steps", "curves", CASE), move, times=times
            )
        )
    faster, text = ratios(check, moved)
    _, cost = ratios(curve, check)
    return [
        Row(
            "one check / one move of the slider, without what the browser draws",
            text,
            "≥ 20",
            faster >= 20.0,
            f"{median(check):.2f} s / {1e3 * median(moved):.3f} ms",
        ),
        Row("`curves` / `check`, imports left out", cost),
    ]


def _write_curves(file: Path) -> None:
    import hoopwright

    found = hoopwright.curves(hoopwright.read_case(ROOT / CASE)).document()
    file.write_text(json.dumps(found), encoding="utf-8")
