"""Infer interference and friction from a recorded peak force or force log, and the margins of that fit."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hoopwright.case.model import Case
from hoopwright.case.reader_units import system_of
from hoopwright.checks import Evidence, Margin, worst_first
from hoopwright.closed_form.friction import ram_force
from hoopwright.fit import Fit
from hoopwright.measured.uncertainty_budget import UncertaintyBudget, UncertaintyComponent
from hoopwright.pressing.force_travel import ForceTravel
from hoopwright.pressing.posterior import (
    MIN_P_VALUE,
    Closure,
    CredibleInterval,
    Posterior,
    PosteriorGrid,
    Predictor,
    Readings,
    closure_p_value,
    peak_p_value,
)
from hoopwright.pressing.press_log import read_log
from hoopwright.rows.judging import judged
from hoopwright.state import frictionless
from hoopwright.study import CaseStudy

ACCURACY_COVERS = 2.0
"""The case states the gauge's accuracy at 95 %; half of it is its standard deviation."""


@dataclass(frozen=True)
class Explanation:
    """The interference or the friction that would account for a peak force by itself.

    interference_at_high, interference_at_low: diametral, mm, at the highest and the lowest friction of the
    case; None where the metal yields, so that the force hardly rises with the interference. friction: at
    the likely interference.
    """

    interference_at_high: float | None
    interference_at_low: float | None
    friction: float


@dataclass(frozen=True)
class InferredFit:
    """The fit that the readings of a pressing speak for, or how they contradict the sizes.

    source: where the readings come from. readings: as used. stop_passed_at: first travel, mm, at which a
    reading passed the stop line, or None. peak: greatest force read, N; expected: its 95 % interval before
    it was read, N; probability: of a peak at least so far off. contradicts: "above", "below" or "".
    closure_probability: of a bore closure at least so far off, None where none was read. posterior: None
    where the readings contradict the sizes; then there is no sliding_force, N, at home, and no margins.
    margins: with the inferred fit, worst first.
    """

    source: str
    readings: Readings
    stop_passed_at: float | None
    closure_probability: float | None
    peak: float
    expected: tuple[float, float]
    probability: float
    contradicts: str
    explanation: Explanation
    posterior: Posterior | None
    sliding_force: CredibleInterval | None
    margins: tuple[Margin, ...]

    @property
    def contradicted(self) -> bool:
        """Whether force or bore closure read contradict the sizes and the friction given."""
        return self.posterior is None


def readings_of(case: Case, force_travel: ForceTravel) -> tuple[str, Readings] | None:
    """Where the readings of the case come from, and the readings; None where it gives none.

    Raises CaseError for a faulty log.
    """
    press = case.press
    home = force_travel.positions[-1].travel
    if press.observed_peak is not None:
        return "a peak force", _at_peak(case, force_travel, press.observed_peak)
    if press.observed_gauge_MPa is not None and press.ram_diameter_mm is not None:
        peak = float(ram_force(gauge=press.observed_gauge_MPa, ram_diameter=press.ram_diameter_mm))
        return "a peak of the gauge", _at_peak(case, force_travel, peak)
    if not press.log:
        return None
    log = read_log(
        press.log,
        beside=case.file,
        whole_travel=home,
        ram_given=press.ram_diameter_mm is not None,
        system=system_of(case.units),
    )
    force = log.force
    if force is None:
        assert log.gauge is not None
        force = np.asarray(ram_force(gauge=log.gauge, ram_diameter=press.ram_diameter_mm or 1.0))
    touching = force > 0.0
    return f"a log of {len(force)} readings", _readings(
        case, np.clip(log.travel, 0.0, home)[touching], force[touching]
    ).thinned()


def _at_peak(case: Case, force_travel: ForceTravel, force: float) -> Readings:
    """One reading, at the travel where the force is greatest."""
    at = float(force_travel.travel[int(np.argmax(force_travel.force[:, 1]))])
    return _readings(case, np.array([at]), np.array([force]))


def _readings(case: Case, travel: np.ndarray, force: np.ndarray) -> Readings:
    press, division = case.press, 0.0
    if press.gauge_division_MPa is not None and press.ram_diameter_mm is not None:
        division = float(ram_force(gauge=press.gauge_division_MPa, ram_diameter=press.ram_diameter_mm))
    # a reading lies anywhere within half a division: rectangular, GUM 4.3.7
    return Readings(
        travel,
        force,
        max(division / np.sqrt(12.0), 1.0),
        press.gauge_accuracy / ACCURACY_COVERS,
        press.friction_scatter,
    )


def has_readings(case: Case) -> bool:
    """Whether the case gives a log or a peak of its pressing."""
    press = case.press
    return bool(press.log) or press.observed_peak is not None or press.observed_gauge_MPa is not None


def infer_fit(
    case: Case, study: CaseStudy, force_travel: ForceTravel, *, with_margins: bool = True
) -> InferredFit | None:
    """The fit that the readings of the case speak for, or None where it gives none.

    with_margins: also judge that fit. Raises CaseError for a faulty log.
    """
    given = readings_of(case, force_travel)
    if given is None:
        return None
    source, readings = given
    errors = _errors_at_the_press(case, study)
    readings = replace(
        readings,
        closure=_closure(case, study, force_travel),
        lands=errors.standard_uncertainty if len(case.sleeve.outside) > 1 else 0.0,
    )
    predictor = Predictor(force_travel, readings.travel)
    grid = PosteriorGrid(predictor, errors, case.pressing_friction, off=0.5 * case.smoothing_spread_mm)
    k = int(np.argmax(readings.force))
    peak = float(readings.force[k])
    least, likely, greatest = (
        float(np.interp(readings.travel[k], force_travel.travel, column)) for column in force_travel.force.T
    )
    p_value = peak_p_value(grid, errors, readings)
    contradicts = "" if p_value >= MIN_P_VALUE else "above" if peak > likely else "below"
    closure_probability = (
        None if readings.closure is None else closure_p_value(grid, errors, readings.closure)
    )
    consistent = not contradicts and (closure_probability is None or closure_probability >= MIN_P_VALUE)
    posterior = grid.posterior(readings) if consistent else None
    return InferredFit(
        source=source,
        readings=readings,
        stop_passed_at=_stop_passed_at(force_travel, readings),
        closure_probability=closure_probability,
        peak=peak,
        expected=(least, greatest),
        probability=p_value,
        contradicts=contradicts,
        explanation=_explanation(case, study, predictor, k, peak, yields=force_travel.metal_yields),
        posterior=posterior,
        sliding_force=None
        if posterior is None
        else posterior.force(Predictor(force_travel, force_travel.travel[-1:])),
        margins=margins_with(case, study, posterior) if posterior is not None and with_margins else (),
    )


def _errors_at_the_press(case: Case, study: CaseStudy) -> UncertaintyBudget:
    """Errors of the interference that is pressed, mm: of the sizes, and of what is lost as roughness is
    flattened, anything between the least and the most."""
    sizes, spread = study.interference.errors, case.smoothing_spread_mm
    if not spread:
        return sizes
    return sizes.plus(UncertaintyBudget((UncertaintyComponent("flattened roughness", 0.5 * spread),)))


def _closure(case: Case, study: CaseStudy, force_travel: ForceTravel) -> Closure | None:
    """The reading of the bore at mid-sleeve, with what the model predicts for it, yielding counted; None
    where not read."""
    observed = case.press.observed_closure_mm
    if observed is None:
        return None
    middle = np.array([study.joint.middle])
    step = max(study.interference_half_width, 1e-3)
    at_home = force_travel.positions[-1].shares.closure
    low, high = (
        float(_on_bench(case, study, s).finest.bore_closure(middle)[0])
        * float(np.interp(s, force_travel.shifts, at_home))
        for s in (-step, step)
    )
    return Closure(
        observed,
        case.press.closure_plus_minus_mm / ACCURACY_COVERS,
        0.5 * (low + high),
        (high - low) / (2.0 * step),
    )


def _on_bench(case: Case, study: CaseStudy, shift: float) -> Fit:
    blank = case.sleeve.finished_later  # what is read at the press is read before that
    return study.at(frictionless(shift, case.press.temperature_rise_K, blank=blank))


def _stop_passed_at(force_travel: ForceTravel, readings: Readings) -> float | None:
    """First travel at which a reading passes the stop line by more than the gauge may be off, mm."""
    stop = np.interp(readings.travel, force_travel.travel, force_travel.force[:, 2])
    margin = 2.0 * np.hypot(readings.reading_std, readings.gauge_scale_std * readings.force)
    over = np.flatnonzero(readings.force > stop + margin)
    return float(readings.travel[over[0]]) if len(over) else None


def _explanation(
    case: Case, study: CaseStudy, predictor: Predictor, k: int, peak: float, *, yields: bool
) -> Explanation:
    """What would account for the peak: the force is nearly linear in the shift, so one chord answers, but
    for metal that yields."""

    def interference(friction: float) -> float | None:
        if yields:
            return None
        at = predictor.shifts[[0, -1]]
        mu = np.full(2, friction)
        low, high = predictor.force(at, mu)[:, k]
        if high <= low:
            return study.nominal_interference
        return study.nominal_interference + float(at[0] + (peak - low) / (high - low) * (at[1] - at[0]))

    nominal = float(predictor.force(np.array([0.0]), np.array([1.0]))[0, k])
    c = float(predictor.push_gain[k])  # F = N (μ + c μ²)
    normal = nominal / (1.0 + c)
    ratio = peak / normal if normal > 0.0 else 0.0
    friction = ratio if abs(c) < 1e-9 else (np.sqrt(max(1.0 + 4.0 * c * ratio, 0.0)) - 1.0) / (2.0 * c)
    low, high = case.pressing_friction
    return Explanation(interference(high), interference(low), float(friction))


def margins_with(case: Case, study: CaseStudy, posterior: Posterior) -> tuple[Margin, ...]:
    """Every margin, worst first, at the worse ends of the inferred 95 % intervals.

    Interference and friction are taken as independent: that the force ties them together is not credited.
    The friction found is that of pressing; it is that of the assembled joint too where the case gives one
    friction for both.
    """
    low, high = posterior.friction.low, posterior.friction.high
    narrowed = replace(case, press=replace(case.press, friction_low=low, friction_high=high))
    if case.one_friction:
        narrowed = replace(narrowed, fit=replace(case.fit, friction_low=low, friction_high=high))
    evidence = Evidence(narrowed, study, posterior.shift.low, posterior.shift.high)
    return worst_first(judged(evidence))
