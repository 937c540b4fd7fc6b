"""What verifying a record found, as lines for a terminal and for the page."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING, Any

from hoopwright.record.file_names import PAGES, RESULTS, SUMS

if TYPE_CHECKING:
    from hoopwright.record.seal import SealFaults
    from hoopwright.record.verify import Mismatch, VerificationResult

MAX_LINES = 40


def report(found: VerificationResult) -> str:
    """Values that differ, what is wrong with the files, versions that are not those of the record, and what
    was recomputed."""
    stored = found.stored
    lines = [
        f"{stored.folder}: "
        + (
            f"all {found.numbers} numbers are reproduced."
            if not found.mismatches
            else f"{len(found.mismatches)} of its values not reproduced; "
            f"{found.numbers} numbers were compared."
        )
    ]
    lines += [_mismatch_line(mismatch) for mismatch in found.mismatches[:MAX_LINES]]
    if len(found.mismatches) > MAX_LINES:
        lines.append(f"  and {len(found.mismatches) - MAX_LINES} more; --json lists them all")
    if stored.case_mismatch:
        lines.append(f"The case file is not the one that the record was made from: {stored.case.name}")
    lines += _seal_lines(found.seal)
    if found.pages.fault:
        lines.append(f"Not the pages of these results: {PAGES}: {found.pages.fault}")
    lines += [f"Made with {name} {then}; this is {now}." for name, then, now in found.version_changes]
    return "\n".join([*lines, *_extent_lines(found)]) + "\n"


def _seal_lines(seal: SealFaults) -> list[str]:
    """What is wrong with the files, one line each."""
    said = (
        ("Changed since the record was written", seal.changed),
        ("Missing", seal.missing),
        ("Not a file of this record", seal.extra),
        ("A link in place of a file", seal.links),
        (f"Not sealed, since {SUMS} does not list it", seal.not_sealed),
        (f"Listed in {SUMS} more than once", seal.repeated),
        (f"Listed in {SUMS}, but not a file of this record", seal.foreign),
    )
    lines = [f"{words}: {name}" for words, names in said for name in names]
    return [*lines, f"{SUMS} is empty: no file is sealed"] if seal.empty else lines


def _extent_lines(found: VerificationResult) -> list[str]:
    """What was made again, and what was only hashed."""
    lines = [f"Recomputed from {' and '.join(found.inputs)}: {RESULTS}."]
    if found.pages.untried:
        lines.append(f"Not typeset again: {PAGES}: {found.pages.untried}.")
    elif not found.pages.fault:
        lines.append(f"Typeset again from {RESULTS} and the figures: {PAGES}.")
    return [
        *lines,
        f"Only hashed: {', '.join(_by_folder(found.only_hashed))}.",
        f"{SUMS} shows whether files are as they were sealed, not who sealed them.",
    ]


def _by_folder(names: tuple[str, ...]) -> list[str]:
    """The names, those in one folder as one."""
    folders = Counter(name.partition("/")[0] for name in names if "/" in name)
    return [
        *(name for name in names if "/" not in name),
        *(f"{f}/ ({n} {'file' if n == 1 else 'files'})" for f, n in folders.items()),
    ]


def _mismatch_line(mismatch: Mismatch) -> str:
    share = "" if mismatch.relative is None else f"  ({mismatch.relative:+.2e})"
    return f"  {mismatch.path}: record {_value_text(mismatch.old)}, now {_value_text(mismatch.new)}{share}"


def _value_text(value: Any) -> str:
    from hoopwright.case.faults import shortened

    return f"{value:.9g}" if isinstance(value, float) else shortened(str(value), 80)
