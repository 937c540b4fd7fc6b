"""Working of the rows of the cup threads: stripping, and the fit of the thread."""

from __future__ import annotations

import numpy as np

from hoopwright.case.holding_model import Side
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Margin
from hoopwright.checks.sleeve_loads import CupFriction, cup_thread, greatest_preload
from hoopwright.checks.thread_fits import closure_reader, cups_out, cut_when_pressed
from hoopwright.checks.thread_strips import (
    PulledThread,
    greatest_pitch_diameter,
    thread_metal,
    weakest_thread,
)
from hoopwright.geometry import BoreZone, Thread
from hoopwright.geometry.thread_limits import limits_of
from hoopwright.working.closing import closed, given_expansion
from hoopwright.working.cup_loads import add_preload
from hoopwright.working.sheet import Sheet, Working
from hoopwright.working.strength import add_strength

AREA_SOURCE = "ASME B1.1 Appendix B and FED-STD-H28, from memory"


def sleeve_thread_strips(evidence: Evidence, row: Margin) -> Working:
    return _strips(evidence, row, "sleeve")


def cup_thread_strips(evidence: Evidence, row: Margin) -> Working:
    return _strips(evidence, row, "cup")


def _strips(evidence: Evidence, row: Margin, body: str) -> Working:
    sheet = Sheet()
    pull = add_greatest_pull(evidence, row, sheet)
    rise = evidence.bench if row.when.temperature_rise is None else row.when.temperature_rise
    metal = thread_metal(evidence.case, body, row.stage, rise)
    weakest = weakest_thread(evidence, body, row.stage, rise)
    if weakest is not None and metal is not None:
        pull = _add_load(sheet, pull, weakest)
        _add_shear_area(evidence, sheet, body, weakest.side, weakest.thread)
        add_strength(sheet, metal)
        sheet.step("τ_s", "σ_y / sqrt(3)", "MPa", "shear strength", "von Mises")
    closed(sheet, row, pull, "A * τ_s")
    return Working(tuple(sheet.lines))


def _add_load(sheet: Sheet, pull: str, weakest: PulledThread) -> str:
    """A line for what a load in use pulls besides the cups; the pull of both, to write."""
    load = f"'{weakest.load_case}'" if weakest.load_case else "no load"
    meaning = f"what {load} pulls the {weakest.side} thread outwards with"
    sheet.solved("F_a", weakest.by_load, "N", meaning, "statics of the load cases")
    return f"{pull} + F_a"


def thread_fits(evidence: Evidence, row: Margin) -> Working:
    case, sheet, z = evidence.case, Sheet(), row.where.z or 0.0
    zone = min(
        (one for one in case.sleeve.bore if one.thread is not None),
        key=lambda one: max(one.z_start - z, z - one.z_end, 0.0),
    )
    assert zone.thread is not None
    thread, limits = zone.thread, limits_of(zone.thread)
    cut = thread.cut_pitch_diameter
    source = "readings of the thread" if cut else limits.source
    pitch = cut or limits.internal_pitch_min
    sheet.given(
        "d_2",
        pitch,
        "mm",
        f"pitch diameter of {thread.designation}, least",
        "case" if cut else "table",
        source,
    )
    sheet.table("d_2c", limits.external_pitch_max, "mm", "that of the fullest cup", limits.source)
    _add_closure(evidence, sheet, row, zone, pitch)
    closed(sheet, row, "1000 * Δ", "1000 * (d_2 - d_2c)")
    return Working(tuple(sheet.lines))


def _add_closure(evidence: Evidence, sheet: Sheet, row: Margin, zone: BoreZone, pitch: float) -> None:
    """Lines for what the thread closes by, Δ."""
    case, read = evidence.case, closure_reader(evidence.case, zone, pitch)
    tight = cups_out(evidence, row.stage, evidence.greatest)
    at = f"{zone.z_start:.3f} mm, {row.stage}"
    if cut_when_pressed(case, zone):
        since, solution = tight.greatest(f"closure since cut at {at}", lambda s: read(s).since)
        where = f"{solution.state.friction_text}, {20.0 + solution.temperature_rise:g} °C"
        done = "cut" if zone.cut_true else "tapped"
        meaning = f"closure that comes after it was {done} on the bench, on diameter"
        sheet.solved("Δ", max(since.value, 0.0), "mm", meaning, where)
        return
    _, solution = tight.greatest(f"closure at {at}", lambda s: read(s).closure)
    place, cup = read(solution), case.cups.material if case.cups is not None else None
    where = f"z = {place.z:.1f} mm, greatest interference, {solution.state.friction_text}"
    bore = float(solution.bore_closure(np.array([place.z]))[0])
    sheet.solved("Δ_b", bore, "mm", "closure of the bore, own expansion taken out", where)
    rise = solution.temperature_rise
    given_expansion(sheet, "α_c", cup or case.sleeve_material, rise)
    given_expansion(sheet, "α_s", case.sleeve_material, rise)
    sheet.case("ΔT", solution.temperature_rise, "K", "temperature above 20 °C", "[press] or [temperatures]")
    sheet.step("Δ", "Δ_b + d_2 * (α_c - α_s) * ΔT", "mm", "closure against a cup as warm")


def add_greatest_pull(evidence: Evidence, row: Margin, sheet: Sheet) -> str:
    """Lines for the greatest pull of the cups; the symbol of the last."""
    cups = evidence.case.cups
    assert cups is not None
    threads = [
        (side, cup, thread)
        for side, cup in cups.sides
        if (thread := cup_thread(evidence.case.sleeve, side))
    ]
    side, cup, thread = max(threads, key=lambda one: greatest_preload(cups, one[1], one[2]))
    add_preload(
        sheet, cups, side, cup, thread, CupFriction(cups.thread_friction_low, cups.flange_friction_low)
    )
    if row.when.preload == sheet.value("F"):
        return "F"
    at = 20.0 + (row.when.temperature_rise or 0.0)
    sheet.solved(
        "F_T",
        row.when.preload,
        "N",
        f"greatest pull at {at:g} °C, both cups clamping the shell",
        "as tightened, or what heat and cold make of it on a seat that slides freely",
    )
    return "F_T"


def _add_shear_area(evidence: Evidence, sheet: Sheet, body: str, side: Side, thread: Thread) -> None:
    """Least shear area of the thread of a sleeve or a cup, A; symbols of the pull are in use already."""
    limits = limits_of(thread)
    cups = evidence.case.cups
    assert cups is not None
    engaged = getattr(cups, side).engaged_length
    key = f"[cups.{side}] engaged_length"
    sheet.case("L_e", engaged, "mm", f"engaged length, {side} thread", key)
    sheet.table("P_s", thread.pitch, "mm", f"pitch of {thread.designation}, {side}", thread.source)
    if body == "sleeve":
        sheet.table(
            "d_min",
            limits.external_major_min,
            "mm",
            "least major diameter of the cup",
            limits.source,
        )
        pitch = greatest_pitch_diameter(thread)
        measured = pitch != limits.internal_pitch_max
        sheet.given(
            "D_2",
            pitch,
            "mm",
            "greatest pitch diameter of the sleeve",
            "case" if measured else "table",
            "readings of the thread" if measured else limits.source,
        )
        sheet.step("w", "P_s / 2 + (d_min - D_2) / sqrt(3)", "mm", "width of a turn where it shears")
        sheet.step("A", "π * L_e / P_s * d_min * w", "mm^2", "least shear area", AREA_SOURCE)
        return
    sheet.table(
        "D_1",
        limits.internal_minor_max,
        "mm",
        "greatest minor diameter of the sleeve",
        limits.source,
    )
    sheet.table("d_2c", limits.external_pitch_min, "mm", "least pitch diameter of the cup", limits.source)
    sheet.step("w", "P_s / 2 + (d_2c - D_1) / sqrt(3)", "mm", "width of a turn where it shears")
    sheet.step("A", "π * L_e / P_s * D_1 * w", "mm^2", "least shear area", AREA_SOURCE)
