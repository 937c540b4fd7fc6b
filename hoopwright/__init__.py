"""Will a sleeve pressed into a thin-walled shell hold? Stress margins by finite elements.

    import hoopwright

    case = hoopwright.read_case("mine.toml")
    found = hoopwright.check(case)
    print(found.verdict)
    found.document()["checks"][0]["margin"]

Everything is solved in mm, N and MPa, and kelvin above 20 °C; every key of a document that has a dimension
ends in its unit. An aid to judgement, not an approval: see the cautions in every document.

What is stable: the names in `__all__`, their arguments and the attributes that are documented here; and the
documents as long as their `schema_version` stays, to which keys may be added (`document_schema` has them
all). Any other module of the package may change without notice.

From several threads: every function may be called from any thread. A result is frozen and light: it goes
through `pickle`, and holds no solved model. While something is solved the matrix library is limited
to one thread, which is faster here; the limit is lifted again afterwards.

Errors: whatever a user can cause is a `HoopwrightError` with its `faults` as data. Any other exception is a
bug, or the machine's (no memory, no disk).
"""

from hoopwright.errors import CaseError, Fault, HoopwrightError, NotSolvedError, OutputError
from hoopwright.interface import (
    Answer,
    Checked,
    Compared,
    Curves,
    Pressed,
    Sheet,
    Sized,
    check,
    compare,
    curves,
    document_schema,
    parse_case,
    press,
    read_case,
    sheet,
    size,
    write_record,
)
from hoopwright.version import VERSION

__version__ = VERSION

__all__ = [
    "Answer",
    "CaseError",
    "Checked",
    "Compared",
    "Curves",
    "Fault",
    "HoopwrightError",
    "NotSolvedError",
    "OutputError",
    "Pressed",
    "Sheet",
    "Sized",
    "__version__",
    "check",
    "compare",
    "curves",
    "document_schema",
    "parse_case",
    "press",
    "read_case",
    "sheet",
    "size",
    "write_record",
]
