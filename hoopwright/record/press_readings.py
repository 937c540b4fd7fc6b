"""What was read at the press, as it was given: the log row by row, or the greatest reading."""

from __future__ import annotations

from hashlib import sha256
from pathlib import Path
from typing import Any

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.reader_units import system_of
from hoopwright.pressing.plan import PressPlan
from hoopwright.pressing.press_log import read_log
from hoopwright.record.case_inputs import log_name


def press_readings_part(case: Case, plan: PressPlan | None) -> dict[str, Any] | None:
    """Every reading, none left out, none smoothed; None where nothing was read or the sleeve is not pushed
    in. file, sha256: of the log, which lies in the record as it was given, and null without one."""
    press = case.press
    if plan is None or plan.force_travel is None or plan.readings is None:
        return None
    part: dict[str, Any] = {"source": plan.readings[0], "file": None, "sha256": None}
    if not press.log or press.observed_peak is not None or press.observed_gauge_MPa is not None:
        peak = {"travel_mm": None, "force_N": press.observed_peak, "gauge_MPa": press.observed_gauge_MPa}
        return part | {"rows": [peak]}
    log = read_log(
        press.log,
        beside=case.file,
        whole_travel=plan.force_travel.positions[-1].travel,
        ram_given=press.ram_diameter_mm is not None,
        system=system_of(case.units),
    )
    content = (Path(case.file).parent / press.log).read_bytes()
    count = len(log.travel)
    return part | {
        "file": log_name(press.log),
        "sha256": sha256(content).hexdigest(),
        "rows": [
            {"travel_mm": float(travel), "force_N": force, "gauge_MPa": gauge}
            for travel, force, gauge in zip(
                log.travel, _column(log.force, count), _column(log.gauge, count), strict=True
            )
        ],
    }


def _column(values: np.ndarray | None, count: int) -> list[float | None]:
    return [None] * count if values is None else [float(v) for v in values]
