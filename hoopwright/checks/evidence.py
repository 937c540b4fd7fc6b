"""Input of every check: the case, and its fits at the ends of the interference range."""

from __future__ import annotations

from dataclasses import dataclass

from hoopwright.case.model import Case
from hoopwright.checks.cup_tension import greatest_tension
from hoopwright.fit import Fits
from hoopwright.state import clamped, let_go, warmed
from hoopwright.study import CaseStudy


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

    @property
    def loosest(self) -> Fits:
        """The fit at the least interference, at rest on the bench."""
        return self.study.fits(let_go(self.case, self.least))

    @property
    def tightest(self) -> Fits:
        """The fit at the greatest interference, at rest on the bench."""
        return self.study.fits(let_go(self.case, self.greatest))

    @property
    def range_of_use(self) -> tuple[float, ...]:
        """Both ends of the range of temperature in use, K above 20 °C; empty where the case gives none."""
        temperatures = self.case.temperatures
        return () if temperatures is None else (temperatures.use_min, temperatures.use_max)

    def in_use(self, shift: float) -> Fits:
        """The fit at rest on the bench and over the range of temperature in use, without and with a stay in
        the oven before, and with the cups tightened. shift: as in State, mm."""
        states = (*let_go(self.case, shift), *warmed(self.case, shift, self.range_of_use))
        if self.oven is not None:
            states += warmed(
                self.case, shift, self.range_of_use, first=(self.oven, self.case.press.temperature_rise_K)
            )
        fits = self.study.fits(dict.fromkeys(states)).fits + self.clamped(shift).fits
        return self.study.fits(fit.state for fit in fits)

    def clamped(self, shift: float) -> Fits:
        """The fit with the cups tightened, on the bench and over the range of temperature in use; none
        where no cup pulls at the sleeve."""
        tensions = self.tensions
        return self.study.fits(clamped(self.case, shift, tensions) if any(tensions.values()) else ())

    @property
    def tensions(self) -> dict[float, float]:
        """Greatest pull of the cups, N, on the bench and at both ends of the range of use, by temperature,
        K above 20 °C."""
        rises = dict.fromkeys((self.case.press.temperature_rise_K, *self.range_of_use))
        return {rise: greatest_tension(self.case, self.study.joint, rise) for rise in rises}

    @property
    def oven(self) -> float | None:
        """Temperature of the oven, K above 20 °C, or None."""
        return None if self.case.temperatures is None else self.case.temperatures.oven

    def at(self, shift: float, temperature_rise: float) -> Fits:
        """The fits at one temperature, K above 20 °C: on the bench, in use, or in the oven."""
        if temperature_rise in self.tensions:
            fits = self.in_use(shift).fits
        else:
            fits = self.study.fits(warmed(self.case, shift, (temperature_rise,))).fits
        return self.study.fits(f.state for f in fits if f.state.temperature_rise == temperature_rise)


def evidence_of(case: Case, study: CaseStudy) -> Evidence:
    """Evidence over the 95 % interval of the interference."""
    return Evidence(case, study, -study.interference_half_width, study.interference_half_width)
