"""Advice for pressing, in sentences, from the force–travel curve."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.closed_form.friction import gauge_pressure
from hoopwright.display import Units
from hoopwright.display.gauge import Gauge
from hoopwright.display.stop_line import stop_mark, stop_text
from hoopwright.geometry.joint import stands_proud
from hoopwright.geometry.land import End, at_end, opposite
from hoopwright.geometry.lead_in import shallow_chamfer
from hoopwright.geometry.stop import is_stopped
from hoopwright.pressing.force_travel import ForceTravel

NEGLIGIBLE = 1e-6


def start(force_travel: ForceTravel, units: Units) -> str:
    """How the sleeve starts: by hand, on its chamfer, or dragging from the first contact."""
    case, likely = force_travel.case, force_travel.force[:, 1]
    free = float(force_travel.travel[likely <= NEGLIGIBLE * max(likely.max(), 1.0)].max(initial=0.0))
    lands = len(case.sleeve.outside) > 1
    if lands and free > 0.25 * force_travel.travel[-1]:
        return (
            f"It goes in by hand for the first {units.along(free)}: "
            "then all lands engage at once. If it drags earlier, stop: it is cocked or a land is "
            "too large."
        )
    drag = leading_drag(case, force_travel.enters_from)
    if lands and drag > 0.0:
        return (
            f"The leading land is {units.text(1e3 * drag, 'um')} larger than the bore it enters "
            "first, so it drags from the start and is guided no better than a plain sleeve. For a "
            "free start the step between the lands must be slightly larger than the interference."
        )
    change = force_travel.shifts[-2] - case.smoothing_loss_mm
    shallow = shallow_chamfer(case.shell, case.sleeve.blank, force_travel.enters_from, change)
    if shallow is not None:
        depth, least = (units.text(1e3 * x, "um") for x in (shallow.depth, shallow.least))
        return (
            f"The chamfer that leads is {depth} deep, less than half the interference ({least}): it shaves "
            "metal off instead of leading in. Cut it deeper."
        )
    if free > 0.0:
        return (
            f"The chamfer lets it in by hand for {units.along(free)}: set it square there before you push."
        )
    return (
        "It drags from first contact: there is no lead-in. Cut a chamfer, or it may start cocked and "
        "shave metal off."
    )


def leading_drag(case: Case, enters_from: End) -> float:
    """Diametral interference of the leading land in the bore at the mouth, mm."""
    turned = at_end(case.sleeve.blank.outside, opposite(enters_from))
    mouth = at_end(case.shell.bore, enters_from)
    return turned.mean_diameter - mouth.mean_diameter


def while_pressing(force_travel: ForceTravel, units: Units) -> list[str]:
    """Instructions for the person at the press."""
    low, likely, high = force_travel.peak
    at = units.along(float(force_travel.travel[int(force_travel.force[:, 2].argmax())]))
    ratio = force_travel.case.press.restart_ratio
    text = units.text
    if high <= 0.0:
        return [
            "Nothing interferes anywhere along the travel: these sizes, this temperature and this "
            "smoothing loss leave no interference to press against."
        ]
    yields = force_travel.metal_yields
    too_high = "metal stronger than given" if yields else "a fit tighter than measured"
    too_low = ", the metal weaker than given" if yields else ""
    lines = [
        start(force_travel, units),
        *_of_yielding_metal(force_travel, units),
        f"Stop if the force rises above the stop line at that travel (at most {stop_text(high, units)}"
        f"{_stop_mark(force_travel, likely, high, units)}, {at} of travel): "
        f"galling, a chip, a cocked sleeve, or {too_high}. Do not push through it.",
        f"Suspect the fit if it stays below the least (at most {text(low, 'N')}): the bore is "
        f"larger or the sleeve smaller than measured{too_low}, or it is better lubricated than the "
        "friction given.",
        f"Do not pause on the way in: restarting a sleeve at rest takes up to {ratio:g} times the "
        f"sliding force (at most {text(force_travel.restart_force, 'N')}, "
        f"{units.along(force_travel.restart_travel)} of travel). A jump after a pause is not a reason "
        "to stop.",
    ]
    if (
        force_travel.case.press.capacity is not None
        and force_travel.restart_force > force_travel.case.press.capacity
    ):
        lines.append(
            f"The press gives {text(force_travel.case.press.capacity, 'N')}: not enough to restart "
            f"it at {units.along(force_travel.restart_travel)} of travel. Go through in one stroke."
        )
    lines += _at_the_far_end(force_travel.case, force_travel.enters_from, units)
    effect = end_effect(force_travel)
    if effect > 0.005 and not yields:
        lines.append(
            f"Until it is home, contact pressure at the sleeve's ends is above that of the closed form: "
            f"over the whole travel this adds {100 * effect:.0f} % to the work."
        )
    return lines


def _at_the_far_end(case: Case, enters_from: End, units: Units) -> list[str]:
    """What a sleeve asks for that comes out of the shell at the far end, or is pushed against a stop."""
    far, sleeve = opposite(enters_from), case.sleeve.blank
    lines = []
    if far in stands_proud(case.shell, sleeve):
        beyond = sleeve.z_end - case.shell.width if far == "right" else -sleeve.z_start
        lines.append(
            f"The sleeve comes out at the far end by {units.along(beyond)}: rest the shell's face there on "
            "a ring that lets it through, close to the bore."
        )
    if is_stopped(case.shell, sleeve, far):
        stop = "flange" if sleeve.flange_end == enters_from else "shoulder"
        lines.append(
            f"It is home when it meets the {stop}: the force rises at once there, and what you add goes "
            f"into the {stop}. Stop at the touch."
        )
    return lines


def while_slipping_in(case: Case, units: Units) -> list[str]:
    """Instructions for the person who slips the sleeve in."""
    press = case.press
    hot, cold = (units.temperature(20.0 + rise) for rise in (press.shell_hot_K, press.sleeve_cold_K))
    return [
        f"Bring the shell to {hot} all through and the sleeve to {cold}, and measure both on the metal.",
        "Deburr the mouth and try the way first with a plug as large as the sleeve is at its greatest.",
        "In one movement, up against a stop; hold it there until it grips, and let both cool by "
        "themselves. If it stops half way, pull it out at once while it still moves.",
    ]


def _stop_mark(force_travel: ForceTravel, likely: float, stop: float, units: Units) -> str:
    """What the gauge shows at the stop line, ", 100 bar on the gauge"; "" where it cannot show it."""
    press = force_travel.case.press
    if press.ram_diameter_mm is None:
        return ""
    gauge = Gauge.of(gauge_unit(force_travel, units), press.gauge_division_MPa)
    at_likely, at_stop = (
        float(gauge_pressure(force=force, ram_diameter=press.ram_diameter_mm)) for force in (likely, stop)
    )
    if gauge.too_coarse(stop=at_stop, likely=at_likely):
        return ""
    return f", {stop_mark(at_stop, gauge)} on the gauge"


def _of_yielding_metal(force_travel: ForceTravel, units: Units) -> list[str]:
    """What the forces stand for where metal yields on the way in."""
    if not force_travel.metal_yields:
        return []
    return [
        "The metal yields on the way in. Least, likely and stop are those of metal that gives way at the "
        "yield strength given and does not harden; how tight the fit is cannot be read from them. If it "
        f"did not yield, it would read up to {units.text(force_travel.elastic_peak, 'N')} and restart with "
        f"{units.text(force_travel.elastic_restart_force, 'N')}, which is what the press is judged by."
    ]


def end_effect(force_travel: ForceTravel) -> float:
    """Work of pressing in by finite elements over that by the closed form, less one; both without the rise
    of pressure that the axial push causes, and without yielding."""
    closed_form = force_travel.work(force_travel.closed_form)
    return (
        force_travel.work(force_travel.force_without_push_gain) / closed_form - 1.0
        if closed_form > 0.0
        else 0.0
    )


def gauge_unit(force_travel: ForceTravel, units: Units) -> str:
    """Unit in which the user's gauge is marked."""
    return force_travel.case.press.gauge_unit or ("psi" if units.system == "inch" else "bar")
