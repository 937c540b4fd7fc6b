"""The press plan as text for a terminal of 80 columns."""

from __future__ import annotations

from hoopwright.case.quantity import converted
from hoopwright.cautions import PRESSING
from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units
from hoopwright.pressing import advice
from hoopwright.pressing.course import Course
from hoopwright.pressing.heat import warnings
from hoopwright.pressing.plan import PressPlan
from hoopwright.pressing.too_tight import BUYS, NOTICED, TooTight
from hoopwright.screen.press_told import told_lines
from hoopwright.screen.wrapping import bullets, paragraph


def report(plan: PressPlan, units: Units) -> str:
    """The whole screen: force against travel, advice, what the press told, too tight, heat and cold."""
    made_up = " (invented data)" if plan.case.invented else ""
    parts = [*paragraph(plan.case.title + made_up), "", *table(plan.course, units), "",
             "At the press", *bullets(advice.while_pressing(plan.course, units))]
    if plan.told is not None:
        parts += ["", *told_lines(plan.told, plan, units)]
    if plan.plastic is not None:
        parts += ["", *plastic_lines(plan.plastic, plan.course, units)]
    parts += ["", *heat_lines(plan, units), "", "Cautions", *bullets(PRESSING)]
    return "\n".join(parts) + "\n"


def gauge(course: Course, units: Units, force: float) -> str:
    """Reading of the gauge at a force, without its unit."""
    ram = course.case.press.ram_diameter_mm
    if ram is None:
        return ""
    pressure = float(gauge_pressure(force=force, ram_diameter=ram))
    value = converted(pressure, "MPa", advice.gauge_unit(course, units))
    return f"{value:.0f}" if abs(value) >= 10.0 else f"{value:.1f}"


def table(course: Course, units: Units) -> list[str]:
    """Force, and gauge where the ram is known, against travel."""
    ram = course.case.press.ram_diameter_mm
    low, likely, high = course.frictions
    force, mm = units.label("N"), units.label("mm")
    head = [f"{'travel':>8s} {'bearing':>8s}   {'force ' + force:>24s}       {'closed':>8s}",
            f"{mm:>8s} {mm:>8s}  {'least':>8s} {'likely':>8s} {'stop at':>8s}   {'form':>8s}"]
    if ram is not None:
        head[0] += f"   {'gauge ' + advice.gauge_unit(course, units):>17s}"
        head[1] += f"   {'least':>5s} {'likely':>6s} {'stop':>5s}"
    lines = [f"Pressing in from the {course.enters_from}: sliding friction {low:g}, {likely:.3g} likely, "
             f"{high:g}",
             "", *head, "-" * len(head[1])]
    places = 1 if units.system == "metric" else 2
    for k in advice.rows(course):
        position, row = course.positions[k], course.force[k]
        numbers = [units.number(f, "N") for f in (*row, course.closed_form[k])]
        text = (f"{units.number(position.travel, 'mm', decimals=places):>8s} "
                f"{units.number(position.engaged, 'mm', decimals=places):>8s}  {numbers[0]:>8s} "
                f"{numbers[1]:>8s} {numbers[2]:>8s}   {numbers[3]:>8s}")
        if ram is not None:
            marks = [gauge(course, units, f) for f in row]
            text += f"   {marks[0]:>5s} {marks[1]:>6s} {marks[2]:>5s}"
        lines.append(text)
    return lines + _below(course, units)


def _below(course: Course, units: Units) -> list[str]:
    worst = max(course.positions, key=lambda p: p.numerical_error)
    error = course.frictions[1] * worst.numerical_error
    text = ["Likely: nominal interference, likely friction. Least and stop: the 95 % limits of the "
            "interference with low and high friction. Closed form: likely, Lamé slice by slice, no end "
            f"effect. Numerical error of the likely force: at most {units.text(error, 'N')}."]
    if course.case.press.ram_diameter_mm is None:
        text.append("Give [press] ram_diameter to have the reading of the gauge.")
    return ["", *(line for part in text for line in paragraph(part))]


def plastic_lines(found: TooTight, course: Course, units: Units) -> list[str]:
    """Table over the interference, and what it means."""
    um, newton = units.label("um"), units.label("N")
    lines = ["Too tight: pressed past yield (von Mises, perfectly plastic, frictionless)",
             f"{'interference':>12s} {'left of it':>10s} {'push ∫p dA':>11s} {'elastic':>8s} "
             f"{'gain':>6s} {'outside':>8s} {'bore':>7s}",
             f"{um:>12s} {um:>10s} {newton:>11s} {newton:>8s} {'':>6s} {'keeps':>8s} {'closes':>7s}"]
    for s in found.steps:
        tight, left, keeps, closes = (units.number(1e3 * v, "um") for v in (
            s.interference, s.remaining, s.outside_growth, s.bore_closure))
        push, elastic = units.number(s.normal, "N"), units.number(s.elastic_normal, "N")
        lines.append(f"{tight:>12s} {left:>10s} {push:>11s} {elastic:>8s} {100 * s.buys:5.0f}% "
                     f"{keeps:>8s} {closes:>7s}")
    return lines + bullets([*_meaning(found, units), *_reads_less(found, course, units)])


def _reads_less(found: TooTight, course: Course, units: Units) -> list[str]:
    """The table of forces is elastic; what yielding takes off its stop line."""
    if found.lowered <= NOTICED:
        return []
    return [f"The forces in the table above are elastic. Yielding as it does, the tightest fit would read "
            f"no more than about {units.text((1.0 - found.lowered) * course.peak[2], 'N')} at high "
            "friction: a force "
            "that levels off early is metal giving way, not a good fit."]


def _meaning(found: TooTight, units: Units) -> list[str]:
    last = found.last
    if not found.plastic:
        return ["Nothing yields up to the greatest interference: every micrometre of it grips."]
    strain = ", ".join(f"{name} {100 * value:.2f} %" for name, value in last.equivalent.items()
                       if value > 0.0)
    text = [f"Greatest plastic strain: {strain}. At the greatest interference the fit presses as hard as "
            f"{units.text(1e3 * last.remaining, 'um')} would without yielding. Taken out again, the "
            f"shell's outside stays {units.text(1e3 * last.outside_growth, 'um')} larger, its bore "
            f"{units.text(1e3 * last.bore_growth, 'um')}, and the sleeve "
            f"{units.text(1e3 * max(last.sleeve_shrink, 0.0), 'um')} smaller on diameter."]
    if last.buys < BUYS:
        text.append(f"The last step buys {100 * max(last.buys, 0.0):.0f} % of the grip it would without "
                    "yielding: extra interference there only stretches the metal. Turn the sleeve "
                    "smaller.")
    else:
        text.append("The yielding is local and the extra interference still grips; the margin against "
                    "yield is gone all the same, and a second pressing starts from a larger bore.")
    return text


def heat_lines(whole: PressPlan, units: Units) -> list[str]:
    """Temperatures, whether the metal stands them, and the time in hand."""
    plan = whole.heat

    def at(rise: float) -> str:
        shown = units.text(20.0 + rise, "degC", decimals=0)
        return shown.removeprefix("-") if shown.startswith("-0 ") else shown

    lines = [f"Heat and cold: to slip in with {units.text(1e3 * plan.clearance_mm, 'um')} of clearance "
             f"over {units.text(1e3 * plan.interference_mm, 'um')}",
             f"  {'':26s} {'shell':>8s} {'sleeve':>8s} {'limit':>8s}   in hand"]
    for way in plan.ways:
        time = "too hot" if not way.allowed else "-" if way.time_s is None else _time(way.time_s)
        lines.append(f"  {way.name:26s} {at(way.shell_rise_K):>8s} {at(way.sleeve_rise_K):>8s} "
                     f"{at(plan.limit_K):>8s}   {time}")
    notes = [f"Limit: {plan.limit_from}.",
             "In hand: until the gap is gone, both parts cooling in still air as lumps; an estimate. "
             "Once they touch, it grips within seconds: one smooth movement, a stop to run up against.",
             *warnings(whole.case, plan, units)]
    return lines + bullets(notes)


def _time(seconds: float) -> str:
    return f"about {seconds:.0f} s" if seconds < 90.0 else f"about {seconds / 60.0:.0f} min"
