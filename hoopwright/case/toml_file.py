"""Read the tables of a TOML file safely, whatever the path and the file contain."""

from __future__ import annotations

import re
import sys
import tomllib
from pathlib import Path
from typing import Any

from hoopwright.case.faults import Faults, shortened

STANDARD_INPUT = "-"
MAX_FILE_BYTES = 256 * 1024
"""Greatest size of a case file, bytes. A case with a thousand readings takes a quarter of it."""

MAX_DOTS = 300
"""Most dots on one line outside strings: tomllib's time grows with the square of a key's dots."""

_STRINGS_AND_COMMENTS = re.compile(r""""(?:\\.|[^"\\])*"|'[^']*'|#.*""")

_UNQUOTED_QUANTITY = re.compile(
    r"\s*([A-Za-z0-9_-]+)\s*=\s*([0-9.+-]+\s*[A-Za-zµ°][A-Za-z0-9µ°*/^ ]{0,15})"
)


def read_bytes(path: str | Path, faults: Faults) -> bytes:
    """Bytes of a case file, or b"" after noting why it cannot be read."""
    try:
        if path == STANDARD_INPUT:
            return sys.stdin.buffer.read(MAX_FILE_BYTES + 1)
        file = Path(path)
        if file.is_dir():
            faults.add("", "", "is a folder", "give the case file inside it")
        elif not file.exists():
            faults.add("", "", "no such file", "check the name and the folder")
        elif not file.is_file():
            faults.add("", "", "not a file", "give a case file")
        elif file.stat().st_size > MAX_FILE_BYTES:
            _note_size(faults)
        else:
            return file.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        faults.add("", "", f"cannot be read: {reason}", "check the name and the permissions")
    return b""


def toml_tables(content: bytes, faults: Faults) -> dict[str, Any]:
    """Tables of a TOML text, or {} after noting why it cannot be parsed."""
    if len(content) > MAX_FILE_BYTES:
        _note_size(faults)
        return {}
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content[: error.start].count(b"\n") + 1
        faults.add(f"line {line}", "", "not UTF-8 text", "save the file as plain text in UTF-8")
        return {}
    lines = text.split("\n")
    for number, line_text in enumerate(lines, start=1):
        if line_text.count(".") > MAX_DOTS and _key_dots(line_text, text) > MAX_DOTS:
            faults.add(f"line {number}", "", "too many full stops", "break the line")
            return {}
    try:
        return tomllib.loads(text)
    except RecursionError:
        faults.add("", "", "brackets nested too deeply", "a case nests two deep at most")
    except tomllib.TOMLDecodeError as error:
        _note_syntax(str(error), lines, faults)
    except ValueError as error:  # int() on thousands of digits, or an impossible date
        faults.add("", "", f"not TOML: {shortened(str(error))}", "correct the number or date")
    return {}


def _key_dots(line: str, text: str) -> int:
    """Dots of a line that may be part of a key; all of them where the text has multi-line strings."""
    if '"""' in text or "'''" in text:
        return line.count(".")
    return _STRINGS_AND_COMMENTS.sub("", line).count(".")


def _note_size(faults: Faults) -> None:
    problem = f"larger than {MAX_FILE_BYTES // 1024} KB, not a case file"
    faults.add("", "", problem, "give a case file; the starter case shows one")


def _note_syntax(message: str, lines: list[str], faults: Faults) -> None:
    """Note tomllib's message under its line number, with advice on the likeliest cause."""
    what, _, place = message.rpartition(" (at ")
    found = re.match(r"line (\d+)", place)
    number = int(found[1]) if found else max(len(lines), 1)
    written = lines[number - 1] if number <= len(lines) else ""
    faults.add(
        f"line {number}",
        "",
        f"not TOML: {shortened(what or message, 100)}",
        _syntax_advice(what, written),
        given="",
    )


def _syntax_advice(what: str, written: str) -> str:
    if quantity := _UNQUOTED_QUANTITY.match(written):
        return f'a quantity goes in quotes; write {quantity[1]} = "{quantity[2].strip()}"'
    if "overwrite" in what or "twice" in what or "Cannot declare" in what:
        return "the same key or table is given twice; keep one of them"
    if "\t" in written or written.strip():
        return f"the line reads: {shortened(written.strip())}"
    return "close the quotes and brackets that are open"
