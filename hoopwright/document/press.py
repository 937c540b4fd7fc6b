"""The press plan as one JSON document. Every dimensional name ends in its unit."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from hoopwright import __version__
from hoopwright.cautions import PRESSING
from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units
from hoopwright.pressing import advice
from hoopwright.pressing.course import Course
from hoopwright.pressing.heat import HeatPlan, warnings
from hoopwright.pressing.plan import PressPlan
from hoopwright.pressing.told import Told
from hoopwright.pressing.too_tight import TooTight

SIGNIFICANT = 9


def document(plan: PressPlan, units: Units) -> dict[str, Any]:
    case = plan.case
    return _plain({
        "tool": {"name": "hoopwright", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
        "force_against_travel": _course(plan.course),
        "advice": advice.while_pressing(plan.course, units),
        "told": None if plan.told is None else _told(plan.told, plan.study.nominal_interference),
        "past_yield": None if plan.plastic is None else _plastic(plan.plastic),
        "heat_and_cold": _heat(plan.heat) | {"warnings": list(warnings(case, plan.heat, units))},
        "cautions": list(PRESSING),
    })


def as_json(plan: PressPlan, units: Units) -> str:
    return json.dumps(document(plan, units), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def _course(course: Course) -> dict[str, Any]:
    low, likely, high = course.frictions
    ram = course.case.press.ram_diameter_mm

    def gauge(force: float) -> float | None:
        return None if ram is None else float(gauge_pressure(force=force, ram_diameter=ram))

    rows = [{
        "travel_mm": p.travel, "bearing_mm": p.engaged, "least_N": f[0], "likely_N": f[1], "stop_N": f[2],
        "closed_form_N": c, "numerical_error_N": likely * p.numerical_error,
        "gauge_least_MPa": gauge(f[0]), "gauge_likely_MPa": gauge(f[1]), "gauge_stop_MPa": gauge(f[2]),
    } for p, f, c in zip(course.positions, course.force, course.closed_form, strict=True)]
    return {
        "enters_from": course.enters_from,
        "friction": {"low": low, "likely": likely, "high": high},
        "release_ratio": course.case.press.release_ratio, "breakaway_most_N": course.breakaway,
        "end_effect_share_of_work": advice.end_effect(course), "positions": rows,
    }


def _told(found: Told, nominal: float) -> dict[str, Any]:
    e = found.explanation
    base = {
        "source": found.source, "peak_N": found.peak, "expected_low_N": found.expected[0],
        "expected_high_N": found.expected[1], "probability": found.probability,
        "contradicts": found.contradicts or None, "passed_stop_line_at_mm": found.above_stop,
        "bore_closure_probability": found.closure_probability,
        "would_take": {"friction": e.friction,
                       "interference_at_highest_friction_um": 1e3 * e.interference_at_high,
                       "interference_at_lowest_friction_um": 1e3 * e.interference_at_low},
    }
    if found.after is None or found.grip is None:
        return base
    shift, mu, grip = found.after.shift, found.after.friction, found.grip
    return base | {
        "interference_um": {"low": 1e3 * (nominal + shift.low), "middle": 1e3 * (nominal + shift.middle),
                            "high": 1e3 * (nominal + shift.high)},
        "friction": {"low": mu.low, "middle": mu.middle, "high": mu.high},
        "sliding_force_N": {"low": grip.low, "middle": grip.middle, "high": grip.high},
        "interval": "95 %, central, Bayes' rule",
        "margins": [{"id": m.id, "margin": m.margin, "state": m.state} for m in found.margins],
    }


def _plastic(found: TooTight) -> dict[str, Any]:
    return {
        "yield_strength_MPa": found.yields,
        "steps": [{
            "interference_um": 1e3 * s.interference, "remaining_um": 1e3 * s.remaining,
            "normal_force_N": s.normal, "elastic_normal_force_N": s.elastic_normal,
            "share_of_elastic_gain": s.buys, "outside_growth_um": 1e3 * s.outside_growth,
            "bore_growth_um": 1e3 * s.bore_growth, "sleeve_shrink_um": 1e3 * s.sleeve_shrink,
            "bore_closure_um": 1e3 * s.bore_closure, "greatest_plastic_strain": s.equivalent,
        } for s in found.steps],
    }


def _heat(plan: HeatPlan) -> dict[str, Any]:
    return {
        "interference_um": 1e3 * plan.interference_mm, "clearance_um": 1e3 * plan.clearance_mm,
        "shell_limit_degC": 20.0 + plan.limit_K, "limit_from": plan.limit_from,
        "ways": [{"name": w.name, "shell_degC": 20.0 + w.shell_rise_K,
                  "sleeve_degC": 20.0 + w.sleeve_rise_K, "gap_um": 1e3 * w.gap_mm,
                  "allowed": w.allowed, "time_in_hand_s": w.time_s}
                 for w in plan.ways],
    }


def _plain(value: Any) -> Any:
    """Plain numbers of SIGNIFICANT digits; None for what JSON cannot hold."""
    if isinstance(value, dict):
        return {k: _plain(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [_plain(v) for v in value]
    if isinstance(value, np.generic):
        value = value.item()
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT}g}") if math.isfinite(value) else None
    return value
