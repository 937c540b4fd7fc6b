"""JSON document of `hoopwright compare`. Every dimensional key ends in its unit."""

from __future__ import annotations

from collections.abc import Sequence
from math import inf
from typing import Any

from hoopwright.case.model import Case
from hoopwright.cautions import ROUTES
from hoopwright.document.check import check_part
from hoopwright.document.heading import heading_part
from hoopwright.document.plain import plain
from hoopwright.document.size import window_part
from hoopwright.left_out import with_grounds_named
from hoopwright.sizing.route_verdict import comparison_state, comparison_verdict, route_verdict
from hoopwright.sizing.routes import RouteResult


def document(case: Case, results: Sequence[RouteResult]) -> dict[str, Any]:
    """The routes in the order of `results`, each with its window and its checks; those that are not
    comparable stand apart."""
    return plain(
        {
            **heading_part(case, "compare"),
            "verdict": with_grounds_named(case, comparison_verdict(results)),
            "state": comparison_state(results),
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
        "comparable": r.comparable,
        "not_judged_as_others": list(r.gaps),
        "verdict": route_verdict(r),
        "bore_after_cutting_mm": r.bore,
        "wall_left_mm": r.wall,
        "best_margin": None if r.best is None else r.best[0],
        "best_margin_without_end": r.best is not None and r.best[0] == inf,
        "best_interference_um": None if r.best is None else 1e3 * r.best[1],
        "governing": None if worst is None else worst.id,
        "window": None if r.window is None else window_part(r.window),
        "checks": [check_part(m) for m in r.margins],
        "needs": r.route.needs,
        "cost": r.route.cost,
        "note": r.reason,
    }
