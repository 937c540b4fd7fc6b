"""[cups]: the cups screwed into the sleeve's threads."""

from __future__ import annotations

from typing import Any

from hoopwright.case.holding_model import CupsInput, CupTightening
from hoopwright.case.keys import Key, TableKeys, optional
from hoopwright.case.service_model import CupInput, ServiceInput
from hoopwright.case.table import Table
from hoopwright.case.tables.material import choose_material, material_key
from hoopwright.geometry import Shell, Sleeve
from hoopwright.geometry.joint import stands_proud
from hoopwright.geometry.land import End, at_end

ROUNDING_MM = 2e-3
"""By which the length of a thread, told to a tenth of a thou, may be rounded up."""


def _friction_key(name: str, meaning: str, example: float) -> Key:
    return Key(name, "number", meaning, example, "above 0 to 1.0")


def _cup_keys(side: str) -> TableKeys:
    return TableKeys(
        side,
        f"the {side} cup; at least one of the two is needed",
        keys=(
            Key("tightening_torque", "torque", "on the cup", "40 N*m", "above 0 N*m"),
            optional(
                "removing_torque",
                "torque",
                "torque that undid the cup, or that may be needed to; one below what the least friction "
                "gives does not count",
                "60 N*m",
                "above 0 N*m",
            ),
            optional(
                "engaged_length", "length", "of the cup's thread in the sleeve", "12 mm", "above 0 mm"
            ),
        ),
    )


KEYS = TableKeys(
    "cups",
    "the cups screwed into the sleeve's threads",
    keys=(
        _friction_key("thread_friction_low", "lowest friction in the thread", 0.10),
        _friction_key("thread_friction_high", "highest friction in the thread", 0.20),
        _friction_key("flange_friction_low", "lowest friction under the flange", 0.10),
        _friction_key("flange_friction_high", "highest friction under the flange", 0.20),
        Key(
            "flange_diameter",
            "length",
            "mean diameter of the bearing ring under the flange",
            "41 mm",
            "above 0 mm",
        ),
        Key(
            "flange_bears_on",
            "choice",
            "the shell, so that the thread pulls the sleeve out, or the sleeve's own end",
            options={"shell": True, "sleeve": False},
            what="part to bear on",
        ),
        Key(
            "drag_torque",
            "torque",
            "on the sleeve from the bearings, pedalling forwards",
            default="0 N*m",
            limits="from 0 N*m",
        ),
        material_key("of the cups", default=None),
    ),
    tables=(_cup_keys("left"), _cup_keys("right")),
    any_of=(("left", "right"),),
)


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
        flange_diameter=table.get("flange_diameter"),
        flange_on_shell=table.get("flange_bears_on"),
        drag_torque=table.get("drag_torque"),
        material=choose_material(table) if table.has("material") else None,
    )
    return {"cups": cups}


def _friction(table: Table, where: str) -> dict[str, Any]:
    low, high = (table.get(f"{where}_friction_{end}") for end in ("low", "high"))
    if low is not None and high is not None and low > high:
        table.fault(f"{where}_friction_low", f"above {where}_friction_high = {high:g}", "swap the two")
    return {f"{where}_friction_low": low, f"{where}_friction_high": high}


def _cup(table: Table | None) -> CupTightening | None:
    if table is None:
        return None
    return table.build(
        CupTightening, **table.fields("tightening_torque", "removing_torque", "engaged_length")
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
        elif cup.engaged_length is not None and cup.engaged_length > zone.length + ROUNDING_MM:
            found.append(
                (
                    f"[cups.{side}]",
                    "engaged_length",
                    f"longer than the thread there, {zone.length:g} mm",
                    f'write at most engaged_length = "{zone.length:g} mm"',
                )
            )
    return found


def proud_faults(cups: CupsInput, shell: Shell, sleeve: Sleeve) -> list[tuple[str, str, str, str]]:
    """The fault of cups said to bear on the shell where the sleeve stands proud and is met first."""
    sides = [side for side, _ in cups.sides if side in stands_proud(shell, sleeve)]
    if not cups.flange_on_shell or not sides:
        return []
    proud = -sleeve.z_start if sides[0] == "left" else sleeve.z_end - shell.width
    problem = (
        f"says the shell, but the sleeve stands {proud:.6g} mm proud of its {sides[0]} face, and the cup's "
        "flange meets that first"
    )
    return [("[cups]", "flange_bears_on", problem, 'write flange_bears_on = "sleeve"')]


def flange_faults(
    cups: CupsInput, service: ServiceInput, shell: Shell, sleeve: Sleeve
) -> list[tuple[str, str, str, str]]:
    """Faults of cups said to bear on a sleeve that does not stand proud, and whose flange in [service]
    reaches beyond the bore."""
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
        proud = side in stands_proud(shell, sleeve)
        if cup.flange_diameter is not None and cup.flange_diameter > bore and not proud:
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
