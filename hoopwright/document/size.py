"""`hoopwright size` as one JSON document. Every dimensional name ends in its unit."""

from __future__ import annotations

import json
from typing import Any

from hoopwright import __version__
from hoopwright.cautions import CUTTING
from hoopwright.display import Units
from hoopwright.document.check import check_part, rounded
from hoopwright.measured.uncertainty import MeasuredLand
from hoopwright.sizing.boring_plan import ADVICE, BoringPlan
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import Band, TurnTo
from hoopwright.sizing.verdict import size_verdict
from hoopwright.sizing.window import End, Window


def as_json(plan: SizePlan, units: Units) -> str:
    return json.dumps(rounded(document(plan, units)), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def document(plan: SizePlan, units: Units) -> dict[str, Any]:
    case, d = plan.case, plan.decision
    return {
        "tool": {"name": "hoopwright", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
        "verdict": size_verdict(plan, units),
        "window": window_part(plan.window),
        "tried": [
            {"change": t.change, "window": None if t.window is None else window_part(t.window)}
            for t in plan.trials
        ],
        "fit": fit_part(plan),
        "turn_to": None if plan.turn_to is None else _turn_to(plan.turn_to),
        "decision": None
        if d is None
        else {
            "press": d.press,
            "probability": d.probability,
            "least_um": 1e3 * d.least,
            "likely_um": 1e3 * d.likely,
            "greatest_um": 1e3 * d.greatest,
            "off_sleeve_um": 1e3 * d.change,
        },
        "readings": [land_part(m) for m in (*case.shell_measured, *case.sleeve_measured)],
        "boring": None if plan.boring is None else _boring(plan.boring),
        "checks": [check_part(m) for m in plan.margins],
        "cautions": [*(plan.turn_to.notes if plan.turn_to else ()), CUTTING],
    }


def window_part(window: Window) -> dict[str, Any]:
    def end(found: End | None) -> dict[str, Any] | None:
        return (
            None
            if found is None
            else {
                "effective_interference_um": 1e3 * (window.likely + found.shift),
                "by": None if found.by is None else found.by.id,
            }
        )

    return {
        "empty": window.empty,
        "width_um": 1e3 * window.width,
        "least": end(window.low),
        "greatest": end(window.high),
        "checks_assessed": window.assessed,
        "clash": [
            {
                "check": c.margin.id,
                "what": c.word,
                "effective_interference_um": None if c.interference is None else 1e3 * c.interference,
            }
            for c in window.clash
        ],
    }


def fit_part(plan: SizePlan) -> dict[str, Any]:
    found, study = plan.study.interference, plan.study
    limits = found.limits
    return {
        "effective_interference_um": {
            "least": 1e3 * (study.nominal_interference - study.spread),
            "likely": 1e3 * study.nominal_interference,
            "greatest": 1e3 * (study.nominal_interference + study.spread),
        },
        "stated_limits_um": None if limits is None else [1e3 * v for v in limits],
        "smoothing_um": 1e3 * found.smoothing,
        "seats": [
            {
                "z_start_mm": s.seat.z_start,
                "z_end_mm": s.seat.z_end,
                "likely_um": 1e3 * s.likely,
                "least_um": 1e3 * s.interval()[0],
                "greatest_um": 1e3 * s.interval()[1],
                "thermal_um": 1e3 * s.thermal,
            }
            for s in found.seats
        ],
    }


def _turn_to(found: TurnTo) -> dict[str, Any]:
    def um(value: float | None) -> float | None:
        return None if value is None or value == float("inf") else 1e3 * value

    return {
        "cut": found.cut,
        "makeable": found.makeable,
        "confidence": found.confidence,
        "gauge": found.gauge.name if found.gauge else None,
        "accuracy_needed_um": um(found.accuracy_needed),
        "other_part_needed_um": um(found.other_needed),
        "bands": [_band(b) for b in found.bands],
    }


def _band(b: Band) -> dict[str, Any]:
    return {
        "land": b.index + 1,
        "z_start_mm": b.z_start,
        "z_end_mm": b.z_end,
        "low_mm": b.low,
        "high_mm": b.high,
        "shop_low_mm": b.shop_low,
        "shop_high_mm": b.shop_high,
        "guard_um": 1e3 * b.guard,
        "makeable": b.makeable,
        "readable_mm": b.readable("metric"),
        "readable_in": b.readable("inch"),
        "shop_readable_mm": b.shop_readable("metric"),
        "shop_readable_in": b.shop_readable("inch"),
    }


def land_part(m: MeasuredLand) -> dict[str, Any]:
    def um(value: float | None) -> float | None:
        return None if value is None else 1e3 * value

    return {
        "part": m.part,
        "surface": m.surface,
        "land": m.index + 1,
        "count": m.readings.count,
        "diameter_mm": m.diameter,
        "plus_minus_um": 1e3 * m.plus_minus,
        "standard_uncertainty_um": 1e3 * m.errors.standard,
        "degrees_of_freedom": None if m.errors.dof == float("inf") else m.errors.dof,
        "taper_um": um(m.taper),
        "ovality_um": um(m.ovality),
        "ovality_angle_deg": m.ovality_angle,
        "bell_mouth_um": um(m.bell_mouth),
        "scatter_um": 1e3 * m.scatter,
        "budget": [
            {"source": p.name, "standard_uncertainty_um": 1e3 * p.standard, "distribution": p.kind}
            for p in m.errors.parts
        ],
        "standing_out": [
            {"z_mm": o.z, "angle_deg": o.angle, "diameter_mm": o.value, "off_by_um": 1e3 * o.off_by}
            for o in m.odd
        ],
        "notes": list(m.notes),
    }


def _boring(plan: BoringPlan) -> dict[str, Any]:
    return {
        "clean_up_mm": plan.clean_up,
        "target_mm": plan.target,
        "wall_mm": plan.wall,
        "wall_at_clean_up_mm": plan.clean_up_wall,
        "cleans_up": plan.cleans_up,
        "passes": [
            {"diameter_mm": p.diameter, "per_side_mm": p.cut, "measure_after": p.measure}
            for p in plan.passes
        ],
        "advice": list(ADVICE),
    }
