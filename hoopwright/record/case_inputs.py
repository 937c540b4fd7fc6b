"""Inputs of the case in results.json: job, bodies, materials, gauges, settings."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict
from pathlib import PurePosixPath
from typing import Any

from hoopwright.case.drawing_model import BoreFeatures, SleeveFeatures
from hoopwright.case.model import Case
from hoopwright.case.own_materials import leads_outside, posix
from hoopwright.geometry import Land
from hoopwright.geometry.readings import Gauge
from hoopwright.materials import Material
from hoopwright.strength import judged_by, material_of, zones_of

MATERIAL_KEYS = {
    "young_modulus": "young_modulus_MPa",
    "poisson_ratio": "poisson_ratio",
    "expansion": "expansion_per_K",
    "yield_strength": "yield_strength_MPa",
    "ultimate_strength": "ultimate_strength_MPa",
    "density": "density_kg_m3",
}
"""Keys of results.json by field of Material."""


def job_part(case: Case) -> dict[str, Any]:
    """Piece, owner, date, mechanic and notes."""
    job = case.job
    return {
        "piece": job.piece,
        "owner": job.owner,
        "date": job.date,
        "mechanic": job.mechanic,
        "notes": job.notes,
    }


def bodies_part(case: Case) -> dict[str, Any]:
    """Lands, bore and limits of shell and sleeve."""
    shell, sleeve, blank = case.shell, case.sleeve, case.sleeve.blank
    read = {(m.part, m.surface, m.index) for m in (*case.shell_measured, *case.sleeve_measured)}

    def lands(part: str, surface: str, of: Iterable[Land]) -> list[dict[str, Any]]:
        return [_land(land, (part, surface, k) in read) for k, land in enumerate(of)]

    return {
        "shell": {
            "width_mm": shell.width,
            "outside": lands("shell", "outside", shell.outside),
            "bore": lands("shell", "bore", shell.bore),
            "least_wall_mm": case.min_wall_mm,
            "runout_mm": case.runout_mm,
            "process": case.shell_process,
        },
        "sleeve": {
            "z_start_mm": sleeve.z_start,
            "z_end_mm": sleeve.z_end,
            "length_mm": sleeve.length,
            "outside": lands("sleeve", "outside", sleeve.outside),
            "bore": [
                {
                    "z_start_mm": z.z_start,
                    "z_end_mm": z.z_end,
                    "diameter_mm": z.diameter,
                    "pressed_with_mm": z.as_pressed.diameter,
                    "thread": z.thread.designation if z.thread else None,
                }
                for z in sleeve.bore
            ],
            "process": case.sleeve_process,
            "stop": sleeve.stop,
            "flange_diameter_mm": sleeve.flange_diameter if sleeve.flange_end else None,
            "flange_thickness_mm": sleeve.flange_thickness if sleeve.flange_end else None,
            "proud": case.proud,
            "faced_left_mm": 0.0 if sleeve.faced_left is None else sleeve.faced_left.length,
            "faced_right_mm": 0.0 if sleeve.faced_right is None else sleeve.faced_right.length,
            "chamfer_left_mm": blank.chamfer_left,
            "chamfer_right_mm": blank.chamfer_right,
            "chamfer_left_angle_deg": blank.chamfer_left_angle,
            "chamfer_right_angle_deg": blank.chamfer_right_angle,
            "most_bore_closure_um": None
            if case.max_bore_closure_mm is None
            else 1e3 * case.max_bore_closure_mm,
        },
    }


def _land(land: Land, measured: bool) -> dict[str, Any]:
    return {
        "z_start_mm": land.z_start,
        "z_end_mm": land.z_end,
        "diameter_start_mm": land.diameter_start,
        "diameter_end_mm": land.diameter_end,
        "plus_minus_um": 1e3 * land.plus_minus,
        "from_readings": measured,
    }


def materials_part(case: Case) -> dict[str, Any]:
    """Materials of shell and sleeve."""
    return {
        body: {**material_part(material_of(case, body)), "stock": _stock_part(case, body)}
        for body in ("shell", "sleeve")
    }


def _stock_part(case: Case, body: str) -> dict[str, Any]:
    """What a body is judged by at 20 °C, before any heat: the strength of its stock, and its zones."""
    own = judged_by(case, body)
    return {
        "words": own.at_bench.words,
        "yield_strength_MPa": own.at_bench.value,
        "basis": own.at_bench.basis,
        "source": own.at_bench.source,
        "zones": [
            {
                "z_start_mm": zone.z_start,
                "z_end_mm": zone.z_end,
                "material": zone.material.name,
                "yield_strength_MPa": judged_by(case, body, zone).at_bench.value,
            }
            for zone in zones_of(case, body)
        ],
    }


def material_part(material: Material) -> dict[str, Any]:
    """The properties of a material, with basis and source of each."""
    return {
        "name": material.name,
        "condition": material.condition,
        **{shown: getattr(material, field) for field, shown in MATERIAL_KEYS.items()},
        "sources": [
            {"of": MATERIAL_KEYS.get(p.field, p.field), "basis": p.basis, "source": p.source}
            for p in material.provenance
        ],
    }


def gauges_part(case: Case) -> list[dict[str, Any]]:
    """Every gauge used for the readings or named in [size], without repeats."""
    used = [s.gauge for m in (*case.shell_measured, *case.sleeve_measured) for s in m.readings.stations]
    return [_gauge(g) for g in dict.fromkeys([*used, *([case.size.gauge] if case.size.gauge else [])])]


def _gauge(gauge: Gauge) -> dict[str, Any]:
    return {
        "name": gauge.name,
        "type": gauge.type,
        "resolution_um": 1e3 * gauge.resolution,
        "accuracy_um": 1e3 * gauge.accuracy,
        "accuracy_is": (
            "largest error" if gauge.coverage is None else f"uncertainty, k = {gauge.coverage:g}"
        ),
        "zero_error_um": 1e3 * gauge.zero_error,
        "repeatability_um": None if gauge.repeatability is None else 1e3 * gauge.repeatability,
        "contacts": gauge.contacts,
        "temperature_degC": None if gauge.temperature_rise is None else 20.0 + gauge.temperature_rise,
        "temperature_plus_minus_K": gauge.temperature_plus_minus,
        "expansion_per_K": gauge.expansion,
        "comparator": gauge.comparator,
    }


def drawing_part(case: Case) -> dict[str, Any]:
    """What a drawing says besides the sizes; null or "" where not stated."""
    given = case.drawing
    return {
        "title": given.title,
        "number": given.number,
        "revision": given.revision,
        "drawn_by": given.drawn_by,
        "projection": given.projection,
        "general_tolerance": given.general_tolerance,
        "edges": given.edges,
        "sleeve": _features(given.sleeve),
        "bore": _features(given.bore),
    }


def _features(of: SleeveFeatures | BoreFeatures) -> dict[str, Any]:
    """The fields of a feature, those in mm with their unit."""
    shown = asdict(of)
    return {name if isinstance(value, str) else f"{name}_mm": value for name, value in shown.items()}


def settings_part(case: Case) -> dict[str, Any]:
    """Friction, temperature, factors, demand and press: all inputs besides sizes and materials."""
    fit, factors, press = case.fit, case.factors, case.press
    return {
        "friction_low": fit.friction_low,
        "friction_high": fit.friction_high,
        "pressing_friction_low": case.pressing_friction[0],
        "pressing_friction_high": case.pressing_friction[1],
        "fit_temperature_degC": 20.0 + fit.temperature_rise_K,
        "smoothing_um": 1e3 * case.smoothing_loss_mm,
        "factors": {
            "yielding": factors.yielding,
            "holding": factors.holding,
            "buckling": factors.buckling,
            "pressing": factors.pressing,
            "fatigue": factors.fatigue,
        },
        "demand": None
        if case.demand is None
        else {"axial_force_N": case.demand.axial_force, "torque_Nm": 1e-3 * case.demand.torque},
        "proof": None
        if case.proof is None
        else {
            "push_N": case.proof.push,
            "torque_Nm": None if case.proof.torque is None else 1e-3 * case.proof.torque,
            "slipped": case.proof.slipped,
        },
        "press_method": press.method,
        "press_capacity_N": press.capacity,
        "press_ram_diameter_mm": press.ram_diameter_mm,
        "press_gauge_unit": press.gauge_unit,
        "press_gauge_division_MPa": press.gauge_division_MPa,
        "press_calibration": press.calibration,
        "press_pilot_diameter_mm": None if press.pilot is None else press.pilot.diameter_mm,
        "press_pilot_length_mm": None if press.pilot is None else press.pilot.length_mm,
        "press_log": log_name(press.log) if press.log else "",
    }


def log_name(log: str) -> str:
    """Path of the press log in the record: as in the case, or the bare name if that leads outside."""
    return PurePosixPath(posix(log)).name if leads_outside(log) else posix(log)


def materials_name(document: Mapping[str, Any]) -> tuple[str, ...]:
    """Path of the file of the user's own materials in a record, by its results; none where it has none."""
    beside = document["case"].get("materials")
    return (str(beside["file"]),) if isinstance(beside, dict) and beside.get("file") else ()
