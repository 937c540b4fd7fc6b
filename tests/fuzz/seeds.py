"""Seeds for fuzzing: the shipped cases, the starter, each of their tables alone, and press logs."""

from __future__ import annotations

import re
from pathlib import Path

from hoopwright.starters import starter_text

ROOT = Path(__file__).parents[2]
FOLDERS = (ROOT / "cases", ROOT / "hoopwright" / "published")

BARE = """title = "T"
[shell]
material = "6061-T6"
width = "73 mm"
outside_diameter = "44 mm"
bore_diameter = "39 mm"
[sleeve]
material = "1025 steel"
length = "73 mm"
outside_diameter = "39.04 mm"
bore_diameter = "34.9 mm"
[fit]
friction_low = 0.08
friction_high = 0.2
"""

LOGS = (
    "travel [mm], gauge [bar]\n0, 0\n5.0, 22\n30, 61.5\n73, 118\n",
    "# made up\ntime [s]; travel [in]; force [lbf]\n0; 0; 0\n1.5; .5; 800\n2; 1; 1.2e3\n3; 2.8; 4000\n",
    "travel [mm],force [N]\n0,0\n\x1c1.3,\u00a05\n2,7\n",
    "travel (mm)\tforce (kN)\r\n0\t0\r\n10\t1\r\n20\t2\r\n",
    "travel [mm],force [N]\n" + "".join(f"{k / 10},{k}\n" for k in range(60)),
)

WORDS = (
    '" mm"',
    '"39 mm"',
    '"1.5 in"',
    '"2 thou"',
    '"5 um"',
    '"20 degC"',
    '"68 degF"',
    '"2 kN"',
    '"35 N*m"',
    '"240 MPa"',
    '"nan mm"',
    '"1e400 mm"',
    '"9**9**9 mm"',
    '"-1 mm"',
    '"0 mm"',
    '"1/3 in"',
    '"1,5 mm"',
    "true",
    "inf",
    "1979-05-27",
    "[[",
    "]]",
    "[shell]",
    "[[shell.bore]]",
    "[sleeve]",
    "readings = [",
    "diameter_from",
    "plus_minus",
    "thread = {",
    '"1.37 in x 24 right"',
    "\\u0000",
    '"""',
    "'''",
    "\xef\xbb\xbf",
    "\r\n",
    "travel [mm]",
    "force [kN]",
    "gauge [psi]",
    ";",
    "\t",
    "1e300",
    "-0",
)


def cases() -> list[bytes]:
    """Whole cases, and the bare case with each of their tables in turn."""
    texts = [
        p.read_text(encoding="utf-8")
        for folder in FOLDERS
        for p in sorted(folder.rglob("*.toml"))
        if not p.name.endswith(".expected.toml")
    ]
    texts.append(starter_text())
    alone = {}
    for text in texts:
        for block in tables(text):
            name = re.match(r"\[+([^\].]+)", block)
            if name and name[1] not in ("shell", "sleeve", "fit"):
                alone.setdefault(block.split("\n")[0], BARE + block)
    uncommented = re.sub(r"(?m)^# (?=\[|[a-z_]+ = )", "", starter_text())
    return [t.encode() for t in [BARE, *alone.values(), *texts, uncommented]]


def tables(text: str) -> list[str]:
    """Split the text at its table headings; text before the first heading is dropped."""
    return [piece for piece in re.split(r"(?m)^(?=\[)", text) if piece.startswith("[")]


def logs() -> list[bytes]:
    return [text.encode() for text in LOGS]


SEEDS = {"case": cases, "log": logs}
