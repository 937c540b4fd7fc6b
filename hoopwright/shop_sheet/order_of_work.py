"""The order of work in four blocks, each step a box to tick. Common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.geometry.land import End, opposite
from hoopwright.pressing.heat import HeatPlan, ThermalAssembly
from hoopwright.shop_sheet.as_made import (
    against,
    facing,
    finishing_steps,
    flange_steps,
    home_steps,
    roughing,
    support,
    thread_words,
)
from hoopwright.shop_sheet.plan import SheetPlan
from hoopwright.shop_sheet.step import Step


def bore_steps(plan: SheetPlan) -> list[Step]:
    """Hold the shell, bore it, let it cool, deburr and clean it."""
    shop = _shop(plan)
    ready = [Step("deburr", "Deburr both mouths."), Step("clean", "Clean, dry; look for cracks.")]
    if plan.bored and plan.size.boring is None:
        return [Step("bored", "Bored already: compare it with the sizes above."), *ready]
    return [
        Step(
            "jig", "Jig: by the faces, or a split bored ring over the whole length, no tighter than needed."
        ),
        Step("bore", "Bore, the last pass in the same setting as the one before."),
        Step("cool", f"Before the last pass stop, let it cool to {shop}, measure."),
        Step("release", "Let go of it and measure again."),
        *ready,
    ]


def read_steps(plan: SheetPlan) -> list[Step]:
    """Set the gauge and read the bore."""
    return [
        Step("set_gauge", f"Gauge and part at {_shop(plan)}, gauge set in its ring."),
        Step("measure", "Read every cell below."),
    ]


def turn_steps(plan: SheetPlan) -> list[Step]:
    """Turn the sleeve, chamfer, deburr, clean and measure it."""
    case, units = plan.results.case, plan.units
    chamfers = _chamfers(case, units, _enters_from(plan))
    if plan.turned:
        return [
            Step("turned", "Turned already: compare it with the sizes above."),
            Step("chamfer", f"Check the chamfer: {chamfers}."),
            Step("clean", "Deburr, clean, dry."),
        ]
    return [
        Step("turn", roughing(case, units)),
        *flange_steps(case, units),
        Step("chamfer", f"Chamfer: {chamfers}."),
        Step("deburr", "Deburr; no edge stands above the outside."),
        Step("cool", f"Let it cool to {_shop(plan)}, clean it."),
        Step("finish", "Finish to the aim and measure it."),
        *(Step("thread", text) for text in _threads(case)),
    ]


def press_steps(plan: SheetPlan) -> list[Step]:
    """Put the sleeve in by force or by heat, then tap, face and measure it, and mark the joint."""
    if plan.press is None:
        return []
    case, units, end = plan.results.case, plan.units, _enters_from(plan)
    assert end is not None
    steps = [*_again(plan), Step("clean", "Wipe both parts."), *_compound(case)]
    steps += _by_heat(plan, end) if plan.press.force_travel is None else _by_force(case, units, end)
    return [
        *steps,
        *_tap(case),
        *finishing_steps(case, units),
        Step("face", facing(case, units)),
        Step("measure", _measure_after(plan)),
        Step("mark", "Witness mark: one line across sleeve and shell on both faces."),
    ]


def _again(plan: SheetPlan) -> list[Step]:
    """What is judged and where to stop rests on the sizes as planned until those as cut are in the case."""
    if plan.bored and plan.turned:
        return []
    return [Step("again", "Put the sizes as cut into the case; print this sheet again before you press.")]


def _enters_from(plan: SheetPlan) -> End | None:
    return None if plan.press is None else plan.press.study.way_in.end


def _shop(plan: SheetPlan) -> str:
    return plan.units.temperature(20.0 + plan.results.case.size.shop_rise_K)


def _chamfers(case: Case, units: Units, enters_from: End | None) -> str:
    """The chamfers of both ends, the one that goes in first named."""
    first = None if enters_from is None else opposite(enters_from)
    sleeve = case.sleeve.unfaced
    both: tuple[tuple[End, float, float | None], ...] = (
        ("left", sleeve.chamfer_left, sleeve.chamfer_left_angle),
        ("right", sleeve.chamfer_right, sleeve.chamfer_right_angle),
    )
    words = [
        f"{units.text(length, 'mm')} long{'' if angle is None else f' at {angle:g}°'} on the {end} end"
        f"{' (goes in first)' if end == first else ''}"
        for end, length, angle in both
        if length > 0.0
    ]
    if words:
        return ", ".join(words)
    where = "" if first is None else f"; the {first} end goes in first"
    return f"the case gives none, break the edges only{where}"


def _threads(case: Case) -> list[str]:
    """The threads that are cut before it is pressed in."""
    return [
        f"Thread {thread_words(case, zone, zone.thread)}."
        for zone in case.sleeve.bore
        if zone.thread is not None and not zone.cut_true
    ]


def _compound(case: Case) -> list[Step]:
    if case.compound is None:
        return []
    return [Step("compound", "Retaining compound on both parts, as its maker says; let it cure.")]


def _by_force(case: Case, units: Units, end: End) -> list[Step]:
    first = opposite(end)
    pushed = "flange" if case.sleeve.flange_end == end else f"sleeve's {end} end"
    return [
        Step("first", f"The {first} end goes in first, from the shell's {end} face."),
        Step("pusher", f"Pusher on the full face of the {pushed}, square."),
        Step("support", support(case, units, first)),
        Step(
            "press",
            "Press in one stroke, no rest. Above the STOP of a travel: pressure off, do not push through.",
        ),
        *home_steps(case, units, end),
    ]


def _by_heat(plan: SheetPlan, end: End) -> list[Step]:
    assert plan.press is not None
    case, units, first = plan.results.case, plan.units, opposite(end)
    hot, cold = (units.temperature(20.0 + k) for k in (case.press.shell_hot_K, case.press.sleeve_cold_K))
    return [
        Step("first", f"The {first} end goes in first, from the shell's {end} face."),
        Step("heat", f"Shell at {hot} all through, sleeve at {cold}: measured on the metal."),
        Step(
            "slip_in",
            f"In one movement against {against(case, units, end)}{in_hand(plan.press.heat)}. Hold until it "
            "grips.",
        ),
        Step("sticks", "If it sticks half way: out at once while it moves."),
    ]


def in_hand(heat: HeatPlan) -> str:
    """How long there is to slip the sleeve in, ", 40 s in hand"; "" where it is not known."""
    own: ThermalAssembly | None = next((way for way in heat.ways if way.name == "as the case has it"), None)
    if own is None or own.time_s is None:
        return ""
    return f", about {int(own.time_s)} s in hand"


def _tap(case: Case) -> Iterator[Step]:
    if any(zone.thread is not None and not zone.cut_true for zone in case.sleeve.bore):
        chased = case.tap_after_pressing
        yield Step(
            "tap", "Run the tap through." if chased else "Try the cups: no tap is planned after pressing."
        )


def _measure_after(plan: SheetPlan) -> str:
    if all(zone.cut_true for zone in plan.results.case.sleeve.bore):
        return "Measure the sleeve's bore as it is now cut."
    row = next((m for m in plan.results.margins if m.id == "bore_closure" and m.demand is not None), None)
    if row is None or row.demand is None:
        return "Measure the sleeve's bore at mid-length."
    return f"Measure the sleeve's bore: it closes by up to {plan.units.text(row.demand.value, 'um')}."
