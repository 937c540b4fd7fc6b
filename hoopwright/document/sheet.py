"""The shop sheet as one document for page, record and JSON. Every dimensional name ends in its unit."""

from __future__ import annotations

from dataclasses import asdict
from math import inf
from typing import Any

from hoopwright.case.model import Case
from hoopwright.cautions import ON_PAPER
from hoopwright.document.came_out import band_part
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.press import document as press_document
from hoopwright.geometry.land import Land, opposite
from hoopwright.pressing.proof import Proof
from hoopwright.pressing.removal import Removal
from hoopwright.shop_sheet.after_care import LOOK_AGAIN, proof_lines, proof_mark, removal_lines
from hoopwright.shop_sheet.order_of_work import (
    bore_steps,
    in_hand,
    press_steps,
    read_steps,
    turn_steps,
)
from hoopwright.shop_sheet.plan import MADE, SheetPlan
from hoopwright.shop_sheet.step import Step
from hoopwright.sizing.boring_plan import BoringPlan

MAX_MARKS = 13
"""Travel marks across the page."""
STATIONS_PER_LAND, ANGLES_DEG = 3, (0.0, 45.0, 90.0, 135.0)
"""Where the bore is read if the case does not say, our choice."""
EDGE_SHARE = 0.15
"""Share of a land between its end and the first of those stations."""
PRACTICE = "common practice, no source"
DO_NOT_MEASURE = "Do not measure this print."


def document(plan: SheetPlan) -> dict[str, Any]:
    """Everything on the sheet, and how to take the sleeve out again."""
    return plain(heading_part(plan.results.case, "sheet") | sheet_part(plan))


def sheet_part(plan: SheetPlan) -> dict[str, Any]:
    """The same without what every document begins with."""
    case, (state, words) = plan.results.case, plan.judged
    press = {} if plan.press is None else press_document(plan.press, plan.units)
    return {
        "state": state,
        "verdict": words,
        "not_to_be_made": "" if state in MADE else f"Not to be made: the verdict is “{state}”",
        "date": case.job.date,
        "order_of_work_is": PRACTICE,
        "sizes": sizes_part(case),
        "bore": {
            "steps": _steps(bore_steps(plan)),
            "done": plan.bored and plan.size.boring is None,
            "passes": None if plan.size.boring is None else _passes(plan.size.boring),
            "least_wall_mm": case.min_wall_mm,
            "greatest_bore_mm": _greatest_bore(case),
        },
        "read": {"steps": _steps(read_steps(plan)), "stations": _stations(case)},
        "turn": _turn(plan),
        "press": _press(plan, press),
        "proof": _proof(plan.proof, plan),
        "after_care": [LOOK_AGAIN],
        "removal": _removal(plan.removal, plan),
        "cautions": [*ON_PAPER, DO_NOT_MEASURE],
    }


def _steps(steps: list[Step]) -> list[dict[str, str]]:
    return [asdict(step) for step in steps]


def sizes_part(case: Case) -> dict[str, Any]:
    """What the half section shows, at 20 °C: the sleeve as it is turned."""
    shell, sleeve = case.shell, case.sleeve.unfaced
    return {
        "shell_width_mm": shell.width,
        "shell_outside": [_land(land) for land in shell.outside],
        "shell_bore": [_land(land) for land in shell.bore],
        "shell_material": case.shell_material.name,
        "sleeve_z_start_mm": sleeve.z_start,
        "sleeve_z_end_mm": sleeve.z_end,
        "sleeve_outside": [_land(land) for land in sleeve.outside],
        "sleeve_bore": [
            {
                "z_start_mm": zone.z_start,
                "z_end_mm": zone.z_end,
                "diameter_mm": zone.diameter,
                "thread": None if zone.thread is None else zone.thread.designation,
                "minor_mm": None if zone.thread is None else zone.thread.minor,
                "blank_mm": zone.blank,
            }
            for zone in sleeve.bore
        ],
        "sleeve_material": case.sleeve_material.name,
        "chamfer_left_mm": sleeve.chamfer_left,
        "chamfer_right_mm": sleeve.chamfer_right,
        "chamfer_left_angle_deg": sleeve.chamfer_left_angle,
        "chamfer_right_angle_deg": sleeve.chamfer_right_angle,
        "stop": sleeve.stop,
        "flange": None if sleeve.rim is None else _land(sleeve.rim),
    }


def _land(land: Land) -> dict[str, float]:
    return {
        "z_start_mm": land.z_start,
        "z_end_mm": land.z_end,
        "diameter_start_mm": land.diameter_start,
        "diameter_end_mm": land.diameter_end,
    }


def _passes(plan: BoringPlan) -> list[dict[str, Any]]:
    return [
        {"diameter_mm": one.diameter, "per_side_mm": one.cut, "measure_after": one.measure}
        for one in plan.passes
    ]


def _greatest_bore(case: Case) -> float | None:
    """The bore at which the wall on the thin side is the user's limit, mm; None without a limit."""
    if case.min_wall_mm is None:
        return None
    outside = min(land.least_diameter for land in case.shell.outside)
    return outside - 2.0 * case.min_wall_mm - case.runout_mm


def _stations(case: Case) -> list[dict[str, Any]]:
    """Where the bore is to be read: where the case has read it, else evenly along each land."""
    found = []
    for index, land in enumerate(case.shell.bore):
        read = next((m for m in case.shell_measured if (m.surface, m.index) == ("bore", index)), None)
        if read is not None:
            found += [
                {"land": index + 1, "z_mm": one.z, "angles_deg": list(one.angles or ANGLES_DEG[:1])}
                for one in read.readings.stations
            ]
            continue
        first, last = (land.z_start + share * land.length for share in (EDGE_SHARE, 1.0 - EDGE_SHARE))
        found += [
            {
                "land": index + 1,
                "z_mm": first + k * (last - first) / (STATIONS_PER_LAND - 1),
                "angles_deg": list(ANGLES_DEG),
            }
            for k in range(STATIONS_PER_LAND)
        ]
    return found


def _turn(plan: SheetPlan) -> dict[str, Any]:
    found, case = plan.size.turn_to, plan.results.case
    bands = [] if found is None else found.bands
    return {
        "steps": _steps(turn_steps(plan)),
        "done": plan.turned,
        "cut": None if found is None else found.cut,
        "shop_temperature_degC": 20.0 + case.size.shop_rise_K,
        "bands": [band_part(b) for b in bands],
    }


def _press(plan: SheetPlan, press: dict[str, Any]) -> dict[str, Any]:
    """Block 4: travel marks with least and stop, or temperatures where the sleeve slips in."""
    if plan.press is None:
        return {"blocked": plan.blocked, "steps": []}
    end, curve, heat = plan.press.study.way_in.end, press["force_against_travel"], plan.press.heat
    pressed = {
        "blocked": "",
        "method": press["method"],
        "steps": _steps(press_steps(plan)),
        "enters_from": end,
        "first": opposite(end),
    }
    if curve is None:
        own = heat.ways[0]
        return pressed | {
            "shell_degC": 20.0 + own.shell_rise_K,
            "sleeve_degC": 20.0 + own.sleeve_rise_K,
            "gap_um": 1e3 * own.gap_mm,
            "allowed": own.allowed,
            "in_hand_s": own.time_s,
            "in_hand": in_hand(heat),
        }
    return pressed | {
        "ram_diameter_mm": plan.results.case.press.ram_diameter_mm,
        "gauge_unit": curve["gauge_unit"],
        "gauge_division_MPa": curve["gauge_division_MPa"],
        "table": {system: thinned(rows) for system, rows in curve["table"].items()},
        "greatest_stop_N": curve["greatest_stop_N"],
    }


def thinned(rows: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """As many of the rows as go across the page, the last always among them: every n-th, so that travel
    stays even."""
    step = -(-len(rows) // MAX_MARKS)
    return [row for k, row in enumerate(rows) if (len(rows) - 1 - k) % max(step, 1) == 0]


def _proof(proof: Proof, plan: SheetPlan) -> dict[str, Any]:
    def load(value: float, kind: str) -> float:
        return value if kind == "push" else 1e-3 * value

    return {
        "why_none": proof.why,
        "factor": proof.factor,
        "loads": [
            {
                "kind": one.kind,
                "unit": "N" if one.kind == "push" else "N*m",
                "load": load(one.load, one.kind),
                "service": load(one.service, one.kind),
                "needed": load(one.needed, one.kind),
                "slips": load(one.slips, one.kind),
                "slip_margin": one.slip_margin,
                "yield_margin": None if one.yield_margin == inf else one.yield_margin,
            }
            for one in proof.loads
        ],
        "gauge_MPa": proof_mark(plan),
        "text": proof_lines(plan),
    }


def _removal(found: Removal | None, plan: SheetPlan) -> dict[str, Any] | None:
    if found is None:
        return None

    def degrees(rise: float | None) -> float | None:
        return None if rise is None else 20.0 + rise

    return {
        "force_N": found.force,
        "capacity_N": found.capacity,
        "strong_enough": found.strong_enough,
        "free_together_degC": degrees(found.free_together_K),
        "free_shell_degC": degrees(found.free_shell_K),
        "shell_limit_degC": degrees(found.limit_K),
        "shell_yields": [{"stage": c.stage, "margin": c.margin, "state": c.state} for c in found.pressed],
        "growth_um": None
        if found.growth is None
        else {
            "outside": 1e3 * found.growth.outside,
            "bore": 1e3 * found.growth.bore,
            "sleeve_shrink": 1e3 * found.growth.sleeve_shrink,
        },
        "text": removal_lines(plan),
    }
