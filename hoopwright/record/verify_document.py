"""JSON document of `hoopwright verify`."""

from __future__ import annotations

from typing import Any

from hoopwright.document.heading import tool_part
from hoopwright.errors import one_line
from hoopwright.record.verify import VerificationResult


def document(found: VerificationResult) -> dict[str, Any]:
    """What is not reproduced, what is wrong with the files, and what was recomputed."""
    stored = found.stored
    return tool_part("verify") | {
        "case": {"file": one_line(stored.case.name)},
        "record": one_line(str(stored.folder)),
        "holds": found.holds,
        "numbers": found.numbers,
        "moved": [
            {"path": m.path, "record": m.old, "now": m.new, "relative": m.relative}
            for m in found.mismatches
        ],
        "changed_files": list(found.seal.changed),
        "missing_files": list(found.seal.missing),
        "extra_files": list(found.seal.extra),
        "links": list(found.seal.links),
        "not_sealed_files": list(found.seal.not_sealed),
        "repeated_in_sums": list(found.seal.repeated),
        "foreign_in_sums": list(found.seal.foreign),
        "sums_empty": found.seal.empty,
        "pages_fault": found.pages.fault,
        "pages_not_typeset_again": found.pages.untried,
        "recomputed_files": list(found.recomputed),
        "only_hashed_files": list(found.only_hashed),
        "case_is_another": stored.case_mismatch,
        "made_with_other": [{"name": n, "then": t, "now": w} for n, t, w in found.version_changes],
    }
