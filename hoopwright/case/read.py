"""Read a case file into a Case: all its tables, and the checks across tables.

To add a table, add a file to hoopwright/case/tables and a line to TABLES. Presets fill the tables before
they are read, so that no reader knows of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from hoopwright.case.faults import Faults
from hoopwright.case.load_cases import service_loads
from hoopwright.case.model import Case
from hoopwright.case.table import Table
from hoopwright.case.tables import (
    boring,
    compound,
    cups,
    demand,
    factors,
    fatigue,
    fit,
    gauge,
    job,
    material,
    mesh,
    preset,
    press,
    record,
    service,
    shell,
    size,
    sleeve,
    temperatures,
)
from hoopwright.case.tables.routes import read_routes
from hoopwright.case.toml_file import STANDARD_INPUT, read_bytes, toml_tables
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults
from hoopwright.materials import Material, table


class Section(NamedTuple):
    """A table of the file.

    required_keys: the keys it must hold, or "" where the table may be absent. if_absent: fields of Case for
    an absent table; None where reading an empty table gives them.
    """

    name: str
    read: Callable[[Table], dict[str, Any]]
    required_keys: str = ""
    if_absent: dict[str, Any] | None = None


TABLES = (
    Section("job", job.read),
    Section("shell", shell.read, required_keys="material, width, outside_diameter and bore_diameter"),
    Section("sleeve", sleeve.read, required_keys="material, length, outside_diameter and bore_diameter"),
    Section("fit", fit.read, required_keys="friction_low and friction_high"),
    Section("factors", factors.read),
    Section("mesh", mesh.read),
    Section("demand", demand.read, if_absent={"demand": None}),
    Section("press", press.read),
    Section("size", size.read),
    Section("boring", boring.read, if_absent={"boring": None}),
    Section("service", service.read, if_absent={"service": None}),
    Section("fatigue", fatigue.read),
    Section("cups", cups.read, if_absent={"cups": None}),
    Section("compound", compound.read, if_absent={"compound": None}),
    Section("temperatures", temperatures.read, if_absent={"temperatures": None}),
    Section("record", record.read),
)


def read_case(path: str | Path) -> Case:
    """Read the case in a TOML file, or in standard input where the path is "-". Raises CaseError with every
    fault of the file."""
    faults = Faults("standard input" if path == STANDARD_INPUT else str(path))
    content = read_bytes(path, faults)
    faults.raise_if_any()
    return _case(content, faults, None)


def parse_case(text: str, *, file: str = "case", materials: Mapping[str, Material] | None = None) -> Case:
    """Read the case in a TOML text. Raises CaseError with every fault of the text.

    file: name used in faults. materials: by key; None for the built-in ones.
    """
    return _case(text.encode("utf-8", "surrogatepass"), Faults(file), materials)


def _case(content: bytes, faults: Faults, materials: Mapping[str, Material] | None) -> Case:
    values = toml_tables(content, faults)
    faults.raise_if_any()
    root = Table(values, "", faults, materials=table() if materials is None else materials)
    fields: dict[str, Any] = {
        "title": root.text("title", example="Crank shell, torn threads"),
        "invented": root.flag("invented", default=False),
        "sample": root.flag("sample", default=False),
        "units": root.choice("units", {"metric": "metric", "inch": "inch"}, what="units", default="metric"),
    }
    own = root.subtable("material")
    if own is not None:
        root.materials = {**root.materials, **material.read(own)}
    filling = preset.fill_in(root, values)
    gauges = root.subtable("gauge")
    if gauges is not None:
        root.gauges = gauge.read(gauges)
    for section in TABLES:
        fields |= _section(root, section)
    fields["routes"] = read_routes(root.rows("route"))
    _check_geometry(fields, faults)
    _check_service(fields, faults)
    root.close()
    preset.name_presets(faults, filling, root.system)
    faults.raise_if_any()
    return Case(
        **fields, presets=filling.presets, file=faults.file, sha256=hashlib.sha256(content).hexdigest()
    )


def _section(root: Table, section: Section) -> dict[str, Any]:
    section_table = root.subtable(section.name)
    if section_table is not None:
        return section.read(section_table)
    if section.name in root.values:  # not a table, which subtable() has reported
        return {}
    if section.required_keys:
        advice = f"write a line [{section.name}] and below it {section.required_keys}"
        root.faults.add(f"[{section.name}]", "", "missing table", advice)
        return {}
    return section.if_absent or section.read(root.empty_subtable(section.name))


def _check_geometry(fields: Mapping[str, Any], faults: Faults) -> None:
    """Check each body by itself, then the two together once both are free of faults."""
    shell, sleeve = fields.get("shell"), fields.get("sleeve")
    unsound = [*(shell_faults(shell) if shell else ()), *(sleeve_faults(sleeve) if sleeve else ())]
    if shell and sleeve and not unsound:
        unsound = joint_faults(shell, sleeve)
    for part, key, problem, advice in unsound:
        faults.add(f"[{part}]", key, problem, advice)
    if sleeve and not unsound and fields.get("cups"):
        for heading, key, problem, advice in cups.cup_faults(fields["cups"], sleeve):
            faults.add(heading, key, problem, advice)


def _check_service(fields: Mapping[str, Any], faults: Faults) -> None:
    """Check that the loads fit the parts by building them, once there is no other fault."""
    service = fields.get("service")
    if service is None or faults.found:
        return
    if fields.get("cups"):
        for heading, key, problem, advice in cups.flange_faults(fields["cups"], service, fields["shell"]):
            faults.add(heading, key, problem, advice)
    try:
        service_loads(service, fields["shell"], fields["sleeve"])
    except ValueError as error:
        faults.add("[service]", "", str(error), "correct it there or in the sizes of the parts")


__all__ = ["TABLES", "parse_case", "read_case"]
