"""Wall left after boring, the bore off centre by half the runout and out of round, as is the outside where
it was read so, against the user's own limit.

There is no built-in rule of thumb.
"""

from __future__ import annotations

from math import hypot

from hoopwright.case.model import Case
from hoopwright.checks.evidence import Evidence
from hoopwright.checks.margin import Location, Margin, row_of
from hoopwright.display import Units
from hoopwright.estimate import Estimate
from hoopwright.form import bore_growth, outside_ovality
from hoopwright.geometry.joint import Joint, Segment
from hoopwright.geometry.land import land_at


def wall_left(evidence: Evidence) -> Margin:
    """Thinnest wall of the shell, at the unfavourable end of its sizes, against [shell] least_wall."""
    case = evidence.case
    thinnest = thinnest_stretch(evidence)
    uncertainty, form = _uncertainty(case, thinnest), form_of(case, thinnest)
    at_start = thinner_at_start(thinnest)
    cell = Margin(
        id="wall_left",
        title="wall left",
        demand=None if case.min_wall_mm is None else Estimate(case.min_wall_mm),
        capacity=Estimate(wall_of(case, thinnest)),
        unit="mm",
        factor=1.0,
        where=Location(
            "shell",
            thinnest.inner_start if at_start else thinnest.inner_end,
            thinnest.z_start if at_start else thinnest.z_end,
        ),
        basis="outside radius less bore radius less half the runout, less "
        f"{Units().both(1e3 * uncertainty, 'um')} to the unfavourable end of both sizes"
        + (f" and {Units().both(1e3 * form, 'um')} out of round" if form else "")
        + ", against [shell] least_wall",
        note="" if case.min_wall_mm is not None else "give [shell] least_wall to have this judged",
    )
    return row_of([cell])


def thinnest_stretch(evidence: Evidence) -> Segment:
    """The stretch of the shell with the least wall, at the unfavourable end of its sizes."""
    return thinnest_of(evidence.case, evidence.study.joint)


def thinnest_of(case: Case, joint: Joint) -> Segment:
    """The same of a joint that is not meshed."""
    return min(joint.shell, key=lambda s: wall_of(case, s))


def wall_of(case: Case, stretch: Segment) -> float:
    """Least wall of a stretch of the shell: on the thin side, at the unfavourable end of its sizes, mm."""
    return stretch.wall - 0.5 * case.runout_mm - _uncertainty(case, stretch) - form_of(case, stretch)


def thinner_at_start(stretch: Segment) -> bool:
    """Whether the wall of a stretch is no thicker at its start than at its end."""
    return stretch.outer_start - stretch.inner_start <= stretch.outer_end - stretch.inner_end


def form_of(case: Case, segment: Segment) -> float:
    """How far bore and outside come nearer to each other than their mean radii at the worst angle, mm."""
    middle, shell = 0.5 * (segment.z_start + segment.z_end), case.shell
    bore, outside = (land_at(lands, middle) for lands in (shell.bore, shell.outside))
    grown = 0.0 if bore is None else bore_growth(case, shell.bore.index(bore))
    return grown + (0.0 if outside is None else 0.25 * outside_ovality(case, shell.outside.index(outside)))


def _uncertainty(case: Case, segment: Segment) -> float:
    """Half-width of the wall by those of both diameters, mm."""
    middle, shell = 0.5 * (segment.z_start + segment.z_end), case.shell
    lands = (land_at(lands, middle) for lands in (shell.outside, shell.bore))
    return 0.5 * hypot(*(land.plus_minus for land in lands if land is not None))
