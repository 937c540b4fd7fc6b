"""Results as one JSON document. Every dimensional name ends in its unit."""

from __future__ import annotations

import json
import math
from typing import Any

import numpy as np

from hoopwright import __version__
from hoopwright.cautions import CAUTIONS, LIMITS
from hoopwright.checks import Margin
from hoopwright.document.service import loads_part
from hoopwright.estimate import MOVE, WHOLE, from_meshes
from hoopwright.pipeline import Results
from hoopwright.sizing.response import Interval
from hoopwright.study import CaseStudy
from hoopwright.verdict import verdict

SIGNIFICANT = 9
"""Digits kept in the document: well below any numerical error, above the noise of summation."""


def document(results: Results) -> dict[str, Any]:
    """The whole result as plain lists, dictionaries, texts and numbers, ready for JSON."""
    case = results.case
    return rounded({
        "tool": {"name": "hoopwright", "version": __version__},
        "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
        "fit": fit_part(results.study),
        "closed_form": closed_form_part(results),
        "checks": [check_part(m, results.intervals.get(m.id)) for m in results.margins],
        "loads": loads_part(results.study),
        "verdict": verdict(results),
        "mesh": mesh_part(results),
        "cautions": list(CAUTIONS),
        "limits": list(LIMITS),
    })


def as_json(results: Results) -> str:
    return json.dumps(document(results), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def fit_part(study: CaseStudy) -> dict[str, Any]:
    nominal = study.nominal.free[0]
    z = study.stations()
    spread = study.spread
    pressure = nominal.press.pressure
    mean, _ = study.nominal.estimates(lambda s: s.mean_pressure, WHOLE)
    closure = {name: [-2e3 * s.radial_move("sleeve.bore", z) for s in bracket.free]
               for name, bracket in (("least", study.least), ("nominal", study.nominal),
                                     ("greatest", study.greatest))}
    growth, _ = study.nominal.estimates(
        lambda s: 2e3 * float(s.radial_move("shell.outside", np.array([_middle(study)]))[0]), MOVE)
    return {
        "diametral_interference_um": {
            "least": 1e3 * (study.nominal_interference - spread),
            "nominal": 1e3 * study.nominal_interference,
            "greatest": 1e3 * (study.nominal_interference + spread),
        },
        "contact_pressure_MPa": {
            "mean": mean.value, "mean_numerical_error": mean.error,
            "least_local": float(pressure.min()), "greatest_local": float(pressure.max()),
            "note": "nominal interference, frictionless; the greatest local value grows with mesh "
                    "refinement where a contact ends inside a longer body",
        },
        "bore_closure_um": [
            {"z_mm": float(at), "least": float(closure["least"][0][k]),
             "nominal": float(closure["nominal"][0][k]), "greatest": float(closure["greatest"][0][k]),
             "numerical_error": max(from_meshes(*(float(at_mesh[k]) for at_mesh in found), kind=MOVE).error
                                    for found in closure.values())}
            for k, at in enumerate(z)
        ],
        "outside_growth_um": growth.value,
        "outside_growth_numerical_error_um": growth.error,
    }


def closed_form_part(results: Results) -> dict[str, Any]:
    lame = results.comparison.closed_form
    return {
        "contact_pressure_MPa": float(lame.pressure),
        "shell_bore_hoop_MPa": float(lame.shell_hoop_interface),
        "sleeve_bore_hoop_MPa": float(lame.sleeve_hoop_bore),
        "applies": results.comparison.applies,
        "why_not": list(results.comparison.reasons),
        "agrees": None if not results.comparison.applies else not results.comparison.contradicts,
        "comparison": [
            {"what": p.what, "unit": p.unit, "finite_elements": p.fe.value,
             "numerical_error": p.fe.error, "closed_form": p.closed_form}
            for p in results.comparison.pairings
        ],
    }


def check_part(margin: Margin, interval: Interval | None = None) -> dict[str, Any]:
    """interval: 95 %, that the uncertain sizes leave to the margin."""
    at = margin.where
    where: dict[str, Any] = {"body": at.body, "r_mm": at.r, "z_mm": at.z}
    if at.theta is not None:
        where["theta_deg"] = at.theta
    return {
        "id": margin.id, "title": margin.title,
        "demand": None if margin.demand is None else margin.demand.value,
        "capacity": None if margin.capacity is None else margin.capacity.value,
        "unit": margin.unit, "factor": margin.factor,
        "margin": _finite(margin.margin), "numerical_error": _finite(margin.numerical_error),
        "margin_low": _finite(interval.low) if interval else None,
        "margin_high": _finite(interval.high) if interval else None,
        "state": margin.state, "where": where, "basis": margin.basis,
        "note": margin.note, "doubt": margin.doubt,
    }


def mesh_part(results: Results) -> dict[str, Any]:
    study = results.study
    return {
        "fine_unknowns": study.fine.assembly.model.size,
        "coarse_unknowns": study.coarse.assembly.model.size,
        "refinements": results.refinements,
    }


def _middle(study: CaseStudy) -> float:
    return 0.5 * (study.case.sleeve.z_start + study.case.sleeve.z_end)


def _finite(value: float | None) -> float | None:
    """JSON knows no infinity: a margin without demand is null, like one not assessed."""
    return value if value is not None and math.isfinite(value) else None


def rounded(value: Any) -> Any:
    """Every float cut to SIGNIFICANT digits, so that the last bits of a sum do not show."""
    if isinstance(value, dict):
        return {k: rounded(v) for k, v in value.items()}
    if isinstance(value, list | tuple):
        return [rounded(v) for v in value]
    if isinstance(value, float):
        return float(f"{value:.{SIGNIFICANT}g}")
    return value
