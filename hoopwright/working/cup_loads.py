"""What one cup, tightened or undone, does to the sleeve, step by step."""

from __future__ import annotations

from hoopwright.case.holding_model import CupsInput, CupTightening, Side
from hoopwright.case.model import Case
from hoopwright.checks.sleeve_loads import CupFriction, CupMove, cup_thread, stated_removal
from hoopwright.geometry import Thread
from hoopwright.working.sheet import Sheet

TIGHTENING = "statics of the inclined plane; R. L. Mott, Machine Elements in Mechanical Design, Eq. 17-10"
LOOSENING = "as for tightening, Eq. 17-11"


def add_cup(sheet: Sheet, case: Case, move: CupMove, torque: float) -> tuple[str, str]:
    """Lines for the force and the torque of a cup on the sleeve, as symbols of the last of each, "0" where
    there is none. torque: what it comes to, N·mm, which tells tightening from undoing where the cup passes
    all of it on."""
    cups = case.cups
    assert cups is not None
    cup, thread = getattr(cups, move.side), cup_thread(case.sleeve, move.side)
    assert thread is not None
    if move.tightened is None:
        return "0", _add_whole_torque(sheet, move.side, cup, torque)
    add_preload(sheet, cups, move.side, cup, thread, move.tightened)
    force = "F" if cups.flange_on_shell else "0"
    if move.undone is None:
        sheet.step(
            "T_s", "T_t - F * μ_f * d_f / 2", "N*mm", "torque left for the sleeve, through the thread"
        )
        return force, "T_s"
    turning = _add_undoing(sheet, cups, move, cup, thread)
    if not move.gained:
        return force, turning
    where = "both cups tight, on a seat that slides freely"
    sheet.solved("F_g", move.gained, "N", "what temperature has added to the pull since", where)
    sheet.step(
        "T_g", f"{turning} * (F + F_g) / F", "N*mm", "torque with that pull, as friction grows with it"
    )
    return "0", "T_g"


def add_preload(
    sheet: Sheet, cups: CupsInput, side: Side, cup: CupTightening, thread: Thread, friction: CupFriction
) -> None:
    """Lines for the preload of a cup, F, at a friction of its thread and flange."""
    key = f"[cups.{side}] tightening_torque"
    sheet.case("T_t", cup.tightening_torque, "N*mm", f"torque that tightens the {side} cup", key)
    sheet.table("P", thread.pitch, "mm", f"pitch of {thread.designation}", thread.source)
    sheet.table("d", thread.major, "mm", "its major diameter", thread.source)
    _given_friction(sheet, cups, friction, ("μ_t", "μ_f"))
    ring = "mean diameter of the ring where the flange rubs"
    sheet.case("d_f", cups.flange_diameter, "mm", ring, "[cups] flange_diameter")
    sheet.step("d_2", "d - 3 * sqrt(3) / 8 * P", "mm", "basic pitch diameter", "ISO 68-1, from memory")
    sheet.step("tan_λ", "P / (π * d_2)", "", "slope of the thread")
    sheet.step("ρ", "μ_t / cos(π / 6)", "", "friction on flanks at 30°")
    preload = "T_t / (d_2 / 2 * (tan_λ + ρ) / (1 - ρ * tan_λ) + μ_f * d_f / 2)"
    sheet.step("F", preload, "N", "preload", TIGHTENING)


def _given_friction(sheet: Sheet, cups: CupsInput, friction: CupFriction, symbols: tuple[str, str]) -> None:
    for symbol, where, value, low in (
        (symbols[0], "thread", friction.thread, cups.thread_friction_low),
        (symbols[1], "flange", friction.flange, cups.flange_friction_low),
    ):
        end = "low" if value == low else "high"
        meaning = f"{end} friction {'in the thread' if where == 'thread' else 'under the flange'}"
        sheet.case(symbol, value, "", meaning, f"[cups] {where}_friction_{end}")


def _add_whole_torque(sheet: Sheet, side: Side, cup: CupTightening, torque: float) -> str:
    """A cup that binds, or whose flange bears on the sleeve, passes on all the torque."""
    key = "tightening_torque" if abs(torque) == cup.tightening_torque else "removing_torque"
    sheet.case("T_w", abs(torque), "N*mm", f"whole torque on the {side} cup", f"[cups.{side}] {key}")
    return "T_w"


def _add_undoing(sheet: Sheet, cups: CupsInput, move: CupMove, cup: CupTightening, thread: Thread) -> str:
    """Lines for the torque on the sleeve as a cup is undone; the symbol of the last."""
    assert move.undone is not None
    _given_friction(sheet, cups, move.undone, ("μ_tu", "μ_fu"))
    sheet.step("T_f", "F * μ_fu * d_f / 2", "N*mm", "torque that friction under the flange takes")
    stated = stated_removal(cups, cup, thread)
    if stated is not None:
        key = f"[cups.{move.side}] removing_torque"
        sheet.case("T_u", stated, "N*mm", "torque that undoes it", key)
    else:
        sheet.step("ρ_u", "μ_tu / cos(π / 6)", "", "friction on the flanks as it is undone")
        turning = "F * d_2 / 2 * (ρ_u - tan_λ) / (1 + ρ_u * tan_λ) + T_f"
        sheet.step("T_u", turning, "N*mm", "torque that undoes it", LOOSENING)
    if not cups.flange_on_shell:
        return "T_u"
    sheet.step("T_s", "max(T_u - T_f, 0)", "N*mm", "torque left for the sleeve, through the thread")
    return "T_s"
