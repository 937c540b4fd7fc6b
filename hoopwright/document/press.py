"""The press plan as one document for screen, JSON and record. Every dimensional name ends in its unit."""

from __future__ import annotations

from math import inf
from typing import Any

from hoopwright.cautions import PRESSING, SLIPPING_IN
from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.press_table import table_part
from hoopwright.pressing import advice
from hoopwright.pressing.findings import inference_notes, past_yield_notes
from hoopwright.pressing.force_travel import ForceTravel, numerical_error
from hoopwright.pressing.heat import HeatPlan, notes
from hoopwright.pressing.inference import InferredFit
from hoopwright.pressing.misfit_words import misfit_phrase
from hoopwright.pressing.past_yield import PastYield
from hoopwright.pressing.plan import PressPlan
from hoopwright.rows.installed import origin_part


def document(plan: PressPlan, units: Units) -> dict[str, Any]:
    """The whole plan as plain lists, dictionaries, texts and numbers. units: of the sentences in it."""
    case = plan.case
    return plain(
        {
            **heading_part(case, "press"),
            "method": case.press.method,
            "force_against_travel": None
            if plan.force_travel is None
            else _force_travel(plan, plan.force_travel, units),
            "failing": [
                {"id": c.id, "title": c.title, **origin_part(c.id), "stage": c.stage, "margin": c.margin}
                for c in plan.failing
            ],
            "undecided": list(plan.doubts),
            "advice": advice.while_slipping_in(case, units)
            if plan.force_travel is None
            else advice.while_pressing(plan.force_travel, units),
            "closure_contradicts": units.first(plan.closure_doubt),
            "inferred_fit": None if plan.inferred is None else _inferred_fit(plan, plan.inferred, units),
            "past_yield": None
            if plan.past_yield is None
            else _past_yield(plan.past_yield, plan.force_travel, units),
            "heat_and_cold": _heat(plan.heat) | {"notes": notes(case, plan.heat, units)},
            "cautions": list(SLIPPING_IN if case.press.slips_in else PRESSING),
        }
    )


def _force_travel(plan: PressPlan, force_travel: ForceTravel, units: Units) -> dict[str, Any]:
    low, likely, high = force_travel.frictions
    least, likeliest, stop = force_travel.peak
    ram = force_travel.case.press.ram_diameter_mm

    def pressure(force: float) -> float:
        assert ram is not None
        return float(gauge_pressure(force=force, ram_diameter=ram))

    def gauge(force: float) -> float | None:
        return None if ram is None else pressure(force)

    positions = [
        {
            "travel_mm": p.travel,
            "bearing_mm": p.engaged,
            "least_N": f[0],
            "likely_N": f[1],
            "stop_N": f[2],
            "closed_form_N": c,
            "numerical_error_N": likely * numerical_error(plan.study.way_in, p),
            "gauge_least_MPa": gauge(f[0]),
            "gauge_likely_MPa": gauge(f[1]),
            "gauge_stop_MPa": gauge(f[2]),
        }
        for p, f, c in zip(
            force_travel.positions, force_travel.force, force_travel.closed_form, strict=True
        )
    ]
    unit = None if ram is None else advice.gauge_unit(force_travel, units)
    division = force_travel.case.press.gauge_division_MPa
    return {
        "enters_from": force_travel.enters_from,
        "friction": {"low": low, "likely": likely, "high": high},
        "restart_ratio": force_travel.case.press.restart_ratio,
        "restart_force_max_N": force_travel.restart_force,
        "restart_travel_mm": force_travel.restart_travel,
        "greatest_least_N": least,
        "greatest_likely_N": likeliest,
        "greatest_stop_N": stop,
        "metal_yields": force_travel.metal_yields,
        "greatest_stop_if_elastic_N": force_travel.elastic_peak,
        "capacity_N": force_travel.case.press.capacity,
        "end_effect_share_of_work": advice.end_effect(force_travel),
        "gauge_unit": unit,
        "gauge_division_MPa": division,
        "table": table_part(
            force_travel.positions[-1].travel,
            plan.marks,
            None if unit is None else Gauge.of(unit, division),
            pressure,
        ),
        "positions": positions,
    }


def _inferred_fit(plan: PressPlan, found: InferredFit, units: Units) -> dict[str, Any]:
    e, nominal = found.explanation, plan.study.nominal_interference
    base = {
        "source": found.source,
        "peak_N": found.peak,
        "expected_low_N": found.expected[0],
        "expected_high_N": found.expected[1],
        "probability": found.probability,
        "contradicts": found.contradicts or None,
        "passed_stop_line_at_mm": found.stop_passed_at,
        "bore_closure_probability": found.closure_probability,
        "misfit": _misfit(found),
        "set_aside_at_mm": list(found.restarts),
        "calibration": plan.case.press.calibration,
        "friction_of_holding": found.least_friction,
        "would_take": {
            "friction": e.friction,
            "interference_at_highest_friction_um": _um(e.interference_at_high),
            "interference_at_lowest_friction_um": _um(e.interference_at_low),
        },
        "notes": inference_notes(plan, units),
        "margins": [
            {
                "id": m.id,
                "title": m.title,
                "margin": m.margin,
                "margin_without_end": m.margin == inf,
                "state": m.state,
            }
            for m in found.margins
        ],
    }
    if found.posterior is None or found.sliding_force is None:
        return base
    shift, mu, force = found.posterior.shift, found.posterior.friction, found.sliding_force
    return base | {
        "interference_um": {
            "low": 1e3 * (nominal + shift.low),
            "middle": 1e3 * (nominal + shift.median),
            "high": 1e3 * (nominal + shift.high),
        },
        "friction": {"low": mu.low, "middle": mu.median, "high": mu.high},
        "sliding_force_N": {"low": force.low, "middle": force.median, "high": force.high},
        "interval": "95 %, central, Bayes' rule",
    }


def _misfit(found: InferredFit) -> dict[str, Any] | None:
    """How the log departs from the shape expected; sizes are shares of the force, of a zero newtons."""
    misfit = found.misfit
    if misfit is None:
        return None
    zero = misfit.kind == "zero"
    return {
        "kind": misfit.kind,
        "share": None if zero else misfit.size,
        "force_N": misfit.size if zero else None,
        "travel_mm": misfit.travel,
        "standardised": misfit.standardised,
        "text": misfit_phrase(misfit),
    }


def _um(length: float | None) -> float | None:
    return None if length is None else 1e3 * length


def _past_yield(found: PastYield, force_travel: ForceTravel | None, units: Units) -> dict[str, Any]:
    return {
        "yield_strength_MPa": found.yields,
        "steps": [
            {
                "interference_um": 1e3 * s.interference,
                "remaining_um": 1e3 * s.remaining,
                "normal_force_N": s.normal,
                "elastic_normal_force_N": s.elastic_normal,
                "share_of_elastic_gain": s.gain_share,
                "outside_growth_um": 1e3 * s.outside_growth,
                "bore_growth_um": 1e3 * s.bore_growth,
                "sleeve_shrink_um": 1e3 * s.sleeve_shrink,
                "bore_closure_um": 1e3 * s.bore_closure,
                "greatest_plastic_strain": s.equivalent,
            }
            for s in found.steps
        ],
        "notes": past_yield_notes(found, force_travel, units),
    }


def _heat(plan: HeatPlan) -> dict[str, Any]:
    return {
        "interference_um": 1e3 * plan.interference_mm,
        "clearance_um": 1e3 * plan.clearance_mm,
        "tightest": {
            "z_mm": plan.tightest.z,
            "bore_land": plan.tightest.bore_land + 1,
            "sleeve_land": plan.tightest.sleeve_land + 1,
            "sizes_um": 1e3 * (plan.tightest.turned - plan.tightest.bore),
            "form_um": 1e3 * plan.tightest.form,
            "plus_minus_um": 1e3 * plan.tightest.plus_minus,
        },
        "shell_limit_degC": 20.0 + plan.limit_K,
        "ways": [
            {
                "name": w.name,
                "shell_degC": 20.0 + w.shell_rise_K,
                "sleeve_degC": 20.0 + w.sleeve_rise_K,
                "gap_um": 1e3 * w.gap_mm,
                "allowed": w.allowed,
                "time_in_hand_s": w.time_s,
            }
            for w in plan.ways
        ],
    }
