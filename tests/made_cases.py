"""Sleeves as they are really made: with a flange, against a shoulder, proud of both faces, and pressed in
as a blank that is bored and threaded afterwards. Invented sizes."""

from __future__ import annotations

from small_cases import SLIPS_IN
from stopped_cases import FLANGE, shouldered

TITLED = 'title = "Small boss with a shoulder"\n'
HEAT = 'method = "heat"\n[press.heat]\nshell_most = "110 degC"\nclearance = "10 um"\n'
PUSHED = SLIPS_IN.replace(HEAT, "")
LEAD_IN = 'chamfer_right = "1.5 mm"\nchamfer_right_angle = "15 deg"\n'
FLANGED = PUSHED.replace('length = "16 mm"\n', f'length = "19 mm"\n{LEAD_IN}{FLANGE.format(end="left")}')
PROUD = PUSHED.replace(
    'length = "16 mm"\n', 'start = "-3 mm"\nlength = "23 mm"\nproud = "stays"\nchamfer_right = "1 mm"\n'
)
SHOULDERED = shouldered("right").replace(TITLED, TITLED + "invented = true\n")
BLANK = (
    PUSHED.replace('width = "16 mm"', 'width = "40 mm"')
    .replace('bore_diameter = "34 mm"\n', "")
    .replace(
        'length = "16 mm"\n', 'length = "40 mm"\nchamfer_left = "1.5 mm"\nchamfer_left_angle = "20 deg"\n'
    )
    .replace(
        "[fit]",
        """[[sleeve.bore]]
from = "0 mm"
to = "14 mm"
diameter = "30 mm"
bored_after = "1.37 in x 24 left"
[[sleeve.bore]]
from = "14 mm"
to = "26 mm"
diameter = "30 mm"
bored_after = "35.4 mm"
[[sleeve.bore]]
from = "26 mm"
to = "40 mm"
diameter = "30 mm"
bored_after = "1.37 in x 24 right"
[fit]""",
        1,
    )
)
MADE = {"flange": FLANGED, "shoulder": SHOULDERED, "proud": PROUD, "blank": BLANK}
