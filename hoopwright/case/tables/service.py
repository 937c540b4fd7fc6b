"""[service]: support of the shell and loads in use."""

from __future__ import annotations

from typing import Any

from hoopwright.case.keys import Key, TableKeys, named, optional
from hoopwright.case.service_model import (
    BearingInput,
    CrankInput,
    CupInput,
    ServiceInput,
    SideImpactInput,
)
from hoopwright.case.table import Table
from hoopwright.case.tables.tubes import CLAMPED, TUBE, read_support
from hoopwright.loads.cases import PEDAL_TESTS

MAX_CYCLES = 10**12
PEDALLING_TESTS = tuple(PEDAL_TESTS)
"""Types of bicycle whose pedalling test is known."""
CRANK_KEYS = ("pedalling_test", "standing_start", "level_pedal_test", "side_impact")
ON_CRANK = (" or ".join(f"[service] {key}" for key in CRANK_KEYS),)
STANDING = ("standing_start or level_pedal_test",)

_BAND = (
    Key("from", "length", "z of the left end of its band of the sleeve's bore", "0 mm"),
    Key("to", "length", "z of the right end of that band", "18 mm"),
    Key(
        "hold",
        "choice",
        "clamped (a tightened cup) or pressed (a bearing pushed straight in)",
        options=named("clamped", "pressed"),
        what="kind of hold",
    ),
)


def _cycles_key(meaning: str, *needs: str) -> Key:
    return optional("cycles", "integer", meaning, 100000, f"1 to {MAX_CYCLES}", needs=needs)


def _cup_keys(side: str) -> TableKeys:
    return TableKeys(
        f"{side}_cup",
        f"the {side} cup, where a load acts on the cranks",
        keys=(
            *_BAND,
            Key("bearing", "length", "z of the plane of the bearing; may lie outside the shell", "-5 mm"),
            optional(
                "flange_diameter",
                "length",
                "takes axial force, on the shell where it reaches beyond the bore, else on the sleeve",
                "46 mm",
                "above 0 mm",
            ),
        ),
        needs=ON_CRANK,
    )


_IMPACT = TableKeys(
    "side_impact",
    "an axial blow on crank or axle, inwards",
    keys=(
        Key("force", "force", "of the blow", "1 kN", "above 0 N"),
        Key("side", "choice", "that is struck", options=named("left", "right"), what="side"),
        Key("radius", "length", "of the point struck, from the axis", "170 mm", "from 0 mm"),
        Key("angle", "angle", "of the point struck", "0 deg", default="0 deg"),
    ),
)
_BEARING = TableKeys(
    "bearing",
    "a bearing in the sleeve and its load",
    keys=(
        *_BAND,
        Key("name", "text", "of the load", "wheel bearing", default="bearing", max_length=40),
        Key("radial", "force", "across the axis", "2 kN", "from 0 N", default="0 N"),
        Key(
            "angle",
            "angle",
            "direction of the radial load",
            "-90 deg",
            default="-90 deg",
            needs=("radial",),
        ),
        Key("axial", "force", "along the axis, to the right positive", "500 N", default="0 N"),
        Key("z", "length", "plane of the load", "7 mm"),
        Key(
            "rotates",
            "flag",
            "the joint turns under the load, as a hub on a standing axle; tubes and clamp turn with it",
            default=False,
        ),
        _cycles_key("of this load, turns where it rotates; those of [service] when left out"),
    ),
    rows=True,
)
KEYS = TableKeys(
    "service",
    "support of the shell and loads in use",
    keys=(
        optional(
            "none",
            "text",
            "alone in the table: there is no service load, and why",
            "a dummy shell for a workshop stand",
        ),
        optional(
            "pedalling_test",
            "choice",
            "loads of ISO 4210-6 for this type of bicycle; that of cargo has no published source",
            options=named(*PEDALLING_TESTS),
            what="type of bicycle",
        ),
        optional(
            "standing_start", "force", "a hard push on a level crank, right and left", "1500 N", "above 0 N"
        ),
        Key(
            "level_pedal_test",
            "flag",
            "1500 N (337 lbf) down on the left pedal, crank level: static test of EN 14766:2005, "
            "4.13.6.2.2",
            default=False,
        ),
        optional(
            "crank_length", "length", "for a push on a level crank", "170 mm", "above 0 mm", needs=STANDING
        ),
        optional(
            "chainring_radius",
            "length",
            "for a push on a level crank",
            "84 mm",
            "above 0 mm",
            needs=STANDING,
        ),
        optional(
            "pedal_offset",
            "length",
            "for a push on a level crank: middle of the pedal from the centre-line",
            "140 mm",
            "above 0 mm",
            needs=STANDING,
        ),
        optional(
            "chain_line",
            "length",
            "chain plane from the centre-line, to the right",
            "45 mm",
            needs=("pedalling_test or standing_start or level_pedal_test",),
        ),
        optional(
            "centre_line",
            "length",
            "z of the bicycle's centre-line; the shell's middle when left out",
            "41.5 mm",
            needs=ON_CRANK,
        ),
        Key(
            "axial_to",
            "choice",
            "bearing that takes axial force; the one pushed outwards by default",
            default="pushed",
            options=named("pushed", "left", "right"),
            what="bearing",
            needs=ON_CRANK,
        ),
        _cycles_key("required number, of every load that repeats", "pedalling_test or [[service.bearing]]"),
        Key(
            "micro_slip",
            "choice",
            "whether local slip is judged, or only reported",
            default="judged",
            options={"judged": False, "accepted": True},
            what="way to treat it",
        ),
    ),
    tables=(_cup_keys("left"), _cup_keys("right"), _IMPACT, _BEARING, TUBE, CLAMPED),
    one_of=(("none", "tube", "clamped"),),
    any_of=(("none", *CRANK_KEYS, "bearing"),),
)


def read(table: Table) -> dict[str, Any]:
    """The fields `service` and `no_service` of a Case."""
    if table.has("none"):
        return {"service": None, "no_service": _why_none(table)}
    test, start = table.get("pedalling_test"), table.get("standing_start")
    impact = _side_impact(table)
    bearings = [_bearing(row) for row in table.rows("bearing") or ()]
    crank = _crank(table)
    if not bearings and not _acts_on_crank(table):
        table.fault(
            "pedalling_test",
            "no load given",
            'write e.g. pedalling_test = "city", or a load under [[service.bearing]]',
        )
    if crank is None and table.sound and _acts_on_crank(table):
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
        level_pedal_test=table.get("level_pedal_test"),
        side_impact=impact,
        bearings=tuple(b for b in bearings if b is not None),
        cycles=table.get("cycles"),
        micro_slip_accepted=table.get("micro_slip"),
    )
    return {"service": service}


def _acts_on_crank(table: Table) -> bool:
    """Whether a load on the cranks is given."""
    return any(table.has(key) and table.values[key] is not False for key in CRANK_KEYS)


def _why_none(table: Table) -> str:
    """Why there is no service load: the only key then."""
    others = sorted(set(table.values) - {"none"})
    if others:
        table.fault("none", f"stands beside {', '.join(others)}", "leave it out, or leave the loads out")
        for key in others:
            table.has(key)
    why: str = table.get("none", required=True)
    return why


def _crank(table: Table) -> CrankInput | None:
    left, right = _cup(table, "left_cup"), _cup(table, "right_cup")
    starting = table.has("standing_start") or bool(table.get("level_pedal_test"))
    testing = table.has("pedalling_test")
    lengths = {
        key: table.get(key, required=starting)
        for key in ("crank_length", "chainring_radius", "pedal_offset")
    }
    chain_line = table.get("chain_line", required=starting or testing)
    centre_line, axial_to = table.get("centre_line"), table.get("axial_to")
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
    return row.build(CupInput, **row.fields("bearing"), **band, **row.fields("flange_diameter"))


def _band(row: Table) -> dict[str, Any]:
    """start, end and mounting of the band of the bore that takes the load."""
    start, end = row.get("from"), row.get("to")
    if start is not None and end is not None and start >= end:
        row.fault("to", "not beyond from", "give from and to with from the smaller")
    return {"start": start, "end": end, "mounting": row.get("hold")}


def _side_impact(table: Table) -> SideImpactInput | None:
    row = table.subtable("side_impact")
    if row is None:
        return None
    return row.build(SideImpactInput, **row.fields("force", "side", "radius", "angle"))


def _bearing(row: Table) -> BearingInput | None:
    band = _band(row)
    first = row.fields("name", "radial", "angle", "axial", "z")
    return row.build(BearingInput, **first, **band, **row.fields("rotates", "cycles"))
