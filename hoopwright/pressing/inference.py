"""Infer interference and friction from a recorded peak force or force log, and the margins of that fit.

Two questions are kept apart. Whether the readings agree with the case is asked of the gauge and the ram as
they are stated: one that reads otherwise is a finding. What the readings then say of the fit counts on no
more than is known of gauge and ram: unless [press] calibration says how they were checked, every force read
may be off by UNCALIBRATED, and what was read lowers margins and raises none.
"""

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
from hoopwright.pressing.last_part import sliding_force
from hoopwright.pressing.misfit import Misfit, shape_of
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
UNCALIBRATED = 0.22
"""Share by which a force read may be off, at most, where nobody checked gauge and ram: one of 45 mm taken
for one of 50 reads 23 % too much, one of 55 mm 17 % too little. Own choice."""
MIN_SHARE = 0.01
"""Least share of the friction given that margins count on: a friction of nothing has no path to follow."""


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

    source: where the readings come from. readings: all of them. restarts: travel of those set aside as
    restarts of a sleeve at rest, mm. stop_passed_at: first travel, mm, at which a
    reading passed the stop line, or None. peak: greatest force read, N; expected: its 95 % interval before
    it was read, N; probability: of a peak at least so far off. contradicts: "above", "below" or "".
    closure_probability: of a bore closure at least so far off, None where none was read. misfit: of the
    shape of a log, None where it fits. posterior: None where the readings contradict the case, in force,
    closure or shape; then there is no sliding_force, N, at home, and no margins. calibrated: whether the
    case says how gauge and ram were checked. least_friction: that holding may count on, where the force to
    slide it is less than friction and sizes given would have it, else None. margins: with the inferred fit,
    worst first.
    """

    source: str
    readings: Readings
    restarts: tuple[float, ...]
    stop_passed_at: float | None
    closure_probability: float | None
    peak: float
    expected: tuple[float, float]
    probability: float
    contradicts: str
    explanation: Explanation
    misfit: Misfit | None
    posterior: Posterior | None
    sliding_force: CredibleInterval | None
    calibrated: bool
    least_friction: float | None
    margins: tuple[Margin, ...]

    @property
    def contradicted(self) -> bool:
        """Whether force, its shape or bore closure read contradict the sizes and the friction given."""
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
    return f"a log of {len(force)} readings", readings_along(
        case, np.clip(log.travel, 0.0, home), force
    ).thinned()


def _at_peak(case: Case, force_travel: ForceTravel, force: float) -> Readings:
    """One reading, at the travel where the force is greatest."""
    at = float(force_travel.travel[int(np.argmax(force_travel.force[:, 1]))])
    return readings_along(case, np.array([at]), np.array([force]))


def readings_along(case: Case, travel: np.ndarray, force: np.ndarray) -> Readings:
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
    found = agreement(case, force_travel, errors, readings)
    used = found.used
    k = int(np.argmax(used.force))
    peak = float(used.force[k])
    expected = (
        float(np.interp(used.travel[k], force_travel.travel, force_travel.force[:, i])) for i in (0, 2)
    )
    low, high = expected
    inferred = InferredFit(
        source=source,
        readings=readings,
        restarts=found.restarts,
        stop_passed_at=_stop_passed_at(force_travel, readings),
        closure_probability=found.closure_probability,
        peak=peak,
        expected=(low, high),
        probability=found.probability,
        contradicts=found.contradicts,
        explanation=_explanation(
            case, study, found.grid.predictor, k, peak, yields=force_travel.metal_yields
        ),
        misfit=found.misfit,
        posterior=found.posterior,
        sliding_force=found.sliding_force,
        calibrated=bool(case.press.calibration),
        least_friction=_least_friction(case, study, force_travel, found),
        margins=(),
    )
    return replace(inferred, margins=margins_with(case, study, inferred)) if with_margins else inferred


@dataclass(frozen=True)
class Agreement:
    """How readings agree with a case, and what they say if they do; fields as in InferredFit. used:
    readings without those set aside; grid: of these."""

    used: Readings
    restarts: tuple[float, ...]
    grid: PosteriorGrid
    probability: float
    contradicts: str
    closure_probability: float | None
    misfit: Misfit | None
    posterior: Posterior | None
    sliding_force: CredibleInterval | None


def agreement(
    case: Case, force_travel: ForceTravel, errors: UncertaintyBudget, readings: Readings
) -> Agreement:
    """Hold readings against the force–travel curve of a case. errors: of the interference that is
    pressed."""

    def grid_of(readings: Readings) -> PosteriorGrid:
        predictor = Predictor(force_travel, readings.travel)
        return PosteriorGrid(predictor, errors, case.pressing_friction, off=0.5 * case.smoothing_spread_mm)

    grid = grid_of(readings)
    shape = shape_of(force_travel, errors, grid, readings)
    used = shape.used
    if shape.restarts:
        grid = grid_of(used)
    k = int(np.argmax(used.force))
    likely = float(np.interp(used.travel[k], force_travel.travel, force_travel.force[:, 1]))
    p_value = peak_p_value(grid, errors, used)
    contradicts = "" if p_value >= MIN_P_VALUE else "above" if used.force[k] > likely else "below"
    closed = None if used.closure is None else closure_p_value(grid, errors, used.closure)
    agrees = not contradicts and not shape.misfit and (closed is None or closed >= MIN_P_VALUE)
    posterior, sliding = None, None
    if agrees:
        known = used.gauge_scale_std
        unknown = 0.0 if case.press.calibration else UNCALIBRATED
        # anywhere within that share: rectangular, GUM 4.3.7
        scale = float(np.hypot(known, unknown / np.sqrt(3.0)))
        posterior = grid.posterior(replace(used, gauge_scale_std=scale))
        shift, mu = (np.array([interval.median]) for interval in (posterior.shift, posterior.friction))
        home = float(force_travel.travel[-1])
        at_home = Predictor(force_travel, force_travel.travel[-1:]).force(shift, mu)[0, 0]
        expected = grid.predictor.force(shift, mu)[0]
        sliding = sliding_force(used, expected, float(at_home), home, unknown=unknown)
    return Agreement(
        used, shape.restarts, grid, p_value, contradicts, closed, shape.misfit, posterior, sliding
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


def _limits(
    case: Case, study: CaseStudy, posterior: Posterior
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Range of the shift, mm, and of the friction that the margins count on after the readings, before the
    force to slide it is seen: never narrower than the case where nothing was calibrated."""
    shift, mu = posterior.shift, posterior.friction
    if case.press.calibration:
        return (shift.low, shift.high), (mu.low, mu.high)
    sizes = min(shift.low, study.loosest_shift), max(shift.high, study.tightest_shift)
    return sizes, case.pressing_friction


def _least_friction(
    case: Case, study: CaseStudy, force_travel: ForceTravel, found: Agreement
) -> float | None:
    """The friction at which the loosest fit slides at the lower end of the force to slide it; None where
    the least that is counted on holds no more than that anyway."""
    if found.posterior is None or found.sliding_force is None:
        return None
    (loosest, _), (least, _) = _limits(case, study, found.posterior)
    counted_on = Predictor(force_travel, force_travel.travel[-1:]).force(
        np.array([loosest]), np.array([least])
    )[0, 0]
    share = found.sliding_force.low / counted_on if counted_on > 0.0 else 1.0
    return least * max(share, MIN_SHARE) if share < 1.0 else None


def case_as_read(case: Case, study: CaseStudy, found: InferredFit) -> Case:
    """The case with the friction that its margins count on after the readings.

    The friction found is that of pressing; it is that of the assembled joint too where the case gives one
    friction for both.
    """
    assert found.posterior is not None
    _, (low, high) = _limits(case, study, found.posterior)
    low = low if found.least_friction is None else found.least_friction
    narrowed = replace(case, press=replace(case.press, friction_low=low, friction_high=high))
    if case.one_friction:
        narrowed = replace(narrowed, fit=replace(case.fit, friction_low=low, friction_high=high))
    return narrowed


def margins_with(case: Case, study: CaseStudy, found: InferredFit) -> tuple[Margin, ...]:
    """Every margin, worst first, at the worse ends of the intervals that count after the readings; none
    where they contradict the case.

    Interference and friction are taken as independent: that the force ties them together is not credited.
    """
    if found.posterior is None:
        return ()
    sizes, _ = _limits(case, study, found.posterior)
    study.forget()  # what checks have found is of the friction of the case, and what they find now is not
    try:
        return worst_first(judged(Evidence(case_as_read(case, study, found), study, *sizes)))
    finally:
        study.forget()
