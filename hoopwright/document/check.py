"""Results of a check as one JSON document. Every dimensional key ends in its unit."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from math import inf
from typing import Any

import numpy as np

from hoopwright.cautions import CAUTIONS, LIMITS
from hoopwright.checks import Margin, evidence_of
from hoopwright.checks.margin import When
from hoopwright.document.before_signing import before_signing_part
from hoopwright.document.compound import compound_part
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.service import loads_part
from hoopwright.document.working import working_part
from hoopwright.estimate import DISPLACEMENT, INTEGRAL, Estimate, from_meshes
from hoopwright.fit import FitSolution
from hoopwright.pipeline import Results
from hoopwright.rows.installed import origin_part
from hoopwright.rows.judging import stages_of
from hoopwright.sizing.margin_curves import Interval
from hoopwright.state import State, frictionless
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict, verdict_state


def document(results: Results) -> dict[str, Any]:
    """Everything the check found, as dictionaries, lists, strings and numbers that JSON can hold."""
    evidence = evidence_of(results.case, results.study)
    checks = [
        check_part(m, results.intervals.get(m.id)) | {"working": working_part(evidence, m)}
        for m in results.margins
    ]
    return plain(
        {
            **heading_part(results.case, "check"),
            "fit": fit_part(results.study),
            "compound": compound_part(results.study),
            "closed_form": closed_form_part(results),
            "checks": checks,
            "before_signing": before_signing_part(results.case, checks),
            "loads": loads_part(results.study),
            "verdict": verdict(results),
            "state": verdict_state(results),
            "mesh": mesh_part(results),
            "without_effect": [{**asdict(n), "text": str(n)} for n in results.case.without_effect],
            "cautions": list(CAUTIONS),
            "limits": list(LIMITS),
        }
    )


def fit_part(study: CaseStudy) -> dict[str, Any]:
    """Interference, contact pressure, bore closure along z, and growth of the outside."""
    nominal = study.nominal.finest
    z = study.stations()
    pressure = nominal.press.pressure
    mean = study.nominal.estimate(lambda s: s.mean_pressure, INTEGRAL)
    left = 1e3 * study.case.sleeve.bored_as_turned(z)
    closure = {
        name: [left * s.bore_closure(z) for s in study.at(state).solutions]
        for name, state in _reported_states(study).items()
    }
    middle_closure, outside_growth = _at_mid_sleeve(study)
    return {
        "diametral_interference_um": {
            "least": 1e3 * (study.nominal_interference + study.loosest_shift),
            "nominal": 1e3 * study.nominal_interference,
            "greatest": 1e3 * (study.nominal_interference + study.tightest_shift),
        },
        "measured_interference_um": measured_part(study),
        "contact_pressure_MPa": {
            "mean": mean.value,
            "mean_numerical_error": mean.error,
            "least_local": float(pressure.min()),
            "greatest_local": float(pressure.max()),
            "note": "nominal interference, frictionless; the greatest local value grows with mesh "
            "refinement where a contact ends inside a longer body",
        },
        "bore_closure_um": [
            {
                "z_mm": float(at),
                "least": float(closure["least"][0][k]),
                "nominal": float(closure["nominal"][0][k]),
                "greatest": float(closure["greatest"][0][k]),
                "numerical_error": max(
                    from_meshes(*(float(at_mesh[k]) for at_mesh in found), kind=DISPLACEMENT).error
                    for found in closure.values()
                ),
            }
            for k, at in enumerate(z)
        ],
        "bore_closure_mid_sleeve_um": middle_closure.value,
        "bore_closure_mid_sleeve_numerical_error_um": middle_closure.error,
        "outside_growth_um": outside_growth.value,
        "outside_growth_numerical_error_um": outside_growth.error,
    }


def measured_part(study: CaseStudy) -> dict[str, float]:
    """Interference as the sizes give it, nothing flattened, with its 95 % interval, µm."""
    nominal = study.nominal_interference + study.interference.smoothing
    half = study.interference_half_width
    return {
        name: 1e3 * (nominal + shift)
        for name, shift in (("least", -half), ("nominal", 0.0), ("greatest", half))
    }


def _reported_states(study: CaseStudy) -> dict[str, State]:
    """Frictionless at the temperature of [fit], at both ends of the interval and at the likely
    interference."""
    rise = study.case.fit.temperature_rise_K
    return {
        name: frictionless(shift, rise)
        for name, shift in (
            ("least", study.loosest_shift),
            ("nominal", 0.0),
            ("greatest", study.tightest_shift),
        )
    }


def _at_mid_sleeve(study: CaseStudy) -> tuple[Estimate, Estimate]:
    """Closure of the bore and growth of the outside on diameter, µm, nominal and frictionless, what both
    expand by themselves taken out; no closure is left where the bore is cut after pressing."""
    sleeve = study.case.sleeve
    middle = np.array([study.joint.middle])
    closure, growth = (
        study.nominal.estimate(partial(_at, read, middle), DISPLACEMENT)
        for read in (FitSolution.bore_closure, FitSolution.outside_growth)
    )
    return float(sleeve.bored_as_turned(middle)[0]) * closure, growth


def _at(read: Callable[[FitSolution, np.ndarray], np.ndarray], z: np.ndarray, s: FitSolution) -> float:
    return 1e3 * float(read(s, z)[0])


def closed_form_part(results: Results) -> dict[str, Any]:
    """Lamé's solution, whether it applies to this joint, and how the finite elements compare with it."""
    lame = results.comparison.closed_form
    return {
        "contact_pressure_MPa": float(lame.pressure),
        "shell_bore_hoop_MPa": float(lame.shell_hoop_interface),
        "sleeve_bore_hoop_MPa": float(lame.sleeve_hoop_bore),
        "applies": results.comparison.applies,
        "why_not": list(results.comparison.reasons),
        "agrees": None if not results.comparison.applies else not results.comparison.contradicts,
        "comparison": [
            {
                "what": p.what,
                "unit": p.unit,
                "finite_elements": p.fe.value,
                "numerical_error": p.fe.error,
                "closed_form": p.closed_form,
                "difference": p.difference,
            }
            for p in results.comparison.pairings
        ],
    }


def check_part(row: Margin, interval: Interval | None = None) -> dict[str, Any]:
    """One row: the cell that governs, and the cells of all stages.

    interval: 95 % interval of the margin due to the uncertainty of the sizes; None where there is none.
    """
    return {
        "id": row.id,
        "title": row.title,
        **origin_part(row.id),
        **_judgement(row),
        "margin_low": interval.low if interval else None,
        "margin_high": interval.high if interval else None,
        "stages": list(stages_of(row.id)),
        "cells": [_judgement(cell) for cell in row.cells],
    }


def _judgement(cell: Margin) -> dict[str, Any]:
    """Demand, capacity and margin, where and when they govern, and the words that go with them."""
    return {
        "demand": None if cell.demand is None else cell.demand.value,
        "capacity": None if cell.capacity is None else cell.capacity.value,
        "unit": cell.unit,
        "factor": cell.factor,
        "margin": cell.margin,
        "margin_without_end": cell.margin == inf,
        "numerical_error": cell.numerical_error,
        "state": cell.state,
        "where": _where(cell),
        "basis": cell.basis,
        "note": cell.note,
        "doubt": cell.doubt,
    }


def _where(cell: Margin) -> dict[str, Any]:
    """The place, the stage, and the state of the joint in it."""
    at, when = cell.where, cell.when
    where: dict[str, Any] = {"body": at.body, "r_mm": at.r, "z_mm": at.z}
    if at.theta is not None:
        where["theta_deg"] = at.theta
    return where | {"stage": cell.stage, "state": state_part(when)}


def state_part(when: When) -> dict[str, Any]:
    """The state of the joint at a moment."""
    return {
        "temperature_degC": None if when.temperature_rise is None else 20.0 + when.temperature_rise,
        "friction": when.friction,
        "preload_N": when.preload,
        "load_case": when.load_case,
        "joint": when.joint,
        "travel_mm": when.travel,
    }


def mesh_part(results: Results) -> dict[str, Any]:
    """Number of unknowns of the two finest meshes, and of refinements."""
    study = results.study
    return {
        "fine_unknowns": study.fine.meshed_joint.model.size,
        "coarse_unknowns": study.coarse.meshed_joint.model.size,
        "refinements": results.refinements,
    }
