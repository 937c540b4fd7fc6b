"""JSON document of `hoopwright size`. Every dimensional key ends in its unit."""

from __future__ import annotations

from typing import Any

from hoopwright.came_out.answer import CameOut
from hoopwright.case.sizing_model import SizeInput
from hoopwright.cautions import CUTTING
from hoopwright.display import Units
from hoopwright.document.came_out import band_part, came_out_part
from hoopwright.document.check import check_part, measured_part
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.stations import stations_part
from hoopwright.measured.measured_land import MeasuredLand
from hoopwright.sizing.boring_plan import ADVICE, BoringPlan
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import Decision, TurnTo
from hoopwright.sizing.verdict import size_state, size_verdict
from hoopwright.sizing.window import End, Window


def document(plan: SizePlan, units: Units, found: CameOut | None = None) -> dict[str, Any]:
    """Window, fit, turn-to sizes, readings and boring plan. units: of the verdict sentence. found: the
    answer on finished parts, None where they are not both finished."""
    case, shop = plan.case, 20.0 + plan.case.size.shop_rise_K
    return plain(
        {
            **heading_part(case, "size"),
            "verdict": size_verdict(plan, units) if found is None else found.verdict,
            "state": size_state(plan) if found is None else found.state,
            "came_out": came_out_part(found, shop),
            "window": window_part(plan.window),
            "tried": [
                {"change": t.change, "window": None if t.window is None else window_part(t.window)}
                for t in plan.remedies
            ],
            "fit": fit_part(plan),
            "turn_to": turn_to_part(plan.turn_to, case.size),
            "decision": decision_part(plan.decision, found),
            "readings": [land_part(m) for m in (*case.shell_measured, *case.sleeve_measured)],
            "boring": None if plan.boring is None else _boring(plan.boring),
            "checks": [check_part(m) for m in plan.margins],
            "cautions": [*(plan.turn_to.notes if plan.turn_to else ()), CUTTING],
        }
    )


def decision_part(found: Decision | None, said: CameOut | None) -> dict[str, Any] | None:
    """Whether to press two finished parts, and the interference that they give; None where they are not
    both finished."""
    if found is None or said is None:
        return None
    return {
        "press": said.press,
        "probability": found.probability,
        "least_um": 1e3 * found.least,
        "likely_um": 1e3 * found.likely,
        "greatest_um": 1e3 * found.greatest,
        "off_sleeve_um": 1e3 * found.change,
    }


def window_part(window: Window) -> dict[str, Any]:
    """The window of interference: its ends and the check that sets each, or what clashes if it is empty, or
    why none is given."""

    def end(found: End | None) -> dict[str, Any] | None:
        return (
            None
            if found is None
            else {
                "effective_interference_um": 1e3 * (window.likely + found.shift),
                "measured_interference_um": 1e3 * (window.likely + found.shift + window.smoothing),
                "by": None if found.by is None else found.by.id,
                "title": None if found.by is None else found.by.title,
                "doubt": "" if found.by is None else found.by.doubt,
            }
        )

    return {
        "empty": window.empty,
        "withheld": window.withheld,
        "width_um": 1e3 * window.width,
        "least": end(window.low),
        "greatest": end(window.high),
        "checks_assessed": window.assessed,
        "clash": [
            {
                "check": c.margin.id,
                "title": c.margin.title,
                "what": c.relation,
                "effective_interference_um": None if c.interference is None else 1e3 * c.interference,
                "measured_interference_um": None
                if c.interference is None
                else 1e3 * (c.interference + window.smoothing),
                "doubt": c.margin.doubt,
            }
            for c in window.conflicts
        ],
    }


def fit_part(plan: SizePlan) -> dict[str, Any]:
    """Effective interference, as a whole and per seat, with its 95 % interval."""
    found, study = plan.study.interference, plan.study
    limits = found.limits
    return {
        "effective_interference_um": {
            "least": 1e3 * (study.nominal_interference + study.loosest_shift),
            "likely": 1e3 * study.nominal_interference,
            "greatest": 1e3 * (study.nominal_interference + study.tightest_shift),
        },
        "stated_limits_um": None if limits is None else [1e3 * v for v in limits],
        "smoothing_um": 1e3 * found.smoothing,
        "smoothing_share_of_both_Rz": plan.case.fit.smoothing,
        "least_smoothing_um": 1e3 * (found.smoothing - plan.case.smoothing_spread_mm),
        "least_smoothing_share_of_both_Rz": plan.case.fit.least_smoothing,
        "measured_interference_um": measured_part(study),
        "seats": [
            {
                "bore_land": s.seat.bore_land + 1,
                "sleeve_land": s.seat.sleeve_land + 1,
                "z_start_mm": s.seat.z_start,
                "z_end_mm": s.seat.z_end,
                "likely_um": 1e3 * s.likely,
                "least_um": 1e3 * s.interval[0],
                "greatest_um": 1e3 * s.interval[1],
                "thermal_um": 1e3 * s.thermal,
            }
            for s in found.seats
        ],
    }


def turn_to_part(found: TurnTo | None, size: SizeInput) -> dict[str, Any] | None:
    """The bands to cut to; None where there are none."""
    if found is None:
        return None

    def um(value: float | None) -> float | None:
        return None if value is None or value == float("inf") else 1e3 * value

    return {
        "cut": found.cut,
        "shop_temperature_degC": 20.0 + size.shop_rise_K,
        "makeable": found.makeable,
        "confidence": found.confidence,
        "gauge_temperature_degC": None
        if found.gauge is None or found.gauge.temperature_rise is None
        else 20.0 + found.gauge.temperature_rise,
        "gauge": found.gauge.name if found.gauge else None,
        "accuracy_needed_um": um(found.accuracy_needed),
        "other_part_needed_um": um(found.other_needed),
        "turning_scatter_um": 1e3 * found.scatter,
        "turning_scatter_given": size.turning_scatter_given,
        "aim_off_centre": found.off_centre,
        "bands": [band_part(b) for b in found.bands],
    }


def land_part(m: MeasuredLand) -> dict[str, Any]:
    """One measured land: mean diameter, form errors, uncertainty budget and outliers."""

    def um(value: float | None) -> float | None:
        return None if value is None else 1e3 * value

    return {
        "part": m.part,
        "surface": m.surface,
        "land": m.index + 1,
        "count": m.readings.count,
        "process": m.process,
        "diameter_mm": m.diameter,
        "plus_minus_um": 1e3 * m.plus_minus,
        "standard_uncertainty_um": 1e3 * m.errors.standard_uncertainty,
        "degrees_of_freedom": m.errors.dof,
        "taper_um": um(m.taper),
        "ovality_um": um(m.ovality),
        "ovality_angle_deg": m.ovality_angle,
        "bell_mouth_um": um(m.bell_mouth),
        "scatter_um": 1e3 * m.scatter,
        "stations": stations_part(m.readings),
        "budget": [
            {
                "source": p.name,
                "standard_uncertainty_um": 1e3 * p.standard_uncertainty,
                "distribution": p.kind,
                "degrees_of_freedom": p.dof,
            }
            for p in m.errors.components
        ],
        "standing_out": [
            {
                "z_mm": o.z,
                "angle_deg": o.angle,
                "diameter_mm": o.value,
                "off_by_um": 1e3 * o.residual,
                "written": o.written,
                "may_be": o.meant,
                "slip": o.slip,
                "confirmed": o.confirmed,
            }
            for o in m.outliers
        ],
        "notes": list(m.notes),
    }


def _boring(plan: BoringPlan) -> dict[str, Any]:
    return {
        "clean_up_mm": plan.clean_up,
        "target_mm": plan.target,
        "wall_mm": plan.wall,
        "wall_at_clean_up_mm": plan.clean_up_wall,
        "wall_enough": plan.wall_holds,
        "cleans_up": plan.cleans_up,
        "stepped": len({round(b, 4) for b in plan.lands}) > 1,
        "passes": [
            {"diameter_mm": p.diameter, "per_side_mm": p.cut, "measure_after": p.measure}
            for p in plan.passes
        ],
        "advice": list(ADVICE),
    }
