"""Read a case file into a Case: all its tables, and the checks across tables.

To add a table, add a file to hoopwright/case/tables and a line to TABLES. Presets fill the tables before
they are read, so that no reader knows of them.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterable, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from hoopwright.case import own_materials, without_effect
from hoopwright.case.faults import Faults
from hoopwright.case.keys import Key, TableKeys, named
from hoopwright.case.load_cases import service_loads
from hoopwright.case.model import Case, pressing_friction
from hoopwright.case.reader_units import TO_BE_WRITTEN, System, example_for, lengths_in, system_of
from hoopwright.case.table import Table, dotted_path
from hoopwright.case.tables import (
    boring,
    compound,
    cups,
    demand,
    drawing,
    factors,
    fatigue,
    fit,
    gauge,
    job,
    material,
    mesh,
    preset,
    press,
    proof,
    record,
    routes,
    service,
    shell,
    size,
    temperatures,
)
from hoopwright.case.tables import sleeve as sleeve_keys
from hoopwright.case.toml_file import STANDARD_INPUT, read_bytes, toml_tables
from hoopwright.errors import Fault
from hoopwright.geometry.validation import joint_faults, shell_faults, sleeve_faults, sleeve_meeting
from hoopwright.materials import Material, table
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.measured.standing_out import reading_faults


class Section(NamedTuple):
    """A table of the file.

    if_absent: fields of Case for an absent table; None where reading an empty table gives them.
    """

    keys: TableKeys
    read: Callable[[Table], dict[str, Any]]
    if_absent: dict[str, Any] | None = None


TABLES = (
    Section(job.KEYS, job.read),
    Section(shell.KEYS, shell.read),
    Section(sleeve_keys.KEYS, sleeve_keys.read),
    Section(fit.KEYS, fit.read),
    Section(factors.KEYS, factors.read),
    Section(mesh.KEYS, mesh.read),
    Section(demand.KEYS, demand.read, if_absent={"demand": None}),
    Section(press.KEYS, press.read),
    Section(proof.KEYS, proof.read, if_absent={"proof": None}),
    Section(size.KEYS, size.read),
    Section(boring.KEYS, boring.read, if_absent={"boring": None}),
    Section(service.KEYS, service.read, if_absent={"service": None}),
    Section(fatigue.KEYS, fatigue.read),
    Section(cups.KEYS, cups.read, if_absent={"cups": None}),
    Section(compound.KEYS, compound.read, if_absent={"compound": None}),
    Section(temperatures.KEYS, temperatures.read, if_absent={"temperatures": None}),
    Section(record.KEYS, record.read),
    Section(drawing.KEYS, drawing.read),
)

CASE = TableKeys(
    "",
    "what the case is, and how it is shown",
    keys=(
        Key("title", "text", "of the case", "Crank shell, torn threads"),
        Key("invented", "flag", "its values are made up, and every output says so", default=False),
        Key(
            "sample", "flag", "its values are those of a starter: it never holds for certain", default=False
        ),
        Key(
            "units",
            "choice",
            "in which results are shown",
            default="metric",
            options=named("metric", "inch"),
            what="units",
        ),
        own_materials.KEY,
    ),
    tables=(material.KEYS, preset.KEYS, gauge.KEYS, *(section.keys for section in TABLES), routes.KEYS),
)
"""Every table and key of a case file."""


def read_case(path: str | Path) -> Case:
    """Read the case in a TOML file, or in standard input where the path is "-". Raises CaseError with every
    fault of the file."""
    file = "standard input" if path == STANDARD_INPUT else str(path)
    faults = Faults(file)
    content = read_bytes(path, faults)
    faults.raise_if_any()
    return _case(content, faults, file, None)


def parse_case(text: str, *, file: str = "case", materials: Mapping[str, Material] | None = None) -> Case:
    """Read the case in a TOML text. Raises CaseError with every fault of the text.

    file: name used in faults. materials: by key; None for the built-in ones.
    """
    return _case(text.encode("utf-8", "surrogatepass"), Faults(file), file, materials)


def lands_read(text: str, *, file: str = "case") -> tuple[MeasuredLand, ...]:
    """The lands of a case that can be evaluated from their readings, whatever else is wrong with it; none
    of a text that is not TOML. file: as of `parse_case`."""
    faults = Faults(file)
    values = toml_tables(text.encode("utf-8", "surrogatepass"), faults)
    if faults.found:
        return ()
    root, _, _ = _named(values, faults, file, None)
    found: list[MeasuredLand] = []
    for section in (one for one in TABLES if one.keys.name in ("shell", "sleeve")):
        found += _section(root, section).get(f"{section.keys.name}_measured", ())
    return tuple(found)


def _named(
    values: dict[str, Any], faults: Faults, file: str, materials: Mapping[str, Material] | None
) -> tuple[Table, dict[str, Any], preset.Filling]:
    """The whole case as a table that knows the materials and gauges that may be named, what it says of
    itself, and what its presets filled in."""
    root = Table(values, "", faults, CASE, materials=table() if materials is None else materials)
    fields: dict[str, Any] = root.fields("title", "invented", "sample", "units")
    fields["materials_file"] = own_materials.read_beside(root, file)
    if fields["materials_file"] is not None:
        beside = {one.name: one for one in fields["materials_file"].materials}
        root.materials = {**root.materials, **beside}
    own = root.subtable("material")
    if own is not None:
        root.materials = {**root.materials, **material.read(own)}
    filling = preset.fill_in(root, values)
    gauges = root.subtable("gauge")
    if gauges is not None:
        root.gauges = gauge.read(gauges)
    return root, fields, filling


def _case(content: bytes, faults: Faults, file: str, materials: Mapping[str, Material] | None) -> Case:
    values = toml_tables(content, faults)
    faults.raise_if_any()
    root, fields, filling = _named(values, faults, file, materials)
    for section in TABLES:
        fields |= _section(root, section)
    fields["routes"] = routes.read_routes(root.rows("route"))
    _check_geometry(fields, faults)
    _check_friction(fields, faults)
    _check_service(fields, faults)
    _check_densities(fields, faults, file)
    root.close()
    preset.name_presets(faults, filling, root.system)
    faults.raise_if_any()
    fields["without_effect"] = (
        *without_effect.notices(root, filling.presets.filled),
        *sleeve_keys.notices(fields["shell"], fields["sleeve"], fields["proud"]),
    )
    return Case(**fields, presets=filling.presets, file=file, sha256=hashlib.sha256(content).hexdigest())


def _section(root: Table, section: Section) -> dict[str, Any]:
    name = section.keys.name
    section_table = root.subtable(name)
    if section_table is not None:
        return section.read(section_table)
    if name in root.values:  # not a table, which subtable() has reported
        return {}
    if section.keys.required:
        advice = f"write a line [{name}] and below it {section.keys.needed_keys}"
        root.faults.add(f"[{name}]", "", "missing table", advice)
        return {}
    return section.if_absent or section.read(root.empty_subtable(name))


def _check_geometry(fields: dict[str, Any], faults: Faults) -> None:
    """Check each body by itself, then the two together once both are free of faults; ends that nearly meet
    are one. The sleeve, which the case gives as it is pressed, is taken as it is finished."""
    shell, sleeve = fields.get("shell"), fields.get("sleeve")
    if shell and sleeve:
        sleeve = fields["sleeve"] = sleeve_meeting(shell, sleeve)
    unsound = [*(shell_faults(shell) if shell else ()), *(sleeve_faults(sleeve) if sleeve else ())]
    if shell and sleeve and not unsound:
        unsound = joint_faults(shell, sleeve)
    system = system_of(fields["units"])
    if unsound:
        measured = (*fields.get("shell_measured", ()), *fields.get("sleeve_measured", ()))
        _add(faults, reading_faults(measured), system)
    _add(faults, [(f"[{part}]", key, problem, advice) for part, key, problem, advice in unsound], system)
    found: list[tuple[str, str, str, str]] = []
    if shell and sleeve and not unsound:
        said = any((one.table, one.key) == ("[sleeve]", "proud") for one in faults.found)
        found = [] if said else sleeve_keys.proud_faults(shell, sleeve, fields.get("proud"))
        if not found:
            sleeve = fields["sleeve"] = sleeve_keys.as_finished(shell, sleeve, fields.get("proud"))
    if sleeve and not unsound and fields.get("cups"):
        _add(faults, cups.cup_faults(fields["cups"], sleeve), system)
    if shell and sleeve and not unsound and fields.get("press"):
        _add(faults, press.pilot_faults(fields["press"], shell, sleeve), system)
    if shell and sleeve and not unsound:
        found += cups.proud_faults(fields["cups"], shell, sleeve) if fields.get("cups") else []
        _add(faults, found, system)


def _check_densities(fields: Mapping[str, Any], faults: Faults, file: str) -> None:
    """Check that what shares its heat with another part has a density, once there is no other fault."""
    if faults.found or not fields["press"].slips_in:
        return
    own = fields["shell_material"], fields["sleeve_material"]
    used = *own, *(route.part_material for route in fields["routes"])
    beside = fields["materials_file"]
    problem = "missing, and a part that slips in by heat shares its heat by mass"
    for one in dict.fromkeys(one for one in used if one is not None and one.density is None):
        place = beside.path(file) if beside and one in beside.materials else faults.file
        heading = f"[{dotted_path('material', one.name)}]"
        advice = f'write e.g. density = "{example_for("2700 kg/m^3", system_of(fields["units"]))}"'
        faults.found.append(Fault(place, heading, "density", problem, advice))


def _check_friction(fields: Mapping[str, Any], faults: Faults) -> None:
    """Check that the friction of pressing, of which [fit] gives what [press] does not, is a range with the
    likely value in it."""
    fit, press = fields.get("fit"), fields.get("press")
    if fit is None or press is None:
        return
    low, high = pressing_friction(fit, press)
    if low > high:
        key = "friction_low" if press.friction_low is not None else "friction_high"
        given = f"{getattr(press, key):g}"
        problem = f"friction in pressing would lie between {low:g} and {high:g}"
        faults.add("[press]", key, problem, "give both there, the lower one first", given=given)
    elif press.friction_likely is not None and not low <= press.friction_likely <= high:
        problem = f"outside the range of friction in pressing, {low:g} to {high:g}"
        given, advice = f"{press.friction_likely:g}", "widen the range, or leave it out"
        faults.add("[press]", "friction_likely", problem, advice, given=given)


def _check_service(fields: Mapping[str, Any], faults: Faults) -> None:
    """Check that the loads fit the parts by building them, once there is no other fault."""
    service = fields.get("service")
    if service is None or faults.found:
        return
    system = system_of(fields["units"])
    if fields.get("cups"):
        _add(faults, cups.flange_faults(fields["cups"], service, fields["shell"], fields["sleeve"]), system)
    try:
        service_loads(service, fields["shell"], fields["sleeve"])
    except ValueError as error:
        _add(
            faults,
            [("[service]", "", str(error), "correct it there or in the sizes of the parts")],
            system,
        )


def _add(faults: Faults, found: Iterable[tuple[str, str, str, str]], system: System) -> None:
    """Add faults (heading, key, problem, advice) whose lengths are in mm, in the units of the reader."""
    for heading, key, problem, advice in found:
        faults.add(heading, key, lengths_in(problem, system), lengths_in(advice, system, TO_BE_WRITTEN))


__all__ = ["CASE", "TABLES", "lands_read", "parse_case", "read_case"]
