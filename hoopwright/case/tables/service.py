"""[service]: support of the shell and loads in use. The table is optional.

none = "why"                    alone in the table: there is no service load, and why
cycles = 100000                 optional: required number of cycles of every load that repeats
pedalling_test = "city"         loads of ISO 4210-6: city, trekking, mountain, racing or assisted
standing_start = "1500 N"       a hard push on a level crank, right and left
crank_length = "170 mm"         for the standing start
chainring_radius = "84 mm"      for the standing start
pedal_offset = "140 mm"         for the standing start: middle of the pedal from the centre-line
chain_line = "45 mm"            chain plane from the centre-line, to the right
centre_line = "41.5 mm"         optional: z of the bicycle's centre-line; the shell's middle if absent
micro_slip = "judged"           optional: or "accepted": then it is reported but not judged
axial_to = "pushed"             optional: bearing that takes axial force: pushed, left, right

[service.left_cup]              likewise [service.right_cup]
bearing = "-5 mm"               plane of the bearing, z; may lie outside the shell
from = "0 mm"                   to = "18 mm"    band of the sleeve's bore its thread or seat engages
hold = "clamped"                clamped (a tightened cup) or pressed (a bearing pushed straight in)
flange_diameter = "46 mm"       optional: flange that takes axial force, on the face of the shell where
                                it reaches beyond the bore, else on the end of the sleeve

[service.side_impact]           force = "1 kN", side = "right", radius = "170 mm", angle = "0 deg"

[[service.bearing]]             a bearing in a housing: name, radial = "2 kN", angle = "-90 deg",
                                axial = "500 N" (towards +z), z, from, to, hold
rotates = true                  optional: the joint turns under the load (a hub on a standing axle), so that
                                the load goes round the joint; tubes and clamp turn with the shell
cycles = 5000000                optional: of this load, turns where it rotates; else those of [service]

The support of the shell: [[service.tube]] or [service.clamped], see tubes.py.
"""

from __future__ import annotations

from typing import Any

from hoopwright.case.service_model import (
    BearingInput,
    CrankInput,
    CupInput,
    ServiceInput,
    SideImpactInput,
)
from hoopwright.case.table import Table
from hoopwright.case.tables.tubes import read_angle, read_support
from hoopwright.loads.cases import PEDAL_TEST_FORCE

MOUNTINGS = {"clamped": "clamped", "pressed": "pressed"}
MAX_CYCLES = 10**12
PEDALLING_TESTS = tuple(PEDAL_TEST_FORCE)
"""Types of bicycle whose pedalling test is known."""
CRANK_KEYS = ("pedalling_test", "standing_start", "side_impact")


def read(table: Table) -> dict[str, Any]:
    """The fields `service` and `no_service` of a Case."""
    if table.has("none"):
        return {"service": None, "no_service": _why_none(table)}
    types = {name: name for name in PEDALLING_TESTS}
    test = None
    if table.has("pedalling_test"):
        test = table.choice("pedalling_test", types, what="type of bicycle")
    start = table.force("standing_start", example="1500 N", default=None, above="0 N")
    impact = _side_impact(table)
    bearings = [_bearing(row) for row in table.rows("bearing") or ()]
    crank = _crank(table)
    if not bearings and not any(table.has(key) for key in CRANK_KEYS):
        table.fault(
            "pedalling_test",
            "no load given",
            'write e.g. pedalling_test = "city", or a load under [[service.bearing]]',
        )
    if crank is None and table.sound and any(table.has(key) for key in CRANK_KEYS):
        table.fault(
            "left_cup",
            "missing",
            "write [service.left_cup] and [service.right_cup], each with bearing, from, to and hold",
        )
    service = table.build(
        ServiceInput,
        support=read_support(table),
        crank=crank,
        pedalling_test=test,
        standing_start=start,
        side_impact=impact,
        bearings=tuple(b for b in bearings if b is not None),
        cycles=_cycles(table),
        micro_slip_accepted=table.choice(
            "micro_slip", {"judged": False, "accepted": True}, what="way to treat it", default="judged"
        ),
    )
    return {"service": service}


def _why_none(table: Table) -> str:
    """Why there is no service load: the only key then."""
    others = sorted(set(table.values) - {"none"})
    if others:
        table.fault("none", f"stands beside {', '.join(others)}", "leave it out, or leave the loads out")
        for key in others:
            table.has(key)
    return table.text("none", example="a dummy shell for a workshop stand")


def _crank(table: Table) -> CrankInput | None:
    left, right = _cup(table, "left_cup"), _cup(table, "right_cup")
    starting, testing = table.has("standing_start"), table.has("pedalling_test")
    lengths = {
        key: table.length(key, example=example, above="0 mm", **({} if starting else {"default": None}))
        for key, example in (
            ("crank_length", "170 mm"),
            ("chainring_radius", "84 mm"),
            ("pedal_offset", "140 mm"),
        )
    }
    chain_line = table.length(
        "chain_line", example="45 mm", **({} if starting or testing else {"default": None})
    )
    centre_line = table.length("centre_line", example="41.5 mm", default=None)
    sides = {"pushed": "pushed", "left": "left", "right": "right"}
    axial_to = table.choice("axial_to", sides, what="bearing", default="pushed")
    if left is None or right is None:
        return None
    if left.bearing >= right.bearing:
        table.fault("left_cup", "its bearing lies to the right of the other", "swap the two cups")
    return table.build(
        CrankInput,
        left=left,
        right=right,
        axial_to=axial_to,
        chain_line=chain_line,
        centre_line=centre_line,
        **lengths,
    )


def _cup(table: Table, key: str) -> CupInput | None:
    row = table.subtable(key)
    if row is None:
        return None
    band = _band(row)
    return row.build(
        CupInput,
        bearing=row.length("bearing", example="-5 mm"),
        **band,
        flange_diameter=row.length("flange_diameter", example="46 mm", default=None, above="0 mm"),
    )


def _band(row: Table) -> dict[str, Any]:
    """start, end and mounting of the band of the bore that takes the load."""
    start, end = row.length("from", example="0 mm"), row.length("to", example="18 mm")
    if start is not None and end is not None and start >= end:
        row.fault("to", "not beyond from", "give from and to with from the smaller")
    return {"start": start, "end": end, "mounting": row.choice("hold", MOUNTINGS, what="kind of hold")}


def _side_impact(table: Table) -> SideImpactInput | None:
    row = table.subtable("side_impact")
    if row is None:
        return None
    return row.build(
        SideImpactInput,
        force=row.force("force", example="1 kN", above="0 N"),
        side=row.choice("side", {"left": "left", "right": "right"}, what="side"),
        radius=row.length("radius", example="170 mm", minimum="0 mm"),
        angle=read_angle(row, "angle", example="0 deg", default="0 deg"),
    )


def _bearing(row: Table) -> BearingInput | None:
    band = _band(row)
    return row.build(
        BearingInput,
        name=row.text("name", example="wheel bearing", default="bearing", max_length=40),
        radial=row.force("radial", example="2 kN", default="0 N", minimum="0 N"),
        angle=read_angle(row, "angle", example="-90 deg", default="-90 deg"),
        axial=row.force("axial", example="500 N", default="0 N"),
        z=row.length("z", example="7 mm"),
        **band,
        rotates=row.flag("rotates", default=False),
        cycles=_cycles(row),
    )


def _cycles(table: Table) -> int | None:
    if not table.has("cycles"):
        return None
    return table.integer("cycles", minimum=1, maximum=MAX_CYCLES, default=None)
