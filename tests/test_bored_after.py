"""A sleeve pressed in as a blank and bored, or threaded, afterwards."""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest
from cells import Rows, cell_of
from plain_pair import plain_pair

from hoopwright.case.faults import CaseError
from hoopwright.case.read import parse_case
from hoopwright.checks import evidence_of
from hoopwright.checks.bore_closure import bore_closure
from hoopwright.checks.buckling import seated_stretches, sleeve_buckles
from hoopwright.checks.ends_crush import pushed_face
from hoopwright.checks.stage_stress import greatest_stress
from hoopwright.checks.thread_fits import thread_fits
from hoopwright.closed_form.compound_cylinder import contact_pressure
from hoopwright.fem import Resolution
from hoopwright.state import frictionless, let_go, pressed
from hoopwright.study import CaseStudy
from hoopwright.working import WORKINGS

USED = '[temperatures]\nuse_least = "0 degC"\nuse_most = "40 degC"\n'
SIZE = 'outside_diameter = "41.036 mm"\noutside_plus_minus = "2 um"\nmost_bore_closure = "25 um"\n'


@cache
def case_of(bore: str = "34.9 mm", after: str = "", *, more: str = USED, sleeve: str = ""):
    line = f'bored_after = "{after}"\n' if after else ""
    return parse_case(plain_pair(sleeve_bore=bore, sleeve=SIZE + line + sleeve, length="20 mm", more=more))


@cache
def study_of(*args, **more) -> CaseStudy:
    return CaseStudy(case_of(*args, **more), Resolution(elements_through_wall=2))


def evidence(*args, **more):
    study = study_of(*args, **more)
    return evidence_of(study.case, study)


@cache
def rows_of(*args, **more):
    return Rows(evidence(*args, **more))


BORED = ("30 mm", "34.9 mm")
NEAR = 0.02


@pytest.mark.slow
def test_a_blank_presses_as_the_blank_and_holds_as_what_it_is_bored_to():
    """Each cell is that of one of two sleeves of one bore: the blank's while entering, the finished one's
    from then on; pressed, it is both, one after the other. Cells that cannot govern are solved on
    the coarsest mesh alone, hence the tolerance; the two sleeves differ by more than 10 %."""
    bored, blank, finished = rows_of(*BORED), rows_of("30 mm"), rows_of("34.9 mm")
    for row in ("shell_yields", "sleeve_yields", "ends_crush", "sleeve_buckles"):
        entering = cell_of(bored[row], "entering")
        assert entering.demand.value == pytest.approx(
            cell_of(blank[row], "entering").demand.value, rel=NEAR
        ), row
        assert entering.capacity.value == pytest.approx(
            cell_of(blank[row], "entering").capacity.value, rel=NEAR
        ), row
    for row in ("pushed_out", "shell_yields", "sleeve_yields", "sleeve_buckles", "stays_tight"):
        used = cell_of(bored[row], "in use")
        assert used.demand.value == pytest.approx(
            cell_of(finished[row], "in use").demand.value, rel=NEAR
        ), row
        assert used.capacity.value == pytest.approx(
            cell_of(finished[row], "in use").capacity.value, rel=NEAR
        ), row
    for row in ("pushed_out", "shell_yields", "sleeve_yields", "sleeve_buckles"):
        worse = min(cell_of(one[row], "pressed").margin for one in (blank, finished))
        assert cell_of(bored[row], "pressed").margin == pytest.approx(worse, rel=0.1), row


def test_a_blank_with_less_bore_takes_the_force_that_lame_gives():
    """Bore 30 instead of 34.9 mm in a shell of 41/48 mm: by Lamé the pressure rises by the share below."""
    blank, finished = (
        study_of(*BORED).at(frictionless(0.0, 0.0, blank=blank)).finest.mean_pressure
        for blank in (True, False)
    )
    by_hand = [
        float(
            contact_pressure(
                radial_interference=1.0,
                sleeve_bore_radius=bore,
                interface_radius=20.5,
                shell_outer_radius=24.0,
                sleeve=(205e3, 0.29),
                shell=(69e3, 0.33),
            )
        )
        for bore in (15.0, 17.45)
    ]
    assert blank / finished == pytest.approx(by_hand[0] / by_hand[1], rel=5e-3)
    assert blank / finished > 1.1


def test_what_is_cut_after_pressing_has_not_closed():
    """Closure of the bore counts where it is as turned, and only there."""
    assert bore_closure(evidence(*BORED)).demand.value == 0.0
    assert bore_closure(evidence("34.9 mm")).demand.value > 9.0
    study = study_of(*BORED)
    assert not study.case.sleeve.bored_as_turned(np.array([0.0, 10.0, 20.0])).any()


def test_pressed_is_before_and_after_boring_only_where_it_is_bored_then():
    case, plain = case_of(*BORED), case_of("34.9 mm")
    assert pressed(plain, 0.0) == let_go(plain, 0.0)
    assert pressed(case, 0.0) == (*let_go(case, 0.0, blank=True), *let_go(case, 0.0))
    assert plain.sleeve.blank == plain.sleeve


@pytest.mark.slow
def test_every_row_can_be_followed_by_its_working():
    for row in rows_of(*BORED).values():
        if row.applies and row.margin is not None:
            WORKINGS[row.id](evidence(*BORED), row)


def test_the_sleeve_buckles_by_the_wall_it_has():
    """Before it is bored its wall is that of the blank, and afterwards that of what it is bored to."""
    stretches = [seated_stretches(evidence(*BORED), blank=blank) for blank in (True, False)]
    assert [round(s.wall, 6) for (s,) in stretches] == [5.5, 3.05]
    pressed_in = cell_of(sleeve_buckles(evidence(*BORED)), "pressed")
    assert not pressed_in.when.blank


def test_what_is_pressed_in_is_the_blank():
    way_in = study_of(*BORED).way_in
    assert {s.inner_start for s in way_in.pair(way_in.home).sleeve} == {15.0}
    pushed = {fit.state.blank for fit in evidence(*BORED).pushed_home(0.0).fits}
    assert pushed == {True}
    assert pushed_face(evidence(*BORED), "sleeve")[0] == 30.0


def test_friction_keeps_what_it_held_while_the_sleeve_is_bored():
    """The seat goes on from where the blank left it: cutting nothing changes nothing, and after a cut
    friction still holds no more than Coulomb's law allows, on a sleeve that nothing pulls on."""
    study = study_of("34.9 mm", "34.9001 mm")
    for blank, finished in zip(let_go(study.case, 0.0, blank=True), let_go(study.case, 0.0), strict=True):
        before, after = (study.at(state).coarsest.mean_pressure for state in (blank, finished))
        assert after == pytest.approx(before, rel=1e-4), blank.friction_text
        before, after = (
            study.at(state).coarsest.equivalent_peak("sleeve").value for state in (blank, finished)
        )
        assert after == pytest.approx(before, rel=1e-4), blank.friction_text
    _, *with_friction = let_go(case_of(*BORED), 0.0)
    for state in with_friction:
        seat = study_of(*BORED).at(state).coarsest.mesh.moment(0.0, state.path).state
        held = state.path.friction * seat.normal
        assert np.all(np.abs(seat.along) <= held + 1e-6 * held.max())
        assert abs(seat.along.sum()) < 1e-6 * held.sum()
        assert 0 < np.count_nonzero(seat.slip) < len(seat.slip)


def test_what_the_blank_leaves_stuck_is_not_what_pressing_the_finished_sleeve_would():
    """Sticking pairs keep where they were: at high friction its stress is 1.6 % higher, frozen."""
    bored, pressed_thin = (
        study.at(let_go(study.case, 0.0)[-1]).finest.equivalent_peak("sleeve").value
        for study in (study_of(*BORED), study_of("34.9 mm"))
    )
    assert bored / pressed_thin == pytest.approx(1.0155, abs=1e-3)


OVAL = '[shell.out_of_round]\novality = "30 um"\n[fit]'


@cache
def oval(bore: str, after: str = ""):
    line = f'bored_after = "{after}"\n' if after else ""
    text = plain_pair(sleeve_bore=bore, sleeve=SIZE + line, length="20 mm").replace("[fit]", OVAL, 1)
    case = parse_case(text)
    return evidence_of(case, CaseStudy(case, Resolution(elements_through_wall=2)))


def test_an_oval_bore_is_judged_on_the_blank_too():
    """The shell is most stressed while the blank is in it, with its form as without."""
    bored, blank = (
        greatest_stress(evidence, "shell", "pressed", refined=False)
        for evidence in (oval(*BORED), oval("30 mm"))
    )
    assert bored.when.blank
    assert bored.value.value == pytest.approx(blank.value.value, rel=1e-6)
    assert (
        bored.value.value
        > 1.02 * greatest_stress(oval("34.9 mm"), "shell", "pressed", refined=False).value.value
    )
    alone = oval(*BORED).study.coarsest_only()
    again = greatest_stress(evidence_of(alone.case, alone), "shell", "pressed", refined=False)
    assert again.value.value == pytest.approx(bored.value.value, rel=1e-9)


TAP = """[[sleeve.bore]]
from = "0 mm"
to = "12 mm"
{left}
[[sleeve.bore]]
from = "12 mm"
to = "20 mm"
diameter = "33.5 mm"
"""


@cache
def threaded(left: str, tapped: bool = False):
    line = "tap_after_pressing = true\n" if tapped else ""
    text = plain_pair(sleeve_bore="30 mm", sleeve=SIZE + line + TAP.format(left=left), length="20 mm")
    case = parse_case(text.replace('bore_diameter = "30 mm"\n', ""))
    study = CaseStudy(case, Resolution(elements_through_wall=2))
    return case, evidence_of(case, study)


def test_a_thread_cut_after_pressing_is_one_tapped_then_with_the_blank_before():
    """Both are cut true on the bench, so that nothing of what pressing closed them by is left."""
    case, cut = threaded('diameter = "33 mm"\nbored_after = "1.37 in x 24 right"')
    tapped_case, tapped = threaded('thread = "1.37 in x 24 right"', tapped=True)
    assert [zone.blank for zone in case.sleeve.bore] == [33.0, None]
    assert case.sleeve.bore[0].thread == tapped_case.sleeve.bore[0].thread
    assert not tapped_case.sleeve.finished_later
    rows = [thread_fits(one) for one in (cut, tapped)]
    assert [row.demand.value for row in rows] == [0.0, 0.0]
    assert rows[0].capacity.value == rows[1].capacity.value
    assert "cut after pressing" in rows[0].basis
    assert "tap" not in rows[0].basis + rows[0].note
    assert bore_closure(cut).where.z >= 12.0
    assert bore_closure(tapped).demand.value > bore_closure(cut).demand.value > 0.0


def test_an_own_thread_is_cut_after_pressing_too():
    own = '{ major = "34.80 mm", pitch = "24 tpi", minor = "33.7 mm", hand = "left" }'
    case, _ = threaded(f'diameter = "33 mm"\nbored_after = {own}')
    assert case.sleeve.bore[0].thread.left_hand
    assert case.sleeve.bore[0].diameter == pytest.approx(34.8)


@pytest.mark.parametrize(
    ("bore", "after", "said"),
    [
        ("34.9 mm", "34.9 mm", "leaves nothing to cut"),
        ("35 mm", "34.9 mm", "leaves nothing to cut"),
        ("34.0 mm", "1.37 in x 24 right", "minor diameter"),
        ("30 mm", "1.37 in x 24", "hand is missing"),
        ("30 mm", "34.9", "unit"),
        ("30 mm", "42 mm", "wall"),
    ],
)
def test_a_bore_that_cannot_be_cut_is_said_in_one_line(bore, after, said):
    with pytest.raises(CaseError) as caught:
        case_of(bore, after)
    assert len(caught.value.faults) == 1
    assert said in str(caught.value.faults[0])


@pytest.mark.parametrize(
    ("left", "line", "said"),
    [
        ('diameter = "33 mm"', 'bored_after = "34.9 mm"\n', "beside zones"),
        ('thread = "1.37 in x 24 right"\nbored_after = "35 mm"', "", "as well as thread"),
        (
            'diameter = "33 mm"\nbored_after = "1.37 in x 24 right"\ncut_pitch_diameter = "34.2 mm"',
            "",
            "no thread before pressing",
        ),
    ],
)
def test_what_contradicts_boring_after_is_said_in_one_line(left, line, said):
    zones = SIZE + line + TAP.format(left=left)
    text = plain_pair(sleeve_bore="30 mm", sleeve=zones, length="20 mm")
    with pytest.raises(CaseError) as caught:
        parse_case(text.replace('bore_diameter = "30 mm"\n', ""))
    assert len(caught.value.faults) == 1
    assert said in str(caught.value.faults[0])
