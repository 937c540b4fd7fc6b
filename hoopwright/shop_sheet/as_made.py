"""What the order of work says of a sleeve as it is made: a flange or a shoulder that it is pushed home
against, ends that stand proud, and a blank that is bored or threaded after pressing. Common practice, no
source."""

from __future__ import annotations

from hoopwright.case.model import Case
from hoopwright.display import Units
from hoopwright.geometry import BoreZone
from hoopwright.geometry.land import End, opposite
from hoopwright.geometry.stop import shoulder_at
from hoopwright.geometry.thread import Thread
from hoopwright.shop_sheet.step import Step

FLUSH = 0.01
"""Distance, mm, within which an end of the sleeve counts as flush with the face of the shell."""
ENDS: tuple[End, End] = ("left", "right")


def roughing(case: Case, units: Units) -> str:
    """What is cut before the outside is finished: the bore of a blank, to the size it is pressed with."""
    blanks = dict.fromkeys(zone.blank for zone in case.sleeve.bore if zone.blank is not None)
    if not blanks:
        return "Rough the outside; bore and cut threads first, they move it."
    sizes = " and ".join(f"Ø {units.text(size, 'mm')}" for size in blanks)
    every = all(zone.cut_true for zone in case.sleeve.bore)
    others = "" if every else ", and what is not cut later to size"
    return f"Rough the outside; first bore the blank to {sizes}{others}: it moves."


def flange_steps(case: Case, units: Units) -> list[Step]:
    sleeve = case.sleeve
    if sleeve.flange_end is None:
        return []
    size, thick = (units.text(x, "mm") for x in (sleeve.flange_diameter, sleeve.flange_thickness))
    words = f"Flange Ø {size}, {thick} thick: face it in the same setting as the outside."
    return [Step("flange", words)]


def thread_words(case: Case, zone: BoreZone, thread: Thread) -> str:
    """A thread, the end it is at, and its hand where it is the left one."""
    ends = {case.sleeve.z_start: "left", case.sleeve.z_end: "right"}
    where = ends.get(zone.z_start) or ends.get(zone.z_end)
    at = f", {where} end" if where else ""
    return f"{thread.designation}{at}{': LEFT-HAND' if thread.left_hand else ''}"


def finishing_steps(case: Case, units: Units) -> list[Step]:
    """What a blank is bored and threaded to once it is in, the bores first."""
    later = [zone for zone in case.sleeve.bore if zone.cut_true]
    whole = len(case.sleeve.bore) == 1
    bores = [
        f"Now bore it to Ø {units.text(zone.diameter, 'mm')}"
        f"{'' if whole else f', z {units.along_span(zone.z_start, zone.z_end)}'}."
        for zone in later
        if zone.thread is None
    ]
    threads = [
        f"Now cut the thread {thread_words(case, zone, zone.thread)}, z "
        f"{units.along_span(zone.z_start, zone.z_end)}."
        for zone in later
        if zone.thread is not None
    ]
    return [*(Step("bore_after", t) for t in bores), *(Step("thread_after", t) for t in threads)]


def proud_by(case: Case, end: End) -> float:
    """How far an end of the sleeve as it is pressed stands beyond the shell's face, mm; below zero where it
    lies back."""
    sleeve = case.sleeve.unfaced
    return -sleeve.z_start if end == "left" else sleeve.z_end - case.shell.width


def support(case: Case, units: Units, first: End) -> str:
    """What the shell rests on under the face that the sleeve comes to."""
    beyond = proud_by(case, first)
    if beyond <= FLUSH:
        shouldered = shoulder_at(case.shell, case.sleeve, first) is not None
        out = "" if shouldered else "; the way out clear"
        return f"Support all round under the shell's {first} face, near the wall{out}."
    return (
        f"Rest the shell's {first} face on a ring near the wall that lets the sleeve through: it comes out "
        f"by {units.text(beyond, 'mm')}."
    )


def home_steps(case: Case, units: Units, enters: End) -> list[Step]:
    """Where to stop: at the touch of a flange or a shoulder, or where an end stands proud as it is to."""
    if case.sleeve.flange_end == enters:
        words = (
            f"Home: the flange meets the shell's {enters} face all round. The force rises at once: stop."
        )
        return [Step("home", words)]
    if shoulder_at(case.shell, case.sleeve, opposite(enters)) is not None:
        words = "Home: stop when it touches the shoulder. The force jumps there; do not push on."
        return [Step("home", words)]
    proud = [f"its {end} end {_proud_text(case, units, end)}" for end in ENDS if _is_proud(case, end)]
    return [Step("home", f"Stop when {' and '.join(proud)}.")] if proud else []


def against(case: Case, units: Units, enters: End) -> str:
    """What a sleeve that slips in is put against."""
    far = opposite(enters)
    if case.sleeve.flange_end == enters:
        return f"its flange, on the shell's {enters} face"
    if shoulder_at(case.shell, case.sleeve, far) is not None:
        return "the shoulder"
    if _is_proud(case, far):
        return f"a stop {units.text(proud_by(case, far), 'mm')} beyond the shell's {far} face"
    if _is_proud(case, enters):
        return f"a stop, its {enters} end {units.text(proud_by(case, enters), 'mm')} proud"
    return "a stop"


def facing(case: Case, units: Units) -> str:
    """What is done to the faces: nothing to a flange, nor to an end that is to stay proud."""
    if all(abs(proud_by(case, end)) <= FLUSH for end in ENDS):
        return "Face: both ends flush; take off only what stands proud."
    kept, told = [], []
    for end in ENDS:
        proud = proud_by(case, end)
        if case.sleeve.flange_end == end:
            kept.append(f"the {end} flange")
        elif proud > FLUSH and case.proud == "faced":
            told.append(f"face the {end} end, it {_proud_text(case, units, end)}")
        elif proud > FLUSH:
            kept.append(f"the {end} end ({_proud_text(case, units, end)})")
        elif shoulder_at(case.shell, case.sleeve, end) is not None:
            told.append(f"the {end} end is on its shoulder")
        elif proud < -FLUSH:
            told.append(f"the {end} end lies {units.text(-proud, 'mm')} back")
        else:
            told.append(f"the {end} end flush, take off only what stands proud")
    sentences = (
        f"Face: {'; '.join(told)}." if told else "",
        f"Do not face {' or '.join(kept)}." if kept else "",
    )
    return " ".join(one for one in sentences if one)


def _is_proud(case: Case, end: End) -> bool:
    return case.sleeve.flange_end != end and proud_by(case, end) > FLUSH


def _proud_text(case: Case, units: Units, end: End) -> str:
    return f"stands {units.text(proud_by(case, end), 'mm')} proud"
