"""What the readings of a pressing and the yielding of the metal mean, in plain sentences."""

from __future__ import annotations

from hoopwright.display import Units
from hoopwright.pressing.advice import gauge_unit
from hoopwright.pressing.force_travel import ForceTravel
from hoopwright.pressing.inference import UNCALIBRATED, Explanation, InferredFit
from hoopwright.pressing.misfit import Misfit
from hoopwright.pressing.misfit_words import misfit_notes
from hoopwright.pressing.past_yield import LOW_GAIN_SHARE, PastYield
from hoopwright.pressing.plan import PressPlan

LITTLE = 0.25
"""Share by which the interval of the interference must narrow before the force counts as informative."""


def inference_notes(plan: PressPlan, units: Units) -> list[str]:
    """The reading, then either what it contradicts or the fit it speaks for; empty if nothing was read."""
    found, curve = plan.inferred, plan.force_travel
    if found is None or curve is None:
        return []
    low, high = found.expected
    notes = [
        f"Read: {found.source}. The greatest force is {units.text(found.peak, 'N')}, where "
        f"{units.text(low, 'N')} to {units.text(high, 'N')} was expected."
    ]
    if found.stop_passed_at is not None:
        notes.append(
            f"It passed the stop line at {units.along(found.stop_passed_at)} of travel: "
            "that was the moment to stop and look."
        )
    if found.restarts:
        places = ", ".join(units.along(travel) for travel in found.restarts)
        notes.append(
            f"The force read at {places} of travel stands above the rest by no more than a restart: it is "
            "set aside as that of a sleeve that had come to rest."
        )
    return notes + (
        _contradiction(found, curve, units) if found.posterior is None else _fit(found, plan, units)
    )


def _contradiction(found: InferredFit, force_travel: ForceTravel, units: Units) -> list[str]:
    if found.misfit is not None and not found.contradicts:
        return _of_misfit(found.misfit, force_travel, units)
    if not found.contradicts:
        return [
            "The bore closure read contradicts the sizes given: so far off it falls less than once in 1000 "
            "such jobs. Measure bore and sleeve again; the margins are not recomputed."
        ]
    if found.explanation.friction <= 0.0:
        return [
            "It was read where nothing should bear yet. The sleeve is cocked, a land is larger than "
            "measured, or travel was counted from another place."
        ]
    return [
        f"The reading contradicts the sizes and the friction given: so far {found.contradicts} it falls "
        f"less than once in {1 / max(found.probability, 1e-4):.0f} such jobs. "
        + _what_it_takes(found.explanation, units),
        f"Either {_either(found, force_travel, units)}, or the friction lies outside its range, or the "
        f"gauge or the ram is another{_another_ram(found, force_travel, units)}. Measure the bore closure, "
        "check gauge and ram, and do not rely on the margins until it is explained.",
        *(_of_misfit(found.misfit, force_travel, units) if found.misfit is not None else []),
    ]


def _of_misfit(found: Misfit, force_travel: ForceTravel, units: Units) -> list[str]:
    ram = force_travel.case.press.ram_diameter_mm
    return misfit_notes(found, ram, units, gauge_unit(force_travel, units))


def _another_ram(found: InferredFit, force_travel: ForceTravel, units: Units) -> str:
    """The ram with which the greatest reading would be the likely force, "" where none is given."""
    ram = force_travel.case.press.ram_diameter_mm
    if ram is None or force_travel.case.press.observed_peak is not None:
        return ""
    would = ram * (force_travel.frictions[1] / found.explanation.friction) ** 0.5
    return (
        f" (a ram of {units.text(would, 'mm', decimals=1)} instead of {units.text(ram, 'mm', decimals=1)} "
        "would have read so at the likely force)"
    )


def _what_it_takes(explanation: Explanation, units: Units) -> str:
    by_friction = f"It would take a friction of {explanation.friction:.2g} at the likely interference"
    high, low = explanation.interference_at_high, explanation.interference_at_low
    if high is None or low is None:
        return (
            f"{by_friction}. The metal yields as it is pressed, which is counted in what was expected: how "
            "tight the fit is hardly changes the force."
        )
    return (
        f"{by_friction}, or an interference of {units.text(1e3 * high, 'um')} at the highest friction "
        f"given ({units.text(1e3 * low, 'um')} at the lowest)."
    )


def _either(found: InferredFit, force_travel: ForceTravel, units: Units) -> str:
    """What may be wrong with the case where a reading contradicts it, friction apart."""
    above = found.contradicts == "above"
    if not force_travel.metal_yields:
        return f"the fit is {'tighter' if above else 'looser'} than measured"
    if above:
        return (
            "the metal is stronger than the case says (it would read up to "
            f"{units.text(force_travel.elastic_peak, 'N')} if it did not yield)"
        )
    return "the metal is weaker than the case says, or the fit so loose that none of it yields"


def _fit(found: InferredFit, plan: PressPlan, units: Units) -> list[str]:
    assert found.posterior is not None
    assert found.sliding_force is not None
    nominal, before = plan.study.nominal_interference, (plan.study.loosest_shift, plan.study.tightest_shift)
    least, most = plan.case.pressing_friction
    shift, mu = found.posterior.shift, found.posterior.friction
    now_low, now_high, was_low, was_high = (
        units.text(1e3 * (nominal + s), "um") for s in (shift.low, shift.high, *before)
    )
    notes = [
        f"Interference {now_low} to {now_high} (before: {was_low} to {was_high}), friction {mu.low:.3f} to "
        f"{mu.high:.3f} (before: {least:.3f} to {most:.3f}): 95 % intervals by "
        "Bayes' rule from the sizes, the range of friction and the readings.",
        f"It now takes {units.text(found.sliding_force.low, 'N')} to "
        f"{units.text(found.sliding_force.high, 'N')} to slide it, by the last quarter of the travel: "
        "that holds it.",
        *_known(found, plan),
    ]
    narrowed = 1.0 - (shift.high - shift.low) / width if (width := before[1] - before[0]) > 0.0 else 1.0
    if narrowed < LITTLE and found.readings.closure is None:
        notes.append(
            "The force gives the product of friction and pressure: the bore at mid-sleeve read before and "
            "after ([press] observed_closure) would split them."
        )
    if plan.force_travel is not None and plan.force_travel.metal_yields:
        notes.append(
            "Metal yields within the range of the sizes, which is counted: past that the force no longer "
            "rises with the interference and says nothing about it."
        )
    return notes


def _known(found: InferredFit, plan: PressPlan) -> list[str]:
    """What gauge and ram allow the reading to say, and where it takes from what holding counts on."""
    notes = []
    if not found.calibrated:
        notes.append(
            "Gauge and ram are not stated as checked ([press] calibration): a force read counts as good to "
            f"{100 * UNCALIBRATED:.0f} % (a ram one size off) and raises no margin."
        )
    if found.least_friction is not None:
        least = plan.case.pressing_friction[0]
        notes.append(
            "That may be less than was given: holding counts on a friction of "
            f"{found.least_friction:.3f} at the loosest fit (given: {least:.3f})."
        )
    return notes


def past_yield_notes(found: PastYield, force_travel: ForceTravel | None, units: Units) -> list[str]:
    """What pressing past yield buys, and what it leaves behind. force_travel: None where it slips in."""
    reads_less = [] if force_travel is None else _reads_less(force_travel, units)
    return [*_meaning(found, units), *reads_less]


def _reads_less(force_travel: ForceTravel, units: Units) -> list[str]:
    """What yielding takes off the stop line."""
    if not force_travel.metal_yields:
        return []
    return [
        "Yielding as it does, the tightest fit would read no more than about "
        f"{units.text(force_travel.peak[2], 'N')} at high friction, where it would read "
        f"{units.text(force_travel.elastic_peak, 'N')} if nothing yielded: a force that levels off early "
        "is metal giving way, not a good fit."
    ]


def _meaning(found: PastYield, units: Units) -> list[str]:
    last = found.last
    if not found.plastic:
        return ["Nothing yields up to the greatest interference: all of it grips."]
    strain = ", ".join(
        f"{name} {100 * value:.2f} %" for name, value in last.equivalent.items() if value > 0.0
    )
    notes = [
        f"Greatest plastic strain: {strain}. At the greatest interference the fit presses as hard as "
        f"{units.text(1e3 * last.remaining, 'um')} would without yielding. Taken out again, the "
        f"shell's outside stays {units.text(1e3 * last.outside_growth, 'um')} larger, its bore "
        f"{units.text(1e3 * last.bore_growth, 'um')}, and the sleeve "
        f"{units.text(1e3 * max(last.sleeve_shrink, 0.0), 'um')} smaller on diameter."
    ]
    if last.gain_share < LOW_GAIN_SHARE:
        notes.append(
            f"The last step buys {100 * max(last.gain_share, 0.0):.0f} % of the grip it would without "
            "yielding: extra interference there only stretches the metal. Turn the sleeve smaller."
        )
    else:
        notes.append(
            "The yielding is local and the extra interference still grips; the margin against yield is "
            "gone all the same, and a second pressing starts from a larger bore."
        )
    return notes
