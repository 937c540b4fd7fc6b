"""[cups]: the cups screwed into the sleeve's threads. The table is optional.

thread_friction_low = 0.10      lowest and highest friction in the thread
thread_friction_high = 0.20
flange_friction_low = 0.10      and under the flange
flange_friction_high = 0.20
flange_diameter = "41 mm"       mean diameter of the bearing ring under the flange
flange_bears_on = "shell"       or "sleeve", where the sleeve's end takes the flange
material = "6061-T6"            optional: of the cups
drag_torque = "0.5 N*m"         optional: on the sleeve from the bearings, pedalling forwards

[cups.left]                     likewise [cups.right]; at least one of them
tightening_torque = "40 N*m"
removing_torque = "60 N*m"      optional: torque that undid the cup, or that may be needed to
engaged_length = "12 mm"        optional: of the cup's thread in the sleeve
"""

from __future__ import annotations

from functools import partial
from typing import Any

from hoopwright.case.holding_model import CupsInput, CupTightening
from hoopwright.case.service_model import CupInput, ServiceInput
from hoopwright.case.table import Table
from hoopwright.case.tables.material import choose_material
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.land import End, at_end


def read(table: Table) -> dict[str, Any]:
    thread = _friction(table, "thread")
    flange = _friction(table, "flange")
    left, right = _cup(table.subtable("left")), _cup(table.subtable("right"))
    if not (table.has("left") or table.has("right")):
        table.fault("left", "missing", "write [cups.left] or [cups.right], or both, with tightening_torque")
    cups = table.build(
        CupsInput,
        left=left,
        right=right,
        **thread,
        **flange,
        flange_diameter=table.length("flange_diameter", example="41 mm", above="0 mm"),
        flange_on_shell=table.choice(
            "flange_bears_on", {"shell": True, "sleeve": False}, what="part to bear on"
        ),
        drag_torque=table.torque("drag_torque", default="0 N*m", minimum="0 N*m"),
        material=choose_material(table) if table.has("material") else None,
    )
    return {"cups": cups}


def _friction(table: Table, where: str) -> dict[str, Any]:
    number = partial(table.number, above="0", maximum="1.0")
    low = number(f"{where}_friction_low", example=0.10)
    high = number(f"{where}_friction_high", example=0.20)
    if low is not None and high is not None and low > high:
        table.fault(f"{where}_friction_low", f"above {where}_friction_high = {high:g}", "swap the two")
    return {f"{where}_friction_low": low, f"{where}_friction_high": high}


def _cup(table: Table | None) -> CupTightening | None:
    if table is None:
        return None
    return table.build(
        CupTightening,
        tightening_torque=table.torque("tightening_torque", example="40 N*m", above="0 N*m"),
        removing_torque=table.torque("removing_torque", example="60 N*m", default=None, above="0 N*m"),
        engaged_length=table.length("engaged_length", example="12 mm", default=None, above="0 mm"),
    )


def cup_faults(cups: CupsInput, sleeve: Sleeve) -> list[tuple[str, str, str, str]]:
    """Faults (heading, key, problem, advice) of cups whose end has no thread, or too short a one."""
    found = []
    for side, cup in cups.sides:
        zone = at_end(sleeve.bore, side)
        if zone.thread is None:
            found.append(
                (
                    f"[cups.{side}]",
                    "",
                    f"the sleeve's bore has no thread at its {side} end",
                    f"give the {side}most [[sleeve.bore]] a thread, or leave this table out",
                )
            )
        elif cup.engaged_length is not None and cup.engaged_length > zone.length:
            found.append(
                (
                    f"[cups.{side}]",
                    "engaged_length",
                    f"longer than the thread there, {zone.length:g} mm",
                    f'write at most engaged_length = "{zone.length:g} mm"',
                )
            )
    return found


def flange_faults(cups: CupsInput, service: ServiceInput, shell: Shell) -> list[tuple[str, str, str, str]]:
    """Faults of cups said to bear on the sleeve whose flange in [service] reaches beyond the bore."""
    if cups.flange_on_shell or service.crank is None:
        return []
    found = []
    sides: tuple[tuple[End, CupInput], ...] = (
        ("left", service.crank.left),
        ("right", service.crank.right),
    )
    for side, cup in sides:
        z = 0.0 if side == "left" else shell.width
        bore = float(at_end(shell.bore, side).diameter_at(z))
        if cup.flange_diameter is not None and cup.flange_diameter > bore:
            found.append(
                (
                    "[cups]",
                    "flange_bears_on",
                    f"says the sleeve, but [service.{side}_cup] has a flange of "
                    f"{cup.flange_diameter:g} mm, which reaches beyond the bore of {bore:g} mm",
                    'write flange_bears_on = "shell", or correct flange_diameter',
                )
            )
    return found
