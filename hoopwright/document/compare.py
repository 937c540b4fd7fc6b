"""`hoopwright compare` as one JSON document. Every dimensional name ends in its unit."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from hoopwright import __version__
from hoopwright.case.model import Case
from hoopwright.cautions import ROUTES
from hoopwright.document.check import check_part, rounded
from hoopwright.document.size import window_part
from hoopwright.sizing.route_verdict import route_verdict
from hoopwright.sizing.routes import RouteResult


def as_json(case: Case, results: Sequence[RouteResult]) -> str:
    return json.dumps(document(case, results), indent=2, ensure_ascii=False, allow_nan=False) + "\n"


def document(case: Case, results: Sequence[RouteResult]) -> dict[str, Any]:
    return rounded(
        {
            "tool": {"name": "hoopwright", "version": __version__},
            "case": {"title": case.title, "sha256": case.sha256, "invented": case.invented},
            "routes": [_route(r) for r in results],
            "cautions": [ROUTES],
        }
    )


def _route(r: RouteResult) -> dict[str, Any]:
    worst = r.governing
    return {
        "name": r.route.name,
        "kind": r.route.kind,
        "state": r.state,
        "verdict": route_verdict(r),
        "bore_after_cutting_mm": r.bore,
        "wall_left_mm": r.wall,
        "best_margin": None if r.best is None or r.best[0] == float("inf") else r.best[0],
        "best_interference_um": None if r.best is None else 1e3 * r.best[1],
        "governing": None if worst is None else worst.id,
        "window": None if r.window is None else window_part(r.window),
        "checks": [check_part(m) for m in r.margins],
        "needs": r.route.needs,
        "cost": r.route.cost,
        "note": r.reason,
    }
