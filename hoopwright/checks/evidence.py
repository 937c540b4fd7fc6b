"""Input of every check: the case, and its fits in every stage at the ends of the interference range."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks.cup_tension import greatest_tension, least_tension
from hoopwright.checks.margin import Stage
from hoopwright.fit import Fits
from hoopwright.form import is_out_of_round
from hoopwright.state import (
    State,
    being_pushed,
    clamped,
    frictionless,
    let_go,
    pressed,
    pushing_frictions,
    warmed,
    while_cooling,
)
from hoopwright.study import CaseStudy
from hoopwright.touching import turning_points


@dataclass(frozen=True)
class Evidence:
    """Case, solutions and range of interference that a check judges.

    least, greatest: shift of the diametral interference from nominal at the loosest and the tightest fit
    the sizes allow, mm; equal where a single fit is examined.
    """

    case: Case
    study: CaseStudy
    least: float
    greatest: float

    def at_rest(self, stage: Stage, shift: float) -> Fits:
        """The fits of a stage in all its states, at rest and without loads from outside; none where the
        case does not describe it, or the sleeve still moves. shift: as in State, mm."""
        return self.study.cached(("at rest", stage, shift), lambda: self._fits(self._states(stage, shift)))

    def _states(self, stage: Stage, shift: float) -> tuple[State, ...]:
        if stage == "pressed":
            return pressed(self.case, shift)
        if stage == "cups":
            return self._clamped(shift, self.tensions)
        if stage == "in use" and self.is_in_use:
            return self._in_use(shift)
        if stage == "oven" and self.oven is not None:
            return warmed(self.case, shift, (self.oven,))
        return ()

    def everywhere(self, stage: Stage, shift: float) -> Fits:
        """The fits of a stage, those that carry a service load and those slid home among them."""
        if stage == "entering":
            return self.pushed_home(shift)
        if stage == "in use" and self.is_in_use:
            return self._fits(
                fit.state for fits in (self.at_rest(stage, shift), self.loaded(shift)) for fit in fits.fits
            )
        return self.unloaded(stage, shift)

    def unloaded(self, stage: Stage, shift: float) -> Fits:
        """The fits of a stage at rest, and those it goes through on the way there."""
        at_rest = self.at_rest(stage, shift)
        if stage != "pressed":
            return at_rest
        return self._fits((*(fit.state for fit in at_rest.fits), *while_cooling(self.case, shift)))

    def anywhere(self, fits_at: Callable[[float], Fits]) -> Fits:
        """The fits at every interference at which a stress may be greatest: both ends of its range, of
        which a load or the cups may make either the worse, and where a seat begins to touch between."""
        return self.study.fits(fit.state for shift in self._turning_points for fit in fits_at(shift).fits)

    @property
    def _turning_points(self) -> tuple[float, ...]:
        key = "turning points", self.least, self.greatest
        return self.study.cached(
            key, lambda: turning_points(self.study, self.rises, self.least, self.greatest)
        )

    def pushed_home(self, shift: float) -> Fits:
        """The fit while it is pushed, with the sleeve home, without friction and with; none where it slips
        in."""
        if self.case.press.slips_in:
            return self._fits(())
        states = (being_pushed(self.case, shift, friction) for friction in pushing_frictions(self.case))
        free = frictionless(shift, self.bench, blank=self.case.sleeve.finished_later)
        return self._fits((free, *states))

    def loaded(self, shift: float) -> Fits:
        """The fits that carry the service loads: over the range of use, with the cups at their least and
        greatest preload where there are any."""
        return self.study.cached(("loaded", shift), lambda: self._fits(self._loaded(shift)))

    def _loaded(self, shift: float) -> tuple[State, ...]:
        if any(self.tensions.values()):
            return *self._clamped(shift, self.tensions), *self._clamped(shift, self.least_tensions)
        return self._in_use(shift)

    @property
    def is_in_use(self) -> bool:
        """Whether the case describes the joint in use: by temperatures or by loads."""
        return self.case.temperatures is not None or self.has_loads

    @property
    def has_loads(self) -> bool:
        """Whether there are service loads."""
        return self.study.service is not None and bool(self.study.service.cases)

    @property
    def has_form(self) -> bool:
        """Whether the bore is out of round, so that the fit differs from angle to angle."""
        return is_out_of_round(self.case)

    @property
    def bench(self) -> float:
        """Temperature of the bench, K above 20 °C."""
        return self.case.press.temperature_rise_K

    @property
    def range_of_use(self) -> tuple[float, ...]:
        """Both ends of the range of temperature in use, K above 20 °C; empty where the case gives none."""
        temperatures = self.case.temperatures
        return () if temperatures is None else (temperatures.use_min, temperatures.use_max)

    @property
    def rises(self) -> tuple[float, ...]:
        """The bench and both ends of the range of use, K above 20 °C."""
        return tuple(dict.fromkeys((self.bench, *self.range_of_use)))

    @property
    def tensions(self) -> dict[float, float]:
        """Greatest pull of the cups, N, on the bench and at both ends of the range of use, by temperature,
        K above 20 °C."""
        return self._tensions(greatest_tension)

    @property
    def least_tensions(self) -> dict[float, float]:
        """Least pull of tightened cups, as `tensions`."""
        return self._tensions(least_tension)

    def _tensions(self, of: Callable[[CaseStudy, float], float]) -> dict[float, float]:
        return self.study.cached(of, lambda: {rise: float(of(self.study, rise)) for rise in self.rises})

    @property
    def oven(self) -> float | None:
        """Temperature of the oven, K above 20 °C, or None."""
        return None if self.case.temperatures is None else self.case.temperatures.oven

    def at(self, shift: float, temperature_rise: float) -> Fits:
        """The fits at rest in use, on the bench and with the cups tight, at one temperature, K above 20."""
        fits = (fit for stage in ("pressed", "cups", "in use") for fit in self.at_rest(stage, shift).fits)
        return self._fits(f.state for f in fits if f.state.temperature_rise == temperature_rise)

    def _in_use(self, shift: float) -> tuple[State, ...]:
        """At rest over the range of use, without and with a stay in the oven before; on the bench where no
        range is given."""
        if not self.range_of_use:
            return let_go(self.case, shift)
        states = warmed(self.case, shift, self.range_of_use)
        if self.oven is not None:
            states += warmed(self.case, shift, self.range_of_use, first=(self.oven, self.bench))
        return states

    def _clamped(self, shift: float, tensions: dict[float, float]) -> tuple[State, ...]:
        """With the cups tight; without states in which a single cup draws the sleeve out."""
        if not any(tensions.values()):
            return ()
        return tuple(state for state in clamped(self.case, shift, tensions) if self.is_carried(state))

    @property
    def is_pulled_out(self) -> bool:
        """Whether a single cup pulls harder in one of its states than friction on the seat carries."""
        return self.case.draws_sleeve and not all(
            self.is_carried(state)
            for shift in (self.least, self.greatest)
            for state in clamped(self.case, shift, self.tensions)
        )

    def is_carried(self, state: State) -> bool:
        """Whether friction carries a single cup that pulls the sleeve in a state."""
        return self.study.cached(("carried", state), lambda: self.study.meshes[-1].carries(state))

    def _fits(self, states: Iterable[State]) -> Fits:
        return self.study.fits(dict.fromkeys(states))


def evidence_of(case: Case, study: CaseStudy) -> Evidence:
    """Evidence over the 95 % interval of the interference."""
    return Evidence(case, study, study.loosest_shift, study.tightest_shift)


def evidence_at(case: Case, study: CaseStudy, least: float, greatest: float) -> Evidence:
    """Evidence for sizes between two shifts of the interference from likely, mm; roughness is flattened the
    most at the least, and the least at the greatest."""
    return Evidence(case, study, least, greatest + case.smoothing_spread_mm)
