"""A case file to a Case: the list of its tables, and what must hold between them.

A further table is one more file in hoopwright/case/tables and one more line in TABLES.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from geometry.soundness import joint_faults, shell_faults, sleeve_faults
from hoopwright.case.faults import CaseError, Faults
from hoopwright.case.load_cases import loads_of
from hoopwright.case.model import Case
from hoopwright.case.source import read_bytes, toml_tables
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
    press,
    record,
    service,
    shell,
    size,
    sleeve,
    temperatures,
)
from hoopwright.case.tables.routes import read_routes
from hoopwright.materials import Material, table


class Section(NamedTuple):
    """A table of the file. needs: the keys it must hold, or "" where the table may be absent.

    absent: fields of Case for an absent table; None where reading an empty one gives them.
    """

    name: str
    read: Callable[[Table], dict[str, Any]]
    needs: str = ""
    absent: dict[str, Any] | None = None


TABLES = (
    Section("job", job.read),
    Section("shell", shell.read, needs="material, width, outside_diameter and bore_diameter"),
    Section("sleeve", sleeve.read, needs="material, length, outside_diameter and bore_diameter"),
    Section("fit", fit.read, needs="friction_low and friction_high"),
    Section("factors", factors.read),
    Section("mesh", mesh.read),
    Section("demand", demand.read, absent={"demand": None}),
    Section("press", press.read),
    Section("size", size.read),
    Section("boring", boring.read, absent={"boring": None}),
    Section("service", service.read, absent={"service": None}),
    Section("fatigue", fatigue.read),
    Section("cups", cups.read, absent={"cups": None}),
    Section("compound", compound.read, absent={"compound": None}),
    Section("temperatures", temperatures.read, absent={"temperatures": None}),
    Section("record", record.read),
)


def read_case(path: str | Path) -> Case:
    """The case in a TOML file. Raises CaseError with every fault of the file, whatever it holds."""
    faults = Faults(str(path))
    content = read_bytes(path, faults)
    faults.raise_if_any()
    return _case(content, faults, None)


def parse_case(text: str, *, file: str = "case", materials: Mapping[str, Material] | None = None) -> Case:
    """The case in a text. file: name used in faults. materials: by key; the tool's own if None.

    Raises CaseError with every fault of the text.
    """
    return _case(text.encode("utf-8", "surrogatepass"), Faults(file), materials)


def _case(content: bytes, faults: Faults, materials: Mapping[str, Material] | None) -> Case:
    values = toml_tables(content, faults)
    faults.raise_if_any()
    root = Table(values, "", faults, materials=table() if materials is None else materials)
    fields: dict[str, Any] = {
        "title": root.text("title", example="Crank shell, torn threads"),
        "invented": root.flag("invented", default=False),
        "units": root.choice("units", {"metric": "metric", "inch": "inch"}, what="units", default="metric"),
    }
    own = root.subtable("material")
    if own is not None:
        root.materials = {**root.materials, **material.read(own)}
    gauges = root.subtable("gauge")
    if gauges is not None:
        root.gauges = gauge.read(gauges)
    for section in TABLES:
        fields |= _section(root, section)
    fields["routes"] = read_routes(root.rows("route"))
    _check_geometry(fields, faults)
    _check_service(fields, faults)
    root.close()
    faults.raise_if_any()
    return Case(**fields, file=faults.file, sha256=hashlib.sha256(content).hexdigest())


def _section(root: Table, section: Section) -> dict[str, Any]:
    inside = root.subtable(section.name)
    if inside is not None:
        return section.read(inside)
    if section.name in root.values:  # no table, and reported as such
        return {}
    if section.needs:
        advice = f"write a line [{section.name}] and below it {section.needs}"
        root.faults.add(f"[{section.name}]", "", "missing table", advice)
        return {}
    return section.absent or section.read(root.empty(section.name))


def _check_geometry(fields: Mapping[str, Any], faults: Faults) -> None:
    """Each body by itself, then the two together once both are sound."""
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
    """The loads against sound parts: making them shows what does not fit."""
    service = fields.get("service")
    if service is None or faults.found:
        return
    try:
        loads_of(service, fields["shell"], fields["sleeve"])
    except ValueError as error:
        faults.add("[service]", "", str(error), "correct it there or in the sizes of the parts")


__all__ = ["TABLES", "Case", "CaseError", "parse_case", "read_case"]
