"""`hoopwright size` as text for a terminal of 80 columns."""

from __future__ import annotations

from hoopwright.cautions import CUTTING
from hoopwright.display import Units
from hoopwright.measured.uncertainty import MeasuredLand
from hoopwright.screen.wrapping import WIDTH, bullets, paragraph
from hoopwright.sizing.boring_plan import ADVICE, BoringPlan
from hoopwright.sizing.plan import SizePlan
from hoopwright.sizing.turn_to import Band, Decision, TurnTo
from hoopwright.sizing.verdict import size_verdict
from hoopwright.sizing.window import End, Window


def report(plan: SizePlan, units: Units) -> str:
    """Verdict, sizes to cut to, window, fit, readings, boring plan."""
    made_up = " (invented data)" if plan.case.invented else ""
    lines = [*paragraph(plan.case.title + made_up), "", *paragraph(size_verdict(plan, units)), ""]
    if plan.turn_to is not None:
        lines += [*_bands(plan.turn_to, plan, units), ""]
    lines += [*_window(plan.window, units), *_trials(plan, units), ""]
    lines += [*_fit(plan, units), ""]
    if plan.decision is not None:
        lines += [*_decision(plan.decision, units), ""]
    for land in (*plan.case.shell_measured, *plan.case.sleeve_measured):
        lines += [*_land(land, units), ""]
    if plan.boring is not None:
        lines += [*_boring(plan.boring, units), ""]
    notes = plan.turn_to.notes if plan.turn_to else ()
    lines += ["Cautions", *bullets((*notes, CUTTING))]
    return "\n".join(lines) + "\n"


def _size(pair: tuple[float, float] | None, units: str) -> str:
    if pair is None:
        return "no readable size"
    decimals = 4 if units == "inch" else 3
    one, other = (f"{v:.{decimals}f}" for v in pair)
    return f"{one} only" if one == other else f"{one} to {other}"


def _bands(found: TurnTo, plan: SizePlan, units: Units) -> list[str]:
    what = "Turn the sleeve's outside to" if found.cut == "sleeve" else "Bore the shell to"
    first, second = ("inch", "metric") if units.system == "inch" else ("metric", "inch")
    label = {"metric": "mm", "inch": "in"}
    lines = [f"{what:40s} {label[first]:>18s} {label[second]:>18s}", "-" * (WIDTH - 1)]
    shop = plan.case.size.shop_rise_K
    for band in found.bands:
        lines.append(
            _row(
                f"{_place(band, units)}, at {units.text(20.0, 'degC', decimals=0)}",
                band.readable(first),
                band.readable(second),
                first,
                second,
            )
        )
        if shop:
            at = units.text(20.0 + shop, "degC", decimals=0)
            lines.append(
                _row(
                    f"  as the gauge shows it at {at}",
                    band.shop_readable(first),
                    band.shop_readable(second),
                    first,
                    second,
                )
            )
    with_what = found.gauge.name if found.gauge else "a reading as good as the stated ±"
    guard = max(b.guard for b in found.bands)
    lines += paragraph(
        f"Read with {with_what}, a size in the band leaves the fit in the window with at least "
        f"{100 * found.confidence:g} % confidence; {units.text(1e3 * guard, 'um')} is kept from "
        "each end of it.",
        "  ",
    )
    return lines


def _row(
    name: str, one: tuple[float, float] | None, two: tuple[float, float] | None, first: str, second: str
) -> str:
    return f"{name:40.40s} {_size(one, first):>18s} {_size(two, second):>18s}"


def _place(band: Band, units: Units) -> str:
    decimals = 1 if units.system == "metric" else 2
    ends = [units.number(z, "mm", decimals=decimals) for z in (band.z_start, band.z_end)]
    return f"land {band.index + 1}, z {ends[0]} to {ends[1]} {units.label('mm')}"


def _window(window: Window, units: Units) -> list[str]:
    lines = [f"Window of effective interference, on diameter at {units.text(20.0, 'degC', decimals=0)}"]
    if not window.empty:
        assert window.low is not None
        assert window.high is not None
        lines.append(_end("from", window.least, window.low, units))
        lines.append(_end("to", window.greatest, window.high, units))
        return lines
    lines.append("  empty: no interference satisfies every check")
    for c in window.clash:
        value = "" if c.interference is None else f" {units.both(1e3 * c.interference, 'um')}"
        lines.append(f"    {c.margin.title:24s} {c.word}{value}")
        lines += paragraph(f"in doubt: {c.margin.doubt}", "      ") if c.margin.doubt else []
    return lines


def _end(word: str, value: float, end: End, units: Units) -> str:
    if end.by is None:
        return f"  {word:5s} {units.both(1e3 * value, 'um'):24s} nothing gives way; no more was looked at"
    side = "below" if word == "from" else "above"
    doubt = " (in doubt)" if end.by.doubt else ""
    return f"  {word:5s} {units.both(1e3 * value, 'um'):24s} {side} it: {end.by.title}{doubt}"


def _trials(plan: SizePlan, units: Units) -> list[str]:
    if not plan.trials:
        return []
    lines = ["Tried, one change at a time, with the same checks:"]
    for t in plan.trials:
        if t.window is None:
            result = "cannot be made"
        elif t.window.empty:
            result = "still empty: " + "; ".join(
                f"{c.margin.title} {c.word}"
                + ("" if c.interference is None else f" {units.text(1e3 * c.interference, 'um')}")
                for c in t.window.clash
            )
        else:
            result = (
                f"opens {units.text(1e3 * t.window.least, 'um')} to "
                f"{units.text(1e3 * t.window.greatest, 'um')}"
            )
        lines += bullets((f"{t.change}: {result}",))
    return lines


def _fit(plan: SizePlan, units: Units) -> list[str]:
    study = plan.study
    likely, half = 1e3 * study.nominal_interference, 1e3 * study.spread
    lines = ["The fit as the case stands", f"  interference on diameter  {units.both(likely, 'um')}"]
    if half:
        lines.append(
            f"  95 % interval             {units.text(likely - half, 'um')} to "
            f"{units.text(likely + half, 'um')}"
        )
    if study.interference.smoothing:
        lines.append(
            f"  smoothing already off it  {units.both(1e3 * study.interference.smoothing, 'um')} "
            f"({plan.case.fit.smoothing:g} × both Rz)"
        )
    thermal = study.interference.seats[0].thermal
    if thermal:
        lines.append(f"  at the temperature of use {units.both(1e3 * thermal, 'um')} added")
    by_lands = {(s.seat.bore_land, s.seat.sleeve_land): s for s in reversed(study.interference.seats)}
    if len(by_lands) > 1:
        for s in reversed(by_lands.values()):
            low, high = (1e3 * v for v in s.interval())
            z = units.text(s.seat.z_start, "mm", decimals=1 if units.system == "metric" else 2)
            lines.append(
                f"    from z {z:18s} {units.text(1e3 * s.likely, 'um')}, "
                f"{units.text(low, 'um')} to {units.text(high, 'um')}"
            )
    return lines


def _decision(d: Decision, units: Units) -> list[str]:
    word = "Go: press it" if d.press else "Do not press"
    lines = [
        f"Both parts measured: {word}",
        f"  predicted interference    {units.both(1e3 * d.likely, 'um')}",
        f"  95 % interval             {units.text(1e3 * d.least, 'um')} to "
        f"{units.text(1e3 * d.greatest, 'um')}",
        f"  chance it is in the window {100 * d.probability:.1f} %",
    ]
    if not d.press and d.change:
        take = "take {} off the sleeve" if d.change > 0 else "the sleeve is {} too small"
        lines.append("  to the middle of the window: " + take.format(units.both(1e3 * abs(d.change), "um")))
    return lines


def _land(m: MeasuredLand, units: Units) -> list[str]:
    reference = units.text(20.0, "degC", decimals=0)
    mean = units.text(m.diameter, "mm", decimals=5 if units.system == "inch" else 4)
    lines = [
        f"Readings of the {m.part}'s {m.surface}, land {m.index + 1}: {m.readings.count}",
        f"  mean diameter at {reference:8s} {mean} ± "
        f"{units.text(1e3 * m.plus_minus, 'um')} (95 %)",
    ]
    for name, value in (
        ("taper over the land", m.taper),
        ("ovality", m.ovality),
        ("bell-mouth", m.bell_mouth),
    ):
        if value is not None:
            at = (
                f", largest at {m.ovality_angle:.0f}°"
                if name == "ovality" and m.ovality_angle is not None
                else ""
            )
            lines.append(f"  {name:25s} {units.text(_unsigned_zero(value), 'um')}{at}")
    lines.append("  standard uncertainties:")
    decimals = 3 if units.system == "inch" else 2
    for p in m.errors.parts:
        dof = f", {p.dof:.0f} degrees of freedom" if p.dof != float("inf") else ""
        lines.append(
            f"    {p.name:27s} {units.text(1e3 * p.standard, 'um', decimals=decimals)} ({p.kind}{dof})"
        )
    lines.append(f"    {'combined':27s} {units.text(1e3 * m.errors.standard, 'um', decimals=decimals)}")
    return [*lines, *bullets(m.notes)]


def _unsigned_zero(value: float) -> float:
    """mm in, µm out, so that nothing reads as -0.0."""
    return 0.0 if abs(value) < 5e-5 else 1e3 * value


def _boring(plan: BoringPlan, units: Units) -> list[str]:
    steps = len({round(b, 4) for b in plan.lands})
    lines = [
        "Boring plan" + (", to the largest land; stop short for the others" if steps > 1 else ""),
        f"  least bore that cleans up {units.both(plan.clean_up, 'mm')}, runout counted",
        f"  bore aimed at             {units.both(plan.target, 'mm')}",
        f"  wall left, thin side      {units.both(plan.wall, 'mm')}"
        + ("" if plan.wall_holds is None else ", enough" if plan.wall_holds else ", LESS THAN YOUR LIMIT"),
    ]
    if not plan.cleans_up:
        lines.append("  The bore of the case does NOT remove the damage: plan the larger one.")
    for k, p in enumerate(plan.passes, start=1):
        stop = "  stop, let it cool, measure" if p.measure else ""
        lines.append(
            f"  pass {k}: to {units.text(p.diameter, 'mm')}, {units.text(p.cut, 'mm')} per side{stop}"
        )
    return [*lines, *bullets(ADVICE)]
