"""The difference between two repairs as text for an 80-column terminal."""

from __future__ import annotations

from typing import Any

from hoopwright.case.faults import one_line
from hoopwright.display import flagged_margin
from hoopwright.screen.wrapping import entry, paragraph

NAME = 6
TITLE, STAGE, MARGIN = 27, 10, 19


def report(d: dict[str, Any]) -> str:
    """The whole screen of a difference document: sides, verdicts, inputs, margins, rows."""
    sides = (("A", d["a"]), ("B", d["b"]))
    lines = [line for mark, side in sides for line in _side(mark, side)]
    lines += ["", "Verdict", *entry("  A", d["verdict"]["old"], NAME)]
    if d["verdict"]["new"] == d["verdict"]["old"]:
        lines += ["  B   the same"]
    else:
        lines += entry("  B", d["verdict"]["new"], NAME)
    lines += ["", *_inputs(d["inputs"]), "", *_margins(d["margins"])]
    for word, key, side in (("New in B", "new", "new"), ("Lost in B", "lost", "old")):
        if d[key]:
            lines += ["", f"{word}, judged there alone" if key == "new" else f"{word}, judged in A alone"]
            lines += [_row(c, _shown(c[side])) for c in d[key]]
    return "\n".join(map(one_line, lines)) + "\n"  # a record may come from anyone


def _side(mark: str, side: dict[str, Any]) -> list[str]:
    version = f", by version {side['version']}" if side["kind"] == "record" else ", checked now"
    lines = entry(mark, f"{side['kind']} {side['name']}{version}: {side['title']}", 4)
    return lines + [line for note in side["notes"] for line in entry("", note, 4)]


def _inputs(changed: list[dict[str, Any]]) -> list[str]:
    if not changed:
        return ["No input changed."]
    lines = ["Inputs that changed"]
    for i in changed:
        old, new = i["shown"]
        lines += paragraph(f"{i['table']} {i['key']}".strip(), "  ")
        lines += paragraph(f"{old} -> {new}", "      ")
    return lines


def _margins(moved: list[dict[str, Any]]) -> list[str]:
    """Margins whose text differs; of the others only how many there are."""
    visible = [c for c in moved if _shown(c["old"]) != _shown(c["new"])]
    if not visible:
        lines = ["No margin moved."] if not moved else []
    else:
        head = f"  {'stage':{STAGE}s}{'A':>{MARGIN}s}{'B':>{MARGIN}s}"
        lines = [f"{'Margins that moved':{TITLE}s}{head}"]
        lines += [_row(c, _shown(c["old"]), _shown(c["new"])) for c in visible]
    if rest := len(moved) - len(visible):
        lines += paragraph(f"{rest} {'margin' if rest == 1 else 'margins'} moved by less than 0.01.")
    return lines


def _row(cell: dict[str, Any], *margins: str) -> str:
    columns = "".join(f"{text:>{MARGIN}s}" for text in margins)
    return f"  {cell['title']:{TITLE}.{TITLE}s}{cell['stage']:{STAGE}s}{columns}"


def _shown(judgement: dict[str, Any]) -> str:
    return flagged_margin(judgement["margin"], judgement["state"])
