"""From a path to the tables of a TOML text, whatever the path leads to and the text holds."""

from __future__ import annotations

import re
import tomllib
from pathlib import Path
from typing import Any

from hoopwright.case.faults import Faults, shortened

LARGEST_FILE = 256 * 1024
"""Bytes. A case with a thousand readings takes a quarter of it."""

MOST_DOTS = 300
"""Full stops on one line outside its texts: tomllib's time grows with the square of a key's dots."""

_TEXTS = re.compile(r'''"(?:\\.|[^"\\])*"|'[^']*'|#.*''')

_UNQUOTED = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*([0-9.+-]+\s*[A-Za-zµ°][A-Za-z0-9µ°*/^ ]{0,15})")


def read_bytes(path: str | Path, faults: Faults) -> bytes:
    """The bytes of a case file; b"" after noting why it cannot be read."""
    try:
        file = Path(path)
        if file.is_dir():
            faults.add("", "", "is a folder", "give the case file inside it")
        elif not file.exists():
            faults.add("", "", "no such file", "check the name and the folder")
        elif not file.is_file():
            faults.add("", "", "not a file", "give a case file")
        elif file.stat().st_size > LARGEST_FILE:
            _note_size(faults)
        else:
            return file.read_bytes()
    except (OSError, ValueError) as error:
        reason = getattr(error, "strerror", None) or str(error)
        faults.add("", "", f"cannot be read: {reason}", "check the name and the permissions")
    return b""


def toml_tables(content: bytes, faults: Faults) -> dict[str, Any]:
    """The tables of a TOML text; {} after noting why it is not one."""
    if len(content) > LARGEST_FILE:
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
        if line_text.count(".") > MOST_DOTS and _dots(line_text, text) > MOST_DOTS:
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


def _dots(line: str, text: str) -> int:
    """Full stops of a line that may be part of a key. Where texts may go over several lines all count."""
    if '"""' in text or "'''" in text:
        return line.count(".")
    return _TEXTS.sub("", line).count(".")


def _note_size(faults: Faults) -> None:
    problem = f"larger than {LARGEST_FILE // 1024} KB, not a case file"
    faults.add("", "", problem, "give a case file; the starter case shows one")


def _note_syntax(message: str, lines: list[str], faults: Faults) -> None:
    """tomllib's message with its place first, and what most often is behind it."""
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
    if quantity := _UNQUOTED.match(written):
        return f'a quantity goes in quotes; write {quantity[1]} = "{quantity[2].strip()}"'
    if "overwrite" in what or "twice" in what or "Cannot declare" in what:
        return "the same key or table is there twice; keep one of them"
    if "\t" in written or written.strip():
        return f"the line reads: {shortened(written.strip())}"
    return "close the quotes and brackets that are open"
