"""A file of a user's own materials, which a case names: tables [material.NAME], as a case may have them.

It lies beside the case or in a folder below, so that a record can hold both as they lie.
"""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path, PurePosixPath

from hoopwright.case.faults import Faults
from hoopwright.case.keys import Key, TableKeys
from hoopwright.case.model import MaterialsFile
from hoopwright.case.table import Table
from hoopwright.case.tables import material
from hoopwright.case.toml_file import read_bytes, toml_tables
from hoopwright.materials import Material, table

KEY = Key(
    "materials",
    "text",
    "file of your own materials, beside the case: [material.NAME], as in a case",
    "my_metals.toml",
    default="",
)
FILE = TableKeys("", "a file of materials", tables=(material.in_own_file(),))
MAX_MATERIALS = 200
STANDARD_INPUT = "standard input"
"""What a case is called that was read from there."""


def read_beside(case: Table, file: str) -> MaterialsFile | None:
    """The file that a case names; None where it names none, or after noting why it cannot be used. file:
    of the case."""
    name: str | None = case.get(KEY.name)
    if not name:
        return None
    if file == STANDARD_INPUT:
        advice = "save the case to a file, or write [material.NAME] in it"
        case.fault(KEY.name, "standard input lies in no folder", advice)
        return None
    if leads_outside(name):
        case.fault(KEY.name, "leads outside the folder of the case", "put the file beside the case")
        return None
    path = Path(file).parent / posix(name)
    faults = Faults(str(path))
    found = read(path, faults, called=posix(name))
    case.faults.found += faults.found
    return found


def read_file(path: Path) -> MaterialsFile:
    """A file of materials by itself. Raises CaseError with every fault of it."""
    faults = Faults(str(path))
    found = read(path, faults, called=path.name)
    faults.raise_if_any()
    assert found is not None
    return found


def read(path: Path, faults: Faults, *, called: str) -> MaterialsFile | None:
    """The materials in a file, each with the file as its source; None after noting what is wrong. called:
    the file, in sources."""
    content = read_bytes(path, faults)
    values = {} if faults.found else toml_tables(content, faults)
    if faults.found:
        return None
    root = Table(values, "", faults, FILE, materials=table())
    rows = root.subtable("material")
    if rows is None:
        if "material" not in values:
            faults.add("", "", "no material in it", "write [material.NAME] above the values of each")
        root.close()
        return None
    found = material.read(rows, limit=MAX_MATERIALS)
    root.close()
    if faults.found:
        return None
    own = tuple(_named_as_own(one, called) for one in found.values() if one is not None)
    return MaterialsFile(called, hashlib.sha256(content).hexdigest(), own)


def _named_as_own(one: Material, file: str) -> Material:
    """The material with the file in every source."""
    provenance = tuple(
        replace(line, source=f"{material.OWN} in {file}" + (f": {line.source}" if line.source else ""))
        for line in one.provenance
    )
    return replace(one, provenance=provenance)


def posix(name: str) -> str:
    """The path with "/" between, as it is written on every system."""
    return str(PurePosixPath(name.replace("\\", "/")))


def leads_outside(name: str) -> bool:
    """Whether a path leads out of the folder it starts in."""
    path = PurePosixPath(posix(name))
    return path.is_absolute() or ".." in path.parts or ":" in (path.parts or (":",))[0]
