"""What the press told: from a peak or a log to the fit that was really made, and its margins."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from hoopwright.case.model import Case
from hoopwright.checks import Evidence, Margin, judged, worst_first
from hoopwright.closed_form.friction import ram_force
from hoopwright.pressing.belief import (
    SURPRISE,
    Belief,
    Closure,
    Posterior,
    Predictor,
    Readings,
    Span,
    closure_surprise,
    surprise,
)
from hoopwright.pressing.course import Course
from hoopwright.pressing.log import read_log
from hoopwright.study import CaseStudy

ACCURACY_COVERS = 2.0
"""The case states the gauge's accuracy at 95 %; half of it is its standard deviation."""


@dataclass(frozen=True)
class Explanation:
    """What a contradicting peak would take. interference_at_high, interference_at_low: diametral, mm, at
    the highest and the lowest friction of the case; friction: at the likely interference."""

    interference_at_high: float
    interference_at_low: float
    friction: float


@dataclass(frozen=True)
class Told:
    """source: where the readings come from. readings: as used. probability: of a peak so far off before
    it was read. contradicts: "above", "below" or "". after: belief given the readings, None where they
    contradict the sizes. above_stop: first travel, mm, at which a reading passed the stop line, or
    None. closure_probability: of a bore closure so far off. grip: sliding force at home, N. margins:
    with the updated fit, worst first."""

    source: str
    readings: Readings
    above_stop: float | None
    closure_probability: float | None
    peak: float
    expected: tuple[float, float]
    probability: float
    contradicts: str
    explanation: Explanation
    after: Posterior | None
    grip: Span | None
    margins: tuple[Margin, ...]


def readings_of(case: Case, course: Course) -> tuple[str, Readings] | None:
    """The readings the case gives, or None. Raises CaseError for a faulty log."""
    press = case.press
    home = course.positions[-1].travel
    if press.observed_peak is not None:
        return "a peak force", _at_peak(case, course, press.observed_peak)
    if press.observed_gauge_MPa is not None and press.ram_diameter_mm is not None:
        peak = float(ram_force(gauge=press.observed_gauge_MPa, ram_diameter=press.ram_diameter_mm))
        return "a peak of the gauge", _at_peak(case, course, peak)
    if not press.log:
        return None
    log = read_log(press.log, beside=case.file, whole_travel=home,
                   ram_given=press.ram_diameter_mm is not None)
    force = log.force
    if force is None:
        assert log.gauge is not None
        force = np.asarray(ram_force(gauge=log.gauge, ram_diameter=press.ram_diameter_mm or 1.0))
    touching = force > 0.0
    return f"a log of {len(force)} readings", _readings(
        case, np.clip(log.travel, 0.0, home)[touching], force[touching]).thinned()


def _at_peak(case: Case, course: Course, force: float) -> Readings:
    """One reading, at the travel where the force is greatest."""
    at = float(course.travel[int(np.argmax(course.force[:, 1]))])
    return _readings(case, np.array([at]), np.array([force]))


def _readings(case: Case, travel: np.ndarray, force: np.ndarray) -> Readings:
    press, division = case.press, 0.0
    if press.gauge_division_MPa is not None and press.ram_diameter_mm is not None:
        division = float(ram_force(gauge=press.gauge_division_MPa, ram_diameter=press.ram_diameter_mm))
    # a reading lies anywhere within half a division: rectangular, GUM 4.3.7
    return Readings(travel, force, max(division / np.sqrt(12.0), 1.0),
                    press.gauge_accuracy / ACCURACY_COVERS, press.friction_scatter)


def told(case: Case, study: CaseStudy, course: Course) -> Told | None:
    """What the readings of the case say, or None where it gives none. Raises CaseError for a bad log."""
    given = readings_of(case, course)
    if given is None:
        return None
    source, readings = given
    errors = study.interference.errors
    readings = replace(readings, closure=_closure(case, study),
                       lands=errors.standard if len(case.sleeve.outside) > 1 else 0.0)
    predictor = Predictor(course, readings.travel)
    belief = Belief(predictor, errors, (case.fit.friction_low, case.fit.friction_high))
    k = int(np.argmax(readings.force))
    peak = float(readings.force[k])
    least, likely, most = (float(np.interp(readings.travel[k], course.travel, column))
                           for column in course.force.T)
    odds = surprise(belief, errors, readings)
    contradicts = "" if odds >= SURPRISE else "above" if peak > likely else "below"
    bore = None if readings.closure is None else closure_surprise(errors, readings.closure)
    after = None if contradicts or (bore is not None and bore < SURPRISE) else belief.after(readings)
    return Told(
        source, readings, _above_stop(course, readings), bore, peak, (least, most), odds, contradicts,
        _explanation(case, study, predictor, k, peak), after,
        None if after is None else after.force(Predictor(course, course.travel[-1:])),
        () if after is None else margins_after(case, study, after))


def _closure(case: Case, study: CaseStudy) -> Closure | None:
    """The reading of the bore at mid-sleeve beside what the model says of it."""
    observed = case.press.observed_closure_mm
    if observed is None:
        return None
    middle = np.array([0.5 * (case.sleeve.z_start + case.sleeve.z_end)])
    step = max(study.spread, 1e-3)
    low, high = (-2.0 * float(study.at(s).free[0].radial_move("sleeve.bore", middle)[0])
                 for s in (-step, step))
    return Closure(observed, case.press.closure_plus_minus_mm / ACCURACY_COVERS, 0.5 * (low + high),
                   (high - low) / (2.0 * step))


def _above_stop(course: Course, readings: Readings) -> float | None:
    """First travel at which a reading passes the stop line by more than the gauge may be off, mm."""
    stop = np.interp(readings.travel, course.travel, course.force[:, 2])
    margin = 2.0 * np.hypot(readings.division, readings.accuracy * readings.force)
    over = np.flatnonzero(readings.force > stop + margin)
    return float(readings.travel[over[0]]) if len(over) else None


def _explanation(case: Case, study: CaseStudy, predictor: Predictor, k: int, peak: float) -> Explanation:
    """The force is straight in the shift to good accuracy, so one straight line answers."""
    def interference(friction: float) -> float:
        at = predictor.shifts[[0, -1]]
        mu = np.full(2, friction)
        low, high = predictor.force(at, mu)[:, k]
        if high <= low:
            return study.nominal_interference
        return study.nominal_interference + float(at[0] + (peak - low) / (high - low) * (at[1] - at[0]))

    nominal = float(predictor.force(np.array([0.0]), np.array([1.0]))[0, k])
    c = float(predictor.squeeze[k])  # F = N (μ + c μ²)
    plain = nominal / (1.0 + c)
    ratio = peak / plain if plain > 0.0 else 0.0
    friction = ratio if abs(c) < 1e-9 else (np.sqrt(max(1.0 + 4.0 * c * ratio, 0.0)) - 1.0) / (2.0 * c)
    return Explanation(interference(case.fit.friction_high), interference(case.fit.friction_low),
                       float(friction))


def margins_after(case: Case, study: CaseStudy, after: Posterior) -> tuple[Margin, ...]:
    """Every margin at the ends of the updated 95 % intervals of interference and friction, each taken on
    its worse side; that the two are tied together by the force is not credited."""
    fit = replace(case.fit, friction_low=after.friction.low, friction_high=after.friction.high)
    evidence = Evidence(replace(case, fit=fit), study, after.shift.low, after.shift.high)
    return worst_first(judged(evidence))
